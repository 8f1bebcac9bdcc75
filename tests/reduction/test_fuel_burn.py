"""Fuel burnt by what the card and the recording tell; 140 L at start-up, two hours of recording."""

import numpy as np
import pytest

from tests.reduction.handmade import airplane, flight
from wringout.problems import InputError
from wringout.reduction.fuel_burn import FLOW_METER_SD, fuel_burn

LITRES_AN_HOUR = 1e-3 / 3600.0
HOURS = 2.0


def flow(litres_an_hour: float) -> dict[str, np.ndarray]:
    """A steady flow over the two hours with a gap of ten minutes in it."""
    values = np.full(7201, litres_an_hour * LITRES_AN_HOUR)
    values[1000:1600] = np.nan
    return {"fuel_flow": values}


def test_flow_meter_is_set_against_the_tanks() -> None:
    """A meter that reads 4 % much is pulled most of the way to the tanks, which are the surer."""
    burn = fuel_burn(flight([], [], channels=flow(40.0 * 1.04)), airplane())
    volume, sd = burn.at(7200.0)
    assert 0.0800 < volume < 0.0816
    assert sd < 0.0025
    assert burn.at(3600.0)[0] == pytest.approx(volume / 2.0, rel=1e-3)
    assert "set against the tank readings" in burn.source


def test_flow_alone_is_believed_to_five_per_cent() -> None:
    """Without a reading at shutdown the meter's integral stands."""
    volume, sd = fuel_burn(flight([], [], channels=flow(40.0), fuel_at_shutdown=None), airplane()).at(7200.0)
    assert volume == pytest.approx(0.080)
    assert sd == pytest.approx(FLOW_METER_SD * 0.080)


def test_flow_that_contradicts_the_tanks_is_scaled_to_them() -> None:
    """A meter set for another engine reads 2.4 times too much: the tanks are believed, and it is said."""
    burn = fuel_burn(flight([], [], channels=flow(40.0 / 0.41)), airplane())
    assert burn.at(7200.0)[0] == pytest.approx(0.080)
    assert "× 0.41 to agree with the tank readings" in burn.source


def test_without_flow_the_burn_is_even() -> None:
    """Half way through, half is burnt, less surely than at the end where the tanks were read."""
    burn = fuel_burn(flight([], []), airplane())
    volume, sd = burn.at(3600.0)
    assert volume == pytest.approx(0.040)
    assert sd > burn.at(7200.0)[1]
    assert burn.at(0.0) == (0.0, 0.0)


def test_without_anything_the_uncertainty_covers_all_that_could_have_burnt() -> None:
    """No flow and no shutdown reading: half a burn at three-quarters power, uncertain by a rectangle."""
    volume, sd = fuel_burn(flight([], [], fuel_at_shutdown=None), airplane()).at(7200.0)
    most = 0.75 * 149_000.0 * 7.5e-8 / 720.0 * 7200.0
    assert volume == pytest.approx(most / 2.0)
    assert sd == pytest.approx(most / 12.0**0.5)


def test_fuel_cannot_appear() -> None:
    """More fuel at shutdown than at start-up is a mistake on the card."""
    flown = flight([], [], fuel_at_shutdown=0.170)
    with pytest.raises(InputError, match=r"30\.0 L more at shutdown"):
        fuel_burn(flown, airplane())
