"""The fitted airplane as rows of the field kernels: its draws at several masses, on several surfaces."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.airplane.lookups import configuration as configuration_named
from wringout.missions.practice import Movement, Run
from wringout.model import scatter
from wringout.model.asked import Asked, resolve
from wringout.model.field import (
    APPROACH_LAG,
    FLARE_HEIGHT,
    FREE_ROLL_TIME,
    GAIN_KEPT,
    LEAST_ARC,
    ROLLING_LIFT,
    SLOWEST,
    FieldCases,
    braking,
    named,
)
from wringout.model.fit import Fit
from wringout.model.question import PredictedQuantity, Question
from wringout.model.ready import Discrepancy, made_ready
from wringout.model.vehicles import Theta, vehicle
from wringout.physics.constants import GRAVITY, SEA_LEVEL_DENSITY
from wringout.physics.field_arrays import Conditions, LandingRows, TakeOffRows
from wringout.physics.field_kernels import FieldDistances, landings, take_offs
from wringout.physics.vehicle import Air, Vehicle

FloatArray = NDArray[np.float64]
T = TypeVar("T")

_QUANTITIES: dict[Movement, PredictedQuantity] = {
    "take-off": "take-off distance",
    "landing": "landing distance",
}
_MISSED = {
    "take-off": (scatter.GROUND_ROLL, scatter.TAKE_OFF_AIR_DISTANCE),
    "landing": (scatter.LANDING_ROLL, scatter.LANDING_AIR_DISTANCE),
}


@dataclass(frozen=True, slots=True)
class Asking:
    """Whose take-offs and landings are asked about, and with which techniques; None the one flown first."""

    airplane: Airplane
    fit: Fit
    configuration: str
    techniques: tuple[str | None, str | None] = (None, None)

    def asked(self, movement: Movement, mass: float, surface: str, elevation: float = 0.0) -> Asked:
        """One of them with nothing left open; mass [kg], elevation of the strip [m]."""
        question = Question(
            _QUANTITIES[movement],
            self.configuration,
            mass,
            pressure_altitude=elevation,
            surface=surface,
            technique=self.techniques[0 if movement == "take-off" else 1],
        )
        return resolve(self.airplane, self.fit, question)


@dataclass(frozen=True, slots=True)
class FieldRuns:
    """One configuration's take-offs and landings: m masses × k draws as rows, mass by mass.

    `lift_off_speed` and `touchdown_speed` are the draws' medians at each mass, equivalent [m/s], shape (m,).
    """

    asking: Asking
    masses: tuple[float, ...]
    surfaces: tuple[str, ...]
    take_off: TakeOffRows
    landing: LandingRows
    stall_speed: float  # in landing configuration at the greatest mass, calibrated as equivalent, median
    lift_off_speed: FloatArray
    touchdown_speed: FloatArray
    notes: tuple[str, ...]

    @property
    def draws(self) -> int:
        """k"""
        return int(self.asking.fit.draws.shape[0])

    def discrepancy(self, movement: Movement, elevation: float) -> tuple[FloatArray, FloatArray]:
        """What the model may miss, as factors on roll and air distance, each of shape (m·k,)."""
        asked = [self.asking.asked(movement, mass, self.surfaces[0], elevation) for mass in self.masses]
        drawn = Discrepancy(self.asking.fit, _QUANTITIES[movement], asked)
        roll, air = _MISSED[movement]
        return (
            drawn.factor(roll, "roll", movement).T.reshape(-1),
            drawn.factor(air, "air", movement).T.reshape(-1),
        )


def field_runs(asking: Asking, masses: Sequence[float], surfaces: Sequence[str]) -> FieldRuns:
    """Rows for the kernels.

    Parameters
    ----------
    asking : Asking
        Each draw of its fit is a row for each mass.
    masses : sequence of float, length m
        [kg]
    surfaces : sequence of str
        Every one on which is asked; their order is that of `Conditions.surface`.

    Raises
    ------
    InputError
        As `model.predict`.

    Notes
    -----
    The same airplanes and pilots as in `model.predict`: its answers at one condition are these.
    """
    airplane, fit = asking.airplane, asking.fit
    off = [asking.asked("take-off", masses[0], name) for name in surfaces]
    down = [asking.asked("landing", masses[0], name) for name in surfaces]
    taking, landed = (made_ready(airplane, fit, asked).theta for asked in (off, down))
    take_off_rows, off_speed = _take_off_rows(airplane, taking, off, masses)
    landing_rows, down_speed, stall = _landing_rows(airplane, landed, down, masses)
    return FieldRuns(
        asking,
        tuple(masses),
        tuple(surfaces),
        take_off_rows,
        landing_rows,
        stall,
        off_speed,
        down_speed,
        tuple(dict.fromkeys(note for item in (*off, *down) for note in item.notes)),
    )


def _take_off_rows(
    airplane: Airplane, theta: Theta, asked: Sequence[Asked], masses: Sequence[float]
) -> tuple[TakeOffRows, FloatArray]:
    first, count = asked[0], len(masses)
    made = _vehicle(airplane, theta, first, masses)
    stall = _stall(made)
    technique = [first.technique or ""]
    lift_off = np.maximum(named(theta, "lift-off speed ratio", technique), SLOWEST) * stall
    friction = np.maximum(named(theta, "rolling friction", [item.surface for item in asked]), 0.0)
    rows = TakeOffRows(
        rowed(made, stall.shape),
        lift_off_speed=_row(lift_off, stall.shape),
        obstacle_speed=_row(
            np.maximum(named(theta, "obstacle speed ratio", technique), SLOWEST) * stall, stall.shape
        ),
        rolling_friction=np.tile(friction, (count, 1)),
        load_factor=_row(
            1.0 + np.maximum(named(theta, "rotation load increment", technique), LEAST_ARC), stall.shape
        ),
        gain_kept=GAIN_KEPT,
    )
    return rows, np.median(lift_off, axis=0)


def _landing_rows(
    airplane: Airplane, theta: Theta, asked: Sequence[Asked], masses: Sequence[float]
) -> tuple[LandingRows, FloatArray, float]:
    first, count = asked[0], len(masses)
    made = _vehicle(airplane, theta, first, masses)
    stall = _stall(made)
    surfaces, technique = [item.surface for item in asked], [first.technique or ""]
    rolling = named(theta, "rolling friction", surfaces)
    effort = np.repeat(named(theta, "braking effort", technique), len(surfaces), axis=1)
    brakes = braking(airplane, theta, _cases(asked), effort=effort, rolling=rolling)
    touchdown = named(theta, "touchdown speed ratio", technique) * stall
    gear = configuration_named(airplane, first.question.configuration).undercarriage
    rows = LandingRows(
        rowed(made, stall.shape),
        approach_speed=_row(
            np.maximum(named(theta, "approach speed ratio", technique), SLOWEST) * stall, stall.shape
        ),
        touchdown_speed=_row(touchdown, stall.shape),
        braking=np.tile(brakes, (count, 1)),
        rolling_friction=np.tile(rolling, (count, 1)),
        approach_angle=_row(named(theta, "approach angle", technique), stall.shape),
        load_factor=_row(
            1.0 + np.maximum(named(theta, "flare load increment", technique), LEAST_ARC), stall.shape
        ),
        free_roll_time=FREE_ROLL_TIME,
        ground_lift_coefficient=_row(
            np.asarray(made.maximum_lift_coefficient) * ROLLING_LIFT[gear.kind], stall.shape
        ),
        propeller_drag_area=_row(theta["idle propeller drag area"], stall.shape),
        aims=1.0,
        flare_height=FLARE_HEIGHT,
        approach_lag=APPROACH_LAG,
        slowest_touchdown=_row(SLOWEST * stall, stall.shape),
    )
    return (
        rows,
        np.median(np.maximum(touchdown, SLOWEST * stall), axis=0),
        float(np.median(stall, axis=0).max()),
    )


def _cases(asked: Sequence[Asked]) -> FieldCases:
    """The surfaces as cases, for the braking that each allows."""
    count = len(asked)
    nothing = np.zeros(count)
    return FieldCases(
        [item.question.configuration for item in asked],
        [item.flap for item in asked],
        [item.technique or "" for item in asked],
        [item.surface for item in asked],
        [None] * count,
        np.array([item.cg for item in asked]),
        nothing + 1.0,
        Air.standard(0.0),
        nothing,
        nothing,
    )


def _vehicle(airplane: Airplane, theta: Theta, asked: Asked, masses: Sequence[float]) -> Vehicle:
    count = len(masses)
    return vehicle(
        airplane,
        theta,
        [asked.question.configuration] * count,
        [asked.flap] * count,
        np.array(masses, dtype=np.float64),
    )


def _stall(made: Vehicle) -> FloatArray:
    """Equivalent stall speed, shape (k, m)."""
    lift = np.asarray(made.maximum_lift_coefficient) * made.wing_area
    return np.sqrt(2.0 * np.asarray(made.mass) * GRAVITY / (SEA_LEVEL_DENSITY * lift))


def rowed(part: T, shape: tuple[int, ...]) -> T:
    """A dataclass whose arrays of (draws, masses) have become rows, mass by mass."""
    changed: dict[str, Any] = {}
    for field in fields(part):  # type: ignore[arg-type]  # every part is a dataclass
        value = getattr(part, field.name)
        if is_dataclass(value) and not isinstance(value, type):
            changed[field.name] = rowed(value, shape)
        elif isinstance(value, np.ndarray):
            changed[field.name] = _row(value, shape)
    return replace(part, **changed)  # type: ignore[type-var]  # likewise


def _row(values: FloatArray, shape: tuple[int, ...]) -> FloatArray:
    return np.ascontiguousarray(np.broadcast_to(values, shape).T).reshape(-1)


def distances(
    runs: FieldRuns,
    way: Run,
    conditions: Conditions,
    elevation: float,
    *,
    into: FieldDistances | None = None,
    threads: int | None = None,
    missed: tuple[FloatArray, FloatArray] | None = None,
) -> FloatArray:
    """Distances of one movement over its obstacle [m], shape (m·k, conditions), with what the model may miss.

    Parameters
    ----------
    runs : FieldRuns
    way : Run
        Its movement and obstacle count.
    conditions : Conditions
    elevation : float
        Of the strip, by which the model reaches beyond what was flown [m].
    into : FieldDistances, optional
        Room to work in; the answer lies in its `distance`.
    threads : int, optional
        As the kernel's.
    missed : tuple of ndarray, optional
        What `FieldRuns.discrepancy` gives for this movement and elevation, where it is known already.

    Returns
    -------
    ndarray
        Infinite or NaN where it cannot be done.
    """
    if way.movement == "take-off":
        found = take_offs(replace(runs.take_off, obstacle_height=way.obstacle), conditions, into, threads)
    else:
        found = landings(replace(runs.landing, obstacle_height=way.obstacle), conditions, into, threads)
    return _missed(found, *(missed or runs.discrepancy(way.movement, elevation)))


def _missed(found: FieldDistances, roll: FloatArray, air: FloatArray) -> FloatArray:
    """Roll and air distance each by its factor, roll·r + (distance − roll)·a, the distance in place."""
    total = found.distance
    with np.errstate(invalid="ignore"):  # what cannot be done stays infinite or NaN
        total *= air[:, None]
        total += found.roll * (roll - air)[:, None]
    return total
