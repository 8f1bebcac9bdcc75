"""An invented airplane, and points that it would give if the model were true."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

import numpy as np

from wringout.airplane.airplane import (
    Airplane,
    Configuration,
    EmptyRecord,
    Engine,
    Envelope,
    FlapSetting,
    Fuel,
    Geometry,
    Propeller,
    Station,
    Tank,
    Undercarriage,
)
from wringout.model.figures import Group
from wringout.model.parameters import parameters, prior_moments
from wringout.model.settling import groups_of
from wringout.model.vehicles import FloatArray, theta_of
from wringout.physics.atmosphere import standard_pressure, standard_temperature
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.points import (
    ClimbPoint,
    Conditions,
    LandingPoint,
    LevelPoint,
    Origin,
    Points,
    StallPoint,
    TakeoffPoint,
)

DAY = date(2026, 5, 12)
DEGREE = np.pi / 180.0
MASSES = (950.0, 1010.0, 1070.0)


def estimate(value: float, sd: float, dimension: Dimension) -> Estimate:
    """A figure of the tests."""
    return Estimate(value, sd, dimension, "simulated")


def airplane(**changes: object) -> Airplane:
    """An invented two-seat braced high-wing airplane with a tail wheel and an exchange nose wheel."""
    tail = Undercarriage("tail wheel", 0.35, 5.6, 2.1, 1.15)
    nose = Undercarriage("nose wheel", 0.95, -0.75, 2.1, 1.15)
    made = Airplane(
        name="Test Plane",
        maker="nobody",
        invented=True,
        geometry=Geometry(span=10.9, wing_area=17.6, wing_height=2.1),
        stations=(
            Station("seats", 0.6, 0.6, 220.0, "people", seats=2),
            Station("bay", 1.4, 1.4, 120.0, "things"),
        ),
        combined_limits=(),
        fuel=Fuel("avgas", 720.0),
        tanks=(
            Tank("left", 0.09, 0.002, ((0.0, 0.55),)),
            Tank("right", 0.09, 0.002, ((0.0, 0.55),)),
        ),
        envelopes=(
            Envelope("normal", ((0.45, 600.0), (0.75, 600.0), (0.75, 1090.0), (0.5, 1090.0)), 1090.0),
        ),
        empty=EmptyRecord(
            "tail wheel",
            estimate(668.0, 1.5, Dimension.MASS),
            estimate(0.52, 0.003, Dimension.LENGTH),
            "invented record",
        ),
        kits=(),
        configurations=(
            Configuration("tail wheel", tail, "normal"),
            Configuration("nose wheel", nose, "normal"),
        ),
        flaps=(
            FlapSetting("0", 0.0),
            FlapSetting("15", 15.0 * DEGREE),
            FlapSetting("45", 45.0 * DEGREE),
        ),
        engine=Engine("naturally aspirated", 149e3, 45.0, specific_consumption=7.6e-8),
        propeller=Propeller("constant speed", 2.03),
        seats_weight=86.0,
    )
    return replace(made, **changes)  # type: ignore[arg-type]  # the tests change fields by name


def conditions(flap: str, mass: float, altitude: float, configuration: str = "tail wheel") -> Conditions:
    """Standard air at a pressure altitude, with honest little uncertainties."""
    pressure, temperature = float(standard_pressure(altitude)), float(standard_temperature(altitude))
    density = pressure / (287.05287 * temperature)
    return Conditions(
        configuration,
        flap,
        estimate(mass, 5.0, Dimension.MASS),
        0.55,
        estimate(pressure, 60.0, Dimension.PRESSURE),
        estimate(temperature, 1.0, Dimension.TEMPERATURE),
        estimate(density, 0.004 * density, Dimension.DENSITY),
    )


def origin(card: str, number: int) -> Origin:
    """A place in a recording that never was."""
    return Origin(card, f"{card}-{number}", f"{card}.csv", 60.0 * number, 60.0 * number + 40.0)


def planned(*, field: bool = True) -> Points:
    """Two days of points with rough figures, to be replaced by what a true airplane would give."""
    speed, ratio, length = Dimension.SPEED, Dimension.SLOPE, Dimension.LENGTH
    levels = tuple(
        LevelPoint(
            origin("day 1", number),
            conditions("0", 1060.0, 1200.0),
            estimate(true, 0.3, speed),
            estimate(true * 0.94, 0.3, speed),
            None,
            estimate(70e3, 1.8e3, Dimension.POWER),
            estimate(7.5e-6, 1.5e-7, Dimension.VOLUME_FLOW),
            full_throttle=number == 4,
        )
        for number, true in enumerate((38.0, 44.0, 50.0, 56.0, 62.0))
    )
    climbs = tuple(
        ClimbPoint(
            origin("day 1", 10 + number),
            conditions("0", 1040.0, 1000.0),
            "idle" if number > 4 else "full",
            estimate(true, 0.35, speed),
            estimate(4.0, 0.08, speed),
        )
        for number, true in enumerate((30.0, 33.0, 36.0, 40.0, 46.0, 32.0, 38.0, 44.0))
    )
    stalls = tuple(
        StallPoint(
            origin("day 2", 20 + number),
            conditions(flap, 1020.0, 1500.0),
            estimate(22.0, 0.3, speed),
            estimate(0.5, 0.1, Dimension.ACCELERATION),
            None,
        )
        for number, flap in enumerate(("0", "0", "15", "15", "45", "45"))
    )
    gear = ("tail wheel", "nose wheel")
    takeoffs = tuple(
        TakeoffPoint(
            origin("day 3", 30 + number),
            conditions("15", MASSES[number % 3], 300.0, gear[number % 2]),
            ("short", "normal")[number // 3 % 2],
            "A",
            "dry grass",
            estimate(0.01, 0.002, ratio),
            estimate(2.0, 0.6, speed),
            estimate(110.0, 3.0, length),
            estimate(90.0, 4.0, length),
            estimate(25.0, 0.5, speed),
            estimate(29.0, 0.5, speed),
            None,
        )
        for number in range(6 if field else 0)
    )
    landings = tuple(
        LandingPoint(
            origin("day 3", 40 + number),
            conditions("45", MASSES[number % 3], 300.0, gear[number % 2]),
            ("short", "normal")[number // 4 % 2],
            "A",
            "dry grass",
            estimate(0.01, 0.002, ratio),
            estimate(2.0, 0.6, speed),
            estimate(26.0, 0.5, speed),
            estimate(23.0, 0.5, speed),
            estimate(180.0, 5.0, length),
            estimate(110.0, 3.0, length),
            estimate(0.25, 0.02, Dimension.RATIO),
            None,
        )
        for number in range(8 if field else 0)
    )
    return Points(stalls, levels, climbs, takeoffs, landings, (), (), ())


def true_vector(made: Airplane, points: Points, rng: np.random.Generator, spread: float = 0.7) -> FloatArray:
    """A true airplane in fit space, drawn about the priors."""
    mean, covariance = prior_moments(parameters(made, points))
    deviation: FloatArray = np.linalg.cholesky(covariance) @ rng.standard_normal(mean.size)
    return mean + spread * deviation


def flown_by(
    made: Airplane,
    points: Points,
    vector: FloatArray,
    rng: np.random.Generator,
    shared: dict[object, float] | None = None,
) -> Points:
    """The points as the airplane of these parameters would give them: scatter, shared errors, noise.

    `shared` carries the errors from one flight to the next, such as that of the one flow meter.
    """
    theta = theta_of(parameters(made, points), vector[None, :])
    shared = {} if shared is None else shared
    drawn: dict[tuple[Origin, str], float] = {}
    for group in groups_of(made, points):
        natural = group.predict(theta, _deviations(group, shared, rng))[0]
        for figures, row in zip(group.figures, natural, strict=True):
            for figure, value in zip(figures, row, strict=True):
                size = figure.discrepancy if not figure.log else figure.discrepancy * value
                error = size * rng.standard_normal() + (figure.measured.sd or 0.0) * rng.standard_normal()
                drawn[figure.origin, figure.what] = float(value + error)
    return _rewritten(points, drawn)


def _deviations(
    group: Group, shared: dict[object, float], rng: np.random.Generator
) -> Mapping[str, FloatArray]:
    found = {}
    for deviation in group.deviations:
        sizes = [
            shared.setdefault((deviation.kind, owner), float(rng.standard_normal()))
            for owner in deviation.shared_by
        ]
        found[deviation.kind] = np.array([sizes])
    return found


def _rewritten(points: Points, drawn: Mapping[tuple[Origin, str], float]) -> Points:
    def put(at: Origin, what: str, old: Estimate) -> Estimate:
        return replace(old, value=drawn[at, what]) if (at, what) in drawn else old

    return replace(
        points,
        stalls=tuple(
            replace(point, stall_speed=put(point.origin, "stall speed", point.stall_speed))
            for point in points.stalls
        ),
        levels=tuple(
            replace(
                point,
                true_airspeed=put(point.origin, "true airspeed at full throttle", point.true_airspeed),
                power=point.power and put(point.origin, "power for level flight", point.power),
                fuel_flow=point.fuel_flow and put(point.origin, "fuel flow", point.fuel_flow),
            )
            for point in points.levels
        ),
        climbs=tuple(
            replace(
                point,
                rate_of_climb=put(
                    point.origin,
                    "rate of climb" if point.power == "full" else "rate of climb, idle",
                    point.rate_of_climb,
                ),
            )
            for point in points.climbs
        ),
        takeoffs=tuple(
            replace(
                point,
                lift_off_speed=put(point.origin, "lift-off speed", point.lift_off_speed),
                ground_roll=put(point.origin, "take-off ground roll", point.ground_roll),
                obstacle_speed=put(point.origin, "speed at the obstacle", point.obstacle_speed),
                air_distance=put(point.origin, "take-off air distance", point.air_distance),
            )
            for point in points.takeoffs
        ),
        landings=tuple(
            replace(
                point,
                approach_speed=put(point.origin, "approach speed", point.approach_speed),
                air_distance=put(point.origin, "landing air distance", point.air_distance),
                touchdown_speed=put(point.origin, "touchdown speed", point.touchdown_speed),
                ground_roll=put(point.origin, "landing ground roll", point.ground_roll),
            )
            for point in points.landings
        ),
    )
