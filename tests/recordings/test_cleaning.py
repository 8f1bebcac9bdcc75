"""What cannot be believed is left out with an account of it; what can be stays; nothing is filled."""

from collections.abc import Mapping

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.recordings.logs import circle
from wringout.problems import InputError
from wringout.recordings import Recording, clean
from wringout.recordings.cleaning import GAP_PERIODS
from wringout.recordings.log import Log
from wringout.recordings.recording import FloatArray

ZERO = 1_777_707_060.0
SECONDS = np.arange(0.0, 100.0, 0.2)


def fixes(seconds: FloatArray) -> dict[str, FloatArray]:
    """Position and height channels of the circle, in SI."""
    latitude, longitude, height = circle(seconds)
    return {"latitude": np.radians(latitude), "longitude": np.radians(longitude), "height": height}


def cleaned(seconds: FloatArray, channels: Mapping[str, FloatArray]) -> Recording:
    """A recording of samples in this order."""
    return clean(Log(ZERO + seconds, channels, np.arange(2, 2 + len(seconds))), "flight.csv", "0")


def kinds(recording: Recording) -> list[str]:
    """What was left out, in order of time."""
    return [item.kind for item in sorted(recording.exclusions, key=lambda item: item.start)]


def test_a_clean_log_stays_as_it_is() -> None:
    """Every sample, no account."""
    recording = cleaned(SECONDS, fixes(SECONDS))
    np.testing.assert_allclose(recording.time, SECONDS, atol=1e-6)
    assert recording.exclusions == ()
    for channel, values in fixes(SECONDS).items():
        np.testing.assert_array_equal(recording.channels[channel], values)


@settings(max_examples=50, deadline=None)
@given(order=st.permutations(range(12)), repeat=st.integers(0, 11))
def test_times_always_rise_strictly(order: list[int], repeat: int) -> None:
    """Whatever the order: times rise strictly, and samples kept and left out add up."""
    places = [*order, order[repeat]]
    seconds = SECONDS[places]
    try:
        recording = cleaned(seconds, fixes(seconds))
    except InputError:
        return
    assert np.all(np.diff(recording.time) > 0)
    left_out = sum(item.samples for item in recording.exclusions if item.kind == "time")
    assert len(recording.time) + left_out == len(places)


def test_backward_and_repeated_times_are_left_out_with_count_and_line() -> None:
    """Two samples swapped and one written twice cost two samples."""
    places = list(range(len(SECONDS)))
    places[100], places[101] = places[101], places[100]
    places.insert(200, places[199])
    recording = cleaned(SECONDS[places], fixes(SECONDS[places]))
    (exclusion,) = recording.exclusions
    assert (exclusion.samples, exclusion.kind, exclusion.channel) == (2, "time", None)
    assert "2 samples not after the one before, the first on line 103" in exclusion.reason
    assert exclusion.start == pytest.approx(SECONDS[100])


def test_one_wrong_clock_reading_does_not_cost_the_flight() -> None:
    """A first fix stamped hours ahead is the one left out, not all that follow it."""
    seconds = SECONDS.copy()
    seconds[0] += 7200.0
    recording = cleaned(seconds, fixes(SECONDS))
    assert len(recording.time) == len(SECONDS) - 1
    assert recording.start.timestamp() == pytest.approx(ZERO + SECONDS[1], abs=1e-5)


def test_a_log_of_two_days_gives_the_longer_flight() -> None:
    """More than six hours apart is another recording, and is told."""
    seconds = np.concatenate((SECONDS[:50] - 86400.0, SECONDS))
    recording = cleaned(seconds, fixes(seconds))
    assert len(recording.time) == len(SECONDS)
    assert "6 h apart" in recording.exclusions[0].reason
    assert recording.exclusions[0].samples == 50


def test_equal_rows_with_one_time_are_left_out() -> None:
    """A logger that writes some rows twice loses nothing by it: the second of each is left out."""
    seconds = np.repeat(SECONDS, np.where(np.arange(len(SECONDS)) % 2, 1, 2))
    recording = cleaned(seconds, fixes(seconds))
    assert len(recording.time) == len(SECONDS)


def test_a_log_of_which_half_repeats_is_refused() -> None:
    """Every row twice, or the fix's own time mapped instead of the row's: the mend is said."""
    seconds = np.repeat(SECONDS, 2)
    with pytest.raises(InputError, match="Map the row's own time"):
        cleaned(seconds, fixes(seconds))


def test_contradicting_rows_with_one_time_are_refused() -> None:
    """Five rows stamped with the same whole second: which is right cannot be told."""
    with pytest.raises(InputError, match="with other values"):
        cleaned(np.floor(SECONDS), fixes(SECONDS))


def test_gaps_are_named_and_stay() -> None:
    """A hole of eight seconds is told, and no sample appears in it."""
    keep = (SECONDS < 40.0) | (SECONDS > 48.0)
    recording = cleaned(SECONDS[keep], fixes(SECONDS[keep]))
    (gap,) = recording.exclusions
    assert (gap.kind, gap.samples) == ("gap", 0)
    assert gap.reason == "no sample for 8.4 s"
    assert not np.any((recording.time > 40.0) & (recording.time < 48.0))
    assert GAP_PERIODS > 1


@pytest.mark.parametrize("width", [1, 3, 20])
def test_jumps_that_come_back_are_left_out(width: int) -> None:
    """Sixty metres aside for one fix or a few seconds: exactly those fixes go."""
    channels = fixes(SECONDS)
    channels["longitude"][200 : 200 + width] += 60.0 / 6.4e6 / np.cos(np.radians(52))
    recording = cleaned(SECONDS, channels)
    lost = np.flatnonzero(np.isnan(recording.channels["latitude"]))
    assert lost.tolist() == list(range(200, 200 + width))
    assert {item.kind for item in recording.exclusions} == {"jump"}
    assert np.isfinite(recording.channels["height"]).all()


def test_a_jump_that_stays_costs_both_sides() -> None:
    """Which side of it is right cannot be known; the rest stays."""
    channels = fixes(SECONDS)
    channels["latitude"][200:] += 300.0 / 6.4e6
    recording = cleaned(SECONDS, channels)
    assert np.flatnonzero(np.isnan(recording.channels["latitude"])).tolist() == [199, 200]


@pytest.mark.parametrize("noise", [0.0, 0.3, 3.0])
def test_noise_and_turns_are_no_jumps(noise: float) -> None:
    """A tight turn with a poor receiver loses nothing."""
    generator = np.random.default_rng(4)
    seconds = np.arange(0.0, 120.0, 1.0)
    latitude, longitude, height = circle(seconds, speed=35.0, radius=120.0)
    channels = {
        "latitude": np.radians(latitude) + generator.normal(0.0, noise, len(seconds)) / 6.4e6,
        "longitude": np.radians(longitude) + generator.normal(0.0, noise, len(seconds)) / 6.4e6,
        "height": height + generator.normal(0.0, 1.0 + noise, len(seconds)),
    }
    assert cleaned(seconds, channels).exclusions == ()


def test_a_late_time_stamp_is_no_jump() -> None:
    """Two fixes a quarter of a second apart by the clock, a whole one by the path: a stamp, not a jump."""
    seconds = np.arange(0.0, 100.0, 1.0)
    channels = fixes(seconds)
    stamps = seconds.copy()
    stamps[50] += 0.75
    assert cleaned(stamps, channels).exclusions == ()


def test_a_height_spike_is_left_out() -> None:
    """One height a hundred metres off goes; positions stay."""
    channels = fixes(SECONDS)
    channels["height"][77] += 100.0
    recording = cleaned(SECONDS, channels)
    assert np.flatnonzero(np.isnan(recording.channels["height"])).tolist() == [77]
    assert recording.exclusions[0].channel == "height"


def test_repeated_fixes_are_left_out_but_parking_is_not() -> None:
    """A fix written five times while flying counts once; a parked airplane's equal fixes all count."""
    channels = {name: np.repeat(values[::5], 5) for name, values in fixes(SECONDS).items()}
    flying = cleaned(SECONDS, channels)
    assert np.count_nonzero(np.isfinite(flying.channels["latitude"])) == len(SECONDS) // 5 + 4
    assert kinds(flying) == ["repeated"]
    parked = {name: np.full(len(SECONDS), values[0]) for name, values in fixes(SECONDS).items()}
    assert cleaned(SECONDS, parked).exclusions == ()


def test_a_frozen_channel_is_left_out() -> None:
    """Airspeed that reads the same for half a minute of flight stands still."""
    channels = fixes(SECONDS)
    channels["indicated_airspeed"] = 40.0 + np.random.default_rng(1).normal(0.0, 0.5, len(SECONDS))
    channels["indicated_airspeed"][100:300] = 41.0
    recording = cleaned(SECONDS, channels)
    assert np.flatnonzero(np.isnan(recording.channels["indicated_airspeed"])).tolist() == list(
        range(101, 300)
    )
    (exclusion,) = recording.exclusions
    assert (exclusion.kind, exclusion.channel, exclusion.samples) == ("frozen", "indicated_airspeed", 199)


@pytest.mark.parametrize(("climbed", "left_out"), [(7.62, False), (300.0, True)])
def test_level_flight_is_no_frozen_altitude(climbed: float, left_out: bool) -> None:
    """Ten minutes at one altitude in 25 ft steps: level where it goes on by a step, frozen where it jumps."""
    seconds = np.arange(0.0, 900.0, 5.0)
    channels = fixes(seconds)
    altitude = np.round(np.minimum(seconds, 150.0) * 3.0 / 7.62) * 7.62
    altitude[seconds > 750.0] += climbed + np.round((seconds[seconds > 750.0] - 750.0) * 3.0 / 7.62) * 7.62
    altitude[::9] -= 3.9  # a register that rounds otherwise now and then, as some transponders have
    altitude[(seconds > 150.0) & (seconds <= 750.0)] = altitude[seconds == 150.0]
    channels["pressure_altitude"] = altitude
    recording = cleaned(seconds, channels)
    assert ("frozen" in kinds(recording)) == left_out


def test_no_place_and_half_a_place() -> None:
    """0° 0°, beyond the pole, and latitude without longitude are left out."""
    channels = fixes(SECONDS)
    channels["latitude"][5] = channels["longitude"][5] = 0.0
    channels["latitude"][9] = 2.0
    channels["longitude"][13] = np.nan
    recording = cleaned(SECONDS, channels)
    assert np.flatnonzero(np.isnan(recording.channels["latitude"])).tolist() == [5, 9, 13]
    assert kinds(recording) == ["range", "range", "range"]


def test_numbers_that_cannot_be_are_left_out() -> None:
    """A temperature near absolute zero or a speed of a thousand metres a second is a fault, not a sample."""
    channels = fixes(SECONDS)
    channels["outside_air_temperature"] = np.full(len(SECONDS), 280.0)
    channels["outside_air_temperature"][7] = 1.0
    channels["height"][9] = 1e30
    recording = cleaned(SECONDS, channels)
    assert np.flatnonzero(np.isnan(recording.channels["outside_air_temperature"])).tolist() == [7]
    assert np.flatnonzero(np.isnan(recording.channels["height"])).tolist() == [9]
    assert "no outside air temperature that an airplane can have" in {
        item.reason for item in recording.exclusions
    }


@pytest.mark.parametrize(
    ("seconds", "found"),
    [
        (np.full(50, np.nan), "0 of 50 samples have a usable time"),
        (-SECONDS, "runs backwards"),
        (np.array([0.0]), "1 of 1 samples"),
        (SECONDS - 2e9, "usable time"),
    ],
)
def test_a_log_without_time_is_refused(seconds: FloatArray, found: str) -> None:
    """No time, all backward, one sample, before receivers existed."""
    with pytest.raises(InputError, match=found):
        cleaned(seconds, fixes(np.nan_to_num(seconds)))
