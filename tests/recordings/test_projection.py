"""The map about the first fix against the geodesic and against another projection library."""

import math

import numpy as np
import pyproj
import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given, settings
from hypothesis import strategies as st

from wringout.recordings.projection import project

degrees = st.floats(-1.0, 1.0).map(lambda value: round(value, 4))


@settings(max_examples=100, deadline=None)
@given(latitude=st.integers(-84, 84), longitude=st.integers(-180, 180), north=degrees, east=degrees)
def test_equals_pyproj(latitude: int, longitude: int, north: float, east: float) -> None:
    """Easting and northing within a tenth of a millimetre of pyproj's; scale and convergence too."""
    definition = f"+proj=tmerc +lat_0={latitude} +lon_0={longitude} +k=1 +ellps=WGS84"
    other = pyproj.Proj(definition)
    place = (latitude + north, longitude + east)
    origin = (math.radians(latitude), math.radians(longitude))
    plane = project(np.radians([place[0]]), np.radians([place[1]]), *origin)
    expected = other(place[1], place[0])
    assert (plane.east[0], plane.north[0]) == pytest.approx(expected, abs=1e-4)
    factors = other.get_factors(place[1], place[0])
    assert plane.scale[0] == pytest.approx(factors.meridional_scale, abs=1e-8)
    assert np.degrees(plane.convergence[0]) == pytest.approx(factors.meridian_convergence, abs=1e-6)


@pytest.mark.parametrize("bearing", range(0, 360, 30))
@pytest.mark.parametrize(("distance", "allowed"), [(2e3, 1e-6), (2e4, 3e-6), (1e5, 1.3e-4)])
def test_distances_from_the_first_fix_are_geodesic(bearing: int, distance: float, allowed: float) -> None:
    """A strip's length is true to a millimetre, 20 km to 6 cm, 100 km to 13 m, whatever the direction."""
    end = Geodesic.WGS84.Direct(51.0, -3.0, bearing, distance)
    plane = project(np.radians([end["lat2"]]), np.radians([end["lon2"]]), *np.radians([51.0, -3.0]))
    assert float(np.hypot(plane.east[0], plane.north[0])) == pytest.approx(distance, rel=allowed)


def test_speeds_are_brought_back_to_true_north() -> None:
    """A hundred kilometres away a step towards true north, seen on the map, turns back by the convergence."""
    latitude, longitude = np.radians([60.0, 60.0001]), np.radians([1.8, 1.8])
    plane = project(latitude, longitude, *np.radians([60.0, 0.0]))
    seen = np.arctan2(np.diff(plane.east), np.diff(plane.north))[0]
    assert seen == pytest.approx(-plane.convergence[0], abs=1e-6)
    length = np.hypot(np.diff(plane.east), np.diff(plane.north))[0] / plane.scale[0]
    true = Geodesic.WGS84.Inverse(60.0, 1.8, 60.0001, 1.8)["s12"]
    assert length == pytest.approx(true, rel=1e-7)


def test_the_date_line_is_no_wall() -> None:
    """A flight across 180° stays in one piece."""
    plane = project(np.radians([10.0, 10.0]), np.radians([179.99, -179.99]), *np.radians([10.0, 179.99]))
    assert np.diff(plane.east)[0] == pytest.approx(2192.5, abs=1.0)


def test_nothing_is_missing_where_nothing_is_known() -> None:
    """NaN in, NaN out; a place beyond the series is refused."""
    plane = project(np.array([np.nan, 0.1]), np.array([np.nan, 0.1]), 0.1, 0.1)
    assert np.isnan(plane.east[0])
    assert plane.east[1] == pytest.approx(0.0, abs=1e-9)
    with pytest.raises(ValueError, match="60°"):
        project(np.array([0.0]), np.array([1.2]), 0.0, 0.0)
