"""Weather at a strip: the handbook's wind components, the standard atmosphere, the sun."""

from dataclasses import replace
from math import degrees, radians

import numpy as np
import pytest

from tests.missions.weathers import STRIP, weather
from wringout.missions.daylight import sun_elevation
from wringout.missions.practice import Practice, runs_of
from wringout.missions.strip_hours import ROUGHNESS, air_at, daylight, hours_at
from wringout.physics.constants import KNOT
from wringout.physics.wind import wind_at_height


@pytest.mark.parametrize(
    ("runway", "wind_from", "speed", "head", "across"),
    [
        (
            170.0,
            140.0,
            25.0,
            22.0,
            13.0,
        ),  # FAA-H-8083-25, sample problem 10, read: 22 and 13 kt off the chart
        (180.0, 220.0, 30.0, 23.0, 19.0),  # FAA knowledge test, read second-hand: 23 and 19 kt
    ],
)
def test_wind_components_are_the_handbook_s(
    runway: float, wind_from: float, speed: float, head: float, across: float
) -> None:
    """Head and cross wind off the printed chart, to half a knot; the mast as high as the wing."""
    strip = replace(STRIP, heading=radians(runway))
    hours = hours_at(strip, weather(wind_speed=speed * KNOT, wind_from=radians(wind_from), mast=2.0), 2.0)
    assert hours.along[0] / KNOT == pytest.approx(head, abs=0.5)
    assert hours.across[0] / KNOT == pytest.approx(across, abs=0.5)


def test_wind_comes_down_to_the_wing_by_the_logarithmic_law() -> None:
    """What the mast at 10 m says is more than what the wing feels; the cross wind is that reported."""
    hours = hours_at(replace(STRIP, heading=0.0), weather(wind_speed=8.0, wind_from=0.0), 2.0)
    assert hours.along[0] == pytest.approx(float(wind_at_height(8.0, 10.0, 2.0, ROUGHNESS)), rel=1e-12)
    at_obstacle = hours.along[0] * (1.0 + hours.gain)
    assert at_obstacle == pytest.approx(float(wind_at_height(8.0, 10.0, 17.24, ROUGHNESS)), rel=1e-12)
    across = hours_at(replace(STRIP, heading=radians(90.0)), weather(wind_speed=8.0, wind_from=0.0), 2.0)
    assert across.across[0] == pytest.approx(8.0)


def test_a_wind_without_direction_counts_as_adverse() -> None:
    """All of it across, and from behind whichever way is flown."""
    from wringout.missions.hour_judging import along

    hours = hours_at(STRIP, weather(wind_speed=3.0, wind_from=float("nan")), 2.0)
    assert hours.across[0] == 3.0
    for run in runs_of(STRIP):
        assert along(run, hours)[0] < 0.0


def test_gusts_count_across_and_not_along() -> None:
    """The limit of cross wind is held against the gust."""
    from_the_side = weather(wind_speed=4.0, wind_from=STRIP.heading + radians(90.0), gust=9.0)
    assert hours_at(STRIP, from_the_side, 2.0).across[0] == pytest.approx(9.0)


@pytest.mark.parametrize(
    ("height", "temperature", "pressure"),
    # Standard atmosphere, geopotential (formula values; ISO 2533), published-checks SA-02.
    [
        (500.0, 284.90, 95460.8),
        (1000.0, 281.65, 89874.6),
        (2000.0, 275.15, 79495.2),
        (3000.0, 268.65, 70108.5),
    ],
)
def test_standard_air_stays_standard_air_on_the_way_up(
    height: float, temperature: float, pressure: float
) -> None:
    """A sea-level station with standard air, and the standard atmosphere's rows above it."""
    air = air_at(weather(temperature=288.15, pressure=101_325.0, elevation=0.0), height)
    assert np.asarray(air.temperature)[0] == pytest.approx(temperature, abs=0.01)
    assert np.asarray(air.pressure)[0] == pytest.approx(pressure, abs=0.1)


def test_vapour_makes_the_air_lighter() -> None:
    """30 °C with a dew point of 20 °C at the station: 1.154 kg/m³ (computed from the WMO formula)."""
    moist = weather(temperature=303.15, dew_point=293.15, pressure=101_325.0, elevation=0.0)
    assert np.asarray(air_at(moist, 0.0).density)[0] == pytest.approx(1.154, abs=0.001)
    dry = weather(temperature=303.15, dew_point=float("nan"), pressure=101_325.0, elevation=0.0)
    assert np.asarray(air_at(dry, 0.0).density)[0] == pytest.approx(1.1643, abs=0.0001)


def test_the_sun_stands_where_an_almanac_has_it() -> None:
    """Zenith 50.111° on 17 October 2003, 19:30:30 UTC, 39.74° N 105.18° W (Reda and Andreas, from memory)."""
    elevation = sun_elevation(290, 19.5 * 3600 + 30.0, radians(39.742476), radians(-105.1786))
    assert 90.0 - degrees(float(elevation)) == pytest.approx(50.11, abs=0.5)


def test_day_and_night_of_the_equinox_are_equal_and_the_pole_has_none() -> None:
    """Twelve hours of sun, within the half hour that refraction and the cut into hours make."""
    year = weather(hours=8760)
    up = daylight(year)
    assert np.count_nonzero(up & (year.day == 80)) in (12, 13)
    midsummer = np.count_nonzero(up & (year.day == 172))
    midwinter = np.count_nonzero(up & (year.day == 355))
    assert midsummer + midwinter in (24, 25)
    assert midsummer > 16
    unplaced = replace(year, site=replace(year.site, latitude=None, longitude=None))
    assert daylight(unplaced).all()


def test_shares_of_the_wind_count_against_the_pilot() -> None:
    """Half the head wind, one and a half times the tail wind (AIC 67/2002); none with published factors."""
    wind = np.array([10.0, -10.0])
    assert Practice().counted(wind) == pytest.approx([5.0, -15.0])
    assert Practice("leaflet").counted(wind) == pytest.approx([0.0, 0.0])


def test_a_one_way_strip_is_landed_on_uphill_and_left_downhill() -> None:
    """One landing up, one take-off down, whichever way the heading runs; obstacles of its ends."""
    for slope in (0.09, -0.09):
        steep = replace(STRIP, slope=slope, one_way=True, obstacle_near=4.0, obstacle_far=25.0)
        runs = {run.movement: run for run in runs_of(steep)}
        assert len(runs_of(steep)) == 2
        assert runs["landing"].slope == pytest.approx(0.09)
        assert runs["take-off"].slope == pytest.approx(-0.09)
        low_end = 15.24 if slope > 0.0 else 25.0
        assert runs["landing"].obstacle == runs["take-off"].obstacle == low_end


def test_a_displaced_threshold_shortens_landings_alone() -> None:
    """Landing from the near end counts from where it may begin; the take-off has all of it."""
    runs = runs_of(replace(STRIP, displaced_near=60.0))
    available = {(run.movement, run.sign): run.available for run in runs}
    assert available["landing", 1.0] == STRIP.length - 60.0
    assert available["landing", -1.0] == STRIP.length
    assert available["take-off", 1.0] == STRIP.length
