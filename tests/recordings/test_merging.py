"""Several logs on one time base: interpolated only where samples are near, and no fix counted twice."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from wringout.problems import InputError
from wringout.recordings import Recording, merge
from wringout.recordings.recording import FloatArray

START = datetime(2026, 5, 2, 7, 31, tzinfo=UTC)


def recording(name: str, time: FloatArray, later: float = 0.0, **channels: FloatArray) -> Recording:
    """A recording that starts some seconds later."""
    return Recording(name, START + timedelta(seconds=later), time, channels, (), ((name, "0"),))


GPS_TIME = np.arange(0.0, 60.0, 0.2)
ENGINE_TIME = np.arange(0.0, 50.0, 1.0)
GPS = recording("flight.gpx", GPS_TIME, latitude=0.9 + 1e-6 * GPS_TIME, longitude=0.1 + 1e-6 * GPS_TIME)
ENGINE = recording("engine.csv", ENGINE_TIME, 5.0, engine_speed=40.0 + 0.1 * ENGINE_TIME)


def test_one_recording_is_its_own_merger() -> None:
    """Nothing to do, nothing done."""
    assert merge([GPS]) is GPS


def test_slow_channels_come_to_the_dense_base() -> None:
    """The engine's line is found between its samples, NaN before and after them; the GPS stays as it is."""
    both = merge([GPS, ENGINE])
    np.testing.assert_allclose(both.time, GPS_TIME, atol=1e-9)
    np.testing.assert_array_equal(both.channels["latitude"], GPS.channels["latitude"])
    inside = (GPS_TIME >= 5.0 - 1e-9) & (GPS_TIME <= 54.0 + 1e-9)
    np.testing.assert_allclose(both.channels["engine_speed"][inside], 40.0 + 0.1 * (GPS_TIME[inside] - 5.0))
    assert np.isnan(both.channels["engine_speed"][~inside]).all()
    assert both.periods == {"engine_speed": 1.0}
    assert both.sources == (("flight.gpx", "0"), ("engine.csv", "0"))
    assert both.start == START


def test_the_order_does_not_matter() -> None:
    """Engine first or GPS first: the same table."""
    one, other = merge([GPS, ENGINE]), merge([ENGINE, GPS])
    np.testing.assert_allclose(one.channels["engine_speed"], other.channels["engine_speed"])
    assert one.start == other.start


def test_holes_longer_than_three_periods_stay_holes() -> None:
    """Two missing seconds are bridged by a line, five are not."""
    keep = ~np.isin(ENGINE_TIME, [10.0, 11.0, 20.0, 21.0, 22.0, 23.0, 24.0])
    holed = recording("engine.csv", ENGINE_TIME[keep], 0.0, engine_speed=40.0 + 0.1 * ENGINE_TIME[keep])
    speed = merge([GPS, holed]).channels["engine_speed"]
    assert np.isfinite(speed[(GPS_TIME > 9.5) & (GPS_TIME < 11.5)]).all()
    assert np.isnan(speed[(GPS_TIME > 19.1) & (GPS_TIME < 24.9)]).all()


def test_a_receiver_that_loses_its_satellites_takes_no_other_sensor_with_it() -> None:
    """Eight seconds without a fix keep each second of the engine's log; through a minute the base slept."""
    lost = (GPS_TIME > 20.1) & (GPS_TIME < 27.9)
    gps = recording("flight.gpx", GPS_TIME[~lost], latitude=0.9 + 1e-6 * GPS_TIME[~lost])
    engine = recording("engine.csv", ENGINE_TIME, engine_speed=40.0 + 0.1 * ENGINE_TIME**2)
    both = merge([gps, engine])
    inside = (both.time > 20.1) & (both.time < 27.9)
    np.testing.assert_array_equal(both.time[inside], np.arange(21.0, 28.0)[:7])
    np.testing.assert_allclose(both.channels["engine_speed"][inside], 40.0 + 0.1 * both.time[inside] ** 2)
    assert np.isnan(both.channels["latitude"][inside]).all()
    slept = (GPS_TIME > 5.1) & (GPS_TIME < 45.0)
    asleep = merge([recording("flight.gpx", GPS_TIME[~slept], latitude=0.9 + 0.0 * GPS_TIME[~slept]), engine])
    assert not ((asleep.time > 5.1) & (asleep.time < 44.9)).any()


def test_fixes_of_a_slow_receiver_are_not_interpolated() -> None:
    """Onto a faster engine log the receiver's own moments join; each fix is there once."""
    gps = recording(
        "flight.gpx", ENGINE_TIME + 0.03, latitude=0.9 + 1e-6 * ENGINE_TIME, longitude=0.1 + 0 * ENGINE_TIME
    )
    engine = recording("engine.csv", GPS_TIME, engine_speed=40.0 + 0.1 * GPS_TIME)
    both = merge([gps, engine])
    fixes = np.isfinite(both.channels["latitude"])
    np.testing.assert_allclose(both.time[fixes], ENGINE_TIME + 0.03)
    np.testing.assert_array_equal(both.channels["latitude"][fixes], gps.channels["latitude"])
    assert np.isfinite(both.channels["engine_speed"][fixes][:-1]).all()


def test_headings_are_interpolated_the_short_way() -> None:
    """Between 350° and 10° lies north."""
    compass = recording("compass.csv", np.array([0.0, 1.0, 2.0]), heading=np.radians([350.0, 10.0, 350.0]))
    heading = np.degrees(merge([GPS, compass]).channels["heading"])
    off = (heading[:11] + 180) % 360 - 180
    assert np.abs(off).max() < 10.001


def test_a_channel_in_two_logs_is_taken_from_the_fuller_one() -> None:
    """And the account says what was left aside."""
    other = recording(
        "phone.gpx", ENGINE_TIME, latitude=0.9 + 0 * ENGINE_TIME, longitude=0.1 + 0 * ENGINE_TIME
    )
    both = merge([other, GPS])
    np.testing.assert_array_equal(both.channels["latitude"], GPS.channels["latitude"])
    assert {item.channel for item in both.exclusions if item.kind == "merge"} == {"latitude", "longitude"}


def test_what_does_not_belong_together_is_refused() -> None:
    """No recording at all, or a clock hours off: said, with what to check."""
    with pytest.raises(InputError, match="no recording"):
        merge([])
    with pytest.raises(InputError, match="clock offset"):
        merge([GPS, recording("engine.csv", ENGINE_TIME, 7200.0, engine_speed=ENGINE_TIME)])
