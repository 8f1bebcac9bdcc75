"""Where things lie and how full the tanks are: a line a place, arms to one scale, squares as large as masses.

Drawn in the colours of the page; what a hand may move says in its data what it is.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape
from math import sqrt

import numpy as np

from wringout.airplane.airplane import Airplane, Station, Tank
from wringout.charts.direct import figures
from wringout.charts.grammar import spread
from wringout.charts.scales import Scale, scale
from wringout.charts.theme import IN_PAGE
from wringout.dossier.dossier import Units
from wringout.dossier.trial import Thing, Trial
from wringout.loading.loading_report import LoadingReport
from wringout.quantity.showing import arm_digits, show
from wringout.quantity.units import convert

_WIDTH, _NAMES, _NOTES = 640.0, 132.0, 96.0
_ROW, _HEAD, _AXIS = 48.0, 62.0, 40.0
_SIDE = 2.7  # px of a square's side for the root of a kilogram
_INK, _MUTED, _RULE, _RUST = (
    IN_PAGE.palette.ink,
    IN_PAGE.palette.muted,
    IN_PAGE.palette.rule,
    IN_PAGE.palette.rust,
)
_LAKE = IN_PAGE.palette.series[0].mark


@dataclass(frozen=True, slots=True)
class Place:
    """A station with what the board says at the end of its line, and whether that is beyond a limit."""

    station: Station
    note: str
    beyond: bool


def stowage_board(
    airplane: Airplane,
    trial: Trial,
    report: LoadingReport,
    places: Sequence[Place],
    units: Units,
    *,
    still: bool = False,
) -> str:
    """The board as an SVG element.

    Parameters
    ----------
    airplane : Airplane
    trial : Trial
        Things and fuel.
    report : LoadingReport
        What they come to, for the CG among its limits above the lines.
    places : sequence of Place
        Every station in the order of the lines.
    units : Units
        Display units.
    still : bool
        Nothing on it is to be moved by hand.
    """
    arms = [edge for place in places for edge in (place.station.arm, place.station.arm_aft)]
    state = report.state("take-off")
    arms += [state.forward_limit, state.aft_limit, state.cg.value]
    axis = scale("arm", units.arm, [arms], _WIDTH - _NAMES - _NOTES, room=0.06, tight=True, companion=False)
    ashore = [number for number, thing in enumerate(trial.things) if thing.station is None]
    height = _HEAD + _ROW * (len(places) + 1 + len(airplane.tanks)) + 8
    parts = [_head(axis, report, units, _HEAD + _ROW * len(places))]
    for row, place in enumerate(places):
        parts.append(_line(place, row, axis))
        parts.append(_things(place.station, trial.things, row, axis, units))
    parts.append(_ashore(trial.things, ashore, len(places), units))
    for number, tank in enumerate(airplane.tanks):
        top = _HEAD + _ROW * (len(places) + 1 + number)
        parts.append(_tank(tank, airplane.tanks, trial.fuel, top, units))
    board = "".join(parts)
    if still:
        board = _stilled(board)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" id="stowage" viewBox="0 0 {_WIDTH:g} {height:g}" '
        f'role="group" aria-label="Where everything lies, and the fuel in the tanks" font-size="14" '
        f'data-left="{_NAMES:g}" data-extent="{axis.extent:g}" data-low="{axis.low:g}" '
        f'data-high="{axis.high:g}" data-unit="{units.arm}">{board}</svg>'
    )


_HANDLES = re.compile(
    r' tabindex="0" role="(?:button|slider)"(?: aria-roledescription="[^"]*")?'
    r'| aria-describedby="board-keys"| aria-value[a-z]+="[^"]*"'
    r'|<path d="M0,-14v28"[^>]*/>'
)


def _stilled(board: str) -> str:
    """The board without what a hand takes hold of."""
    return (
        _HANDLES.sub("", board)
        .replace('class="thing moves"', 'class="moves" role="img"')
        .replace('class="level moves"', 'class="moves" role="img"')
    )


def _head(axis: Scale, report: LoadingReport, units: Units, foot: float) -> str:
    """The scale of arms, the CG limits at take-off as a bar on it, the CG as a line down the places."""
    state = report.state("take-off")
    rule = f'<path d="M{_NAMES:g},{_AXIS:g}h{axis.extent:g}" stroke="{_INK}" stroke-width="0.75"/>'
    ticks = "".join(
        f'<path d="M{_x(axis, tick):.1f},{_AXIS:g}v5" stroke="{_INK}" stroke-width="0.75"/>'
        f'<text x="{_x(axis, tick):.1f}" y="{_AXIS + 16:g}" text-anchor="middle" font-size="12" '
        f'fill="{_INK}">{text}</text>'
        for tick, text in zip(axis.ticks, figures(axis.ticks), strict=True)
    )
    low, high, cg = (
        _at(axis, value, units) for value in (state.forward_limit, state.aft_limit, state.cg.value)
    )
    colour = _INK if state.forward >= 0.0 and state.aft >= 0.0 else _RUST
    words = show(state.cg.value, units.arm, digits=arm_digits(units.arm))
    return (
        f'<text x="0" y="{_AXIS + 16:g}" font-size="12" fill="{_MUTED}">arm, {units.arm}</text>{rule}{ticks}'
        f'<path d="M{low:.1f},{_AXIS:g}H{high:.1f}" stroke="{_INK}" stroke-width="5"/>'
        f'<g id="board-cg" class="moves" transform="translate({cg:.1f},0)">'
        f'<path d="M0,{_AXIS:g}V{foot:g}" stroke="{colour}" stroke-width="1" stroke-dasharray="2 4"/>'
        f'<path d="M0,{_AXIS:g}l-5,-8h10z" fill="{colour}"/>'
        f'<text y="{_AXIS - 14:g}" text-anchor="middle" font-size="12" fill="{colour}">CG {words}</text></g>'
    )


def _line(place: Place, row: int, axis: Scale) -> str:
    """A place: its name, the shelf from its forward to its aft end, and what it may still take."""
    station = place.station
    top, foot = _HEAD + _ROW * row, _HEAD + _ROW * (row + 1)
    ends = [float(convert(arm, axis.unit)) for arm in (station.arm, station.arm_aft)]
    low, high = (_x(axis, end) for end in ends)
    if high - low < 1.0:
        low, high = low - 12, high + 12
    colour = _RUST if place.beyond else _MUTED
    return (
        f'<g class="place" data-station="{escape(station.name, quote=True)}" data-arm="{ends[0]:g}" '
        f'data-aft="{ends[1]:g}"><rect class="under" x="0" y="{top:g}" width="{_WIDTH:g}" height="{_ROW:g}" '
        f'fill="transparent"/><path d="M0,{foot:g}H{_WIDTH:g}" stroke="{_RULE}" stroke-width="1"/>'
        f'<path d="M{low:.1f},{foot - 12:g}v5H{high:.1f}v-5" fill="none" stroke="{_INK}" stroke-width="1.5"/>'
        f'<text x="0" y="{foot - 12:g}" fill="{_INK}">{escape(station.name[:20])}</text>'
        f'<text x="{_WIDTH:g}" y="{foot - 12:g}" text-anchor="end" font-size="12" fill="{colour}">'
        f"{escape(place.note)}</text></g>"
    )


def _things(station: Station, things: Sequence[Thing], row: int, axis: Scale, units: Units) -> str:
    """What lies there, side by side where two would cover one another."""
    here = [number for number, thing in enumerate(things) if thing.station == station.name]
    if not here:
        return ""
    low, high = sorted((station.arm, station.arm_aft))
    arms = []
    for number in here:
        arm = things[number].arm
        arms.append(0.5 * (low + high) if arm is None else min(max(arm, low), high))
    gap = _gap(things, here)
    middles = spread(np.array([_at(axis, arm, units) for arm in arms]), gap)
    foot, hand = _HEAD + _ROW * (row + 1) - 7, 44.0 if len(here) == 1 else gap
    return "".join(
        _square(things[number], number, (float(middle), foot), hand, units)
        for number, middle in zip(here, middles, strict=True)
    )


def _gap(things: Sequence[Thing], here: Sequence[int]) -> float:
    """Squares that a hand can tell apart [WCAG 2.2, 2.5.8: 24 px]."""
    return max(max(_side(things[number]) for number in here) + 4, 26.0)


def _side(thing: Thing) -> float:
    return min(max(_SIDE * sqrt(max(thing.mass, 0.0)), 8.0), _ROW - 12)


def _square(thing: Thing, number: int, foot: tuple[float, float], hand: float, units: Units) -> str:
    side = _side(thing)
    words = show(thing.mass, units.mass, digits=1).replace(".0", "")
    where = f"at {thing.station}" if thing.station else "stays behind"
    label = escape(f"{number + 1}: {thing.name}, {words}, {where}", quote=True)
    inside = side >= 17
    above, colour = (-side / 2 + 4, IN_PAGE.palette.paper) if inside else (-side - 3, _INK)
    return (
        f'<g id="board-thing-{number}" class="thing moves" data-thing="{number}" tabindex="0" role="button" '
        f'aria-roledescription="load that can be moved" aria-label="{label}" '
        f'aria-describedby="board-keys" transform="translate({foot[0]:.1f},{foot[1]:g})">'
        f'<rect class="hand" x="{-hand / 2:g}" y="-38" width="{hand:g}" height="44" fill="transparent"/>'
        f'<rect x="{-side / 2:.1f}" y="{-side:.1f}" width="{side:.1f}" height="{side:.1f}" fill="{_LAKE}"/>'
        f'<text y="{above:.1f}" text-anchor="middle" font-size="12" font-weight="500" fill="{colour}">'
        f"{number + 1}</text><title>{label}</title></g>"
    )


def _ashore(things: Sequence[Thing], numbers: Sequence[int], row: int, units: Units) -> str:
    """The line of what stays behind, where a thing can be put down."""
    top, foot = _HEAD + _ROW * row, _HEAD + _ROW * (row + 1)
    line = (
        f'<g class="place" data-station=""><rect class="under" x="0" y="{top:g}" width="{_WIDTH:g}" '
        f'height="{_ROW:g}" fill="transparent"/><path d="M0,{foot:g}H{_WIDTH:g}" stroke="{_INK}" '
        f'stroke-width="0.75"/><text x="0" y="{foot - 12:g}" fill="{_MUTED}">stays behind</text></g>'
    )
    gap = _gap(things, numbers) if numbers else 0.0
    squares = [
        _square(things[number], number, (_NAMES + 24.0 + gap * place, foot - 7), gap, units)
        for place, number in enumerate(numbers)
    ]
    return line + "".join(squares)


def _tank(tank: Tank, tanks: Sequence[Tank], fuel: Mapping[str, float], top: float, units: Units) -> str:
    """A tank as a sight tube lying on its line: its length is what it holds, its level can be moved."""
    most = max(item.usable for item in tanks)
    length = (_WIDTH - _NAMES - _NOTES) * tank.usable / most
    held = min(max(fuel.get(tank.name, 0.0), 0.0), tank.usable)
    level = length * held / tank.usable if tank.usable > 0.0 else 0.0
    middle = top + _ROW / 2
    name = escape(tank.name, quote=True)
    full, now = (float(convert(value, units.fuel)) for value in (tank.usable, held))
    words = show(held, units.fuel, digits=1).replace(".0", "")
    note = f"{words} of {show(tank.usable, units.fuel, digits=0)}"
    return (
        f'<g class="tank"><text x="0" y="{middle + 5:g}" fill="{_INK}">fuel, {escape(tank.name[:14])}</text>'
        f'<rect x="{_NAMES:g}" y="{middle - 9:g}" width="{length:.1f}" height="18" fill="none" '
        f'stroke="{_INK}" stroke-width="1"/>'
        f'<rect id="board-fuel-{name}" x="{_NAMES:g}" y="{middle - 9:g}" width="{level:.1f}" height="18" '
        f'fill="{_LAKE}" fill-opacity="0.35"/>'
        f'<text x="{_WIDTH:g}" y="{middle + 5:g}" text-anchor="end" font-size="12" fill="{_MUTED}">'
        f"{note}</text>"
        f'<g id="board-level-{name}" class="level moves" data-tank="{name}" data-full="{full:g}" '
        f'data-length="{length:.1f}" data-unit="{units.fuel}" tabindex="0" role="slider" '
        f'aria-label="fuel in {name}" aria-valuemin="0" aria-valuemax="{full:g}" aria-valuenow="{now:g}" '
        f'aria-valuetext="{words}" transform="translate({_NAMES + level:.1f},{middle:g})">'
        f'<rect class="hand" x="-22" y="-22" width="44" height="44" fill="transparent"/>'
        f'<path d="M0,-14v28" stroke="{_INK}" stroke-width="5" stroke-linecap="round"/></g></g>'
    )


def _at(axis: Scale, value: float, units: Units) -> float:
    return _x(axis, float(convert(value, units.arm)))


def _x(axis: Scale, shown: float) -> float:
    return _NAMES + float(axis.along(shown))
