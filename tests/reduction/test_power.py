"""Shaft power from the maker's table or from fuel flow, each saying which."""

from dataclasses import replace

import pytest

from tests.reduction.handmade import airplane
from wringout.airplane.airplane import Airplane
from wringout.physics.atmosphere import standard_pressure, standard_temperature
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.power import CHART_SD, CONSUMPTION_SD, shaft_power

PRESSURE = float(standard_pressure(1500.0))
STANDARD = float(standard_temperature(1500.0))
SPEED = Estimate(40.0, 0.0, Dimension.ROTATION, "tachometer")
MANIFOLD = Estimate(70_000.0, 0.0, Dimension.PRESSURE, "gauge")
FLOW = Estimate(1e-5, 0.0, Dimension.VOLUME_FLOW, "meter")


def power(
    plane: Airplane,
    *,
    speed: Estimate | None = SPEED,
    manifold: Estimate | None = MANIFOLD,
    flow: Estimate | None = FLOW,
    temperature: float = STANDARD,
    full: bool = False,
) -> Estimate | None:
    """Power at 2400 rev/min and 700 hPa at 1500 m unless said otherwise."""
    found, by_fuel = shaft_power(
        plane,
        full_throttle=full,
        pressure=PRESSURE,
        temperature=temperature,
        engine_speed=speed,
        manifold_pressure=manifold,
        fuel_flow=flow,
    )
    assert by_fuel == (found is not None and found.source.startswith("fuel flow"))
    return found


def test_table_comes_first_and_names_the_fuel() -> None:
    """The table's power at the setting, the fuel's figure beside it with how they agree."""
    found = power(airplane())
    assert found is not None
    assert found.value == pytest.approx(149_000.0 * (2400.0 / 2700.0) * 0.7**1.1, rel=0.01)
    assert found.sd == pytest.approx(CHART_SD * found.value, rel=0.15)
    assert "fuel flow gives 96.0 kW" in found.source
    assert "agrees" in found.source


def test_warm_air_costs_power() -> None:
    """At the same manifold pressure power falls with the root of temperature."""
    standard, warm = power(airplane()), power(airplane(), temperature=1.1 * STANDARD)
    assert standard is not None
    assert warm is not None
    assert warm.value == pytest.approx(standard.value / 1.1**0.5)


def test_fuel_serves_where_the_table_does_not_reach() -> None:
    """A setting off the table, or a log without manifold pressure, leaves the fuel flow: Q ρ / c."""
    by_fuel = 1e-5 * 720.0 / 7.5e-8
    high = Estimate(100_000.0, 0.0, Dimension.PRESSURE, "gauge")
    for found in (power(airplane(), manifold=high), power(airplane(), manifold=None)):
        assert found is not None
        assert found.value == pytest.approx(by_fuel)
        assert found.sd == pytest.approx(CONSUMPTION_SD * by_fuel)
    full = power(airplane(), manifold=None, full=True)
    assert full is not None
    assert full.value == pytest.approx(1e-5 * 720.0 / 9e-8)


def test_neither_gives_none() -> None:
    """Without table and without fuel flow there is no power to state."""
    bare = replace(airplane(), engine=replace(airplane().engine, chart=()))
    assert power(bare, flow=None) is None
    assert power(airplane(), speed=None, flow=None) is None
