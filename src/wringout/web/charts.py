"""A chart on a page: its specification in both palettes, its sentence, its words, and the same numbers."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from html import unescape
from typing import Any

from markupsafe import Markup

from wringout.charts import PAGE, PAGE_DARK, Look
from wringout.charts.figure import Spec, untitled
from wringout.charts.rendering import chart_library


@dataclass(frozen=True, slots=True)
class Numbers:
    """The table one step away: headings with their units once, rows as people read them."""

    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    words: int = 1  # columns of words; the rest are figures


@dataclass(frozen=True, slots=True)
class Chart:
    """What `pieces/chart.html` puts on a page; `light` and `dark` are data or a finished drawing."""

    name: str
    title: str
    alt: str
    light: Markup
    dark: Markup
    live: bool
    numbers: Numbers | None


def chart(name: str, draw: Callable[[Look], Spec], numbers: Numbers | None = None) -> Chart:
    """A live chart.

    Parameters
    ----------
    name : str
        Its name on the page, in letters, digits and hyphens.
    draw : callable
        A look → a figure of `wringout.charts`.
    numbers : Numbers, optional
        The same numbers as a table; a chart without numbers of its own has none.
    """
    light, dark = draw(PAGE), draw(PAGE_DARK)
    title = " ".join(light["title"]["text"]) if light.get("title") else ""
    return Chart(
        name, title, str(light["description"]), _data(untitled(light)), _data(untitled(dark)), True, numbers
    )


def drawing(name: str, title: str, draw: Callable[[Look], str], numbers: Numbers | None = None) -> Chart:
    """A drawing that is SVG already; arguments as `chart`, with its sentence."""
    light, dark = draw(PAGE), draw(PAGE_DARK)
    alt = unescape(light.split('aria-label="', 1)[1].split('"', 1)[0])
    return Chart(name, title, alt, Markup(light), Markup(dark), False, numbers)


def numbers(headings: Sequence[str], rows: Sequence[Sequence[str]], *, words: int = 1) -> Numbers:
    """A table from lists."""
    return Numbers(tuple(headings), tuple(tuple(row) for row in rows), words)


def _data(spec: Any) -> Markup:
    """JSON that may stand inside a script element: nothing in it can end the element."""
    text = json.dumps(spec, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return Markup(text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e"))


def library() -> bytes:
    """The chart library for the browser as one script."""
    return chart_library().encode()
