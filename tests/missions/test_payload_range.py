"""Payload against range."""

from dataclasses import replace

import numpy as np
import pytest

from tests.loading.airplanes import hauler
from tests.missions.questions import CRUISE, LITRE_AN_HOUR
from wringout.loading import Pilot, capacity
from wringout.missions import PayloadRange, payload_range, range_with
from wringout.problems import InputError

AIRPLANE = hauler()


def curve(head_wind: float = 0.0, reserve: float = 1800.0) -> PayloadRange:
    """The invented airplane's payload–range."""
    return payload_range(
        AIRPLANE,
        "tail wheel",
        fuel_flow=CRUISE.fuel_flow,
        true_airspeed=CRUISE.true_airspeed,
        reserve=reserve,
        head_wind=head_wind,
        allowances=CRUISE.allowances,
    )


def test_ends_of_the_curve() -> None:
    """It begins with climb and reserve alone and ends with full tanks, as capacity and range say."""
    found = curve()
    assert found.fuel[0] == pytest.approx(0.004 + 0.006 + 0.019)
    assert found.range[0] == pytest.approx(20e3)
    assert found.fuel[-1] == pytest.approx(0.22)
    assert found.payload[-1] == pytest.approx(float(capacity(AIRPLANE, "tail wheel", 0.22).payload[0]))
    flow, speed = CRUISE.fuel_flow.value, CRUISE.true_airspeed.value
    full = range_with(0.22, flow, speed, 1800.0, allowances=CRUISE.allowances)
    assert found.range[-1] == pytest.approx(float(full))


def test_more_range_never_carries_more_by_mass() -> None:
    """Along the curve range rises and the payload that mass allows does not."""
    found = curve()
    assert np.all(np.diff(found.range) > 0.0)
    assert np.all(np.diff(found.payload_by_mass) <= 1e-9)
    assert np.all(found.payload <= found.payload_by_mass + 1e-6)


def test_the_interval_is_that_of_drawn_cruises() -> None:
    """Drawing speed and flow, nine in ten ranges with full tanks lie inside the interval."""
    rng = np.random.default_rng(5)
    found = curve()
    flow = CRUISE.fuel_flow.value + LITRE_AN_HOUR * rng.standard_normal(20_000)
    speed = CRUISE.true_airspeed.value + 0.6 * rng.standard_normal(20_000)
    ranges = range_with(0.22, flow, speed, 1800.0, allowances=CRUISE.allowances)
    inside = np.mean((ranges > found.range_low[-1]) & (ranges < found.range_high[-1]))
    assert 0.89 < inside < 0.91


def test_furthest_with_a_payload() -> None:
    """With what full tanks allow it goes the whole range; with more, less; with too much, nowhere."""
    found = curve()
    whole = found.furthest_with(float(found.payload[-1]))
    assert whole is not None
    assert whole.value == pytest.approx(float(found.range[-1]))
    heavier = found.furthest_with(float(found.payload[-1]) + 30.0)
    assert heavier is not None
    assert heavier.value < whole.value
    fuel = np.interp(heavier.value, found.range, found.fuel)
    carried = float(capacity(AIRPLANE, "tail wheel", float(fuel)).payload[0])
    assert carried == pytest.approx(float(found.payload[-1]) + 30.0, abs=0.5)
    assert found.furthest_with(1000.0) is None


def test_wind_and_the_words() -> None:
    """A head wind shortens it; the sentence says wind, reserve, full tanks and seats."""
    still, windy = curve(), curve(head_wind=10.0)
    assert windy.range[-1] < still.range[-1]
    assert "With full tanks (220 L) it carries" in still.sentence
    assert "in still air, 30 min of fuel kept" in still.sentence
    assert "every seat taken (172 kg) leaves" in still.sentence
    assert "against 19 kt of head wind" in windy.sentence
    assert "with 19 kt of tail wind" in curve(head_wind=-10.0).sentence


def test_cg_costs_payload_where_it_binds() -> None:
    """With the aft limit brought forward payload falls below what mass allows, and the words say why."""
    narrow = replace(
        AIRPLANE,
        envelopes=(
            replace(
                AIRPLANE.envelopes[0],
                vertices=((1.5, 500.0), (1.5, 1090.0), (1.99, 1090.0), (1.99, 500.0)),
            ),
        ),
    )
    found = payload_range(
        narrow,
        "tail wheel",
        fuel_flow=CRUISE.fuel_flow,
        true_airspeed=CRUISE.true_airspeed,
        pilot=Pilot("front seats", 90.0),
    )
    assert found.payload[0] < found.payload_by_mass[0] - 10.0
    assert found.binding[0] == "aft limit"


def test_tanks_too_small_for_the_reserve() -> None:
    """A reserve that the tanks cannot hold is refused in litres."""
    with pytest.raises(InputError, match="taxi, climb and reserve take 390 L and the tanks hold 220 L"):
        curve(reserve=36_000.0)
