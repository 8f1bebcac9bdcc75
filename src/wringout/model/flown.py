"""What was flown, gathered by likeness, so that an answer can say how far it reaches beyond."""

from collections.abc import Iterable, Sequence
from typing import Literal

import numpy as np

from wringout.model.fit import Flown
from wringout.physics.atmosphere import altitude_of_pressure
from wringout.reduction.points import ClimbPoint, Conditions, LandingPoint, Points, TakeoffPoint

Kind = Literal["stall", "level", "climb", "glide", "take-off", "landing"]
Case = tuple[Kind, Conditions, str | None, str | None]


def flown(points: Points) -> tuple[Flown, ...]:
    """The points gathered by kind, configuration, flap, technique and surface, in the order first flown."""
    gathered: dict[tuple[Kind, str, str, str | None, str | None], list[Conditions]] = {}
    for kind, state, technique, surface in _cases(points):
        gathered.setdefault((kind, state.configuration, state.flap, technique, surface), []).append(state)
    return tuple(_row(key, states) for key, states in gathered.items())


def _cases(points: Points) -> Iterable[Case]:
    for stall in points.stalls:
        yield "stall", stall.conditions, None, None
    for level in points.levels:
        yield "level", level.conditions, None, None
    for climb in points.climbs:
        yield _climb_or_glide(climb), climb.conditions, None, None
    for take_off in points.takeoffs:
        yield _field("take-off", take_off)
    for landing in points.landings:
        yield _field("landing", landing)


def _climb_or_glide(point: ClimbPoint) -> Kind:
    return "climb" if point.power == "full" else "glide"


def _field(kind: Kind, point: TakeoffPoint | LandingPoint) -> Case:
    return kind, point.conditions, point.technique, point.surface


def _row(key: tuple[Kind, str, str, str | None, str | None], states: Sequence[Conditions]) -> Flown:
    kind, configuration, flap, technique, surface = key
    altitudes = altitude_of_pressure(np.array([state.pressure.value for state in states]))
    return Flown(
        kind,
        configuration,
        flap,
        technique,
        surface,
        len(states),
        _range([state.mass.value for state in states]),
        _range(altitudes.tolist()),
        _range([state.temperature.value for state in states]),
        float(np.mean([state.cg for state in states])),
    )


def _range(values: Sequence[float]) -> tuple[float, float]:
    return min(values), max(values)
