"""The two typefaces that wringout ships, and their registration with the chart renderer."""

from __future__ import annotations

from functools import cache
from pathlib import Path

SANS = "Source Sans 3"  # pages, tables, charts; its figures are tabular as they stand
SERIF = "Source Serif 4"  # the report's running text
FONT_DIRECTORY = Path(__file__).parent / "fonts"
FONT_FILES = tuple(
    f"{face}-{weight}.ttf"
    for face in ("SourceSans3", "SourceSerif4")
    for weight in ("Regular", "Medium", "Bold")
)


@cache
def register() -> None:
    """Make the shipped typefaces known to the chart renderer, once a process.

    The renderer draws text in a typeface that it does not know as nothing at all; hence the check.

    Raises
    ------
    FileNotFoundError
        A typeface is not where the package keeps them.
    """
    missing = [name for name in FONT_FILES if not (FONT_DIRECTORY / name).is_file()]
    if missing:
        raise FileNotFoundError(
            f"typefaces missing from {FONT_DIRECTORY}: {', '.join(missing)}; reinstall wringout"
        )
    import vl_convert

    vl_convert.register_font_directory(str(FONT_DIRECTORY))
