"""The report: an evaluation → words and figures → PDF, and a page with live figures."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from wringout.report.composing import content
    from wringout.report.drawing import figures
    from wringout.report.printing import pdf, write_report
    from wringout.report.twin import html

__all__ = ["content", "figures", "html", "pdf", "write_report"]

_HOMES = {
    "content": "wringout.report.composing",
    "figures": "wringout.report.drawing",
    "html": "wringout.report.twin",
    "pdf": "wringout.report.printing",
    "write_report": "wringout.report.printing",
}


def __getattr__(name: str) -> Any:
    """The public functions, each imported when it is first asked for, so that commands start at once."""
    if name not in _HOMES:
        raise AttributeError(f"module '{__name__}' has no attribute '{name}'")
    from importlib import import_module

    return getattr(import_module(_HOMES[name]), name)
