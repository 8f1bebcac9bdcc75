"""Classical figures that a set of points gives together, beside the fitted model.

Drag line, best climb, ceiling.
"""

from collections import defaultdict
from collections.abc import Sequence

import numpy as np

from wringout.airplane.airplane import Airplane
from wringout.airplane.lookups import configuration_envelope
from wringout.physics.airspeed import equivalent_from_true
from wringout.physics.atmosphere import altitude_of_density
from wringout.physics.constants import SEA_LEVEL_DENSITY
from wringout.problems import InputError
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.climb import best_climb
from wringout.reduction.points import ClassicalResult, ClimbPoint, LevelPoint
from wringout.reduction.speed_power import fit_polar, standard_power, standard_speed

PROPELLER_EFFICIENCY = 0.80  # of a cruising light airplane's propeller; common practice
PROPELLER_EFFICIENCY_SD = 0.04
# Climbs within so much of each other [m] are at one altitude; with more between them and so many climbs the
# rate's fall with altitude is found besides the speed's effect.
SAME_ALTITUDE = 300.0
CLIMBS_FOR_ALTITUDE = 5


def classical_results(
    airplane: Airplane, levels: Sequence[LevelPoint], climbs: Sequence[ClimbPoint]
) -> tuple[ClassicalResult, ...]:
    """What the hand reductions give, by configuration and flap.

    A set that cannot give a figure gives none.
    """
    return _polars(airplane, levels) + _best_climbs(climbs)


def _polars(airplane: Airplane, levels: Sequence[LevelPoint]) -> tuple[ClassicalResult, ...]:
    groups: dict[tuple[str, str], list[LevelPoint]] = defaultdict(list)
    for point in levels:
        if point.power is not None:
            groups[point.conditions.configuration, point.conditions.flap].append(point)
    results: list[ClassicalResult] = []
    for (configuration, flap), points in groups.items():
        if len(points) < 3:
            continue
        standard_mass = configuration_envelope(airplane, configuration).maximum_takeoff_mass
        density = np.array([point.conditions.density.value for point in points])
        mass = np.array([point.conditions.mass.value for point in points]) / standard_mass
        power = np.array([point.power.value for point in points if point.power is not None])
        power_sd = np.array([point.power.sd or 0.0 for point in points if point.power is not None])
        speed = np.array([point.true_airspeed.value for point in points])
        speed_sd = np.array([point.true_airspeed.sd or 0.0 for point in points])
        try:
            polar = fit_polar(
                standard_speed(equivalent_from_true(speed, density), mass),
                standard_power(power, density / SEA_LEVEL_DENSITY, mass),
                standard_mass=standard_mass,
                wing_area=airplane.geometry.wing_area,
                span=airplane.geometry.span,
                propeller_efficiency=PROPELLER_EFFICIENCY,
                propeller_efficiency_sd=PROPELLER_EFFICIENCY_SD,
                speed_sd=standard_speed(equivalent_from_true(speed_sd, density), mass),
                power_sd=standard_power(power_sd, density / SEA_LEVEL_DENSITY, mass),
            )
        except InputError:
            continue
        source = (
            f"straight line of power × speed in speed⁴ through {len(points)} level speeds, "
            f"propeller efficiency taken as {PROPELLER_EFFICIENCY:.2f} ± {PROPELLER_EFFICIENCY_SD:.2f}"
        )
        origins = tuple(point.origin for point in points)
        for name, value, variance in (
            ("zero-lift drag coefficient", polar.zero_lift_drag, polar.covariance[0, 0]),
            ("Oswald's efficiency", polar.oswald, polar.covariance[1, 1]),
        ):
            figure = Estimate(value, float(np.sqrt(variance)), Dimension.RATIO, source)
            results.append(ClassicalResult(name, configuration, flap, figure, origins))
    return tuple(results)


def _best_climbs(climbs: Sequence[ClimbPoint]) -> tuple[ClassicalResult, ...]:
    """Best-climb speeds and rate by a parabola, at equivalent speeds and the masses as flown."""
    groups: dict[tuple[str, str], list[ClimbPoint]] = defaultdict(list)
    for point in climbs:
        if point.power == "full":
            groups[point.conditions.configuration, point.conditions.flap].append(point)
    results: list[ClassicalResult] = []
    for (configuration, flap), points in groups.items():
        speed = np.array(
            [
                float(equivalent_from_true(point.true_airspeed.value, point.conditions.density.value))
                for point in points
            ]
        )
        rate = np.array([point.rate_of_climb.value for point in points])
        sd = np.array([point.rate_of_climb.sd or np.inf for point in points])
        altitude = np.array([_density_altitude(point) for point in points])
        level = np.ptp(altitude) < SAME_ALTITUDE or len(points) < CLIMBS_FOR_ALTITUDE
        try:
            best = best_climb(speed, rate, sd, None if level else altitude)
        except InputError:
            continue
        masses = [point.conditions.mass.value for point in points]
        span = f"{min(masses):.0f}–{max(masses):.0f} kg"
        source = f"parabola through {len(points)} climbs at {span}, speeds equivalent"
        if not level:
            source += f", rate falling evenly with altitude, at {np.mean(altitude):.0f} m density altitude"
        origins = tuple(point.origin for point in points)
        figures = (
            ("speed of best rate of climb", best.best_rate_speed, 0),
            ("speed of best angle of climb", best.best_angle_speed, 1),
            ("best rate of climb", best.best_rate, 2),
        )
        for name, value, index in figures:
            if np.isfinite(value):
                figure = Estimate(
                    value, float(np.sqrt(best.covariance[index, index])), Dimension.SPEED, source
                )
                results.append(ClassicalResult(name, configuration, flap, figure, origins))
    return tuple(results)


def _density_altitude(point: ClimbPoint) -> float:
    return float(altitude_of_density(point.conditions.density.value))
