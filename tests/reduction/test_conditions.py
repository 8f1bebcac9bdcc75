"""Mass and air of a manoeuvre, by recording or by card."""

from dataclasses import replace
from typing import Literal

import numpy as np
import pytest

from tests.reduction.handmade import FIELD_ELEVATION, STRIP, airplane, flight, manoeuvre, point, still_track
from wringout.dossier.dossier import Strip
from wringout.manoeuvres.manoeuvre import Manoeuvre
from wringout.physics.atmosphere import standard_density, standard_pressure, standard_temperature
from wringout.problems import InputError
from wringout.reduction.assign import assign
from wringout.reduction.conditions import GPS_HEIGHT_SD, UNKNOWN_HEIGHT_SD, conditions, height_offset
from wringout.reduction.flown import Flight
from wringout.reduction.fuel_burn import fuel_burn
from wringout.reduction.points import Conditions

HEIGHT = 1500.0


def climb(**measures: tuple[float, float]) -> Manoeuvre:
    """A climb an hour into the flight, its middle at 1500 m."""
    return manoeuvre("climb", 3570.0, 3630.0, {"height": (HEIGHT, 2.0), **measures})


def air(flown: Flight, found: Manoeuvre, strip: Strip | None = None) -> Conditions:
    """Conditions of a manoeuvre of a flight."""
    where = point("C1", "climb") if strip is None else point("T1", "take-off", strip=strip.name)
    offset = height_offset(flown, assign(flown)[0], [STRIP])
    burn = fuel_burn(flown, airplane())
    return conditions(flown, airplane(), where, found, burn=burn, offset=offset, strip=strip)


def test_standard_day_carried_up() -> None:
    """A standard reading on the field gives the standard atmosphere at 1500 m."""
    standard = replace(
        flight([], []).card.weather[0],
        temperature=float(standard_temperature(FIELD_ELEVATION)),
        qnh=101_325.0,
    )
    found = air(flight([], [], readings=[standard]), climb())
    assert found.pressure.value == pytest.approx(float(standard_pressure(HEIGHT)), rel=1e-6)
    assert found.temperature.value == pytest.approx(float(standard_temperature(HEIGHT)))
    assert found.density.value == pytest.approx(float(standard_density(HEIGHT)), rel=1e-5)
    assert found.density.sd is not None
    assert 0.002 < found.density.sd / found.density.value < 0.012


def test_a_warm_column_is_thicker() -> None:
    """At the same QNH a warm day has the higher pressure aloft, as an altimeter that reads low shows."""
    warm = replace(flight([], []).card.weather[0], temperature=308.15)
    assert (
        air(flight([], [], readings=[warm]), climb()).pressure.value
        > air(flight([], []), climb()).pressure.value
    )


def test_recording_comes_before_the_card() -> None:
    """Recorded pressure altitude and thermometer are believed in flight."""
    measured = climb(pressure_altitude=(1400.0, 1.0), outside_air_temperature=(285.0, 0.1))
    found = air(flight([], []), measured)
    assert found.pressure.value == pytest.approx(float(standard_pressure(1400.0)))
    assert found.temperature.value == 285.0
    assert "recorded pressure altitude" in found.pressure.source


def test_channel_serves_where_the_manoeuvre_has_no_measure() -> None:
    """A recorded channel is averaged over the manoeuvre's own span."""
    altitude = np.full(7201, 9999.0)
    altitude[3570:3631] = 1450.0
    found = air(flight([], [], channels={"pressure_altitude": altitude}), climb())
    assert found.pressure.value == pytest.approx(float(standard_pressure(1450.0)))


def test_on_the_ground_the_reading_is_believed() -> None:
    """A thermometer in the sun beside the engine does not set the density of a take-off."""
    hot = np.full(7201, 313.0)
    roll = manoeuvre("take-off", 3590.0, 3610.0, {"strip_height": (FIELD_ELEVATION, 3.0)})
    found = air(flight([], [], channels={"outside_air_temperature": hot}), roll, STRIP)
    assert found.temperature.value == pytest.approx(288.15)
    assert found.pressure.value == pytest.approx(float(standard_pressure(FIELD_ELEVATION)), rel=1e-6)


def test_moist_air_is_lighter() -> None:
    """A dew point lowers the density."""
    moist = replace(flight([], []).card.weather[0], dew_point=287.0)
    assert (
        air(flight([], [], readings=[moist]), climb()).density.value
        < air(flight([], []), climb()).density.value
    )


def test_mass_falls_by_the_fuel() -> None:
    """An hour of two at an even burn of 80 L: 28.8 kg lighter than at start-up."""
    found = air(flight([], []), climb())
    assert found.mass.value == pytest.approx(668.0 + 160.0 + 720.0 * (0.140 - 0.040))
    assert found.mass.sd is not None
    assert 2.0 < found.mass.sd < 8.0
    assert "28.8 kg" in found.mass.source


def test_neither_pressure_nor_temperature_is_refused() -> None:
    """A card without weather and a log without channels cannot say what the air was."""
    with pytest.raises(InputError, match="weather reading with temperature"):
        air(flight([], [], readings=[]), climb())
    with pytest.raises(InputError, match="weather reading with QNH"):
        air(flight([], [], readings=[]), climb(outside_air_temperature=(285.0, 0.1)))


def with_reference(flown: Flight, reference: Literal["ellipsoid", "unknown"]) -> Flight:
    """The flight with its card's height reference replaced."""
    return replace(flown, card=replace(flown.card, height_reference=reference))


def test_ellipsoidal_heights_are_set_by_the_strip() -> None:
    """Heights 48 m too high at a strip of known elevation are lowered by 48 m everywhere."""
    roll = manoeuvre("take-off", 100.0, 120.0, {"strip_height": (FIELD_ELEVATION + 48.0, 3.0)})
    flown = with_reference(
        flight([point("T1", "take-off", 90.0, 130.0, strip=STRIP.name)], [roll]), "ellipsoid"
    )
    offset = height_offset(flown, assign(flown)[0], [STRIP])
    assert offset.value == pytest.approx(-48.0)
    assert offset.sd == GPS_HEIGHT_SD


def test_heights_are_set_by_the_ground_the_recording_began_on() -> None:
    """A recording that begins standing at the weather's elevation tells its own offset."""
    flown = with_reference(flight([], [], track=still_track(7200.0, FIELD_ELEVATION + 40.0)), "unknown")
    assert height_offset(flown, (), []).value == pytest.approx(-40.0)


def test_unknown_heights_stay_uncertain() -> None:
    """Heights of unknown reference, in a recording begun in the air, are used and hardly believed."""
    flown = with_reference(flight([], [], track=still_track(7200.0, 900.0, speed=(30.0, 0.0))), "unknown")
    offset = height_offset(flown, (), [])
    assert (offset.value, offset.sd) == (0.0, UNKNOWN_HEIGHT_SD)
