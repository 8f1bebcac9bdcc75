"""From fixes to the path: true speeds, honest deviations, late speeds brought back."""

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic

from tests.recordings.test_merging import recording
from wringout.problems import InputError
from wringout.recordings import Recording, smooth
from wringout.recordings.lag import advanced, speed_lag
from wringout.recordings.recording import FloatArray

TIME = np.arange(0.0, 400.0, 0.2)


def speeds(time: FloatArray) -> tuple[FloatArray, FloatArray]:
    """East and north speed of an airplane that turns, slows and speeds up [m/s]."""
    course = 0.6 * np.sin(time / 25.0) + 0.01 * time
    speed = 45.0 + 12.0 * np.sin(time / 9.0)
    return speed * np.sin(course), speed * np.cos(course)


def flown(
    generator: np.random.Generator, *, noise: float, origin: tuple[float, float] = (51.0, -3.0)
) -> Recording:
    """Fixes of that flight, by steps along the ellipsoid."""
    east, north = speeds(TIME)
    step = 0.2
    latitude, longitude = np.empty(len(TIME)), np.empty(len(TIME))
    a, f = 6378137.0, 1 / 298.257223563
    e2 = f * (2 - f)
    latitude[0], longitude[0] = np.radians(origin)
    for k in range(1, len(TIME)):
        sine = np.sin(latitude[k - 1])
        normal = a / np.sqrt(1 - e2 * sine**2)
        meridian = normal * (1 - e2) / (1 - e2 * sine**2)
        latitude[k] = latitude[k - 1] + step * (north[k - 1] + north[k]) / 2 / meridian
        longitude[k] = longitude[k - 1] + step * (east[k - 1] + east[k]) / 2 / (
            normal * np.cos(latitude[k - 1])
        )
    latitude += generator.normal(0.0, noise, len(TIME)) / a
    longitude += generator.normal(0.0, noise, len(TIME)) / a / np.cos(np.radians(origin[0]))
    height = 500.0 + 30.0 * np.sin(TIME / 20.0) + generator.normal(0.0, 1.5, len(TIME))
    return recording("flight.gpx", TIME, latitude=latitude, longitude=longitude, height=height)


def with_speed(base: Recording, generator: np.random.Generator, *, late: float, track: bool) -> Recording:
    """The same with a logged ground speed that is late, and perhaps its track."""
    east, north = speeds(TIME - late)
    east, north = (each + generator.normal(0.0, 0.1, len(TIME)) for each in (east, north))
    channels = dict(base.channels) | {"ground_speed": np.hypot(east, north)}
    if track:
        channels["track"] = np.arctan2(east, north) % (2 * np.pi)
    return Recording(base.name, base.start, base.time, channels, (), base.sources)


def ratios(path_speed: FloatArray, truth: FloatArray, sd: FloatArray) -> float:
    """Standard deviation of errors in units of what is stated, at samples far enough apart."""
    return float(np.std(((path_speed - truth) / sd)[50:-50:25]))


@pytest.mark.parametrize("logged", ["positions", "speed", "speed and track"])
def test_speed_errors_are_as_large_as_stated(logged: str) -> None:
    """True east and north speed within stated deviations, with and without speeds in the log."""
    east_ratio, north_ratio = [], []
    for seed in range(5):
        generator = np.random.default_rng([6, seed])
        base = flown(generator, noise=1.2)
        if logged != "positions":
            base = with_speed(base, generator, late=0.0, track=logged == "speed and track")
        path = smooth(base)
        east, north = speeds(TIME)
        east_ratio.append(ratios(path.east_speed, east, path.speed_sd))
        north_ratio.append(ratios(path.north_speed, north, path.speed_sd))
    assert 0.75 < np.mean(east_ratio + north_ratio) < 1.2


def test_a_logged_speed_sharpens_the_path() -> None:
    """A speed good to 0.1 m/s is worth having beside fixes good to a metre."""
    generator = np.random.default_rng(3)
    base = flown(generator, noise=1.2)
    alone = smooth(base)
    both = smooth(with_speed(base, generator, late=0.0, track=True))
    assert np.median(both.speed_sd) < 0.4 * np.median(alone.speed_sd)
    assert np.median(both.position_sd) < np.median(alone.position_sd)


@pytest.mark.parametrize("late", [0.5, 1.2])
def test_a_late_speed_is_found_and_brought_back(late: float) -> None:
    """A display that filters is half a second and more behind the positions; the path is not."""
    generator = np.random.default_rng(17)
    path = smooth(with_speed(flown(generator, noise=0.8), generator, late=late, track=True))
    assert path.speed_lag == pytest.approx(late, abs=0.08)
    east, north = speeds(TIME)
    assert np.std((path.east_speed - east)[50:-50]) < 0.25
    assert np.std((path.north_speed - north)[50:-50]) < 0.25


def test_a_timely_speed_is_left_where_it_is() -> None:
    """No lag is found where there is none."""
    generator = np.random.default_rng(18)
    assert smooth(with_speed(flown(generator, noise=0.8), generator, late=0.0, track=True)).speed_lag == 0.0


def test_heights_and_climbs() -> None:
    """Height and rate of climb follow the truth within their deviations."""
    path = smooth(flown(np.random.default_rng(5), noise=1.0))
    assert ratios(path.up, 500.0 + 30.0 * np.sin(TIME / 20.0), path.height_sd) == pytest.approx(1.0, abs=0.3)
    assert ratios(path.up_speed, 1.5 * np.cos(TIME / 20.0), path.up_speed_sd) == pytest.approx(1.0, abs=0.35)


def test_a_gap_widens_the_deviations() -> None:
    """In a hole of a minute the path is a guess, and says so; on both sides it is not."""
    base = flown(np.random.default_rng(9), noise=1.0)
    keep = (TIME < 150.0) | (TIME > 210.0)
    keep[np.argmin(np.abs(TIME - 180.0))] = True
    holed = {
        name: np.where(np.isclose(TIME, 180.0), np.nan, values)[keep]
        for name, values in base.channels.items()
    }
    path = smooth(Recording(base.name, base.start, TIME[keep], holed, (), ()))
    middle = int(np.argmin(np.abs(path.time - 180.0)))
    assert path.position_sd[middle] > 20.0
    assert path.speed_sd[middle] > 1.0
    assert np.median(path.position_sd) < 1.0


def test_true_speed_far_from_the_first_fix() -> None:
    """At 120 km the map has turned by a degree and more; a flight due east still flies east."""
    there = Geodesic.WGS84.Direct(56.0, -3.0, 90.0, 120_000.0)
    time = np.arange(0.0, 60.0, 0.5)
    latitude, longitude = np.empty(len(time) + 1), np.empty(len(time) + 1)
    latitude[0], longitude[0] = 56.0, -3.0
    for k, t in enumerate(time):
        place = Geodesic.WGS84.Direct(there["lat2"], there["lon2"], 90.0, 50.0 * t)
        latitude[k + 1], longitude[k + 1] = place["lat2"], place["lon2"]
    moments = np.concatenate(([-3000.0], time)) + 3000.0
    path = smooth(
        recording("far.gpx", moments, latitude=np.radians(latitude), longitude=np.radians(longitude))
    )
    assert np.median(path.east_speed[20:-20]) == pytest.approx(50.0, abs=0.02)
    assert np.median(path.north_speed[20:-20]) == pytest.approx(0.0, abs=0.05)


def test_without_height_the_path_has_none() -> None:
    """NaN for up, not zero; pressure altitude stands in where it is the only height."""
    base = flown(np.random.default_rng(9), noise=1.0)
    channels = {name: base.channels[name] for name in ("latitude", "longitude")}
    bare = smooth(Recording(base.name, base.start, base.time, channels, (), ()))
    assert np.isnan(bare.up).all()
    pressure = smooth(
        Recording(
            base.name,
            base.start,
            base.time,
            channels | {"pressure_altitude": base.channels["height"]},
            (),
            (),
        )
    )
    assert np.isfinite(pressure.up).all()


def test_too_few_fixes_are_refused() -> None:
    """An engine log alone has no path."""
    with pytest.raises(InputError, match="0 positions"):
        smooth(recording("engine.csv", TIME, engine_speed=TIME))


def test_lag_of_a_sine() -> None:
    """The lag of a known wave is found to a hundredth of a second; beyond four seconds it is no lag."""
    wave = 40.0 + 5.0 * np.sin(TIME / 6.0)
    rate = 5.0 / 6.0 * np.cos(TIME / 6.0)
    sd = np.full(len(TIME), 0.1)
    late = 40.0 + 5.0 * np.sin((TIME - 0.7) / 6.0)
    lag = speed_lag(TIME, late, wave, rate, sd)
    assert lag.seconds == pytest.approx(0.7, abs=0.01)
    moved = advanced(TIME, late, lag.seconds)
    np.testing.assert_allclose(moved[5:-5], wave[5:-5], atol=0.02)
    assert np.isnan(moved[-1])
    far = 40.0 + 5.0 * np.sin((TIME - 9.0) / 6.0)
    assert speed_lag(TIME, far, wave, rate, sd).seconds == 0.0
