"""A figure drawn straight to SVG, for one that follows a slider: milliseconds, not the engine's hundreds.

It knows the marks of `grammar` that the loading figure uses, and rules its field as `figure` does.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from itertools import pairwise
from math import floor, log10, sqrt
from typing import Any

from wringout.charts.figure import Margins, gathered
from wringout.charts.grammar import Frame, Layer
from wringout.charts.scales import Scale
from wringout.charts.typefaces import SANS


def direct_svg(frame: Frame, layers: Sequence[Layer], *, alt: str, margins: Margins, name: str) -> str:
    """A figure as an SVG element.

    Parameters
    ----------
    frame : Frame
        Its axes and look.
    layers : sequence of Layer
        Lines, bands, rules, points and words; a mark of any other kind raises ValueError.
    alt : str
        What it shows, in words.
    margins : Margins
        Paper around the ruled field.
    name : str
        Begins the id of every mark, so that a page can move marks instead of drawing them anew.
    """
    width = margins.left + frame.x.extent + margins.right
    height = margins.top + frame.y.extent + margins.bottom
    marks = [_mark(frame, layer, f"{name}-{number}") for number, layer in enumerate(gathered(layers))]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" id="{name}" viewBox="0 0 {width:g} {height:g}" role="img" '
        f'aria-label="{escape(alt, quote=True)}" font-family="\'{SANS}\'" font-size="{frame.look.small:g}">'
        f'<g transform="translate({margins.left:g},{margins.top:g})">'
        f"{_ruled(frame)}{''.join(marks)}</g></svg>"
    )


def _ruled(frame: Frame) -> str:
    """Grid, axes, tick labels, titles, and the other system's scale."""
    look, x, y = frame.look, frame.x, frame.y
    wide, tall = x.extent, y.extent
    grid = "".join(f"M{_p(x.along(tick))},0V{tall:g}" for tick in x.ticks)
    grid += "".join(f"M0,{_p(tall - y.along(tick))}H{wide:g}" for tick in y.ticks)
    tick = look.small * 0.45
    ends = "".join(f"M{_p(x.along(at))},{tall:g}v{tick:g}" for at in x.ticks)
    ends += "".join(f"M0,{_p(tall - y.along(at))}h{-tick:g}" for at in y.ticks)
    pen = f'fill="none" stroke-width="{look.hairline:g}"'
    parts = [
        f'<path d="{grid}" {pen} stroke="{look.palette.rule}"/>',
        f'<path d="M0,0V{tall:g}H{wide:g}{ends}" {pen} stroke="{look.palette.ink}"/>',
        _across(frame, x, look.palette.ink, tick + look.small * 1.1),
        _up(frame, y, look.palette.ink, -tick - look.small * 0.3, "end"),
        _words(
            wide,
            tall + look.small * ((3.7 if x.companion else 1.9) + 0.8),
            _title(x),
            "end",
            look.palette.ink,
        ),
        _words(-look.small * 3.4, -look.small * 0.9, _title(y), "start", look.palette.ink),
    ]
    second_x, second_y, muted = x.second(), y.second(), look.palette.muted
    if second_x is not None:
        row = tick + look.small * 2.9
        parts += [
            _across(frame, second_x, muted, row),
            _words(-look.small, tall + row, second_x.unit, "end", muted),
        ]
    if second_y is not None:
        at = wide + look.small * 0.75
        parts += [
            _up(frame, second_y, muted, at, "start"),
            _words(at, -look.small * 0.9, second_y.unit, "start", muted),
        ]
    return "".join(parts)


def _title(axis: Scale) -> str:
    return f"{axis.title}, {axis.unit}" if axis.unit else axis.title


def _across(frame: Frame, axis: Scale, colour: str, below: float) -> str:
    tall = frame.y.extent
    texts = zip(axis.ticks, figures(axis.ticks), strict=True)
    return "".join(
        _words(float(axis.along(tick)), tall + below, text, "middle", colour) for tick, text in texts
    )


def _up(frame: Frame, axis: Scale, colour: str, at: float, anchor: str) -> str:
    tall, shift = frame.y.extent, frame.look.small * 0.34
    texts = zip(axis.ticks, figures(axis.ticks), strict=True)
    return "".join(
        _words(at, tall - float(axis.along(tick)) + shift, text, anchor, colour) for tick, text in texts
    )


def figures(ticks: tuple[float, ...]) -> list[str]:
    """Tick labels: thousands grouped by a narrow space, a true minus sign, digits as the step needs."""
    step = min((after - before for before, after in pairwise(ticks)), default=1.0)
    digits = max(0, -floor(log10(step) + 1e-9))
    return [f"{tick:,.{digits}f}".replace(",", "\u202f").replace("-", "−") for tick in ticks]


def _words(x: float, y: float, text: str, anchor: str, colour: str) -> str:
    return f'<text x="{_p(x)}" y="{_p(y)}" text-anchor="{anchor}" fill="{colour}">{escape(text)}</text>'


def _mark(frame: Frame, layer: Layer, name: str) -> str:
    mark: Mapping[str, Any] = layer["mark"]
    rows: Sequence[Mapping[str, Any]] = layer["data"]["values"]
    kind = mark["type"]
    if kind == "rule":
        strokes = "".join(f"M{_at(frame, row)}L{_at(frame, row, '2')}" for row in rows)
        return f'<path id="{name}" d="{strokes}" {_pen(mark)}/>'
    if kind == "line":
        path = "M" + "L".join(_at(frame, row) for row in rows)
        return f'<path id="{name}" class="moves" d="{path}" {_pen(mark)}/>'
    if kind == "area":
        there = [_at(frame, row) for row in rows]
        back = [_at(frame, {**row, "y": row["y2"]}) for row in reversed(rows)]
        path = "M" + "L".join([*there, *back]) + "Z"
        return (
            f'<path id="{name}" class="moves" d="{path}" fill="{mark["fill"]}" '
            f'fill-opacity="{mark["fillOpacity"]:g}"/>'
        )
    if kind == "point":
        return "".join(_dot(frame, row, mark, f"{name}-{number}") for number, row in enumerate(rows))
    if kind == "text":
        return "".join(_label(frame, row, mark, f"{name}-{number}") for number, row in enumerate(rows))
    raise ValueError(f"a mark of the kind '{kind}' is not drawn directly")


def _dot(frame: Frame, row: Mapping[str, Any], mark: Mapping[str, Any], name: str) -> str:
    x, y = _at(frame, row).split(",")
    radius = sqrt(float(mark["size"])) / 2
    return (
        f'<circle id="{name}" class="moves" r="{radius:.2f}" transform="translate({x},{y})" '
        f'fill="{mark.get("fill", "none")}" stroke="{mark.get("stroke") or "none"}"/>'
    )


def _label(frame: Frame, row: Mapping[str, Any], mark: Mapping[str, Any], name: str) -> str:
    x, y = _at(frame, row).split(",")
    anchor = {"left": "start", "right": "end"}.get(mark["align"], "middle")
    size = float(mark["fontSize"])
    rim = (
        f' stroke="{mark["stroke"]}" stroke-width="{mark["strokeWidth"]:g}" stroke-linejoin="round"'
        if "stroke" in mark
        else ""
    )
    weight = "" if mark["fontWeight"] == "normal" else f' font-weight="{mark["fontWeight"]}"'
    return (
        f'<text id="{name}" class="moves" transform="translate({x},{y})" y="{size * 0.34:.2f}" '
        f'text-anchor="{anchor}" font-size="{size:g}"{weight} fill="{mark["fill"]}"{rim}>'
        f"{escape(str(row['text']))}</text>"
    )


def _pen(mark: Mapping[str, Any]) -> str:
    dash = " ".join(f"{part:g}" for part in mark.get("strokeDash", ()))
    return (
        f'fill="none" stroke="{mark["stroke"]}" stroke-width="{mark["strokeWidth"]:g}" '
        f'stroke-linecap="{mark.get("strokeCap", "round")}" '
        f'stroke-linejoin="{mark.get("strokeJoin", "round")}"'
        + (f' stroke-dasharray="{dash}"' if dash else "")
    )


def _at(frame: Frame, row: Mapping[str, Any], end: str = "") -> str:
    """A row's point on paper, y down."""
    x = float(frame.x.along(row["x" + end]))
    y = frame.y.extent - float(frame.y.along(row["y" + end]))
    return f"{_p(x)},{_p(y)}"


def _p(value: Any) -> str:
    return f"{float(value):.2f}".rstrip("0").rstrip(".")
