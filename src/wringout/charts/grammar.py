"""The marks that mean the same in every figure: measured, fitted, band, claim, limit, dimension, label."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import ArrayLike

from wringout.charts.scales import FloatArray, Scale
from wringout.charts.theme import Look, Series

MEAN_LETTER = 0.47  # mean advance of the sans in text, in parts of its size

Layer = dict[str, Any]
Layers = list[Layer]


FLAG_ROW = 1.7  # height of a row of flags, in the size of their words


@dataclass(frozen=True, slots=True)
class Frame:
    """The ruled field of one figure: an axis each way, and how it looks."""

    x: Scale
    y: Scale
    look: Look

    def moved(self, x: float, y: float, right: float = 0.0, up: float = 0.0) -> tuple[float, float]:
        """The point (in axis units) that lies `right` and `up` on paper from another one."""
        return float(self.x.at(self.x.along(x) + right)), float(self.y.at(self.y.along(y) + up))


@dataclass(frozen=True, slots=True)
class Label:
    """A direct label at a point in SI; `side` is where the text stands from there.

    Above and below, the text is centred on the point, or starts or ends there as `align` says.
    """

    x: float
    y: float
    text: str
    colour: str
    side: Literal["right", "left", "above", "below"] = "right"
    align: Literal["left", "center", "right"] = "center"


def rows(**columns: ArrayLike) -> list[dict[str, Any]]:
    """Columns → records, at five significant digits (finer than any printer), gaps as null."""
    arrays = {name: np.asarray(column) for name, column in columns.items()}
    return [
        dict(zip(arrays, (_tidy(value) for value in values), strict=True))
        for values in zip(*(array.tolist() for array in arrays.values()), strict=True)
    ]


def _tidy(value: Any) -> Any:
    if isinstance(value, float):
        return float(f"{value:.6g}") if np.isfinite(value) else None
    return value


def polyline(x: ArrayLike, y: ArrayLike, mark: dict[str, Any]) -> Layer:
    """A line through points in axis units, joined in the order given (a plain line mark sorts them by x)."""
    points = rows(x=x, y=y, n=np.arange(len(np.asarray(x))))
    order = {"field": "n", "type": "quantitative"}
    return {"data": {"values": points}, "mark": {"type": "line", **mark}, "encoding": {"order": order}}


def fitted(frame: Frame, x: ArrayLike, y: ArrayLike, colour: str, *, flown: bool = True) -> Layers:
    """A fitted line through SI points; dashed where no flight supports it."""
    look = frame.look
    dash = {} if flown else {"strokeDash": [look.line * 3, look.line * 3]}
    return [
        polyline(frame.x.shown(x), frame.y.shown(y), {"stroke": colour, "strokeWidth": look.line, **dash})
    ]


def band(frame: Frame, x: ArrayLike, low: ArrayLike, high: ArrayLike, colour: str) -> Layers:
    """The central 90 % band about a line as a light tint of its colour."""
    data = rows(x=frame.x.shown(x), y=frame.y.shown(low), y2=frame.y.shown(high))
    mark = {"type": "area", "fill": colour, "fillOpacity": 0.16, "stroke": None, "interpolate": "monotone"}
    return [{"data": {"values": data}, "mark": mark, "encoding": {"y2": {"field": "y2"}}}]


def measured(  # noqa: PLR0917 - x and y with their uncertainties read best in this order
    frame: Frame,
    x: ArrayLike,
    y: ArrayLike,
    y_sd: ArrayLike,
    colour: str,
    notes: Sequence[str] = (),
    x_sd: ArrayLike | None = None,
) -> Layers:
    """Measured points in SI: filled dots, their bars the 90 % interval (1.645 standard uncertainties)."""
    look = frame.look
    x, y, y_sd = (np.asarray(part, dtype=np.float64) for part in (x, y, y_sd))
    if x.size == 0:
        return []
    reach = 1.645 * np.nan_to_num(y_sd)
    note = list(notes) or [""] * len(x)
    data = rows(
        x=frame.x.shown(x),
        y=frame.y.shown(y),
        y_low=frame.y.shown(y - reach),
        y_high=frame.y.shown(y + reach),
        note=note,
    )
    bar = {"type": "rule", "stroke": colour, "strokeWidth": look.hairline * 2}
    layers: Layers = [
        {
            "data": {"values": data},
            "mark": bar,
            "encoding": {"y": {"field": "y_low"}, "y2": {"field": "y_high"}},
        }
    ]
    if x_sd is not None:
        across = 1.645 * np.nan_to_num(np.asarray(x_sd, dtype=np.float64))
        wide = rows(x_low=frame.x.shown(x - across), x_high=frame.x.shown(x + across), y=frame.y.shown(y))
        layers.append(
            {
                "data": {"values": wide},
                "mark": bar,
                "encoding": {"x": {"field": "x_low"}, "x2": {"field": "x_high"}},
            }
        )
    dot = {
        "type": "point",
        "filled": True,
        "fill": colour,
        "stroke": look.palette.paper,
        "strokeWidth": look.hairline,
        "size": look.dot**2,
    }
    layer: Layer = {"data": {"values": data}, "mark": dot, "encoding": {}}
    if look.interactive and notes:
        layer["encoding"] = {"tooltip": {"field": "note", "type": "nominal"}}
    return [*layers, layer]


@dataclass(frozen=True, slots=True)
class Flag:
    """A claim at a point in SI: the figure as published, and where."""

    x: float
    y: float
    figure: str
    source: str


def claim_flags(frame: Frame, flags: Sequence[Flag]) -> Layers:
    """Claims as short flags on thin masts that stand on the claimed points.

    The flags fly in rows along the upper edge, clear of one another and of the lines, their words on the
    side with room for them. A claim too near the edge has its mast downwards.
    """
    look = frame.look
    row = look.small * FLAG_ROW
    layers: Layers = []
    taken: list[tuple[int, float, float]] = []  # row from the top, and the stretch along it
    for flag in sorted(flags, key=lambda flag: flag.x):
        right = float(frame.x.along(frame.x.shown(flag.x)))
        level = float(frame.y.along(frame.y.shown(flag.y)))
        text = f"claim {flag.figure}, {shortened(flag.source)}"
        width = look.body * 1.25 + text_width(text, look.small)
        left = right + width > frame.x.extent
        low, high = (right - width, right) if left else (right, right + width)
        rows_free = (
            index
            for index in range(len(flags))
            if all(index != other or high < start or low > end for other, start, end in taken)
        )
        index = next(rows_free, len(flags))
        mast = frame.y.extent - index * row - level
        if mast < row:
            mast = -look.body * 2.6
        else:
            taken.append((index, low, high))
        layers += _claim(frame, flag, text, mast=mast, left=left)
    return layers


def flag_room(values: Sequence[float], lines: Sequence[ArrayLike]) -> list[float]:
    """The claimed `values`, and room above them and `lines` for the rows of their flags."""
    if not values:
        return []
    every = np.concatenate([np.ravel(np.asarray(line, dtype=np.float64)) for line in lines])
    top, bottom = max(np.nanmax(every), *values), min(np.nanmin(every), *values)
    return [*values, top + 0.12 * min(len(values), 3) * (top - bottom)]


def shortened(source: str, most: int = 26) -> str:
    """A source cut at a word, where it is too long for a figure; the report names it in full."""
    if len(source) <= most:
        return source
    cut = source[: most - 1].rsplit(" ", 1)[0]
    if cut.count("'") % 2:  # a quotation that would not be closed goes whole
        cut = cut[: cut.rindex("'")]
    cut = cut.rstrip(" ,;:(")
    return f"{cut} …"


def text_width(text: str, size: float) -> float:
    """About how wide `text` stands in the sans at `size`."""
    return len(text) * size * MEAN_LETTER


def _claim(frame: Frame, flag: Flag, text: str, *, mast: float, left: bool) -> Layers:
    look = frame.look
    ink = look.palette.ink
    sign = 1.0 if mast > 0 else -1.0
    foot = float(frame.x.shown(flag.x)), float(frame.y.shown(flag.y))
    cloth = look.body * 0.9
    top = frame.moved(*foot, up=mast)
    cloth_corners = [
        top,
        frame.moved(*top, right=-cloth if left else cloth, up=-cloth * 0.36 * sign),
        frame.moved(*top, up=-cloth * 0.72 * sign),
    ]
    words = frame.moved(*top, right=(-1 if left else 1) * (cloth + look.body * 0.35), up=-cloth * 0.36 * sign)
    align = "right" if left else "left"
    filled = {"fill": ink, "interpolate": "linear-closed"}
    pen = {"stroke": ink, "strokeWidth": look.hairline * 1.5}
    return [
        segments([(*foot, *top)], ink, look.hairline * 1.5),
        polyline([p[0] for p in cloth_corners], [p[1] for p in cloth_corners], {**pen, **filled}),
        {
            "data": {"values": rows(x=[foot[0]], y=[foot[1]])},
            "mark": {**pen, "type": "point", "filled": False, "size": look.dot**2},
        },
        text_layer(*words, text, look.palette.paper, look.small, align=align, halo=True),
        text_layer(*words, text, ink, look.small, align=align),
    ]


def limit(
    frame: Frame, x: ArrayLike, y: ArrayLike, *, forbidden: Literal["left", "right"], closed: bool = False
) -> Layers:
    """A limit as an ink line through SI points, hatched on its `forbidden` side as one walks along it."""
    look = frame.look
    shown_x, shown_y = frame.x.shown(x), frame.y.shown(y)
    if closed:
        shown_x, shown_y = np.append(shown_x, shown_x[0]), np.append(shown_y, shown_y[0])
    return [
        segments(hatching(frame, shown_x, shown_y, forbidden), look.palette.muted, look.hairline),
        polyline(
            shown_x, shown_y, {"stroke": look.palette.ink, "strokeWidth": look.line, "strokeJoin": "miter"}
        ),
    ]


def hatching(
    frame: Frame, x: FloatArray, y: FloatArray, forbidden: Literal["left", "right"]
) -> list[tuple[float, float, float, float]]:
    """Short slanting strokes along one side of a polyline (axis units), evenly spaced on paper."""
    px, py = frame.x.along(x), frame.y.along(y)
    spacing, length = frame.look.body * 0.62, frame.look.body * 0.72
    strokes = []
    carried = spacing / 2
    for start_x, start_y, dx, dy in zip(px[:-1], py[:-1], np.diff(px), np.diff(py), strict=True):
        run = float(np.hypot(dx, dy))
        if run == 0.0:
            continue
        along = np.array([dx, dy]) / run
        side = np.array([-along[1], along[0]]) if forbidden == "left" else np.array([along[1], -along[0]])
        slant = (side + along) * (length / np.sqrt(2))
        while carried < run:
            at = np.array([start_x, start_y]) + along * carried
            end = at + slant
            strokes.append(
                (
                    float(frame.x.at(at[0])),
                    float(frame.y.at(at[1])),
                    float(frame.x.at(end[0])),
                    float(frame.y.at(end[1])),
                )
            )
            carried += spacing
        carried -= run
    return strokes


def dimension_line(
    frame: Frame,
    start: tuple[float, float],
    end: tuple[float, float],
    text: str,
    colour: str,
    *,
    beside: Literal["above", "below", "beyond"] = "above",
) -> Layers:
    """A dimension between two SI points as on a drawing: arrowheads at both ends, its number beside it.

    `beside` puts the number over or under the middle of a level line, or beyond the end of an upright one.
    """
    look = frame.look
    x, y = frame.x.shown([start[0], end[0]]), frame.y.shown([start[1], end[1]])
    px, py = frame.x.along(x), frame.y.along(y)
    run = max(float(np.hypot(px[1] - px[0], py[1] - py[0])), 1e-9)
    ux, uy = (px[1] - px[0]) / run, (py[1] - py[0]) / run
    head = min(look.body * 0.6, run * 0.4)
    strokes = [(float(x[0]), float(y[0]), float(x[1]), float(y[1]))]
    for index, sign in ((0, 1.0), (1, -1.0)):
        for turn in (0.38, -0.38):
            tip_x = sign * head * (ux - turn * uy)
            tip_y = sign * head * (uy + turn * ux)
            strokes.append(
                (
                    float(x[index]),
                    float(y[index]),
                    *frame.moved(float(x[index]), float(y[index]), tip_x, tip_y),
                )
            )
    middle = float(x.mean()), float(y.mean())
    place = {
        "above": frame.moved(*middle, up=look.body * 0.7),
        "below": frame.moved(*middle, up=-look.body * 0.8),
        "beyond": frame.moved(float(x[1]), float(y[1]), up=look.body * 1.5),
    }[beside]
    return [
        segments(strokes, colour, look.hairline * 1.8),
        text_layer(*place, text, look.palette.paper, look.body, align="center", weight=500, halo=True),
        text_layer(*place, text, colour, look.body, align="center", weight=500),
    ]


def labels(frame: Frame, wanted: Sequence[Label], *, size: float | None = None) -> Layers:
    """Direct labels, those on one side pushed apart up and down until none covers another."""
    look = frame.look
    font = size or look.body
    placed: Layers = []
    for side in ("right", "left", "above", "below"):
        group = [label for label in wanted if label.side == side]
        if not group:
            continue
        x = frame.x.along(frame.x.shown([label.x for label in group]))
        y = frame.y.along(frame.y.shown([label.y for label in group]))
        if side in {"right", "left"}:
            y = spread(y, font * 1.25)
            x = x + (font * 0.5 if side == "right" else -font * 0.5)
        else:
            away = 1.0 if side == "above" else -1.0
            y = _clear(group, x, y + away * font * 0.95, font, away)
        for label, px, py in zip(group, x, y, strict=True):
            align = {"right": "left", "left": "right"}.get(side, label.align)
            at = float(frame.x.at(px)), float(frame.y.at(py))
            placed.append(text_layer(*at, label.text, look.palette.paper, font, align=align, halo=True))
            placed.append(text_layer(*at, label.text, label.colour, font, align=align))
    return placed


def _clear(group: Sequence[Label], x: FloatArray, y: FloatArray, font: float, away: float) -> FloatArray:
    """Heights of labels above (`away` 1) or below (−1) their points, moved on until none covers another."""
    placed: list[tuple[float, float, float]] = []
    result = y.copy()
    for number in np.argsort(away * y, kind="stable"):
        wide = text_width(group[number].text, font)
        left = float(x[number]) - wide * {"left": 0.0, "center": 0.5, "right": 1.0}[group[number].align]
        for start, end, height in sorted(placed, key=lambda item: away * item[2]):
            if left < end and left + wide > start and abs(result[number] - height) < font * 1.2:
                result[number] = height + away * font * 1.2
        placed.append((left, left + wide, float(result[number])))
    return result


def spread(positions: ArrayLike, gap: float) -> FloatArray:
    """Positions moved as little as an even pass can, so that neighbours stand at least `gap` apart."""
    wanted = np.asarray(positions, dtype=np.float64)
    order = np.argsort(wanted, kind="stable")
    blocks: list[list[float]] = []  # sum of (wanted − own offset in the block), count
    for position in wanted[order]:
        blocks.append([float(position), 1.0])
        while len(blocks) > 1 and blocks[-2][0] / blocks[-2][1] + gap * (blocks[-2][1] - 1) / 2 + gap > (
            blocks[-1][0] / blocks[-1][1] - gap * (blocks[-1][1] - 1) / 2
        ):
            last = blocks.pop()
            blocks[-1] = [blocks[-1][0] + last[0], blocks[-1][1] + last[1]]
    moved = [
        total / count + gap * (k - (count - 1) / 2) for total, count in blocks for k in range(int(count))
    ]
    result = np.empty_like(wanted)
    result[order] = moved
    return result


def segments(strokes: Sequence[tuple[float, float, float, float]], colour: str, width: float) -> Layer:
    data = rows(
        x=[s[0] for s in strokes],
        y=[s[1] for s in strokes],
        x2=[s[2] for s in strokes],
        y2=[s[3] for s in strokes],
    )
    return {
        "data": {"values": data},
        "mark": {"type": "rule", "stroke": colour, "strokeWidth": width, "strokeCap": "round"},
        "encoding": {"x2": {"field": "x2"}, "y2": {"field": "y2"}},
    }


def text_layer(
    x: float,
    y: float,
    text: str,
    colour: str,
    size: float,
    *,
    align: str = "left",
    weight: int | str = "normal",
    halo: bool = False,
) -> Layer:
    """Text at a point in axis units; as a `halo`, the ground on which that text is read across lines."""
    rim = {"stroke": colour, "strokeWidth": size * 0.28, "strokeJoin": "round"} if halo else {}
    return {
        "data": {"values": rows(x=[x], y=[y])},
        "mark": {
            **rim,
            "type": "text",
            "text": text,
            "align": align,
            "baseline": "middle",
            "fill": colour,
            "fontSize": size,
            "fontWeight": weight,
        },
    }


def series_of(look: Look, index: int) -> Series:
    """The data colour of the series with this number, in the one fixed order.

    Raises
    ------
    ValueError
        There are more series than colours: draw small multiples instead.
    """
    if not 0 <= index < len(look.palette.series) - 1:
        raise ValueError(
            f"a figure holds at most {len(look.palette.series) - 1} series; draw small multiples"
        )
    return look.palette.series[index]
