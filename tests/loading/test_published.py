"""Every printed weight-and-balance example, to one unit of its last printed digit."""

from dataclasses import replace
from datetime import date

import pytest

from tests.loading.airplanes import printed_airplane
from tests.loading.published import AVGAS_DENSITY, INCH, POUND, US_GALLON, Printed, printed, rows_of
from wringout.airplane.airplane import ExchangeKit, Item, Weighing, WheelReading
from wringout.dossier.card import CardLoading
from wringout.loading import (
    EmptyMass,
    LoadingReport,
    exchange,
    loading_report,
    minimum_fuel,
    payload_with_fuel,
    useful_load,
    weigh,
)
from wringout.loading.balance import (
    ballast_mass,
    cg_after_change,
    cg_after_shift,
    chord_fraction,
    mass_to_shift,
)
from wringout.loading.empty import MassRow, total
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate


def agrees(example: Printed, quantity: str, value: float) -> None:
    """The value is within one unit of the last printed digit of the printed one."""
    wanted, unit = example.answers[quantity]
    assert value == pytest.approx(wanted, abs=unit), quantity


def weighed(readings: list[tuple[str, list[float]]], mass_unit: float) -> EmptyMass:
    """Printed readings and tares, and arms in inches, through the scales."""
    return weigh(
        Weighing(
            date(2007, 1, 1),
            "as printed",
            tuple(
                WheelReading(name, reading * mass_unit, tare * mass_unit, arm * INCH)
                for name, (reading, tare, arm) in readings
            ),
            reading_sd=0.0,
        )
    )


@pytest.mark.parametrize(("case", "mass_unit"), [("WB-01", POUND), ("WB-07", 1.0)])
def test_weighing_table(case: str, mass_unit: float) -> None:
    """Total, moment and CG of the printed weighing tables follow from readings, tares and arms."""
    example = printed(case)
    empty = weighed(rows_of(example.inputs["readings"]), mass_unit)
    agrees(example, "mass", empty.mass.value / mass_unit)
    agrees(example, "moment", empty.moment / (mass_unit * INCH))
    agrees(example, "cg", empty.arm.value / INCH)


@pytest.mark.parametrize("case", ["WB-02", "WB-03", "WB-04", "WB-05"])
def test_cg_from_two_wheel_loads(case: str) -> None:
    """Nose wheel or tail wheel, datum ahead of, at or behind the main wheels: the printed CG."""
    example = printed(case)
    readings = [
        ("third", [example.number("nose"), 0.0, example.number("nose_arm")]),
        ("mains", [example.number("main"), 0.0, example.number("main_arm")]),
    ]
    agrees(example, "cg", weighed(readings, POUND).arm.value / INCH)


@pytest.mark.parametrize("case", ["WB-10", "WB-11"])
def test_loading_table(case: str) -> None:
    """Mass, moment and CG of a printed loading table."""
    example = printed(case)
    rows = tuple(
        MassRow(name, mass * POUND, arm * INCH) for name, (mass, arm) in rows_of(example.inputs["rows"])
    )
    mass, cg = total(rows, "the table")
    agrees(example, "moment", mass * cg / (POUND * INCH))
    agrees(example, "cg", cg / INCH)


def test_weight_shift() -> None:
    """Moving a load moves the CG by the printed amount."""
    example = printed("WB-20")
    cg = cg_after_shift(*(example.number(name) for name in ("mass", "cg", "shifted", "from", "to")))
    agrees(example, "cg", cg)


@pytest.mark.parametrize("case", ["WB-21", "WB-23", "WB-25"])
def test_mass_to_shift(case: str) -> None:
    """The printed mass brings the CG where it is wanted."""
    example = printed(case)
    shifted = mass_to_shift(*(example.number(name) for name in ("mass", "cg", "wanted", "from", "to")))
    agrees(example, "shifted", shifted)


@pytest.mark.parametrize("case", ["WB-30", "WB-31", "WB-32"])
def test_mass_added_or_taken_off(case: str) -> None:
    """Adding, removing and burning mass moves the CG by the printed amount."""
    example = printed(case)
    cg = cg_after_change(*(example.number(name) for name in ("mass", "cg", "change", "arm")))
    agrees(example, "cg", cg)


def test_equipment_alteration() -> None:
    """Two seats off; cabinet, seat and radio on: the printed empty mass, moment, CG and shift."""
    example = printed("WB-40")
    mass, moment = example.number("mass") * POUND, example.number("moment") * POUND * INCH
    empty = EmptyMass(
        "before",
        Estimate(mass, 0.0, Dimension.MASS, "printed"),
        Estimate(moment / mass, 0.0, Dimension.LENGTH, "printed"),
        0.0,
        (MassRow("empty", mass, moment / mass),),
    )
    off, on = (
        tuple(Item(name, w * POUND, arm * INCH) for name, (w, arm) in rows_of(example.inputs[side]))
        for side in ("off", "on")
    )
    after = exchange(empty, ExchangeKit("cabin", off, on))
    agrees(example, "mass", after.mass.value / POUND)
    agrees(example, "moment", after.moment / (POUND * INCH))
    agrees(example, "cg", after.arm.value / INCH)
    agrees(example, "shift", (after.arm.value - empty.arm.value) / INCH)


@pytest.mark.parametrize("case", ["WB-41", "WB-42"])
def test_ballast(case: str) -> None:
    """The printed ballast brings the CG to the limit."""
    example = printed(case)
    mass, cg, limit, arm = (example.number(name) for name in ("mass", "cg", "limit", "arm"))
    agrees(example, "ballast", ballast_mass(mass, cg, limit, arm))
    added = ballast_mass(mass, cg, limit, arm)
    assert cg_after_change(mass, cg, added, arm) == pytest.approx(limit, rel=1e-12)


def printed_loading(case: str, fuel: float) -> tuple[Printed, LoadingReport]:
    """One of the adverse-loading examples, fuel [lb], through the whole loading report."""
    example = printed(case)
    stations = {name: numbers[0] * POUND for name, numbers in rows_of(example.inputs["stations"])}
    tanks = {"wing": fuel * POUND / AVGAS_DENSITY}
    loading = CardLoading(stations, {}, tanks, mass_sd=0.0, fuel_sd=0.0)
    return example, loading_report(printed_airplane(), "as printed", loading)


@pytest.mark.parametrize(("case", "fuel"), [("WB-50", 83.0), ("WB-52", 234.0), ("WB-53", 240.0)])
def test_adverse_loading_tables(case: str, fuel: float) -> None:
    """Mass, moment and CG of the printed extreme loadings; each is inside the printed limits."""
    example, report = printed_loading(case, fuel)
    ramp = report.state("ramp")
    agrees(example, "mass", ramp.mass.value / POUND)
    agrees(example, "moment", ramp.mass.value * ramp.cg.value / (POUND * INCH))
    if "cg" in example.answers:
        agrees(example, "cg", ramp.cg.value / INCH)
    assert report.within


def test_the_misprint_is_not_reproduced() -> None:
    """Fig. 10-13 prints +18.6 where its own totals, which we reproduce, give +18.3."""
    example, report = printed_loading("WB-52", 234.0)
    cg = report.state("ramp").cg.value / INCH
    by_its_own_totals = example.answers["moment"][0] / example.answers["mass"][0]
    assert cg == pytest.approx(by_its_own_totals, abs=0.001)
    assert abs(cg - example.answers["misprinted cg"][0]) > 0.2


def test_minimum_fuel_of_adverse_loading() -> None:
    """A twelfth of a gallon a horsepower at 6 lb a gallon: printed rounded up to the pound."""
    example = printed("WB-54")
    fuel = minimum_fuel(example.number("power") * 745.7) / US_GALLON * 6.0
    agrees(example, "minimum fuel", fuel)


def test_percent_of_mean_chord() -> None:
    """CG in per cent of the mean chord."""
    example = printed("WB-60")
    fraction = chord_fraction(*(example.number(name) for name in ("cg", "chord", "leading_edge")))
    agrees(example, "percent", 100.0 * fraction)


def test_useful_load_of_common_practice() -> None:
    """Of 900 lb, 25 US gal leave 750 lb and two of 250 lb leave 250 lb [common practice, no source]."""
    airplane = printed_airplane()
    record = airplane.empty
    empty = replace(record, mass=replace(record.mass, value=1200.0 * POUND))  # type: ignore[union-attr,arg-type]
    airplane = replace(airplane, empty=empty)
    assert useful_load(airplane, "as printed").value / POUND == pytest.approx(900.0)
    left = payload_with_fuel(airplane, "as printed", 25.0 * US_GALLON).value / POUND
    assert left == pytest.approx(750.0)
    assert left - 2 * 250.0 == pytest.approx(250.0)
