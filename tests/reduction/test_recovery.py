"""Whole flights simulated with known truth and usual errors, reduced: is every stated uncertainty honest?"""

from dataclasses import replace

import numpy as np
import pytest

from tests.reduction.handmade import FloatArray, airplane, flight, legs, manoeuvre, point, still_track
from wringout.dossier.card import CardPoint
from wringout.manoeuvres.heights import USUAL_WANDER
from wringout.manoeuvres.manoeuvre import Event, Manoeuvre
from wringout.physics.airspeed import calibrated_from_true, true_from_calibrated
from wringout.physics.atmosphere import standard_pressure, standard_temperature
from wringout.reduction import reduce
from wringout.reduction.airspeed_flown import (
    GROUND_VELOCITY_SD,
    INDICATOR_LAG,
    INDICATOR_LAG_SD,
    INDICATOR_SD,
    READING_SD,
)
from wringout.reduction.climb_points import RESTLESS_SD, RESTLESS_TIME
from wringout.reduction.conditions import PRESSURE_ALTITUDE_SD, THERMOMETER_SD
from wringout.reduction.points import Points
from wringout.reduction.position_error import LACK_OF_FIT_SD, PRIOR_SD
from wringout.reduction.position_error_points import CLIMB_SD
from wringout.reduction.stall import REPEATABILITY_SD, STANDARD_ENTRY_RATE
from wringout.reduction.wind_aloft import WANDER

ALTITUDE = 1500.0
HEADINGS = (20.0, 110.0, 200.0, 290.0)
SPEEDS = {"L1": 40.0, "L2": 48.0, "L3": 58.0}
EVALUATIONS = 300
LEG_SD = 0.1  # how steadily the pilot holds a leg, beyond what the indicator shows [m/s]
SAMPLE_SD = 0.05  # of the track's speed, as still_track says
# Middles of the legs and of the climb, and the approach to the stall [s].
MOMENTS = np.array([*(630.0 + 90.0 * np.arange(len(SPEEDS) * len(HEADINGS))), 1830.0, 2006.0])


class Evaluation:
    """One invented day: an indicator, an atmosphere, a wind, their errors drawn as reduction expects them."""

    def __init__(self, rng: np.random.Generator) -> None:
        self.rng = rng
        self.pressure = float(standard_pressure(ALTITUDE))
        self.temperature = float(standard_temperature(ALTITUDE)) + 5.0
        self.read_altitude = ALTITUDE + rng.normal(0.0, PRESSURE_ALTITUDE_SD)
        self.read_temperature = self.temperature + rng.normal(0.0, THERMOMETER_SD)
        self.curve = rng.normal(0.0, PRIOR_SD)
        self.wind = rng.normal(0.0, 6.0, 2)
        steps = WANDER * np.sqrt(np.diff(MOMENTS))[:, None] * rng.standard_normal((len(MOMENTS) - 1, 2))
        self.astray = np.vstack([np.zeros(2), np.cumsum(steps, axis=0)])

    def indicated(self, true: float, sd: float) -> float:
        """What the needle reads at a true airspeed, by a correction written about a reading of 48 m/s."""
        calibrated = float(calibrated_from_true(true, self.pressure, self.temperature))
        reading = calibrated
        for _ in range(20):
            change = (reading - 48.0) / 48.0
            reading = calibrated - float(self.curve @ np.array([1.0, change, change**2]))
        return reading + self.rng.normal(0.0, np.hypot(sd, LACK_OF_FIT_SD))

    def air(self) -> dict[str, tuple[float, float]]:
        """What altimeter and thermometer read all day."""
        return {
            "pressure_altitude": (self.read_altitude, 0.5),
            "outside_air_temperature": (self.read_temperature, 0.05),
        }


def fly(rng: np.random.Generator) -> tuple[Points, Evaluation, float, float]:
    """Legs at three speeds, a climb and a stall; the points, the day, and the true climb and stall speeds."""
    day = Evaluation(rng)
    more = {
        name: {**day.air(), "indicated_airspeed": (day.indicated(true, INDICATOR_SD), 0.01)}
        for name, true in SPEEDS.items()
    }
    manoeuvres, points = legs(
        rng, SPEEDS, HEADINGS, tuple(day.wind), leg_sd=LEG_SD, astray=day.astray, more=more
    )
    stalled = 25.0 * float(np.exp(0.5 * REPEATABILITY_SD * rng.standard_normal()))
    climb_speed, stall_true = 36.0, float(true_from_calibrated(stalled, day.pressure, day.temperature))
    approach_true = stall_true + 2.0  # as it is on the mean over the seconds before the break
    track = still_track(2400.0, ALTITUDE)
    east, north, up = track.east_speed.copy(), track.north_speed.copy(), track.up.copy()
    found: list[Manoeuvre] = [*manoeuvres]
    for start, end, true, sd, astray in (
        (1800.0, 1860.0, climb_speed, CLIMB_SD, day.astray[-2]),
        (2000.0, 2008.9, approach_true, 0.0, day.astray[-1]),
    ):
        wind = day.wind + astray
        inside = (track.time >= start) & (track.time <= end)
        along = true + rng.normal(0.0, np.sqrt(sd**2 + GROUND_VELOCITY_SD**2 + SAMPLE_SD**2))
        east[inside], north[inside] = wind[0] + along, wind[1]
    reading = day.indicated(climb_speed, INDICATOR_SD)
    inside = (track.time >= 1800.0) & (track.time <= 1860.0)
    time = track.time[inside] - 1830.0
    # The air rises and sinks, and the receiver's height wanders: both are random walks.
    walk = np.hypot(RESTLESS_SD * np.sqrt(RESTLESS_TIME), USUAL_WANDER["geometric height"])
    steps = walk * np.sqrt(np.diff(time, prepend=time[0]))
    up[inside] += 5.0 * time + np.cumsum(steps * rng.standard_normal(time.size))
    rate = float(np.polyfit(time, up[inside], 1)[0])
    lag = rng.normal(INDICATOR_LAG, INDICATOR_LAG_SD)
    needle = np.full(track.time.size, np.nan)
    before = (track.time >= 2000.0) & (track.time <= 2008.9)
    needle[before] = day.indicated(approach_true, READING_SD) + lag * STANDARD_ENTRY_RATE
    found += [
        manoeuvre(
            "climb",
            1800.0,
            1860.0,
            {**day.air(), "indicated_airspeed": (reading, 0.01), "rate_of_climb": (rate, 0.08)},
        ),
        manoeuvre(
            "stall",
            2000.0,
            2020.0,
            {
                **day.air(),
                "minimum_indicated_airspeed": (
                    day.indicated(stall_true, READING_SD) + lag * STANDARD_ENTRY_RATE,
                    0.05,
                ),
                "entry_rate": (STANDARD_ENTRY_RATE, 0.02),
            },
            Event("break", 2010.0, 0.3, "invented"),
        ),
    ]
    cards: list[CardPoint] = [
        *points,
        point("C1", "climb", 1790.0, 1870.0),
        point("S1", "stall", 1990.0, 2030.0, power="idle"),
    ]
    path = replace(track, east_speed=east, north_speed=north, up=up)
    return (
        reduce([flight(cards, found, track=path, channels={"indicated_airspeed": needle})], airplane(), []),
        day,
        climb_speed,
        25.0,
    )


@pytest.fixture(scope="module")
def scores() -> dict[str, FloatArray]:
    """Error over stated uncertainty of every figure, over many evaluations."""
    rng = np.random.default_rng(77)
    found: dict[str, list[float]] = {}
    for _ in range(EVALUATIONS):
        points, day, climb_speed, stall_speed = fly(rng)
        (climb,), (stall,) = points.climbs, points.stalls
        pairs = [
            (f"true airspeed {one.origin.point}", one.true_airspeed, SPEEDS[one.origin.point])
            for one in points.levels
        ]
        pairs += [
            (
                f"calibrated airspeed {one.origin.point}",
                one.calibrated_airspeed,
                float(calibrated_from_true(SPEEDS[one.origin.point], day.pressure, day.temperature)),
            )
            for one in points.levels
        ]
        pairs += [
            ("climb speed", climb.true_airspeed, climb_speed),
            ("rate of climb", climb.rate_of_climb, 5.0),
            ("stall speed", stall.stall_speed, stall_speed),
        ]
        for name, estimate, truth in pairs:
            assert estimate.sd is not None
            found.setdefault(name, []).append((estimate.value - truth) / estimate.sd)
    return {name: np.array(values) for name, values in found.items()}


def test_every_figure_is_unbiased(scores: dict[str, FloatArray]) -> None:
    """The mean error is within three of its own uncertainties of zero."""
    for name, values in scores.items():
        assert abs(np.mean(values)) < 3.0 / np.sqrt(EVALUATIONS), (name, np.mean(values))


def test_every_stated_uncertainty_is_honest(scores: dict[str, FloatArray]) -> None:
    """Errors over all evaluations scatter as much as stated."""
    for name, values in scores.items():
        assert 0.9 < np.std(values) < 1.1, (name, np.std(values))
