"""Made-up points, fit and predicted lines of the invented airplane, for the faces' tests."""

import numpy as np

from tests.report.sample_airplane import estimate
from wringout.evaluation.evaluation import Curve
from wringout.model.fit import Fit, Parameter, ParameterResult, Residual
from wringout.quantity import Dimension
from wringout.recordings.recording import FloatArray
from wringout.reduction.points import (
    CameraEvidence,
    ClimbPoint,
    Conditions,
    LandingPoint,
    LeftOut,
    LevelPoint,
    Origin,
    Points,
    PositionErrorCurve,
    StallPoint,
    TakeoffPoint,
)

KNOT = 1852 / 3600
FPM = 0.3048 / 60
D = Dimension


def conditions(configuration: str, flap: str, mass: float, density: float) -> Conditions:
    return Conditions(
        configuration,
        flap,
        estimate(mass, 3.0, D.MASS),
        2.36,
        estimate(96_000.0 * density / 1.18, 60.0, D.PRESSURE),
        estimate(286.0, 0.6, D.TEMPERATURE),
        estimate(density, 0.003, D.DENSITY),
    )


def points(rng: np.random.Generator) -> Points:
    """Nine stalls, twelve level groups, eight climbs, six take-offs and eight landings."""
    stalls = tuple(
        StallPoint(
            Origin(
                "flight-2",
                f"S{3 * k + j + 1}",
                "flight-2",
                420.0 + 85 * (3 * k + j),
                445.0 + 85 * (3 * k + j),
            ),
            conditions("big tyres", flap, mass, 1.09),
            estimate(speed * KNOT * (mass / 1090) ** 0.5 + rng.normal(0, 0.15), 0.3, D.SPEED),
            estimate(0.5, 0.1, D.ACCELERATION),
            estimate(speed * KNOT + 2.6, 0.4, D.SPEED) if j else None,
        )
        for k, (flap, speed) in enumerate((("up", 47.5), ("30°", 41.0), ("45°", 38.8)))
        for j, mass in enumerate((1046.0, 1031.0, 958.0))
    )
    levels = tuple(
        LevelPoint(
            Origin(
                "flight-1" if gear == "big tyres" else "flight-3",
                f"L{k + 1}",
                "flight-1",
                700.0 + 240 * k,
                936.0 + 240 * k,
            ),
            conditions(gear, "up", 1040.0 - 4 * k, 1.02),
            estimate(speed * KNOT, 0.35, D.SPEED),
            estimate(speed * KNOT * 0.912, 0.4, D.SPEED),
            estimate(40.0, 0.2, D.ROTATION),
            estimate(power * 1000, 2500.0, D.POWER),
            estimate(power * 7.9e-8, 3e-7, D.VOLUME_FLOW),
            full_throttle=k == 3,
        )
        for gear, rows in (
            ("big tyres", ((82, 58), (95, 74), (107, 96), (114, 112))),
            ("nose wheel", ((84, 57), (98, 75), (111, 96), (118, 111))),
        )
        for k, (speed, power) in enumerate(rows)
    )
    climbs = tuple(
        ClimbPoint(
            Origin("flight-1", f"C{k + 1}", "flight-1", 140.0 + 110 * k, 205.0 + 110 * k),
            conditions("big tyres", "up", 1052.0 - 3 * k, 1.10 - 0.02 * k),
            "full",
            estimate(speed * KNOT, 0.4, D.SPEED),
            estimate((1180 - 0.9 * (speed - 66) ** 2 - 28 * k) * FPM + rng.normal(0, 0.12), 0.18, D.SPEED),
        )
        for k, speed in enumerate((58, 64, 70, 78))
    )
    takeoffs = tuple(
        TakeoffPoint(
            Origin("flight-3", f"T{k + 1}", "flight-3", 30.0 + 250 * k, 48.0 + 250 * k),
            conditions(gear, "30°", 1032.0 - 7 * k, density),
            technique,
            "evaluator",
            "dry grass",
            estimate(0.012, 0.002, D.SLOPE),
            estimate(2.4, 0.5, D.SPEED),
            estimate(roll, 4.0, D.LENGTH),
            estimate(air, 9.0, D.LENGTH),
            estimate(43 * KNOT, 0.4, D.SPEED),
            estimate(52 * KNOT, 0.5, D.SPEED),
            estimate(roll * 1.19, 7.0, D.LENGTH),
        )
        for k, (gear, technique, roll, air, density) in enumerate(
            (
                ("big tyres", "short field", 118.0, 141.0, 1.18),
                ("big tyres", "short field", 112.0, 150.0, 1.175),
                ("big tyres", "normal", 149.0, 168.0, 1.17),
                ("nose wheel", "short field", 128.0, 152.0, 1.16),
                ("nose wheel", "short field", 133.0, 144.0, 1.11),
                ("nose wheel", "normal", 166.0, 171.0, 1.03),
            )
        )
    )
    landings = tuple(
        LandingPoint(
            Origin("flight-3", f"N{k + 1}", "flight-3", 230.0 + 250 * k, 258.0 + 250 * k),
            conditions(gear, "45°", 1028.0 - 7 * k, density),
            technique,
            "evaluator",
            "dry grass",
            estimate(0.012, 0.002, D.SLOPE),
            estimate(2.4, 0.5, D.SPEED),
            estimate(50 * KNOT, 0.5, D.SPEED),
            estimate(42 * KNOT, 0.5, D.SPEED),
            estimate(air, 10.0, D.LENGTH),
            estimate(roll, 5.0, D.LENGTH),
            estimate(0.28, 0.02, D.RATIO),
            estimate(roll * 1.1, 8.0, D.LENGTH),
        )
        for k, (gear, technique, air, roll, density) in enumerate(
            (
                ("big tyres", "short field", 165.0, 98.0, 1.18),
                ("big tyres", "short field", 158.0, 104.0, 1.178),
                ("big tyres", "short field", 171.0, 96.0, 1.172),
                ("big tyres", "normal", 212.0, 138.0, 1.17),
                ("nose wheel", "short field", 168.0, 88.0, 1.16),
                ("nose wheel", "short field", 160.0, 92.0, 1.12),
                ("nose wheel", "short field", 175.0, 85.0, 1.10),
                ("nose wheel", "normal", 220.0, 121.0, 1.04),
            )
        )
    )
    errors = tuple(
        PositionErrorCurve(
            flap,
            (base, slope),
            ((0.04, 0.0), (0.0, 0.25)),
            40.0,
            low * KNOT,
            high * KNOT,
            tuple(
                (v * KNOT, base + slope * (v * KNOT - 40) / 40 + rng.normal(0, 0.2), 0.35)
                for v in np.linspace(low, high, 4)
            ),
        )
        for flap, base, slope, low, high in (("up", 0.4, -1.6, 60, 118), ("45°", 2.2, 0.8, 40, 72))
    )
    return Points(
        stalls,
        levels,
        climbs,
        takeoffs,
        landings,
        errors,
        (("flight-1, L1", estimate(4.1, 0.05, D.ANGLE), estimate(5.4, 0.3, D.SPEED)),),
        (
            LeftOut("flight-2", "S10", "the entry rate was 3.4 kt/s; only entries below 2 kt/s are reduced"),
            LeftOut("flight-3", "T7", "the recording has a gap of 11 s across the lift-off"),
        ),
        cameras=(
            CameraEvidence(
                "flight-3",
                "T2",
                "camera, frames 131–780 at 50 frames/s, main wheel past 7 marks, own length as ruler",
                {
                    "ground_roll": estimate(107.3, 0.6, D.LENGTH),
                    "lift_off_ground_speed": estimate(21.9, 0.2, D.SPEED),
                },
                {
                    "ground_roll": estimate(107.1, 1.2, D.LENGTH),
                    "lift_off_ground_speed": estimate(23.7, 0.1, D.SPEED),
                },
                {"ground_roll": "weighted", "lift_off_ground_speed": "preferred"},
            ),
        ),
    )


def fit(made: Points, rng: np.random.Generator) -> Fit:
    """Parameters with priors and posteriors, and a residual for every figure."""
    rows = (
        ("zero-lift drag area", 0.74, 0.21, 0.712, 0.019, D.AREA),
        ("span efficiency", 0.75, 0.08, 0.715, 0.035, D.RATIO),
        ("drag-area change: nose wheel", 0.0, 0.106, -0.061, 0.022, D.AREA),
        ("maximum lift coefficient: flap up", 1.5, 0.25, 1.66, 0.02, D.RATIO),
        ("maximum lift coefficient: flap 30°", 1.93, 0.25, 2.21, 0.03, D.RATIO),
        ("maximum lift coefficient: flap 45°", 2.4, 0.25, 2.47, 0.03, D.RATIO),
        ("cruise blade efficiency", 0.86, 0.03, 0.848, 0.016, D.RATIO),
        ("static blade efficiency", 0.72, 0.05, 0.735, 0.038, D.RATIO),
        ("engine power factor", 0.98, 0.02, 0.969, 0.014, D.RATIO),
        ("rolling friction: dry grass", 0.06, 0.02, 0.071, 0.012, D.RATIO),
        ("braking effort: short field", 0.75, 0.15, 0.82, 0.06, D.RATIO),
    )
    results = tuple(
        ParameterResult(
            Parameter(
                name,
                f"meaning of {name}",
                mean,
                sd,
                dimension,
                not name.startswith("drag-area"),
                "common practice, no source",
            ),
            estimate(value, spread, dimension),
            1 - spread / sd,
        )
        for name, mean, sd, value, spread, dimension in rows
    )
    figures = [
        *((p.origin, "stall speed", p.stall_speed) for p in made.stalls),
        *((p.origin, "power for level flight", p.power) for p in made.levels if p.power),
        *((p.origin, "fuel flow", p.fuel_flow) for p in made.levels if p.fuel_flow),
        *((p.origin, "rate of climb", p.rate_of_climb) for p in made.climbs),
        *((p.origin, "take-off ground roll", p.ground_roll) for p in made.takeoffs),
        *((p.origin, "take-off air distance", p.air_distance) for p in made.takeoffs),
        *((p.origin, "landing air distance", p.air_distance) for p in made.landings),
        *((p.origin, "landing ground roll", p.ground_roll) for p in made.landings),
    ]
    residuals = []
    for origin, what, measured in figures:
        standardised = (
            -3.4 if (origin.point, what) == ("T3", "take-off ground roll") else float(rng.normal(0, 0.9))
        )
        spread = 1.4 * (measured.sd or 1.0)
        residuals.append(
            Residual(
                origin,
                what,
                measured,
                measured.value - standardised * spread,
                standardised,
                abs(standardised) > 3,
            )
        )
    count = len(results)
    return Fit(
        results,
        np.zeros(count),
        np.eye(count),
        rng.normal(size=(200, count)),
        tuple(residuals),
        {"take-off": ("short field", "normal"), "landing": ("short field", "normal")},
        (
            "The fit settled in 14 steps.",
            "Static blade efficiency and rolling friction are told apart only weakly (correlation −0.78).",
        ),
    )


def curves() -> tuple[Curve, ...]:
    """Predicted lines for both configurations."""
    found = []
    for gear, drag in (("big tyres", 1.0), ("nose wheel", 0.96)):
        height = np.linspace(0, 2500, 11)
        for name, start, growth in (
            ("take-off distance", 306.0 + 20 * (drag < 1), 1.45),
            ("take-off ground roll", 148.0 + 14 * (drag < 1), 1.6),
            ("landing distance", 287.0 - 10 * (drag < 1), 0.8),
            ("landing ground roll", 121.0 - 12 * (drag < 1), 0.95),
        ):
            line = start * np.exp(growth * height / 8500)
            found.append(
                _curve(
                    f"{name} against elevation",
                    gear,
                    (height, D.LENGTH),
                    (line, 0.07 * line, D.LENGTH),
                    "1 090 kg, dry grass, level, still air, standard day",
                )
            )
        speed = np.linspace(54, 100, 12) * KNOT
        rate = (1130 - 0.8 * (speed / KNOT - 67) ** 2 + 40 * (drag < 1)) * FPM
        found.append(
            _curve(
                "rate of climb against speed",
                gear,
                (speed, D.SPEED),
                (rate, np.full_like(rate, 0.22), D.SPEED),
                "1 090 kg, at sea level, standard day",
            )
        )
        height = np.linspace(0, 5000, 11)
        rate = (1130 + 40 * (drag < 1)) * FPM * (1 - height / 5300)
        found.append(
            _curve(
                "rate of climb against altitude",
                gear,
                (height, D.LENGTH),
                (rate, np.full_like(rate, 0.25), D.SPEED),
                "1 090 kg, standard day",
            )
        )
        speed = np.linspace(54, 100, 12) * KNOT
        ratio = 10.1 - 0.003 * (speed / KNOT - 66) ** 2 + 0.3 * (drag < 1)
        found.append(
            _curve(
                "glide ratio against speed",
                gear,
                (speed, D.SPEED),
                (ratio, np.full_like(ratio, 0.4), D.RATIO),
                "1 090 kg, at sea level, standard day",
            )
        )
        power = np.linspace(0.45, 0.80, 8)
        speed = 120 * (power / 0.75) ** 0.42 * KNOT / drag
        found.append(
            _curve(
                "cruise speed against power",
                gear,
                (power, D.RATIO),
                (speed, np.full_like(speed, 0.9), D.SPEED),
                "1 090 kg, at 6 562 ft, standard day",
            )
        )
    mass = np.linspace(817, 1090, 6)
    for flap, knots in (("up", 47.5), ("30°", 41.0), ("45°", 38.8)):
        speed = knots * KNOT * np.sqrt(mass / 1090)
        found.append(
            _curve(
                "stall speed against mass",
                "big tyres",
                (mass, D.MASS),
                (speed, np.full_like(speed, 0.35), D.SPEED),
                f"flaps {flap}, at sea level, standard day",
            )
        )
    return tuple(found)


def _curve(
    name: str,
    gear: str,
    along: tuple[FloatArray, Dimension],
    answer: tuple[FloatArray, FloatArray, Dimension],
    condition: str,
) -> Curve:
    x, x_kind = along
    y, reach, y_kind = answer
    return Curve(name, gear, condition, x, x_kind, y, y - reach, y + reach, y_kind, True)
