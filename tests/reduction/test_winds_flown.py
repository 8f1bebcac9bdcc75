"""Flights out and back along one line: position error and wind told apart, and honestly."""

from dataclasses import replace

import numpy as np
import pytest

from tests.reduction.handmade import FloatArray, airplane, flight, manoeuvre, point, still_track
from wringout.dossier.card import CardPoint
from wringout.manoeuvres.manoeuvre import Manoeuvre
from wringout.physics.airspeed import calibrated_from_true
from wringout.physics.atmosphere import standard_pressure, standard_temperature
from wringout.reduction import reduce
from wringout.reduction.airspeed_flown import GROUND_VELOCITY_SD, INDICATOR_SD
from wringout.reduction.points import Points
from wringout.reduction.position_error import LACK_OF_FIT_SD, PRIOR_SD
from wringout.reduction.wind_aloft import WIND_SD, WindField
from wringout.reduction.winds_flown import GroundTrack, winds_flown

ALTITUDE = 1500.0
SPEEDS = (42.0, 50.0, 58.0, 66.0)
REFERENCE = 50.0  # [m/s] about which the invented position error is written
EVALUATIONS = 200


def tracks(velocities: list[tuple[float, float]]) -> list[GroundTrack]:
    """Ground tracks [m/s east, north] a minute apart at one height."""
    return [
        GroundTrack(np.array([east, north, 0.0]), 60.0 * row, 500.0, 0.1)
        for row, (east, north) in enumerate(velocities)
    ]


def test_out_and_back_tells_the_wind_along_the_line() -> None:
    """50 m/s both ways with 8 m/s behind and ahead: 8 m/s along the line, across it nothing is learnt."""
    found = winds_flown(
        tracks([(58.0, 0.0), (-42.0, 0.0)] * 3), np.full(6, 50.0), 4.0 * np.ones((6, 6)), WindField(())
    )
    mean, covariance = found.mean_over(range(6))
    assert mean == pytest.approx([8.0, 0.0], abs=0.1)
    assert np.sqrt(covariance[0, 0]) < 0.3
    assert np.sqrt(covariance[1, 1]) > 0.9 * WIND_SD


def test_one_way_leaves_wind_and_indicator_together() -> None:
    """Legs one way only: wind along and indicator's error cannot be told apart; the uncertainty says so."""
    found = winds_flown(tracks([(58.0, 0.0)] * 6), np.full(6, 50.0), 4.0 * np.ones((6, 6)), WindField(()))
    _, covariance = found.mean_over(range(6))
    assert np.sqrt(covariance[0, 0]) > 1.7


def out_and_back(rng: np.random.Generator) -> tuple[Points, FloatArray, FloatArray]:
    """Four speeds each out and back along 030°; the points, the true calibrated speeds, the last wind."""
    pressure, temperature = float(standard_pressure(ALTITUDE)), float(standard_temperature(ALTITUDE))
    coefficients, wind = rng.normal(0.0, PRIOR_SD), rng.normal(0.0, WIND_SD, 2)
    truth = calibrated_from_true(np.array(SPEEDS), pressure, temperature)
    path = still_track(2400.0, ALTITUDE)
    east, north = path.east_speed.copy(), path.north_speed.copy()
    line = np.array([np.sin(np.radians(30.0)), np.cos(np.radians(30.0))])
    found: list[Manoeuvre] = []
    points: list[CardPoint] = []
    for row, (speed, calibrated) in enumerate(zip(SPEEDS, truth, strict=True)):
        reading = float(calibrated)
        for _ in range(30):
            powers = ((reading - REFERENCE) / REFERENCE) ** np.arange(3)
            reading = float(calibrated - coefficients @ powers)
        for way in (1.0, -1.0):
            start = 100.0 + 200.0 * len(found)
            if found:  # what a wind component changes over 200 s
                wind = wind + rng.normal(0.0, 0.5 * np.sqrt(200.0 / 600.0), 2)
            across = wind @ np.array([-line[1], line[0]])
            true = speed + rng.normal(0.0, np.hypot(GROUND_VELOCITY_SD, 0.05))
            ground = (np.sqrt(true**2 - across**2) + way * (wind @ line)) * way * line
            inside = (path.time >= start) & (path.time <= start + 60.0)
            east[inside], north[inside] = ground
            shown = reading + rng.normal(0.0, np.hypot(INDICATOR_SD, LACK_OF_FIT_SD))
            measures = {
                "east_speed": (float(ground[0]), 0.02),
                "north_speed": (float(ground[1]), 0.02),
                "indicated_airspeed": (shown, 0.01),
                "pressure_altitude": (ALTITUDE, 0.5),
                "outside_air_temperature": (temperature, 0.05),
            }
            found.append(manoeuvre("level leg", start, start + 60.0, measures))
        points.append(point(f"L{row}", "level", start - 210.0, start + 70.0))
    flown = flight(points, found, track=replace(path, east_speed=east, north_speed=north))
    return reduce([flown], airplane(), []), truth, wind


def test_airspeeds_out_and_back_are_as_uncertain_as_they_say() -> None:
    """Many days with invented winds and indicators: the error over the stated uncertainty spreads by one."""
    rng = np.random.default_rng(5)
    speeds, winds = [], []
    for _ in range(EVALUATIONS):
        points, truth, wind = out_and_back(rng)
        assert len(points.levels) == len(SPEEDS)
        speeds.append(
            [
                (one.calibrated_airspeed.value - true) / (one.calibrated_airspeed.sd or np.nan)
                for one, true in zip(points.levels, truth, strict=True)
            ]
        )
        _, direction, speed = points.winds[-1]
        along = -speed.value * np.cos(direction.value - np.radians(30.0))
        winds.append(along - wind @ [np.sin(np.radians(30.0)), np.cos(np.radians(30.0))])
    scores = np.array(speeds)
    assert np.mean(scores, axis=0) == pytest.approx(0.0, abs=0.3)
    assert 0.8 < np.std(scores) < 1.1
    assert np.std(winds) < 0.6


def test_one_way_legs_are_left_out_as_before() -> None:
    """Legs along one line one way teach too little: the reason names the headings."""
    rng = np.random.default_rng(6)
    points, _, _ = out_and_back(rng)
    assert all("leave the wind undetermined" in one.true_airspeed.source for one in points.levels)
    measures = {"east_speed": (50.0, 0.02), "north_speed": (0.0, 0.02), "indicated_airspeed": (48.0, 0.05)}
    found = [manoeuvre("level leg", start, start + 60.0, measures) for start in (600.0, 700.0, 800.0)]
    alone = flight(
        [point("L1", "level", 590.0, 900.0)], found, track=still_track(2400.0, ALTITUDE, (50.0, 0.0))
    )
    result = reduce([alone], airplane(), [])
    assert not result.levels
    (left,) = result.left_out
    assert "undetermined" in left.reason
