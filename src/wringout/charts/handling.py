"""Ratings as dots on the ten-point scale, and stick forces as read against indicated airspeed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from wringout.charts.figure import Margins, Spec, bound, figure, margins_for
from wringout.charts.grammar import (
    Frame,
    Label,
    Layer,
    Layers,
    labels,
    measured,
    rows,
    segments,
    series_of,
    text_layer,
    text_width,
)
from wringout.charts.scales import FloatArray, Scale, scale
from wringout.charts.theme import PAGE, Look
from wringout.dossier.dossier import Units

MOST_SERIES = 4
NAMES = 0.48  # of a figure's width at most for the names of its rows
# Where one end of the tree gives way to the next: between 3 and 4, 6 and 7, 9 and 10.
_EDGES = (3.5, 6.5, 9.5)
_ENDS = ((2.0, "satisfactory"), (5.0, "tolerable"), (8.0, "inadequate"))


@dataclass(frozen=True, slots=True)
class RatingRow:
    """One task with the ratings that it was given, and which of them stand in the middle."""

    task: str
    configuration: str
    ratings: tuple[int, ...]
    median: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class ForceRow:
    """Forces of one series: indicated airspeeds [m/s], signed forces [N], one standard uncertainty [N]."""

    name: str
    speeds: tuple[float, ...]
    forces: tuple[float, ...]
    sd: float


def ratings_figure(tasks: Sequence[RatingRow], *, title: str, look: Look = PAGE) -> Spec:
    """A row a task, the scale across from 1, best, to 10: every rating a dot, the range a line.

    Raises ValueError where no task was rated.
    """
    rated = [row for row in tasks if row.ratings]
    if not rated:
        raise ValueError("no task was rated")
    pitch, count = look.body * 2.1, len(rated)
    widest = max(text_width(_name(row), look.small) for row in rated)
    names = min(widest + look.small * 1.5, look.width * NAMES)
    frame = Frame(
        Scale(
            "rating on the ten-point scale, 1 best",
            "",
            0.5,
            10.5,
            tuple(float(rating) for rating in range(1, 11)),
            look.width - names - look.small * 1.5,
        ),
        Scale("", "", -0.5, count - 0.5, (), pitch * count),
        look,
    )
    edges = [(at, -0.5, at, count - 0.5) for at in _EDGES]
    layers: Layers = [segments(edges, look.palette.muted, look.hairline)]
    for at, words in _ENDS:
        place = frame.moved(at, count - 0.5, up=look.small * 0.8)
        layers.append(text_layer(*place, words, look.palette.muted, look.small, align="center"))
    for index, row in enumerate(rated):
        layers += _rated(frame, row, count - 1 - index)
    said = "; ".join(f"{_name(row)}: {', '.join(map(str, row.ratings))}" for row in rated)
    margins = Margins(left=names, right=look.small * 1.5, bottom=look.small * 3.4, top=look.small * 1.8)
    alt = f"Ratings on the ten-point scale by task. {said}."
    return figure(frame, layers, title=title, alt=alt, margins=margins)


def _rated(frame: Frame, row: RatingRow, level: int) -> Layers:
    look = frame.look
    at = frame.moved(0.5, level, right=-look.small * 0.8)
    layers: Layers = [text_layer(*at, _short(frame, row), look.palette.ink, look.small, align="right")]
    low, high = min(row.ratings), max(row.ratings)
    if high > low:
        layers.append(segments([(low, level, high, level)], look.palette.series[0].mark, look.hairline * 2))
    for rating in sorted(set(row.ratings)):
        same = row.ratings.count(rating)
        spread = (np.arange(same) - (same - 1) / 2) * 0.16
        middle = rating in row.median and len(row.ratings) > 1
        for step in spread:
            layers.append(_dot(float(rating), level + float(step), look, filled=middle or high == low))
    return layers


def _name(row: RatingRow) -> str:
    return f"{row.task} ({row.configuration})"


def _short(frame: Frame, row: RatingRow) -> str:
    """The task with its configuration, cut within the task where both do not fit."""
    room, task = frame.look.width * NAMES - frame.look.small * 1.5, row.task
    if text_width(_name(row), frame.look.small) <= room:
        return _name(row)
    end = f"… ({row.configuration})"
    while text_width(f"{task}{end}", frame.look.small) > room and len(task) > 8:
        task = task[:-1].rstrip(" ,")
    return f"{task}{end}"


def _dot(x: float, y: float, look: Look, *, filled: bool) -> Layer:
    colour = look.palette.series[0].mark
    mark = {
        "type": "point",
        "filled": True,
        "fill": colour if filled else look.palette.paper,
        "stroke": colour,
        "strokeWidth": look.hairline * 2,
        "size": look.dot**2,
    }
    return {"data": {"values": rows(x=[x], y=[y])}, "mark": mark}


def forces_figure(series: Sequence[ForceRow], units: Units, *, title: str, look: Look = PAGE) -> Spec:
    """Stick forces as read, pull upwards, with the straight line of each series through its readings.

    Parameters
    ----------
    series : sequence of ForceRow
        Those with three readings or more are drawn, at most four of them.
    units : Units
    title : str
    look : Look

    Raises
    ------
    ValueError
        No series has three readings.
    """
    drawn = [row for row in series if len(row.speeds) >= 3][:MOST_SERIES]
    if not drawn:
        raise ValueError("no series of forces has three readings")
    forces = [np.array([*row.forces, 0.0]) for row in drawn]
    width = look.width - look.small * 8
    frame = Frame(
        scale("indicated airspeed", units.speed, [np.array(row.speeds) for row in drawn], width),
        scale("force on the stick, pull upwards", "N", forces, look.width * 0.42, companion=False),
        look,
    )
    zero = segments([(frame.x.low, 0.0, frame.x.high, 0.0)], look.palette.ink, look.hairline * 1.5)
    layers: Layers = [zero]
    words = []
    for index, row in enumerate(drawn):
        colour = series_of(look, index)
        speeds, force = np.array(row.speeds), np.array(row.forces)
        layers += _line(frame, speeds, force, colour.mark)
        layers += measured(frame, speeds, force, np.full(len(speeds), row.sd), colour.mark)
        words.append(Label(row.speeds[0], row.forces[0], row.name, colour.text, "above", "left"))
    layers += labels(frame, words)
    said = "; ".join(
        f"{row.name}: "
        + ", ".join(
            f"{force:+.0f} N at {frame.x.shown([speed])[0]:.0f} {units.speed}"
            for speed, force in zip(row.speeds, row.forces, strict=True)
        )
        for row in drawn
    )
    alt = bound(f"Stick force against indicated airspeed, pull positive. {said}.")
    return figure(frame, layers, title=title, alt=alt, margins=margins_for(look, frame))


def _line(frame: Frame, speeds: FloatArray, forces: FloatArray, colour: str) -> Layers:
    look = frame.look
    slope, level = np.polyfit(speeds, forces, 1)
    ends = np.array([speeds.min(), speeds.max()])
    x, y = frame.x.shown(ends), frame.y.shown(level + slope * ends)
    return [segments([(float(x[0]), float(y[0]), float(x[1]), float(y[1]))], colour, look.line)]
