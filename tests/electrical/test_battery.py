"""Battery endurance against printed examples of Peukert's law, and the trap of its other form."""

import csv
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.model.published import last_digit
from wringout.airplane.airplane import Battery
from wringout.electrical import (
    available_charge,
    battery_endurance,
    battery_endurance_estimate,
    unit_current_endurance,
)
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

HOUR, WARM = 3600.0, 298.15
MAIN = Battery("main", 24.0 * HOUR, 20.0 * HOUR, 1.15, 12.0, charge_lost_per_kelvin=0.008, aged_fraction=0.8)


def example(case: str) -> tuple[dict[str, float], float, float]:
    """Inputs, printed hours and one unit of their last digit."""
    table = Path(__file__).parents[1] / "published" / "battery.csv"
    with table.open(encoding="utf-8", newline="") as rows:
        row = next(row for row in csv.DictReader(rows) if row["case"] == case)
    inputs = {name: float(value) for name, value in (part.split("=") for part in row["inputs"].split("|"))}
    return inputs, float(row["printed"]), last_digit(row["printed"])


def rated(inputs: dict[str, float]) -> Battery:
    """A fresh battery with a printed rating."""
    return Battery("printed", inputs["charge"] * HOUR, inputs["time"] * HOUR, inputs["exponent"], 12.0)


def test_rated_rate_example() -> None:
    """100 Ah at 20 h and k = 1.2 lasts the printed 8.7 h at 10 A."""
    inputs, hours, unit = example("EL-04")
    found = battery_endurance(rated(inputs), inputs["current"], WARM) / HOUR
    assert found == pytest.approx(hours, abs=unit)


@pytest.mark.parametrize("case", ["EL-05a", "EL-05b"])
def test_the_unit_current_form_is_another_law(case: str) -> None:
    """t = C/I^k gives its own printed hours, and far less than a battery rated over hours really lasts."""
    inputs, hours, unit = example(case)
    other_law = unit_current_endurance(inputs["charge"] * HOUR, inputs["current"], inputs["exponent"]) / HOUR
    assert other_law == pytest.approx(hours, abs=unit)
    ours = battery_endurance(rated(inputs), inputs["current"], WARM) / HOUR
    assert ours > 1.3 * other_law


@given(st.floats(1.0, 1.6), st.floats(1.0, 500.0), st.floats(0.5, 60.0))
def test_the_two_forms_meet_in_a_battery_rated_at_one_ampere(
    exponent: float, charge: float, current: float
) -> None:
    """Only where the rated time is the charge over one ampere do both forms say the same."""
    battery = Battery("any", charge * HOUR, charge * HOUR, exponent, 12.0)
    other = unit_current_endurance(charge * HOUR, current, exponent)
    assert battery_endurance(battery, current, WARM) == pytest.approx(other)
    with pytest.raises(ValueError, match="must be positive"):
        unit_current_endurance(charge, 0.0, exponent)


@given(st.floats(1.0, 1.6), st.floats(1.0, 500.0), st.floats(1.0, 30.0))
def test_rated_current_lasts_the_rated_time(exponent: float, charge: float, hours: float) -> None:
    """At its rated current a battery lasts its rated time, whatever the exponent."""
    battery = Battery("any", charge * HOUR, hours * HOUR, exponent, 12.0)
    assert battery_endurance(battery, charge / hours, WARM) == pytest.approx(hours * HOUR)


@given(st.floats(1.0, 60.0), st.floats(1.01, 3.0), st.floats(240.0, 298.0))
def test_more_current_and_more_cold_last_less(current: float, more: float, temperature: float) -> None:
    """Endurance falls faster than in proportion as current rises, and falls with cold."""
    time = battery_endurance(MAIN, current, WARM)
    assert battery_endurance(MAIN, current * more, WARM) < time / more
    assert battery_endurance(MAIN, current, temperature) < time


def test_age_and_cold_come_off_the_charge() -> None:
    """At 0 °C, 0.8 % a kelvin lost and 80 % left by age, 24 Ah are 24 × 0.8 × 0.8; warmth gains none."""
    assert available_charge(MAIN, 273.15) == pytest.approx(24.0 * HOUR * 0.8 * 0.8)
    assert available_charge(MAIN, 310.0) == available_charge(MAIN, WARM)
    assert battery_endurance(replace(MAIN, charge_lost_per_kelvin=0.04), 5.0, 250.0) == 0.0


def test_stated_uncertainty_is_that_of_draws() -> None:
    """Drawing charge, current, exponent and temperature, endurance scatters as the estimate states."""
    rng = np.random.default_rng(3)
    current = Estimate(9.0, 0.3, Dimension.CURRENT, "clamp meter")
    cold = Estimate(268.15, 2.0, Dimension.TEMPERATURE, "thermometer")
    stated = battery_endurance_estimate(
        MAIN, current, cold, charge_uncertainty=0.03, exponent_uncertainty=0.01
    )
    draws = [
        battery_endurance(
            replace(
                MAIN,
                charge=MAIN.charge * (1 + 0.03 * rng.standard_normal()),
                peukert_exponent=1.15 + 0.01 * rng.standard_normal(),
            ),
            9.0 + 0.3 * rng.standard_normal(),
            268.15 + 2.0 * rng.standard_normal(),
        )
        for _ in range(4000)
    ]
    assert stated.value == pytest.approx(battery_endurance(MAIN, 9.0, 268.15))
    assert stated.sd is not None
    assert 0.93 < np.std(draws) / stated.sd < 1.07


def test_refusals_and_nan() -> None:
    """No current, an exponent below one and temperatures in Celsius below zero are refused; NaN stays NaN."""
    with pytest.raises(ValueError, match="a current above zero, found 0 A"):
        battery_endurance(MAIN, 0.0, WARM)
    with pytest.raises(ValueError, match="exponent is one or more"):
        battery_endurance(replace(MAIN, peukert_exponent=0.9), 5.0, WARM)
    with pytest.raises(ValueError, match="kelvin is positive, found -5"):
        battery_endurance(MAIN, 5.0, -5.0)
    assert math.isnan(battery_endurance(MAIN, math.nan, WARM))
