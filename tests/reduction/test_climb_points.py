"""Climbs as points: what counts of the wind's change, and how a flight's runs tell its air together."""

import math
from dataclasses import replace

import numpy as np
import pytest

from tests.reduction.handmade import FloatArray, airplane, flight, legs, manoeuvre, point, still_track
from wringout.manoeuvres.heights import USUAL_WANDER
from wringout.physics.atmosphere import standard_temperature
from wringout.physics.constants import GRAVITY
from wringout.reduction import reduce
from wringout.reduction.climb_points import (
    LINE_THROUGH_WALK,
    RESTLESS_SD,
    RESTLESS_TIME,
    RESTLESS_WEIGHT,
)
from wringout.reduction.points import ClimbPoint

ALTITUDE = 1500.0
WIND = (8.0, 0.0)  # square to the climb [m/s]
SPEED, RATE = 40.0, 4.0
DURATION = 80.0


def climbs(
    north: float, east_gradient: float, north_gradient: float, walks: FloatArray | None = None
) -> tuple[ClimbPoint, ...]:
    """Climbs north (1) or south (−1) at constant airspeed through a wind that changes with height [1/s].

    `walks` (runs, samples) is by how much each run's height strays from the steady rate.
    """
    channels = {
        "pressure_altitude": (ALTITUDE, 1.0),
        "outside_air_temperature": (float(standard_temperature(ALTITUDE)), 0.1),
    }
    manoeuvres, points = legs(
        np.random.default_rng(1), {"L1": 45.0}, (10.0, 100.0, 190.0, 280.0), WIND, more={"L1": channels}
    )
    track = still_track(2000.0, ALTITUDE)
    east, north_speed, up = np.full_like(track.time, WIND[0]), track.north_speed.copy(), track.up.copy()
    level = math.sqrt(SPEED**2 - RATE**2)
    walks = np.zeros((1, 1)) if walks is None else walks
    for index, walk in enumerate(walks):
        start = 1000.0 + 100.0 * index
        inside = (track.time >= start) & (track.time <= start + DURATION)
        height = RATE * (track.time[inside] - start - DURATION / 2)
        east[inside] = WIND[0] + east_gradient * height
        north_speed[inside] = north * level + WIND[1] + north_gradient * height
        up[inside] = ALTITUDE + height + np.resize(walk, height.size)
        slope = float(np.polyfit(track.time[inside], up[inside], 1)[0])
        name = f"C{index}"
        manoeuvres.append(
            manoeuvre("climb", start, start + DURATION, {**channels, "rate_of_climb": (slope, 0.05)})
        )
        points.append(point(name, "climb", start - 5.0, start + DURATION + 5.0))
    path = replace(track, east_speed=east, north_speed=north_speed, up=up)
    return reduce([flight(points, manoeuvres, track=path)], airplane(), []).climbs


@pytest.mark.parametrize("north", [1.0, -1.0])
def test_a_cross_wind_that_freshens_with_height_is_no_power(north: float) -> None:
    """Airspeed and heading stay, so the rate stands, whichever way; along the ground track it would not."""
    gradient = 0.004
    (found,) = climbs(north, gradient, 0.0)
    assert found.rate_of_climb.value == pytest.approx(RATE, abs=0.002)
    drift = math.atan2(WIND[0], SPEED)
    by_ground_track = SPEED / GRAVITY * gradient * RATE * math.sin(drift)
    assert by_ground_track > 0.01  # five times what is allowed above


@pytest.mark.parametrize("north", [1.0, -1.0])
def test_a_head_wind_that_freshens_with_height_is_taken_out(north: float) -> None:
    """P_s = dh/dt + (V/g) (dw/dh) (dh/dt) (derived), on both of a sawtooth's headings."""
    gradient = 0.005
    (found,) = climbs(north, 0.0, gradient)
    expected = RATE * (1.0 + north * SPEED / GRAVITY * gradient)
    assert found.rate_of_climb.value == pytest.approx(expected, abs=0.003)


def test_the_runs_of_a_flight_tell_their_air_together() -> None:
    """Rise and sink as a random walk: what is stated is what a line through it scatters, or a little more.

    More, because waves longer than a part of a run are allowed for whether there are any or not.
    """
    rng = np.random.default_rng(4)
    walk_sd = 2.0 * RESTLESS_SD * math.sqrt(RESTLESS_TIME)  # air twice as restless as usual
    time = still_track(2000.0, ALTITUDE).time
    samples = int(np.count_nonzero((time >= 1000.0) & (time <= 1000.0 + DURATION)))
    step = DURATION / (samples - 1)
    scores, stated = [], []
    for _ in range(25):
        total = math.hypot(walk_sd, USUAL_WANDER["geometric height"])
        walks = np.cumsum(total * math.sqrt(step) * rng.standard_normal((8, samples)), axis=1)
        for found in climbs(1.0, 0.0, 0.0, walks):
            assert found.rate_of_climb.sd is not None
            stated.append(found.rate_of_climb.sd)
            scores.append((found.rate_of_climb.value - RATE) / found.rate_of_climb.sd)
    assert 0.8 < np.std(scores) < 1.1
    told = walk_sd**2 * 8.0 + RESTLESS_WEIGHT * RESTLESS_SD**2 * RESTLESS_TIME
    air = LINE_THROUGH_WALK * told / (8.0 + RESTLESS_WEIGHT) / DURATION
    receiver = LINE_THROUGH_WALK * USUAL_WANDER["geometric height"] ** 2 / DURATION
    assert 1.0 < np.mean(stated) / math.sqrt(air + receiver) < 1.2


@pytest.mark.parametrize("spread", [1.0, 110.0])
def test_heights_that_differ_within_a_climb_are_no_error_of_their_mean(spread: float) -> None:
    """A climb through 370 m has a mean height as well known as a level leg's: 10 m of the altimeter, in
    pressure ρ g times that, whatever the standard error of its samples as if they were waves.
    """
    channels = {
        "pressure_altitude": (ALTITUDE, spread),
        "outside_air_temperature": (float(standard_temperature(ALTITUDE)), 0.6),
        "rate_of_climb": (RATE, 0.05),
    }
    manoeuvres, points = legs(
        np.random.default_rng(1), {"L1": 45.0}, (10.0, 100.0, 190.0, 280.0), WIND, more={"L1": channels}
    )
    manoeuvres.append(manoeuvre("climb", 1000.0, 1080.0, channels))
    points.append(point("C", "climb", 995.0, 1085.0))
    (climb,) = reduce(
        [flight(points, manoeuvres, track=still_track(2000.0, ALTITUDE))], airplane(), []
    ).climbs
    state = climb.conditions
    assert state.pressure.sd == pytest.approx(state.density.value * GRAVITY * 10.0, rel=0.02)
    assert state.temperature.sd == pytest.approx(1.0)
