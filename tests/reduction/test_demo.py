"""The demo's flights reduced, against what the simulator truly flew; it shares no code with reduction."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from wringout.demo.truth import stored
from wringout.evaluation import reduce_points
from wringout.physics.constants import KNOT
from wringout.quantity import Dimension, Estimate, parse
from wringout.reduction.points import Point, Points
from wringout.reduction.position_error import calibrate

TRUTH = stored()


@pytest.fixture(scope="module")
def points(demo_root: Path) -> Points:
    """The demo's reduced points; the model has no part in them."""
    return reduce_points(demo_root)[1]


def scores(
    found: tuple[Point, ...], table: str, figures: dict[str, tuple[str, Dimension]]
) -> dict[str, float]:
    """Error over stated uncertainty by point and figure; `figures` are field → (truth's key, dimension)."""
    truth = {(row["card"], row["point"]): row for row in TRUTH[table] if row["point"]}
    result = {}
    for one in found:
        row = truth.get((one.origin.card, one.origin.point))
        if row is None:
            continue
        for field, (key, dimension) in figures.items():
            estimate = one.conditions.mass if field == "mass" else getattr(one, field)
            assert isinstance(estimate, Estimate)
            assert estimate.sd is not None
            error = estimate.value - parse(row[key], dimension)
            result[f"{one.origin.point} {field}"] = error / estimate.sd
    return result


def hold(result: dict[str, float], least: int) -> None:
    """Nothing beyond three and a half standard deviations, and not more spread than stated."""
    assert len(result) >= least
    worst = max(result, key=lambda name: abs(result[name]))
    assert abs(result[worst]) < 3.5, (worst, result[worst])
    assert float(np.sqrt(np.mean(np.square(list(result.values()))))) < 1.3, result


def test_level_speeds_and_powers(points: Points) -> None:
    """Eight level points: true airspeed, calibrated airspeed, shaft power and mass."""
    figures = {
        "true_airspeed": ("true_airspeed", Dimension.SPEED),
        "calibrated_airspeed": ("calibrated_airspeed", Dimension.SPEED),
        "power": ("power", Dimension.POWER),
        "mass": ("mass", Dimension.MASS),
    }
    hold(scores(points.levels, "level", figures), 24)


def test_climbs_and_glides(points: Points) -> None:
    """True airspeeds of five climbs and three glides."""
    figures = {"true_airspeed": ("true_airspeed", Dimension.SPEED), "mass": ("mass", Dimension.MASS)}
    both = {
        **scores(points.climbs, "climb", figures),
        **scores(points.climbs, "glide", figures),
    }
    hold(both, 14)


def test_stall_speeds(points: Points) -> None:
    """Eighteen stalls in three flap settings: the speed of the break and the mass."""
    figures = {"stall_speed": ("break_speed", Dimension.SPEED), "mass": ("mass", Dimension.MASS)}
    hold(scores(points.stalls, "stall", figures), 30)


def test_takeoffs(points: Points) -> None:
    """Speeds through the air, head wind and mass of the take-offs."""
    figures = {
        "lift_off_speed": ("lift_off_speed", Dimension.SPEED),
        "obstacle_speed": ("obstacle_speed", Dimension.SPEED),
        "head_wind": ("head_wind", Dimension.SPEED),
        "mass": ("mass", Dimension.MASS),
    }
    hold(scores(points.takeoffs, "take_off", figures), 20)


def test_landings(points: Points) -> None:
    """Speeds through the air, head wind and mass of the landings."""
    figures = {
        "touchdown_speed": ("touchdown_speed", Dimension.SPEED),
        "approach_speed": ("obstacle_speed", Dimension.SPEED),
        "head_wind": ("head_wind", Dimension.SPEED),
        "mass": ("mass", Dimension.MASS),
    }
    hold(scores(points.landings, "landing", figures), 24)


def test_position_error(points: Points) -> None:
    """The indicator's error in three flap settings, down to the stall, where the flights reached."""
    result = {}
    for row in TRUTH["position_error"]:
        curve = next((one for one in points.position_error if one.flap == row["flap"]), None)
        if curve is None:
            continue
        for indicated, correction in row["rows"]:
            speed = parse(indicated, Dimension.SPEED)
            value, sd = calibrate(curve, speed)
            error = float(value) - speed - parse(correction, Dimension.SPEED)
            result[f"{row['flap']} at {speed / KNOT:.0f} kt"] = error / float(sd)
    hold(result, 11)  # five speeds of the truth with the flaps up, three with each of the two flown


def test_wind_aloft(points: Points) -> None:
    """Wind of the level legs, the simulator's at that height in the middle of the third of five speeds."""
    truth = next(level for level in TRUTH["level"] if level["point"] == "1.3")
    found = next(wind for wind in points.winds if wind[0].startswith("flight-1"))
    assert found[1].value == pytest.approx(parse(truth["wind_from"], Dimension.ANGLE), abs=np.radians(4.0))
    assert found[2].value == pytest.approx(parse(truth["wind_speed"], Dimension.SPEED), abs=0.6)
    assert found[2].sd is not None
    assert found[2].sd < 0.35
