"""How everything seen looks: paper, graphite, and one rust-red pencil for what matters."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from wringout.charts.typefaces import SANS

# A family name that holds a bare digit is not valid without quotes, and then its text vanishes.
_QUOTED = f"'{SANS}'"


@dataclass(frozen=True, slots=True)
class Series:
    """A colour of data: `mark` for lines and dots (contrast ≥ 3), `text` for its direct label (≥ 4.5)."""

    mark: str
    text: str


@dataclass(frozen=True, slots=True)
class Palette:
    """Colours on one ground. `rule` is for ruled lines that may be overlooked; `series` keep their order."""

    paper: str
    ink: str
    rule: str
    muted: str
    rust: str
    series: tuple[Series, ...]

    @property
    def stone(self) -> Series:
        """The quiet colour of data: what was assumed before flying, what is only context."""
        return self.series[-1]


LIGHT = Palette(
    paper="#FBF9F4",
    ink="#20282C",
    rule="#D9D3C5",
    muted="#6B6A63",
    rust="#A8452B",
    series=(
        Series("#2D6A8A", "#2D6A8A"),  # lake
        Series("#B07C0E", "#8A600A"),  # ochre
        Series("#5B7A34", "#55722F"),  # moss
        Series("#7A4E7E", "#7A4E7E"),  # plum
        Series("#85827A", "#6B6A63"),  # stone
    ),
)
DARK = Palette(
    paper="#16191B",
    ink="#E9E5DA",
    rule="#33383A",
    muted="#A3A094",
    rust="#E08A6C",
    series=(
        Series("#5B9BBD", "#5B9BBD"),
        Series("#D9A53A", "#D9A53A"),
        Series("#8FB05F", "#8FB05F"),
        Series("#B084B4", "#B084B4"),
        Series("#A8A59A", "#A8A59A"),
    ),
)


@dataclass(frozen=True, slots=True)
class Look:
    """A palette and the sizes of type and line on one medium; lengths in pt in print, px on pages."""

    palette: Palette
    small: float
    body: float
    title: float
    hairline: float
    line: float
    dot: float  # diameter
    width: float  # of a figure across the text column
    interactive: bool = False


# In print the paper is the paper: no tint is laid on it.
PRINT = Look(
    replace(LIGHT, paper="#FFFFFF"), small=7.5, body=8.5, title=10, hairline=0.5, line=1.3, dot=4.4, width=346
)
PAGE = Look(LIGHT, small=12, body=12, title=16, hairline=0.75, line=1.8, dot=6.5, width=640, interactive=True)
PAGE_DARK = Look(
    DARK, small=12, body=12, title=16, hairline=0.75, line=1.8, dot=6.5, width=640, interactive=True
)

# The colours of the page itself by name, so that one drawing that stands in the page follows light and dark.
_OF_THE_PAGE = Palette(
    paper="var(--paper)",
    ink="var(--ink)",
    rule="var(--rule)",
    muted="var(--muted)",
    rust="var(--rust)",
    series=tuple(
        Series(f"var(--{name})", f"var(--{name})") for name in ("lake", "ochre", "moss", "plum", "stone")
    ),
)
IN_PAGE = replace(PAGE, palette=_OF_THE_PAGE)


def config(look: Look) -> dict[str, Any]:
    """The Vega-Lite configuration of `look`: everything that a figure does not say itself."""
    ink, rule = look.palette.ink, look.palette.rule
    return {
        "background": look.palette.paper,
        "font": _QUOTED,
        "padding": 0,
        "view": {"stroke": None},
        "title": {
            "anchor": "start",
            "align": "left",
            "frame": "group",
            "color": ink,
            "font": _QUOTED,
            "fontSize": look.title,
            "fontWeight": 500,
            "lineHeight": look.title * 1.3,
        },
        "axis": {
            "domainColor": ink,
            "domainWidth": look.hairline,
            "tickColor": ink,
            "tickWidth": look.hairline,
            "tickSize": look.small * 0.45,
            "grid": False,
            "gridColor": rule,
            "gridWidth": look.hairline,
            "labelColor": ink,
            "labelFont": _QUOTED,
            "labelFontSize": look.small,
            "labelPadding": look.small * 0.3,
            "labelOverlap": False,
            "titleColor": ink,
            "titleFont": _QUOTED,
            "titleFontSize": look.small,
            "titleFontWeight": "normal",
        },
        "text": {"font": _QUOTED, "fontSize": look.body, "color": ink},
        "line": {"strokeWidth": look.line, "strokeCap": "round", "strokeJoin": "round", "color": ink},
        "rule": {"strokeWidth": look.hairline, "color": ink},
        "area": {"line": False},
        "point": {"filled": True, "size": look.dot**2, "opacity": 1},
    }
