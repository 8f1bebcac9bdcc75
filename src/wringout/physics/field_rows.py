"""Vehicles and conditions as plain numbers in the order in which the compiled loops read them.

Everything of a row is over its weight: a force is a gradient, a deceleration over g a sum of gradients.
"""

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from wringout.physics.aerodynamics import GROUND_EFFECT, drag_coefficient, ground_effect_factor
from wringout.physics.arrays import Array, Real, not_negative, positive
from wringout.physics.atmosphere import altitude_of_pressure, standard_density
from wringout.physics.constants import (
    GRAVITY,
    SEA_LEVEL_DENSITY,
)
from wringout.physics.field_arrays import Conditions, LandingRows, TakeOffRows
from wringout.physics.propulsion import (
    LEVEL_ADVANCE,
    ConstantSpeedPropeller,
    ElectricMotor,
    Engine,
    FixedPitchPropeller,
    NaturallyAspiratedEngine,
    Propeller,
    TurbochargedEngine,
    temperature_correction,
)
from wringout.physics.vehicle import Vehicle, weight

NO_CAP = 1e300


class Pull(NamedTuple):
    """Engine and propeller.

    Power is rated · min(max((by_density ρ_std − drop) · scale, 0), cap) · (T_std/T)^heat, with ρ_std the
    density of standard air at the pressure. The disk pulls `disk` ρ w (w − V) with
    w² (w − V) = `useful` power/ρ · (1 + gain x (2 − x)), x = `per_level` V and at most 1; a fixed pitch
    `pitch` power + `windmill` ρ V |V|. What an airplane has not is 0. `typical` is about the disk's constant,
    with its cube root.
    """

    rated: float
    by_density: float
    drop: float
    scale: float
    cap: float
    heat: float
    disk: float
    useful: float
    gain: float
    per_level: float  # over the airspeed from which on the blades are as good as they get
    pitch: float
    windmill: float
    typical: float
    typical_root: float


class TakeOffRow(NamedTuple):
    """One airplane taking off."""

    pull: Pull
    lift_off: float  # equivalent airspeeds
    obstacle: float
    kept: float  # share of the wind's gain that is airspeed at the obstacle
    roll_drag: float  # ½ S C_D/W
    roll_lift: float  # ½ S C_L/W
    load: float
    pressing: float  # g S/W: dynamic pressure times area over weight is pressing ρ k
    zero_lift_drag: float
    induced: float
    offset: float  # lift coefficient of least drag
    wing_height: float
    nearness: float  # 33/b^1.5
    obstacle_height: float
    wind_scale: float  # 1/ln(1 + obstacle height/wing height)


class LandingRow(NamedTuple):
    """One airplane landing."""

    approach: float  # equivalent airspeeds
    touchdown: float
    slowest: float
    angle: float
    aims: float
    load: float
    free: float
    roll_drag: float  # ½ S C_D/W, the propeller's with it
    roll_lift: float  # ½ S C_L/W
    pressing: float  # ½ S/W
    idle_drag: float  # C_D0 and the propeller's drag over the area
    induced: float
    offset: float
    wing_height: float
    nearness: float
    obstacle_height: float
    wind_scale: float
    lost: float  # share of the wind's gain that is gained below the flare
    lag: float  # share of the wind's gain by which the approach is slower


def take_off_rows(rows: TakeOffRows) -> tuple[Array, Array]:
    """Numbers in the order of `TakeOffRow`, shape (v, fields), and friction, shape (v, surfaces).

    Raises
    ------
    ValueError
        As `takeoff.take_off`.
    """
    vehicle, burden = rows.vehicle, weight(rows.vehicle)
    if np.any(np.asarray(rows.load_factor) <= 1):
        raise ValueError("the load factor on the arc must be above 1 for the path to curve up")
    height = positive(rows.obstacle_height, "obstacle height [m]")
    named = _pull(vehicle.propeller, vehicle.engine, burden) | _wing(vehicle, height)
    named |= _rolling(vehicle, rows.ground_lift_coefficient, 0.0)
    named |= {
        "lift_off": positive(rows.lift_off_speed, "lift-off speed [m/s]"),
        "obstacle": positive(rows.obstacle_speed, "obstacle speed [m/s]"),
        "kept": rows.gain_kept,
        "load": rows.load_factor,
        "pressing": GRAVITY * vehicle.wing_area / burden,
        "zero_lift_drag": vehicle.zero_lift_drag,
    }
    packed = _packed(Pull._fields + TakeOffRow._fields[1:], named)
    return packed, _table(not_negative(rows.rolling_friction, "rolling friction"), packed)


def landing_rows(rows: LandingRows) -> tuple[Array, Array, Array]:
    """Numbers in the order of `LandingRow`, shape (v, fields), rolling friction and braking, (v, surfaces).

    Raises
    ------
    ValueError
        As `landing.landing`.
    """
    vehicle, burden = rows.vehicle, weight(rows.vehicle)
    if np.any(np.asarray(rows.load_factor) <= 1):
        raise ValueError("the load factor of the flare must be above 1 for the path to curve up")
    height = positive(rows.obstacle_height, "obstacle height [m]")
    idle = np.divide(rows.propeller_drag_area, vehicle.wing_area)
    named = _wing(vehicle, height) | _rolling(vehicle, rows.ground_lift_coefficient, rows.propeller_drag_area)
    named |= {
        "approach": positive(rows.approach_speed, "approach speed [m/s]"),
        "touchdown": positive(rows.touchdown_speed, "touchdown speed [m/s]"),
        "slowest": not_negative(rows.slowest_touchdown, "slowest touchdown [m/s]"),
        "angle": positive(rows.approach_angle, "approach angle [rad]"),
        "aims": rows.aims,
        "load": rows.load_factor,
        "free": not_negative(rows.free_roll_time, "free-roll time [s]"),
        "pressing": 0.5 * vehicle.wing_area / burden,
        "idle_drag": vehicle.zero_lift_drag + idle,
        "lag": rows.approach_lag,
        "lost": np.log1p(not_negative(rows.flare_height, "flare height [m]") / vehicle.wing_height)
        * named["wind_scale"],
    }
    packed = _packed(LandingRow._fields, named)
    rolling = _table(not_negative(rows.rolling_friction, "rolling friction"), packed)
    return packed, rolling, _table(not_negative(rows.braking, "braking"), packed)


def condition_columns(conditions: Conditions, breathes: bool) -> tuple[Array, NDArray[np.int64]]:
    """Numbers of each condition, shape (7, c), and its surface; 0 for standard air where no engine breathes.

    Density, that of standard air at the pressure and ln(T_std/T), head wind and its gain, sine and cosine of
    the strip's slope.
    """
    air, tilt = conditions.air, np.arctan(conditions.slope)
    pressure, temperature = np.asarray(air.pressure), np.asarray(air.temperature)
    standard: Real = standard_density(altitude_of_pressure(pressure)) if breathes else 0.0
    warm: Real = 2 * np.log(temperature_correction(pressure, temperature)) if breathes else 0.0
    wind, gain = conditions.head_wind, conditions.wind_gain
    density = positive(air.density, "air density [kg/m³]")
    columns = (density, standard, warm, wind, gain, np.sin(tilt), np.cos(tilt))
    shape = np.broadcast_shapes((1,), np.shape(conditions.surface), *(np.shape(column) for column in columns))
    packed = np.empty((len(columns), *shape))
    for number, column in enumerate(columns):
        packed[number] = column
    return packed, np.ascontiguousarray(np.broadcast_to(conditions.surface, shape), dtype=np.int64)


def _pull(propeller: Propeller, engine: Engine, burden: Array) -> dict[str, Real]:
    named: dict[str, Real] = {
        "by_density": 0.0,
        "drop": 0.0,
        "scale": 1.0,
        "cap": NO_CAP,
        "heat": 0.0,
    }
    if isinstance(engine, NaturallyAspiratedEngine):
        named |= {"rated": engine.rated_power / burden, "drop": engine.drop, "heat": engine.heat}
        named["by_density"] = 1 / SEA_LEVEL_DENSITY
        named["scale"] = 1 / np.subtract(1.0, engine.drop)
    elif isinstance(engine, TurbochargedEngine):
        named |= {"rated": engine.rated_power / burden, "drop": engine.drop, "cap": 1.0}
        named["heat"] = engine.heat
        named["by_density"] = 1 / standard_density(engine.critical_altitude)
        named["scale"] = 1 / np.subtract(1.0, engine.drop)
    elif isinstance(engine, ElectricMotor):
        named |= {"rated": engine.full_power(0.0, 0.0) / burden, "drop": -1.0}
    else:
        raise TypeError(f"the field kernels know no engine of the kind {type(engine).__name__}")
    return named | _propeller(propeller, burden, named["rated"])


def _propeller(propeller: Propeller, burden: Array, rated: Real) -> dict[str, Real]:
    if isinstance(propeller, ConstantSpeedPropeller):
        disk = np.pi / 2 * np.square(propeller.diameter) / burden
        useful = propeller.static_efficiency / disk
        gain = np.divide(propeller.cruise_efficiency, propeller.static_efficiency) - 1
        typical = np.maximum(useful * rated / SEA_LEVEL_DENSITY, 1e-6)
        return {
            "disk": disk,
            "useful": useful,
            "gain": gain,
            "per_level": 1 / (LEVEL_ADVANCE * np.multiply(propeller.rated_speed, propeller.diameter)),
            "pitch": 0.0,
            "windmill": 0.0,
            "typical": typical,
            "typical_root": np.cbrt(typical),
        }
    if isinstance(propeller, FixedPitchPropeller):
        return {
            "disk": 0.0,
            "useful": 0.0,
            "gain": 0.0,
            "per_level": 0.0,
            "pitch": propeller.polar_slope / np.multiply(propeller.rated_speed, propeller.diameter),
            "windmill": propeller.polar_intercept * np.square(propeller.diameter) / burden,
            "typical": 1.0,
            "typical_root": 1.0,
        }
    raise TypeError(f"the field kernels know no propeller of the kind {type(propeller).__name__}")


def _wing(vehicle: Vehicle, height: Array) -> dict[str, Real]:
    return {
        "induced": vehicle.induced_factor,
        "offset": vehicle.lift_at_minimum_drag,
        "wing_height": positive(vehicle.wing_height, "wing height [m]"),
        "nearness": GROUND_EFFECT * positive(vehicle.span, "span [m]") ** -1.5,
        "obstacle_height": height,
        "wind_scale": 1 / np.log1p(height / vehicle.wing_height),
    }


def _rolling(vehicle: Vehicle, lift: Real, extra_area: Real) -> dict[str, Real]:
    effect = ground_effect_factor(np.divide(vehicle.wing_height, vehicle.span))
    polar = vehicle.zero_lift_drag, vehicle.induced_factor, vehicle.lift_at_minimum_drag
    area = extra_area + vehicle.wing_area * drag_coefficient(lift, *polar, effect)
    burden = weight(vehicle)
    return {
        "roll_drag": 0.5 * area / burden,
        "roll_lift": 0.5 * np.multiply(vehicle.wing_area, lift) / burden,
    }


def _packed(names: tuple[str, ...], named: Mapping[str, Real]) -> Array:
    count = np.broadcast_shapes((1,), *(np.shape(named[name]) for name in names))[0]
    packed = np.empty((count, len(names)))
    for number, name in enumerate(names):
        packed[:, number] = named[name]
    return packed


def _table(friction: Array, packed: Array) -> Array:
    """Friction of each row on each surface, missing where a number of the row is."""
    return np.ascontiguousarray(np.atleast_2d(friction) + 0.0 * np.sum(packed, axis=1, keepdims=True))
