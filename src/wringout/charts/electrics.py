"""What runs when something fails: a bar for each load, as long as it lives, on what it lives."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape

from wringout.charts.theme import PAGE, Look, Series
from wringout.charts.typefaces import SANS
from wringout.electrical import ESSENTIAL_TIME, LoadStory, PlayedEstimate

_LEAST = 3600.0  # s that the axis shows at least
_MOST = 6 * 3600.0
_SHARE = 1.18  # of the last end, so that its words have room


@dataclass(frozen=True, slots=True)
class TripMark:
    """A time [s] that a trip needs to a landing, and its name."""

    time: float
    name: str


@dataclass(frozen=True, slots=True)
class _Axis:
    left: float
    extent: float
    end: float

    def x(self, time: float) -> float:
        """Where a time [s] stands on paper."""
        return self.left + self.extent * min(time, self.end) / self.end


def timeline(
    found: PlayedEstimate, batteries: Sequence[str], *, trip: TripMark | None = None, look: Look = PAGE
) -> str:
    """The timeline of a failure as SVG.

    Parameters
    ----------
    found : PlayedEstimate
    batteries : sequence of str
        Every battery's name, in the order of their colours.
    trip : TripMark, optional
        What a trip needs, as a flag on its mast.
    look : Look
        Medium and palette; the drawing takes its width.
    """
    loads = sorted(found.played.loads, key=lambda load: (-load.end, not load.ignition))
    spreads = {name: estimate.sd or 0.0 for name, estimate in found.dark}
    ends = [load.end for load in loads if math.isfinite(load.end)]
    last = max([*ends, *([] if trip is None else [trip.time]), 0.0])
    names = look.small * 9.5
    right = look.small * 9.0
    axis = _Axis(names, look.width - names - right, min(max(_SHARE * last, _LEAST), _MOST))
    row = look.small * 2.1
    top = look.small * (2.6 if trip is None else 3.8)
    foot = top + row * len(loads)
    height = foot + look.small * 3.4
    paint = _Paint(look, _colours(batteries, look), set())
    parts = [_grid(axis, top, foot, look), _limit(axis, top, foot, look)]
    if trip is not None and trip.time <= axis.end:
        parts.append(_flag(trip, axis, top, foot, look))
    for number, load in enumerate(loads):
        y = top + row * (number + 0.5)
        parts.append(_bar(load, y, axis, paint))
        parts.append(_words(load, spreads.get(load.name), y, axis, look))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{look.width:g}" height="{height:g}" '
        f'viewBox="0 0 {look.width:g} {height:g}" role="img" aria-label="{escape(_alt(loads), quote=True)}" '
        f'font-family="\'{SANS}\'" font-size="{look.small:g}">'
        f'<rect width="100%" height="100%" fill="{look.palette.paper}"/>{"".join(parts)}</svg>\n'
    )


@dataclass(frozen=True, slots=True)
class _Paint:
    """The look, a colour for each source, and the sources whose name stands on a bar already."""

    look: Look
    colours: Mapping[str, Series]
    said: set[str]


def _colours(batteries: Sequence[str], look: Look) -> Mapping[str, Series]:
    """Batteries in the fixed order of the data colours; whatever the engine turns in stone."""
    series = look.palette.series[:-1]
    return {name: series[number % len(series)] for number, name in enumerate(batteries)}


def _grid(axis: _Axis, top: float, foot: float, look: Look) -> str:
    step = next(item for item in (300.0, 600.0, 900.0, 1800.0, 3600.0) if axis.end / item <= 9.0)
    ink, rule = look.palette.ink, look.palette.rule
    width = f'stroke-width="{look.hairline:g}"'
    parts = [f'<path d="M{axis.left:.1f},{foot:.1f}h{axis.extent:.1f}" stroke="{ink}" {width}/>']
    count = math.floor(axis.end / step + 1e-9)
    for number in range(count + 1):
        x = axis.x(number * step)
        tick = look.small * 0.4
        parts += [
            f'<path d="M{x:.1f},{top:.1f}V{foot:.1f}" stroke="{rule}" {width}/>',
            f'<path d="M{x:.1f},{foot:.1f}v{tick:.1f}" stroke="{ink}" {width}/>',
            _text(x, foot + look.small * 1.5, f"{number * step / 60.0:.0f}", ink, "middle"),
        ]
    parts.append(
        _text(axis.left, foot + look.small * 2.9, "minutes after the failure", look.palette.muted, "start")
    )
    return "".join(parts)


def _bar(load: LoadStory, y: float, axis: _Axis, paint: _Paint) -> str:
    """The spells of one load; the first bar of a source carries its name."""
    look = paint.look
    thick = look.small * (1.0 if load.ignition else 0.72)
    parts = []
    for spell in load.spells:
        x, end = axis.x(spell.start), axis.x(spell.end)
        colour = paint.colours.get(spell.source, look.palette.stone)
        parts.append(
            f'<rect x="{x:.1f}" y="{y - 0.5 * thick:.1f}" width="{max(end - x, 0.8):.1f}" '
            f'height="{thick:.1f}" fill="{colour.mark}"/>'
        )
        wide = len(spell.source) * look.small * 0.55
        if spell.source not in paint.said and end - x > wide:
            paint.said.add(spell.source)
            at = y - 0.5 * thick - look.small * 0.18
            parts.append(_text(x + look.small * 0.3, at, spell.source, colour.text, "start"))
    if math.isinf(load.end):
        x = axis.x(axis.end)
        parts.append(
            f'<path d="M{x:.1f},{y - look.small * 0.5:.1f}l{look.small * 0.6:.1f},{look.small * 0.5:.1f}'
            f'l{-look.small * 0.6:.1f},{look.small * 0.5:.1f}z" fill="{look.palette.stone.mark}"/>'
        )
    return "".join(parts)


def _words(load: LoadStory, spread: float | None, y: float, axis: _Axis, look: Look) -> str:
    """Its name before the bar; how and when it ends behind it, with the end's standard uncertainty drawn."""
    ink, muted = look.palette.ink, look.palette.muted
    lower = y + look.small * 0.34
    name = _text(axis.left - look.small * 0.7, lower, load.name, ink if load.essential else muted, "end")
    if math.isinf(load.end):
        return name + _text(axis.x(axis.end) + look.small * 1.0, lower, "runs on", ink, "start")
    end = axis.x(load.end)
    early = load.ending == "dark" and load.end < ESSENTIAL_TIME and load.essential
    colour = look.palette.rust if early or load.ending == "failed" else ink
    whisker, at = "", end
    if spread:
        low, high = axis.x(max(load.end - spread, 0.0)), axis.x(load.end + spread)
        tick = look.small * 0.35
        whisker = (
            f'<path d="M{low:.1f},{y:.1f}H{high:.1f}M{low:.1f},{y - tick:.1f}v{2 * tick:.1f}'
            f'M{high:.1f},{y - tick:.1f}v{2 * tick:.1f}" stroke="{colour}" fill="none" '
            f'stroke-width="{1.4 * look.hairline:g}"/>'
        )
        at = high
    time = f"{load.end / 60.0:.0f}" + (f" ± {spread / 60.0:.0f}" if spread else "")
    dark = f"{time} min" if load.end > 0.0 else "dark at once"
    words = {"dark": dark, "shed": f"switched off at {time}", "failed": "failed"}[load.ending]
    return name + whisker + _text(at + look.small * 0.5, lower, words, colour, "start", halo=look)


def _limit(axis: _Axis, top: float, foot: float, look: Look) -> str:
    """The half hour that essential loads must last."""
    x = axis.x(ESSENTIAL_TIME)
    ink = look.palette.ink
    hatch = "".join(
        f"M{x:.1f},{y:.1f}l{-look.small * 0.35:.1f},{look.small * 0.35:.1f}"
        for y in (top + look.small * 0.7 * n for n in range(int((foot - top) / (look.small * 0.7))))
    )
    return (
        f'<path d="M{x:.1f},{top - look.small * 0.5:.1f}V{foot:.1f}" stroke="{ink}" '
        f'stroke-width="{1.6 * look.hairline:g}"/><path d="{hatch}" stroke="{ink}" '
        f'stroke-width="{0.8 * look.hairline:g}"/>'
        + _text(x, top - look.small * 0.9, "30 min asked", ink, "middle")
    )


def _flag(trip: TripMark, axis: _Axis, top: float, foot: float, look: Look) -> str:
    x, rust = axis.x(trip.time), look.palette.rust
    high = top - look.small * 2.0
    return (
        f'<path d="M{x:.1f},{high:.1f}V{foot:.1f}" stroke="{rust}" stroke-width="{1.4 * look.hairline:g}"/>'
        f'<path d="M{x:.1f},{high:.1f}h{look.small * 0.9:.1f}l{-look.small * 0.3:.1f},{look.small * 0.3:.1f}'
        f'l{look.small * 0.3:.1f},{look.small * 0.3:.1f}h{-look.small * 0.9:.1f}z" fill="{rust}"/>'
        + _text(
            x + look.small * 1.2,
            high + look.small * 0.55,
            f"{trip.name}: {trip.time / 60.0:.0f} min to a landing",
            rust,
            "start",
        )
    )


def _text(x: float, y: float, words: str, colour: str, anchor: str, *, halo: Look | None = None) -> str:
    """Words at a place; a halo of paper keeps them legible on lines."""
    ground = (
        ""
        if halo is None
        else f' paint-order="stroke" stroke="{halo.palette.paper}" stroke-width="{0.35 * halo.small:g}"'
    )
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="{colour}"{ground}>{escape(words)}</text>'
    )


def _alt(loads: Sequence[LoadStory]) -> str:
    told = [
        f"{load.name} runs on"
        if math.isinf(load.end)
        else f"{load.name} {load.ending} after {load.end / 60.0:.0f} min"
        for load in loads
    ]
    return f"Timeline of what runs after the failure: {'; '.join(told)}."
