"""The whole of reduction on hand-made flights whose truth is known."""

import math
from dataclasses import replace

import numpy as np
import pytest

from tests.reduction.handmade import (
    FIELD_ELEVATION,
    STRIP,
    airplane,
    flight,
    legs,
    manoeuvre,
    point,
    still_track,
    weather,
)
from wringout.manoeuvres.manoeuvre import Event
from wringout.physics.airspeed import calibrated_from_true, true_from_calibrated
from wringout.physics.atmosphere import standard_pressure, standard_temperature
from wringout.reduction import reduce
from wringout.reduction.airspeed_flown import INDICATOR_LAG
from wringout.reduction.stall import STANDARD_ENTRY_RATE

HEADINGS = (10.0, 100.0, 190.0, 280.0)
WIND = (6.0, -3.0)  # velocity of the air, east and north [m/s]
LEVEL_ALTITUDE = 1500.0
AIR = (float(standard_pressure(LEVEL_ALTITUDE)), float(standard_temperature(LEVEL_ALTITUDE)))


def recorded(indicated: float | None = None) -> dict[str, tuple[float, float]]:
    """Channel means of a leg in standard air at 1500 m, with an engine at part power."""
    channels = {
        "pressure_altitude": (LEVEL_ALTITUDE, 1.0),
        "outside_air_temperature": (AIR[1], 0.1),
        "engine_speed": (2400.0 / 60.0, 0.02),
        "manifold_pressure": (70_000.0, 50.0),
        "fuel_flow": (9e-6, 1e-8),
    }
    return channels if indicated is None else {**channels, "indicated_airspeed": (indicated, 0.05)}


def test_level_legs_give_wind_airspeed_and_power() -> None:
    """Four headings at two speeds in steady air give back the wind and the true airspeeds.

    Power comes from the table.
    """
    speeds = {"L1": 45.0, "L2": 55.0}
    manoeuvres, points = legs(
        np.random.default_rng(1), speeds, HEADINGS, WIND, more={name: recorded() for name in speeds}
    )
    result = reduce([flight(points, manoeuvres)], airplane(), [STRIP])
    assert result.left_out == ()
    assert [level.origin.point for level in result.levels] == ["L1", "L2"]
    for level, truth in zip(result.levels, speeds.values(), strict=True):
        assert level.true_airspeed.value == pytest.approx(truth, abs=1e-6)
        assert level.true_airspeed.sd is not None
        assert 0.0 < level.true_airspeed.sd < 0.3
        assert level.calibrated_airspeed.value == pytest.approx(
            float(calibrated_from_true(truth, *AIR)), abs=1e-6
        )
        assert level.power is not None
        assert level.power.value == pytest.approx(149_000.0 * (2400.0 / 2700.0) * 0.7**1.1, rel=0.02)
        assert "part-power table" in level.power.source
    (wind,) = result.winds
    assert wind[2].value == pytest.approx(math.hypot(*WIND))
    assert math.degrees(wind[1].value) == pytest.approx(math.degrees(math.atan2(-6.0, 3.0)) % 360.0)


def test_position_error_is_found_and_used_for_the_stall() -> None:
    """An indicator that reads 2 m/s low and trails is found out by the legs and corrected in the stall."""
    lag = INDICATOR_LAG * STANDARD_ENTRY_RATE
    speeds = {"L1": 38.0, "L2": 46.0, "L3": 55.0}
    indicated = {name: float(calibrated_from_true(speed, *AIR)) - 2.0 for name, speed in speeds.items()}
    manoeuvres, points = legs(
        np.random.default_rng(2),
        speeds,
        HEADINGS,
        WIND,
        more={name: recorded(indicated[name]) for name in speeds},
    )
    stall = manoeuvre(
        "stall",
        3000.0,
        3030.0,
        {
            **{name: value for name, value in recorded(24.0).items() if name != "indicated_airspeed"},
            "minimum_indicated_airspeed": (23.0 + lag, 0.1),
            "warning_indicated_airspeed": (26.0 + lag, 0.1),
            "entry_rate": (STANDARD_ENTRY_RATE, 0.03),
        },
        Event("break", 3028.0, 0.3, "hand-made"),
    )
    track = still_track(7200.0, LEVEL_ALTITUDE, (WIND[0] + float(true_from_calibrated(25.0, *AIR)), WIND[1]))
    result = reduce(
        [
            flight(
                [*points, point("S1", "stall", 2990.0, 3040.0, power="idle")],
                [*manoeuvres, stall],
                track=track,
            )
        ],
        airplane(),
        [STRIP],
    )
    (found,) = result.stalls
    curve = result.position_error[0]
    assert len(curve.points) == 4
    assert [correction for _, correction, _ in curve.points] == pytest.approx([2.0] * 4, abs=0.05)
    assert found.stall_speed.sd is not None
    assert found.stall_speed.value == pytest.approx(25.0, abs=2.0 * found.stall_speed.sd)
    assert found.stall_speed.sd < 1.0
    assert found.warning_speed is not None
    assert found.warning_speed.value > found.stall_speed.value


def test_climb_is_brought_to_steady_flight() -> None:
    """A climb flown at constant airspeed in uniform wind keeps its rate.

    Its airspeed is the ground velocity less the wind.
    """
    manoeuvres, points = legs(np.random.default_rng(3), {"L1": 45.0}, HEADINGS, WIND, more={"L1": recorded()})
    true = 35.0
    rate = 5.0
    level_speed = math.sqrt(true**2 - rate**2)
    climb = manoeuvre(
        "climb",
        2000.0,
        2060.0,
        {
            "rate_of_climb": (rate, 0.05),
            "pressure_altitude_rate": (rate, 0.05),
            "ground_speed": (level_speed + 6.0, 0.05),
            "track": (math.radians(90.0), 0.01),
            "pressure_altitude": (LEVEL_ALTITUDE, 5.0),
            "outside_air_temperature": (AIR[1], 0.1),
        },
    )
    track = still_track(7200.0, LEVEL_ALTITUDE, (level_speed + 6.0, 0.0))
    track = replace(track, up_speed=np.full_like(track.time, rate))
    result = reduce(
        [flight([*points, point("C1", "climb", 1990.0, 2070.0)], [*manoeuvres, climb], track=track)],
        airplane(),
        [STRIP],
    )
    (found,) = result.climbs
    assert found.rate_of_climb.value == pytest.approx(rate, abs=1e-3)
    # 3 m/s of cross wind were carried along by crabbing: the track stayed east.
    assert found.true_airspeed.value == pytest.approx(math.hypot(true, 3.0), abs=0.06)
    assert found.power == "full"


def ground_manoeuvres() -> tuple[list[object], list[object]]:
    """A take-off and a landing to the east in 4 m/s of head wind at the wing."""
    takeoff = manoeuvre(
        "take-off",
        100.0,
        130.0,
        {
            "ground_roll": (120.0, 3.0),
            "air_distance": (90.0, 5.0),
            "lift_off_ground_speed": (22.0, 0.2),
            "obstacle_ground_speed": (24.0, 0.2),
            "roll_track": (math.radians(91.0), 0.01),
            "strip_height": (FIELD_ELEVATION, 3.0),
        },
        Event("lift-off", 118.0, 0.3, "hand-made"),
        Event("obstacle", 122.0, 0.3, "hand-made"),
    )
    landing = manoeuvre(
        "landing",
        300.0,
        340.0,
        {
            "ground_roll": (110.0, 3.0),
            "air_distance": (150.0, 5.0),
            "touchdown_ground_speed": (20.0, 0.2),
            "obstacle_ground_speed": (24.0, 0.2),
            "roll_track": (math.radians(270.0), 0.01),
            "strip_height": (FIELD_ELEVATION, 3.0),
        },
    )
    points = [
        point("T1", "take-off", 90.0, 140.0, strip="Tarn Meadow", technique="short"),
        point("G1", "landing", 290.0, 350.0, strip="Tarn Meadow", power="idle"),
    ]
    return [takeoff, landing], list(points)


def test_takeoff_and_landing_know_wind_slope_and_speed() -> None:
    """Head wind counts along the roll as flown, slope too: uphill eastward, downhill westward."""
    manoeuvres, points = ground_manoeuvres()
    result = reduce([flight(points, manoeuvres)], airplane(), [STRIP])  # type: ignore[arg-type]
    assert result.left_out == ()
    (takeoff,) = result.takeoffs
    (landing,) = result.landings
    assert takeoff.head_wind.value == pytest.approx(4.0, abs=0.01)
    assert landing.head_wind.value == pytest.approx(-4.0, abs=0.01)
    assert takeoff.lift_off_speed.value == pytest.approx(26.0, abs=0.01)
    assert landing.touchdown_speed.value == pytest.approx(16.0, abs=0.01)
    assert takeoff.slope.value == pytest.approx(0.02)
    assert landing.slope.value == pytest.approx(-0.02)
    assert takeoff.surface == "short dry grass"
    assert takeoff.technique == "short"
    assert landing.technique == "normal"
    assert landing.mean_braking.value == pytest.approx(400.0 / (2 * 9.80665 * 110.0) + 0.02, abs=1e-4)
    assert takeoff.standard_ground_roll is not None
    assert takeoff.standard_ground_roll.value > 120.0
    assert takeoff.conditions.mass.value == pytest.approx(
        668 + 160 + 720 * (0.140 - 0.080 * 115 / 7200), abs=0.05
    )


def test_what_cannot_be_reduced_is_named() -> None:
    """A stray manoeuvre, a point without one, legs that leave the wind open: each says why."""
    manoeuvres, points = legs(
        np.random.default_rng(4), {"L1": 45.0}, (90.0, 270.0), WIND, more={"L1": recorded()}
    )
    stray = manoeuvre("climb", 3000.0, 3060.0, {"rate_of_climb": (4.0, 0.1)})
    result = reduce(
        [flight([*points, point("C9", "climb", 5000.0, 5100.0)], [*manoeuvres, stray])], airplane(), [STRIP]
    )
    reasons = {left.point: left.reason for left in result.left_out}
    assert "too few" in reasons["L1"]
    assert "about 120° apart" in reasons["L1"]
    assert "no climb was found between 10:23:20" in reasons["C9"]
    assert "belongs to no point" in reasons[""]
    assert result.levels == ()


def test_wind_across_the_strip_does_not_count_as_head_wind() -> None:
    """A wind square to the strip leaves the head wind at zero, its uncertainty grown by the direction's."""
    manoeuvres, points = ground_manoeuvres()
    result = reduce([flight(points, manoeuvres, readings=[weather(from_degrees=181.0)])], airplane(), [STRIP])  # type: ignore[arg-type]
    head_wind = result.takeoffs[0].head_wind
    assert head_wind.value == pytest.approx(0.0, abs=0.01)
    assert head_wind.sd is not None
    assert head_wind.sd > 0.8
