"""One flight: height above speed above a third channel on one time axis, the manoeuvres bracketed above."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from wringout.charts.figure import Margins, Spec, figure
from wringout.charts.grammar import Frame, Layers, polyline, rows, segments, text_layer, text_width
from wringout.charts.scales import FloatArray, Scale, scale
from wringout.charts.theme import PAGE, Look
from wringout.dossier.dossier import Units
from wringout.manoeuvres.manoeuvre import Manoeuvre
from wringout.quantity.showing import show
from wringout.recordings.recording import Recording, Track

MOST_SAMPLES = 500  # along one trace: finer than the paper

# The third channel: the first of these that the recording has.
_THIRD = ("manifold_pressure", "engine_speed", "fuel_flow", "normal_acceleration")
_THIRD_UNITS = {
    "manifold_pressure": "inHg",
    "engine_speed": "rpm",
    "fuel_flow": "L/h",
    "normal_acceleration": "g",
}
KIND_COLOURS = {"level leg": 0, "climb": 1, "glide": 1, "take-off": 2, "landing": 2, "stall": 3, "turn": 4}


@dataclass(frozen=True, slots=True)
class _Panel:
    """One trace with its own upright scale, standing `foot` above the bottom of the figure."""

    axis: Scale
    foot: float
    time: FloatArray
    values: FloatArray
    colour: str


def flight_figure(
    recording: Recording,
    track: Track,
    manoeuvres: Sequence[Manoeuvre],
    units: Units,
    *,
    title: str,
    look: Look = PAGE,
) -> Spec:
    """Height, speed and a third channel against time, with the manoeuvres found.

    Parameters
    ----------
    recording : Recording
        Its channels; the airspeed is shown where there is one, else the ground speed.
    track : Track
        The smoothed path of the same flight.
    manoeuvres : sequence of Manoeuvre
        What was found in it.
    units : Units
        Display units.
    title : str
        The finding in a sentence.
    look : Look
        Medium and palette.
    """
    width = look.width - look.small * 8
    minutes = Scale("minutes from the start of the recording", "min", *_span(track), (), width)
    minutes = Scale(minutes.title, "min", minutes.low, minutes.high, _minute_ticks(minutes), width)
    panels = _panels(recording, track, units, look)
    roof = panels[0].foot + panels[0].axis.extent
    height = roof + look.small * 4.4
    frame = Frame(minutes, Scale("", "", 0.0, height, (), height), look)
    layers: Layers = []
    upright = [(tick, 0.0, tick, roof) for tick in minutes.ticks]
    layers.append(segments(upright, look.palette.rule, look.hairline))
    for panel in panels:
        layers += _ruled(frame, panel)
    layers += _shades(frame, manoeuvres, roof)
    for panel in panels:
        layers += _trace(frame, panel)
    layers += _brackets(frame, manoeuvres, roof + look.small * 2.0)
    em = look.small
    edges = Margins(left=em * 3.6, right=em * 4.4, bottom=em * 3.4, top=em * 0.4)
    alt = _alt(recording, track, manoeuvres, units)
    return figure(frame, layers, title=title, alt=alt, margins=edges, grid=False)


def _span(track: Track) -> tuple[float, float]:
    return float(track.time[0]) / 60.0, float(track.time[-1]) / 60.0


def _minute_ticks(axis: Scale) -> tuple[float, ...]:
    from wringout.charts.scales import round_ticks

    return round_ticks(axis.low, axis.high, 8)


def _panels(recording: Recording, track: Track, units: Units, look: Look) -> list[_Panel]:
    """From the top: height, speed, third channel; heights on paper 5 : 4 : 2."""
    ink, second = look.palette.ink, look.palette.series[0].mark
    gap, unit_height = look.small * 2.1, look.width * 0.027
    speed, speed_name = _speed(recording, track)
    wanted = [
        (track.time, track.up, "height", units.height, 5.0, ink),
        (speed[0], speed[1], speed_name, units.speed, 4.0, second),
    ]
    third = next(
        (name for name in _THIRD if name in recording.channels and _some(recording.channels[name])), None
    )
    if third is not None:
        quiet = look.palette.stone.mark
        words = third.replace("_", " ")
        wanted.append((recording.time, recording.channels[third], words, _THIRD_UNITS[third], 2.4, quiet))
    panels: list[_Panel] = []
    foot = 0.0
    for time, values, name, unit, share, colour in reversed(wanted):
        extent = share * unit_height
        # An airspeed indicator's noise about nought is no reason to rule a scale below it.
        shown = np.maximum(values, 0.0) if unit == units.speed else values
        axis = scale(name, unit, [shown], extent, room=0.0, ticks=max(2, round(share)))
        panels.insert(0, _Panel(axis, foot, time, values, colour))
        foot += extent + gap
    return panels


def _some(values: FloatArray) -> bool:
    return bool(np.isfinite(values).sum() > 1)


def _speed(recording: Recording, track: Track) -> tuple[tuple[FloatArray, FloatArray], str]:
    airspeed = recording.channels.get("indicated_airspeed")
    if airspeed is not None and _some(airspeed):
        return (recording.time, airspeed), "indicated airspeed"
    return (track.time, np.hypot(track.east_speed, track.north_speed)), "ground speed"


def _ruled(frame: Frame, panel: _Panel) -> Layers:
    """The panel's own scale: a faint rule at each tick, its number at the left, its name above."""
    look, axis = frame.look, panel.axis
    left, right = frame.x.low, frame.x.high
    levels = panel.foot + axis.along(list(axis.ticks))
    layers: Layers = [
        segments([(left, float(y), right, float(y)) for y in levels], look.palette.rule, look.hairline)
    ]
    for tick, level in zip(axis.ticks, levels, strict=True):
        at = frame.moved(left, float(level), right=-look.small * 0.5)
        layers.append(text_layer(*at, _number(tick), look.palette.ink, look.small, align="right"))
    top = frame.moved(left, panel.foot + axis.extent, right=-look.small * 3.4, up=look.small * 0.95)
    layers.append(text_layer(*top, f"{axis.title}, {axis.unit}", look.palette.ink, look.small))
    second = axis.second()
    if second is not None:
        for tick in second.ticks:
            at = frame.moved(right, panel.foot + float(second.along(tick)), right=look.small * 0.5)
            layers.append(text_layer(*at, _number(tick), look.palette.muted, look.small))
        corner = frame.moved(right, panel.foot + axis.extent, right=look.small * 0.5, up=look.small * 0.95)
        layers.append(text_layer(*corner, second.unit, look.palette.muted, look.small))
    return layers


def _number(value: float) -> str:
    digits = 0 if float(value).is_integer() else 1
    return f"{value:_.{digits}f}".replace("_", "\u202f").replace("-", "−")


def _trace(frame: Frame, panel: _Panel) -> Layers:
    time, values = thinned(panel.time / 60.0, panel.axis.shown(panel.values), MOST_SAMPLES)
    pen = {"stroke": panel.colour, "strokeWidth": frame.look.line * 0.75}
    return [polyline(time, panel.foot + panel.axis.along(values), pen)]


def thinned(time: FloatArray, values: FloatArray, most: int) -> tuple[FloatArray, FloatArray]:
    """A trace reduced to about `most` samples that keeps the extremes of every stretch; gaps stay gaps."""
    if len(time) <= most:
        return time, values
    size = -(-2 * len(time) // most)
    stretches = -(-len(time) // size)
    padded = np.full(stretches * size, np.nan)
    padded[: len(time)] = values
    table = padded.reshape(stretches, size)
    finite = np.isfinite(table)
    first = np.arange(stretches) * size
    some = finite.any(axis=1)
    low = first + np.where(finite, table, np.inf).argmin(axis=1)
    high = first + np.where(finite, table, -np.inf).argmax(axis=1)
    # A channel slower than the table has gaps between all its samples: only a long one breaks it.
    broken = some & (np.count_nonzero(~finite, axis=1) > 0.95 * size)
    last = np.minimum(first + size - 1 - (~finite)[:, ::-1].argmax(axis=1), len(time) - 1)
    chosen = np.unique(np.concatenate([first[~some], low[some], high[some], last[broken]]))
    return time[chosen], values[chosen]


def _shades(frame: Frame, manoeuvres: Sequence[Manoeuvre], roof: float) -> Layers:
    """A light column under each bracket."""
    if not manoeuvres:
        return []
    data = rows(
        x=[item.start / 60.0 for item in manoeuvres],
        x2=[item.end / 60.0 for item in manoeuvres],
        y=[0.0] * len(manoeuvres),
        y2=[roof] * len(manoeuvres),
    )
    mark = {"type": "rect", "fill": frame.look.palette.ink, "fillOpacity": 0.06, "stroke": None}
    return [
        {"data": {"values": data}, "mark": mark, "encoding": {"x2": {"field": "x2"}, "y2": {"field": "y2"}}}
    ]


def _brackets(frame: Frame, manoeuvres: Sequence[Manoeuvre], level: float) -> Layers:
    """A bracket over each manoeuvre; a run of one kind is named once, where its name has room."""
    look = frame.look
    drop = look.small * 0.5
    layers: Layers = []
    strokes = []
    for item in manoeuvres:
        start, end = item.start / 60.0, item.end / 60.0
        low = float(frame.y.at(frame.y.along(level) - drop))
        strokes += [(start, low, start, level), (start, level, end, level), (end, level, end, low)]
    layers.append(segments(strokes, look.palette.ink, look.hairline * 1.6))
    for words, middle, row in _placed(_runs(frame, manoeuvres), look.small):
        up = float(frame.y.at(frame.y.along(level) + look.small * (0.75 + 1.1 * row)))
        layers.append(
            text_layer(float(frame.x.at(middle)), up, words, look.palette.ink, look.small, align="center")
        )
    return layers


@dataclass(frozen=True, slots=True)
class _Run:
    """Neighbouring manoeuvres under one name: their kinds with counts, and where they lie on paper."""

    kinds: tuple[tuple[str, int], ...]
    start: float
    end: float

    @property
    def words(self) -> str:
        return ", ".join(kind if count == 1 else f"{count} {kind}s" for kind, count in self.kinds)

    def with_next(self, other: _Run) -> _Run:
        counts = dict(self.kinds)
        for kind, count in other.kinds:
            counts[kind] = counts.get(kind, 0) + count
        return _Run(tuple(counts.items()), self.start, other.end)


def _runs(frame: Frame, manoeuvres: Sequence[Manoeuvre]) -> list[_Run]:
    """Neighbours of one kind together."""
    runs = []
    for kind, group in groupby(sorted(manoeuvres, key=lambda item: item.start), key=lambda item: item.kind):
        members = list(group)
        ends = frame.x.along([members[0].start / 60.0, members[-1].end / 60.0])
        runs.append(_Run(((kind, len(members)),), float(ends[0]), float(ends[1])))
    return runs


def _placed(runs: list[_Run], size: float) -> list[tuple[str, float, int]]:
    """Words, middle on paper and row of each run; those that find no room in two rows are named together."""
    while True:
        free = [-np.inf, -np.inf]
        placed: list[tuple[str, float, int]] = []
        for number, run in enumerate(runs):
            middle = (run.start + run.end) / 2
            half = text_width(run.words, size) / 2 + size * 0.3
            row = next((row for row in (0, 1) if middle - half >= free[row]), None)
            if row is None:
                runs = [*runs[: number - 1], runs[number - 1].with_next(run), *runs[number + 1 :]]
                break
            free[row] = middle + half
            placed.append((run.words, middle, row))
        else:
            return placed


def _alt(recording: Recording, track: Track, manoeuvres: Sequence[Manoeuvre], units: Units) -> str:
    kinds = [item.kind for item in manoeuvres]
    found = ", ".join(f"{kinds.count(kind)} {kind}" for kind in dict.fromkeys(kinds)) or "none"
    duration = (float(track.time[-1]) - float(track.time[0])) / 60.0
    return (
        f"Recording {recording.name}, {duration:.0f} minutes: height between "
        f"{show(float(np.nanmin(track.up)), units.height, digits=0)} and "
        f"{show(float(np.nanmax(track.up)), units.height, digits=0)}, speed, and the engine if logged. "
        f"Manoeuvres found: {found}."
    )
