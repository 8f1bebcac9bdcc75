"""Level legs, climbs, glides and circles of flights with known truth."""

import numpy as np
import pytest

from tests.manoeuvres.flying import STALL_SPEED, Flight
from wringout.manoeuvres import Manoeuvre, find
from wringout.manoeuvres.steady import steady_mean
from wringout.manoeuvres.windows import within_tolerance
from wringout.recordings import Recording, smooth
from wringout.recordings.recording import FloatArray

WIND = (5.0, -3.0)


def found(recording: Recording, kind: str) -> list[Manoeuvre]:
    """The manoeuvres of one kind in a recording."""
    return [each for each in find(recording, smooth(recording), STALL_SPEED) if each.kind == kind]


def measure(manoeuvre: Manoeuvre, name: str) -> tuple[float, float]:
    """A measure's value and its standard uncertainty."""
    estimate = manoeuvre.measures[name]
    assert estimate.sd is not None
    return estimate.value, estimate.sd


def airborne(speed: float = 45.0, height: float = 1200.0) -> Flight:
    """A flight that begins in the air, in a steady wind."""
    flight = Flight(*WIND, speed=speed, height=height, flying=True)
    flight.fly(10.0)
    return flight


def test_four_level_legs_in_wind() -> None:
    """Four headings: four legs, ground velocities within their uncertainties."""
    flight = airborne()
    truth = []
    for _ in range(4):
        truth.append((flight.time, flight.course))
        flight.fly(45.0)
        flight.fly(15.0, turn=np.radians(6.0))
    legs = found(flight.recorded(np.random.default_rng(1)), "level leg")
    assert len(legs) == 4
    for leg, (start, course) in zip(legs, truth, strict=True):
        assert leg.start == pytest.approx(start, abs=12.0)
        assert leg.end == pytest.approx(start + 45.0, abs=6.0)
        for name, value in (
            ("east_speed", 45.0 * np.sin(course) + WIND[0]),
            ("north_speed", 45.0 * np.cos(course) + WIND[1]),
        ):
            measured, sd = measure(leg, name)
            assert measured == pytest.approx(value, abs=max(4 * sd, 0.15))
            assert sd < 0.3
        assert measure(leg, "indicated_airspeed")[0] == pytest.approx(45.0, abs=0.2)
        assert measure(leg, "height")[0] == pytest.approx(1200.0, abs=3.0)
        assert [event.name for event in leg.events] == ["start", "end"]


def test_short_or_unsteady_flight_is_no_leg() -> None:
    """Fifteen seconds straight, a speed that drifts, a slow climb, a wide turn: none is level and steady."""
    flight = airborne()
    flight.fly(30.0, turn=np.radians(3.0))
    flight.fly(13.0)
    flight.fly(60.0, turn=np.radians(3.0))
    flight.fly(60.0, climb=1.2)
    flight.fly(40.0, speed_rate=-0.4)
    legs = found(flight.recorded(np.random.default_rng(2)), "level leg")
    assert [leg for leg in legs if leg.end - leg.start > 25.0] == []


def test_sawtooth_climbs_and_glides() -> None:
    """Up and down at constant speeds: each found once, rates within their uncertainties."""
    flight = airborne(height=800.0)
    truth = []
    for climb, speed in ((4.2, 32.0), (-3.1, 34.0), (3.6, 40.0), (-4.4, 42.0)):
        flight.to_speed(speed)
        flight.fly(15.0)
        start = flight.time
        flight.fly(75.0, climb=climb)
        truth.append((start, climb, speed))
        flight.fly(15.0)
    recording = flight.recorded(np.random.default_rng(3))
    climbs, glides = found(recording, "climb"), found(recording, "glide")
    assert (len(climbs), len(glides)) == (2, 2)
    for manoeuvre, (start, climb, speed) in zip(
        sorted((*climbs, *glides), key=lambda each: each.start), truth, strict=True
    ):
        assert manoeuvre.kind == ("climb" if climb > 0 else "glide")
        assert manoeuvre.start == pytest.approx(start, abs=10.0)
        rate, sd = measure(manoeuvre, "rate_of_climb")
        assert rate == pytest.approx(climb, abs=max(4 * sd, 0.1))
        assert sd < 0.2
        assert measure(manoeuvre, "indicated_airspeed")[0] == pytest.approx(speed, abs=0.3)
        assert abs(measure(manoeuvre, "airspeed_rate")[0]) < 0.02
    assert all("no engine channel" in each.notes[0] for each in glides)


def test_rates_of_climb_are_as_uncertain_as_stated() -> None:
    """Over many receivers the error of the rate is what its standard uncertainty says, or less."""
    flight = airborne(height=800.0)
    flight.fly(15.0)
    flight.fly(90.0, climb=3.0)
    flight.fly(15.0)
    errors = []
    for seed in range(12):
        (climb,) = found(flight.recorded(np.random.default_rng([5, seed])), "climb")
        rate, sd = measure(climb, "rate_of_climb")
        errors.append((rate - 3.0) / sd)
    assert 0.3 < np.sqrt(np.mean(np.square(errors))) < 1.3


@pytest.mark.parametrize("sign", [1, -1])
def test_circles_show_the_wind(sign: int) -> None:
    """Two and a half circles either way: one turn, its wind within four of its standard uncertainties."""
    flight = airborne(speed=35.0)
    flight.fly(75.0, turn=sign * np.radians(12.0))
    flight.fly(30.0)
    (turn,) = found(flight.recorded(np.random.default_rng(4)), "turn")
    for name, value in (("wind_east", WIND[0]), ("wind_north", WIND[1])):
        measured, sd = measure(turn, name)
        assert measured == pytest.approx(value, abs=max(4 * sd, 0.2))
    assert measure(turn, "turn_rate")[0] == pytest.approx(sign * np.radians(12.0), rel=0.1)
    assert turn.notes[0].startswith("2.4 circles") or turn.notes[0].startswith("2.5 circles")


def test_a_mean_knows_its_waves() -> None:
    """Waves of half a minute: the standard error covers the scatter of means, white noise's own would not."""
    errors, naive = [], []
    for seed in range(200):
        generator = np.random.default_rng([6, seed])
        time: FloatArray = np.arange(0.0, 120.0, 0.2)
        noise = generator.normal(size=len(time))
        values = np.zeros(len(time))
        for k in range(1, len(time)):
            values[k] = 0.97 * values[k - 1] + noise[k]  # correlated over six seconds
        steady = steady_mean(time, values)
        assert steady is not None
        errors.append(steady.mean / steady.sd)
        naive.append(np.mean(values) / (np.std(values) / np.sqrt(len(values))))
    assert 0.75 < np.std(errors) < 1.25
    assert np.std(naive) > 4.0


def test_means_of_too_little_are_none() -> None:
    """Three samples, or less than four blocks of time, have no honest standard error."""
    assert steady_mean(np.arange(3.0), np.ones(3)) is None
    assert steady_mean(np.arange(10.0), np.ones(10)) is None
    steady = steady_mean(np.arange(40.0), np.ones(40), 0.3)
    assert steady is not None
    assert steady.mean == 1.0
    assert steady.sd == pytest.approx(0.3)


def test_windows_are_the_longest_that_fit() -> None:
    """A step between two plateaus parts them; each window's range stays within the tolerance."""
    values = np.concatenate((np.zeros(40), np.ones(25) * 5.0, np.ones(30) * 5.4))
    windows = within_tolerance([(values, 1.0)], 0, len(values), 20)
    assert windows == [(0, 40), (40, 95)]
    assert within_tolerance([(values, 0.1)], 0, len(values), 41) == []
