"""A build's empty mass, CG, useful load and price: the handbooks' examples, and by hand."""

from dataclasses import replace

import pytest

from tests.loading.airplanes import printed_airplane
from tests.loading.published import AVGAS_DENSITY, INCH, POUND, printed, rows_of
from tests.outfitting.hauler import HEATER, optioned
from wringout.airplane.airplane import EmptyRecord, Envelope, Item, Option
from wringout.dossier.card import CardLoading
from wringout.loading import empty_mass, loading_report
from wringout.outfitting import build, change, negligible
from wringout.outfitting.build import Build
from wringout.problems import InputError
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate


def _built(*options: str, configuration: str = "tail wheel") -> Build:
    return build(optioned(), configuration, options)


def test_the_printed_alteration_follows_as_an_option() -> None:
    """Two seats off; cabinet, seat and radio on: mass, moment, CG, shift [FAA mechanic test]."""
    example = printed("WB-40")
    mass, moment = example.number("mass") * POUND, example.number("moment") * POUND * INCH
    record = EmptyRecord(
        "as printed",
        Estimate(mass, 0.0, Dimension.MASS, "printed"),
        Estimate(moment / mass, 0.0, Dimension.LENGTH, "printed"),
        "printed",
    )
    off, on = (
        tuple(Item(name, w * POUND, arm * INCH) for name, (w, arm) in rows_of(example.inputs[side]))
        for side in ("off", "on")
    )
    airplane = printed_airplane()
    low, high = 500.0 * POUND, 4000.0 * POUND
    corners = ((0.5, low), (0.5, high), (1.5, high), (1.5, low))
    roomy = Envelope(airplane.envelopes[0].name, corners, high)
    airplane = replace(
        airplane, empty=record, envelopes=(roomy,), options=(Option("cabinet", off=off, on=on),)
    )
    before, after = (build(airplane, "as printed", names) for names in ((), ("cabinet",)))
    wanted = {key: (value, unit) for key, (value, unit) in example.answers.items()}
    empty = after.empty
    found = {
        "mass": empty.mass.value / POUND,
        "moment": empty.moment / (POUND * INCH),
        "cg": empty.arm.value / INCH,
        "shift": change(airplane, before, after).arm / INCH,
    }
    for key, (value, unit) in wanted.items():
        assert found[key] == pytest.approx(value, abs=unit), key


@pytest.mark.parametrize(("case", "fuel"), [("WB-50", 83.0), ("WB-53", 240.0)])
def test_the_printed_extreme_loadings_hold_where_the_oil_is_an_option(case: str, fuel: float) -> None:
    """The examples of AC 43.13-1B, figs. 10-10 and 10-14, with the oil put on as equipment."""
    example = printed(case)
    stations = {name: numbers[0] * POUND for name, numbers in rows_of(example.inputs["stations"])}
    airplane = printed_airplane()
    place = next(station for station in airplane.stations if station.name == "oil")
    oil = Option("oil", on=(Item("oil", stations.pop("oil"), place.arm),))
    built = build(replace(airplane, options=(oil,)), "as printed", ["oil"])
    loading = CardLoading(stations, {}, {"wing": fuel * POUND / AVGAS_DENSITY}, mass_sd=0.0, fuel_sd=0.0)
    ramp = loading_report(built.airplane, "as printed", loading).state("ramp")
    mass, moment = ramp.mass.value / POUND, ramp.mass.value * ramp.cg.value / (POUND * INCH)
    for key, found in (("mass", mass), ("moment", moment), ("cg", moment / mass)):
        value, unit = example.answers[key]
        assert found == pytest.approx(value, abs=unit), key


def test_what_was_aboard_when_weighed_comes_off_where_it_is_not_wanted() -> None:
    """The heater of 4 kg at 0.60 m is in the weighing: a build without it weighs 4 kg less."""
    weighed = empty_mass(optioned(), "tail wheel")
    with_heater, without = _built("heater"), _built()
    assert with_heater.empty.mass.value == pytest.approx(weighed.mass.value, abs=1e-12)
    assert without.empty.mass.value == pytest.approx(weighed.mass.value - 4.0, abs=1e-9)
    moment = weighed.moment - 4.0 * 0.6
    assert without.empty.arm.value == pytest.approx(moment / (weighed.mass.value - 4.0), abs=1e-12)


def test_kit_and_options_together_by_hand() -> None:
    """Nose-wheel kit, cargo floor and winch: the sum of every item about the datum."""
    weighed = empty_mass(optioned(), "tail wheel")
    kit = -24.0 - 6.0 + 27.0 + 14.0
    kit_moment = -24.0 * 1.6 - 6.0 * 7.0 + 27.0 * 2.35 + 14.0 * 0.55
    mass = weighed.mass.value + kit + 9.5 + 14.0
    moment = weighed.moment + kit_moment + 9.5 * 2.95 + 14.0 * 3.2
    built = _built("heater", "cargo floor", "winch", configuration="nose wheel")
    assert built.empty.mass.value == pytest.approx(mass, abs=1e-9)
    assert built.empty.arm.value == pytest.approx(moment / mass, abs=1e-12)
    assert built.useful_load.value == pytest.approx(1094.0 - mass, abs=1e-9)
    assert built.full_fuel == pytest.approx(1094.0 - mass - 0.22 * 720.0, abs=1e-9)
    # The airplane so built is an airplane: its own record gives the same.
    again = empty_mass(built.airplane, "nose wheel")
    assert (again.mass.value, again.arm.value) == (built.empty.mass.value, built.empty.arm.value)


def test_options_bring_their_places_tanks_and_limits() -> None:
    """A stronger floor, one more tank, a higher mass."""
    built = _built("heater", "cargo floor", "tip tanks", "gross-weight kit")
    bay = next(station for station in built.airplane.stations if station.name == "bay")
    assert bay.mass_limit == 210.0
    assert [tank.name for tank in built.airplane.tanks][-1] == "tips"
    assert built.envelope.name == "heavier"
    assert built.useful_load.value == pytest.approx(1180.0 - built.empty.mass.value)


def test_the_order_of_the_options_does_not_matter() -> None:
    """Mass and moment are sums."""
    one, other = _built("winch", "heater", "cargo floor"), _built("cargo floor", "winch", "heater")
    assert one.options == other.options
    assert one.empty.mass.value == other.empty.mass.value


def test_uncertainty_of_the_weighing_is_carried() -> None:
    """Mass keeps its standard uncertainty; the items' own figures count as exact."""
    assert _built("heater", "winch", "cargo floor").empty.mass.sd == pytest.approx(
        empty_mass(optioned(), "tail wheel").mass.sd, rel=1e-9
    )


def test_beliefs_of_drag_count_from_the_airplane_as_weighed() -> None:
    """What was fitted then is in the flown drag already."""
    drag = _built("31-inch tyres", "heater").drag_area_change
    assert drag is not None
    assert (drag.value, drag.sd) == (0.04, 0.02)
    assert _built("heater").drag_area_change is None
    airplane = optioned()
    shaped = replace(HEATER, drag_area_change=Estimate(0.01, 0.005, Dimension.AREA, "belief"))
    options = tuple(shaped if option is HEATER else option for option in airplane.options)
    without = build(replace(airplane, options=options), "tail wheel", ["31-inch tyres"]).drag_area_change
    assert without is not None
    assert without.value == pytest.approx(0.04 - 0.01)
    assert without.sd == pytest.approx((0.02**2 + 0.005**2) ** 0.5)


def test_a_build_too_heavy_for_its_pilot_is_refused() -> None:
    """It says what is left."""
    airplane = optioned()
    lead = Option("lead", on=(Item("lead", 400.0, 2.0),))
    with pytest.raises(InputError, match="not even a pilot"):
        build(replace(airplane, options=(lead,)), "tail wheel", ["lead"])


def test_work_price_and_steps_of_a_change() -> None:
    """Hours times people, sums by currency, what nobody says counted apart."""
    airplane = optioned()
    before = build(airplane, "tail wheel", ["heater"])
    after = build(airplane, "nose wheel", ["cargo floor", "winch"])
    found = change(airplane, before, after)
    assert [(step.name, step.goes) for step in found.steps] == [
        ("nose wheel", "on"),
        ("heater", "off"),
        ("cargo floor", "on"),
        ("winch", "on"),
    ]
    assert found.labour == 8 * 3600.0 * 2 + 3600.0
    assert found.labour_unknown == 2
    assert [(price.currency, price.amount) for price in found.prices] == [("EUR", 1450.0), ("USD", 900.0)]
    assert found.prices_unknown == 1  # the kit's price is no amount
    assert found.mass == pytest.approx(sum(step.mass for step in found.steps), abs=1e-9)
    moment = after.empty.moment - before.empty.moment
    assert moment == pytest.approx(sum(step.moment for step in found.steps), abs=1e-9)


def test_there_and_back_is_no_change() -> None:
    """The change undone brings the empty mass back, and its steps are the same things the other way."""
    airplane = optioned()
    before, after = (
        build(airplane, "tail wheel", ["heater"]),
        build(airplane, "nose wheel", ["winch", "cargo floor"]),
    )
    there, back = change(airplane, before, after), change(airplane, after, before)
    assert there.mass == pytest.approx(-back.mass, abs=1e-9)
    assert {step.name for step in there.steps} == {step.name for step in back.steps}
    assert change(airplane, before, before).steps == ()


@pytest.mark.parametrize(
    ("pounds", "inches", "empty_pounds", "wanted"),
    [
        (1.0, 0.0, 1169.0, True),
        (1.1, 0.0, 1169.0, False),
        (2.0, 0.0, 6000.0, True),
        (2.1, 0.0, 6000.0, False),
        (5.0, 0.0, 51000.0, True),
        (5.1, 0.0, 51000.0, False),
        (0.0, 0.03, 1169.0, True),  # 0.05 % of 1.60 m is 0.0315 in
        (0.0, 0.033, 1169.0, False),
    ],
)
def test_negligible_changes_are_those_of_the_circular(
    pounds: float, inches: float, empty_pounds: float, wanted: bool
) -> None:
    """1, 2 and 5 lb by class of empty weight, and 0.05 % of the mean chord [AC43.13-1B, par. 10-2 c]."""
    base = _built("heater")

    def with_empty(mass: float, arm: float) -> Build:
        mass_estimate = replace(base.empty.mass, value=mass)
        return replace(
            base, empty=replace(base.empty, mass=mass_estimate, arm=replace(base.empty.arm, value=arm))
        )

    before = with_empty(empty_pounds * POUND, 2.0)
    after = with_empty((empty_pounds + pounds) * POUND, 2.0 + inches * INCH)
    assert negligible(before, after) is wanted
