"""The logs carry the faults that they are meant to carry, of the size that they are meant to have."""

from datetime import datetime

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic

from wringout.demo import sensors
from wringout.demo.air import KNOT, AirMass
from wringout.demo.flights import Flown
from wringout.demo.sensors import column
from wringout.demo.setup import setup
from wringout.physics.airspeed import calibrated_from_true
from wringout.reduction.airspeed_flown import INDICATOR_LAG, INDICATOR_LAG_SD
from wringout.reduction.conditions import PRESSURE_ALTITUDE_SD, THERMOMETER_SD
from wringout.reduction.level_points import FLOW_METER_SD, MANIFOLD_PRESSURE_SD, TACHOMETER_SD
from wringout.reduction.wind_aloft import WANDER

FIRST_DAY = setup().plans[0].weather


def test_local_metres_are_metres_on_the_ellipsoid() -> None:
    """Steps of the simulator's plane keep their length on the geodesic to a few parts in ten thousand."""
    east, north = np.linspace(0.0, 20e3, 201), np.linspace(0.0, 15e3, 201)
    latitude, longitude = sensors.geographic(east, north)
    lengths = [
        Geodesic.WGS84.Inverse(latitude[i], longitude[i], latitude[i + 1], longitude[i + 1])["s12"]
        for i in range(200)
    ]
    assert np.sum(lengths) == pytest.approx(25e3, rel=5e-4)


def test_calibrated_airspeed_agrees_with_the_checked_formula() -> None:
    """The simulator's own conversion meets the physics package's."""
    speeds = np.array([20.0, 40.0, 65.0])
    mine = sensors.calibrated_airspeed(speeds, np.full(3, 84000.0), np.full(3, 278.0))
    assert mine == pytest.approx(np.asarray(calibrated_from_true(speeds, 84000.0, 278.0)), rel=1e-6)


def test_wander_has_the_deviation_and_memory_it_is_given() -> None:
    """The Ornstein–Uhlenbeck path has its standard deviation and forgets with its time."""
    path = sensors.wander(np.random.default_rng(5), 400_000, 2.0, 20.0, 0.2)
    assert path.std() == pytest.approx(2.0, rel=0.05)
    lagged = np.corrcoef(path[:-100], path[100:])[0, 1]
    assert lagged == pytest.approx(np.exp(-1.0), abs=0.05)


def test_gps_faults_are_there(flights: tuple[Flown, ...]) -> None:
    """A log has gaps, repeated stamps, backward stamps and one jump for the cleaning to find."""
    log = sensors.gps(flights[3].samples, np.random.default_rng(3))
    steps = np.diff(log.time)
    assert (steps > 2.0).sum() >= 2
    assert (steps == 0.0).sum() == 4
    assert (steps < 0.0).sum() == 2
    aside = np.abs(np.diff(log.longitude)) * 60.2e3 - np.abs(steps) * 75.0
    assert (aside > 30.0).sum() == 2


def test_gps_height_is_poorer_than_position(flights: tuple[Flown, ...]) -> None:
    """Over a flight the height errs more than a horizontal axis."""
    samples = flights[3].samples
    log = sensors.gps(samples, np.random.default_rng(4))
    _, unique = np.unique(log.time, return_index=True)
    index = np.round((log.time[unique] - column(samples, "time")[0]) / 0.2).astype(int)
    latitude, _ = sensors.geographic(column(samples, "east"), column(samples, "north"))
    north_error = (log.latitude[unique] - latitude[index]) * 111.2e3
    height_error = log.height[unique] - column(samples, "height")[index] - sensors.ANTENNA_HEIGHT
    assert 0.2 < north_error.std() < height_error.std() < 6.0


def test_the_airspeed_log_shows_the_position_error(flights: tuple[Flown, ...]) -> None:
    """In level flight the log reads calibrated airspeed less the position error, rounded to half a knot."""
    flown = flights[0]
    log = sensors.engine_log(
        flown.setup.machine, flown.samples, np.random.default_rng(1), sensors.instruments(1)
    )
    level = next(point for point in flown.outing.noted if point.kind == "level")
    part = flown.samples[
        (column(flown.samples, "time") > level.start) & (column(flown.samples, "time") < level.end)
    ]
    calibrated = sensors.calibrated_airspeed(
        column(part, "airspeed"), column(part, "pressure"), column(part, "temperature")
    )
    shown = log["ias"][(log["time"] > level.start) & (log["time"] < level.end)]
    error = (
        float((calibrated * np.sqrt(sensors.position_error_factor(flown.setup.machine, part))).mean()) / KNOT
    )
    assert shown.mean() == pytest.approx(error, abs=0.15)
    assert np.allclose(shown * 2.0, np.round(shown * 2.0))
    assert calibrated.mean() / KNOT < shown.mean()


def test_instruments_are_off_by_what_the_reduction_allows_them() -> None:
    """Over many evaluations each instrument errs by the standard uncertainty that is stated of it."""
    drawn = [sensors.instruments(seed) for seed in range(400)]
    for name, stated in (
        ("thermometer", THERMOMETER_SD),
        ("altimeter", PRESSURE_ALTITUDE_SD),
        ("fuel_meter", FLOW_METER_SD),
        ("tachometer", TACHOMETER_SD),
        ("manifold", MANIFOLD_PRESSURE_SD),
        ("airspeed_lag", INDICATOR_LAG_SD),
    ):
        assert np.std([getattr(one, name) for one in drawn]) == pytest.approx(stated, rel=0.12), name
    assert np.mean([one.airspeed_lag for one in drawn]) == pytest.approx(INDICATOR_LAG, abs=0.03)
    assert sensors.instruments(7) == sensors.instruments(7) != sensors.instruments(8)


def test_the_wind_aloft_wanders_as_fast_as_the_reduction_expects() -> None:
    """Ten minutes change each component by half a metre a second, at the mast by what its profile keeps."""
    winds = [AirMass(FIRST_DAY, np.random.default_rng([seed, 1])) for seed in range(60)]
    calm = AirMass(FIRST_DAY)

    def astray(air: AirMass, time: float, height: float = 1500.0) -> float:
        return air.mean_wind(height, time)[0] - calm.mean_wind(height, time)[0]

    changes = [astray(air, at + 600.0) - astray(air, at) for air in winds for at in (0.0, 7200.0, 20000.0)]
    assert np.std(changes) == pytest.approx(WANDER * np.sqrt(600.0), rel=0.15)
    kept = np.log(1.0 + 6.0 / FIRST_DAY.roughness) / np.log(1.0 + 10.0 / FIRST_DAY.roughness)
    for air in winds[:5]:
        at_the_mast = astray(air, 3600.0, FIRST_DAY.elevation + 6.0)
        assert at_the_mast == pytest.approx(kept * astray(air, 3600.0))


def test_stamps_are_utc_to_the_tenth() -> None:
    """A moment is written with its zone."""
    assert sensors.iso(datetime(2025, 6, 17, 6, 0), 3723.4) == "2025-06-17T07:02:03.4Z"  # noqa: DTZ001 - only its digits count
