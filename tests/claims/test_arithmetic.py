"""Claims that arithmetic decides: each with a number reckoned by hand."""

from dataclasses import replace
from typing import Any

import pytest

from tests.claims.hand_built import AMERICAN, NO_POINTS, claim, dossier
from tests.model.invented import airplane
from wringout.airplane.airplane import Battery, Electrical, ElectricalLoad, EmptyRecord, Tank
from wringout.claims import Verdict, judge
from wringout.dossier.claim import Claim
from wringout.dossier.dossier import Units
from wringout.model import fit
from wringout.problems import InputError
from wringout.quantity import to_si

UNFLOWN = fit(airplane(), NO_POINTS, seed=1, draws=300)
MPH, FOOT, GALLON, MILE, HOUR = 0.44704, 0.3048, 3.785411784e-3, 1609.344, 3600.0


def verdict(*claims: Claim, units: Units | None = None, **changes: object) -> Verdict:
    """The verdict on the first of some claims of the tests' airplane, nothing flown."""
    made = airplane(**changes)
    return judge(dossier(*claims, made=made, units=units), NO_POINTS, UNFLOWN)[0]


def said(found: Verdict) -> str:
    """Everything that a verdict says."""
    return "; ".join([found.reason, *(item.arithmetic for item in found.evidence), *found.assumptions])


def test_a_stop_that_tyres_do_not_give_and_the_wind_that_helps() -> None:
    """30 ft from 33 mph: 1.21 g in still air, beyond tyres; 0.59 g against 10 mph. Both halves are said."""
    found = verdict(
        claim(
            "stopping distance",
            "at most",
            "30 ft",
            speed=33 * MPH,
            surface="asphalt",
            configuration="tail wheel",
        ),
        units=AMERICAN,
    )
    assert found.finding == "not borne out"
    words = said(found)
    assert "a stop in 30 ft from 33 mph in still air needs 1.2 g, more than tyres give on asphalt" in words
    assert "10 mph of head wind would bring it to 0.59 g" in words


def test_a_stop_claimed_with_wind_is_told_without() -> None:
    """The same stop claimed against 10 mph: 0.59 g, and still air would ask for 1.2 g."""
    found = verdict(
        claim(
            "stopping distance",
            "at most",
            "30 ft",
            speed=33 * MPH,
            head_wind=10 * MPH,
            surface="asphalt",
            configuration="nose wheel",
        ),
        units=AMERICAN,
    )
    words = said(found)
    assert "against 10 mph of wind needs 0.59 g" in words
    assert "still air would ask for 1.2 g" in words
    assert found.finding in ("not tested", "not borne out")


def test_a_stop_within_reach_is_not_tested_without_landings() -> None:
    """400 ft from 33 mph asks 0.09 g: possible, and no landing was flown that shows it."""
    found = verdict(claim("stopping distance", "at most", "400 ft", speed=33 * MPH), units=AMERICAN)
    assert found.finding == "not tested"
    assert found.probability is None
    assert "less than tyres give" in said(found)


def test_range_by_the_makers_own_figures() -> None:
    """46 US gal at 9 US gal/h less 30 min at 120 mph: 4.611 h, 553 statute miles."""
    tanks = (Tank("main", 46 * GALLON, 0.0, ((0.0, 0.5),)),)
    found = verdict(
        claim(
            "range",
            "about",
            "550 sm",
            10 * MILE,
            fuel=46 * GALLON,
            fuel_flow=9 * GALLON / HOUR,
            speed=120 * MPH,
            configuration="tail wheel",
        ),
        units=AMERICAN,
        tanks=tanks,
    )
    (own,) = [item for item in found.evidence if item.kind == "arithmetic"]
    assert own.figure is not None
    assert own.figure.value / MILE == pytest.approx(553.33, abs=0.01)
    assert own.probability == 1.0
    assert "46 US gal at 9 US gal/h less 30 min: 4 h 37 min at 120 mph: 553 sm" in own.arithmetic
    assert "reserve not stated: 30 min at cruise, by day [CFR91.151]" in found.assumptions
    assert found.finding == "not tested"  # that a maker's figures agree does not make them true


def test_range_that_contradicts_the_other_claims() -> None:
    """Speed and flow of the register give 553 miles: 700 is not borne out, though nothing was flown."""
    state: dict[str, Any] = {"configuration": "tail wheel", "power_fraction": 0.65}
    tanks = (Tank("main", 46 * GALLON, 0.0, ((0.0, 0.5),)),)
    found = verdict(
        claim("range", "at least", "700 sm", reserve=1800.0, **state),
        claim("cruise speed", "at least", "120 mph", **state),
        claim("fuel flow", "at most", "9.0 US gal/h", **state),
        claim("fuel flow", "at most", "7.0 US gal/h", configuration="tail wheel", power_fraction=0.45),
        units=AMERICAN,
        tanks=tanks,
    )
    assert found.finding == "not borne out"
    assert "the maker's own figures give 553 sm" in found.reason


def test_endurance_by_the_makers_own_figures() -> None:
    """46 US gal at 9 US gal/h less 45 min: 4 h 22 min, so five hours contradict."""
    tanks = (Tank("main", 46 * GALLON, 0.0, ((0.0, 0.5),)),)
    found = verdict(
        claim("endurance", "at least", "5 h", fuel_flow=9 * GALLON / HOUR, reserve=2700.0),
        units=AMERICAN,
        tanks=tanks,
    )
    assert "4 h 22 min" in said(found)
    assert found.finding == "not borne out"


def test_useful_load_as_recorded() -> None:
    """1090 − 668 ± 1.5 kg leaves 422 ± 1.5 kg: at least 420 kg holds from 419.5 kg, 95.2 %."""
    found = verdict(claim("useful load", "at least", "420 kg", configuration="tail wheel"))
    assert found.probability == pytest.approx(0.9522, abs=1e-4)
    assert found.finding == "borne out"
    assert "1 090 kg less 668.0 ± 1.5 kg empty: 422.0 ± 1.5 kg".replace(" 0", "\u202f0") in said(found)


def test_useful_load_against_the_makers_own_empty_mass() -> None:
    """An empty mass claimed at 650 kg would leave 440 kg: said beside what the record leaves."""
    found = verdict(
        claim("useful load", "at least", "440 kg", configuration="tail wheel"),
        claim("empty mass", "about", "650 kg", configuration="tail wheel"),
    )
    assert found.finding == "not borne out"
    assert "by the maker's own empty mass, 650 kg: 440 kg" in said(found)


def test_empty_mass_within_its_rounding() -> None:
    """668 ± 1.5 kg against 'about 668 kg', one unit either way: 49.5 %, open."""
    found = verdict(claim("empty mass", "about", "668 kg", configuration="tail wheel"))
    assert found.probability == pytest.approx(0.4950, abs=1e-4)
    assert found.finding == "open"


def test_full_seats_full_tanks_and_full_bay() -> None:
    """2 × 86 kg, 160 kg and 180 L of 0.72 kg/L are 461.6 kg against 422 kg: 39.6 kg too much."""
    together: dict[str, Any] = {
        "configuration": "tail wheel",
        "fuel": 0.18,
        "occupants": 2,
        "occupant_mass": 86.0,
    }
    found = verdict(claim("payload", "at least", "332 kg", baggage=160.0, **together))
    assert found.finding == "not borne out"
    words = said(found)
    assert "2 people 172 kg + 160 kg of baggage + 130 kg of fuel = 462 kg" in words
    assert "39.6 kg too much" in words
    assert "292.4 ± 1.5 kg left" in words


def test_payload_beside_the_occupants() -> None:
    """A figure smaller than the people themselves is what goes beside them: 422 − 129.6 − 172 = 120.4 kg."""
    found = verdict(
        claim("payload", "at least", "110 kg", configuration="tail wheel", occupants=2, occupant_mass=86.0)
    )
    assert "120.4 ± 1.5 kg left" in said(found)
    assert "the payload claimed is taken as what goes beside the occupants" in found.assumptions
    assert "fuel not stated: full tanks, 180 L usable" in found.assumptions
    assert found.finding == "borne out"


def test_more_fuel_than_the_tanks_hold() -> None:
    """A payload with 300 L in 180 L tanks cannot be."""
    found = verdict(claim("payload", "at least", "100 kg", configuration="tail wheel", fuel=0.3))
    assert found.finding == "not borne out"
    assert "the tanks hold 180 L" in found.reason


def test_a_record_without_uncertainty_answers_yes_or_no() -> None:
    """No standard uncertainty in the record: the verdict is certain, and says from what."""
    record = EmptyRecord(
        "tail wheel",
        replace(airplane().empty.mass, sd=None),  # type: ignore[union-attr]  # the tests' airplane has a record
        airplane().empty.arm,  # type: ignore[union-attr]  # likewise
        "invented record",
    )
    found = verdict(claim("useful load", "at least", "423 kg", configuration="tail wheel"), empty=record)
    assert found.probability == 0.0


def test_a_battery_in_the_cold() -> None:
    """4 Ah × 0.85 × (1 − 0.01 × 35) = 2.21 Ah at 2.1 A and k 1.15: 20 h (2.21/42)^1.15 = 40.6 min."""
    battery = Battery(
        "back-up", 4 * HOUR, 20 * HOUR, 1.15, 12.8, charge_lost_per_kelvin=0.01, aged_fraction=0.85
    )
    electrical = Electrical(
        60.0, (battery,), (ElectricalLoad("ignition", 2.1, ("back-up",), essential=True),)
    )
    found = verdict(
        claim(
            "battery endurance",
            "at least",
            "60 min",
            battery="back-up",
            load=("ignition",),
            temperature=263.15,
        ),
        electrical=electrical,
    )
    assert found.finding == "not borne out"
    (evidence,) = found.evidence
    assert evidence.figure is not None
    assert evidence.figure.value / 60.0 == pytest.approx(40.60, abs=0.01)
    assert "2.21 Ah left" in evidence.arithmetic
    warm = verdict(claim("battery endurance", "at least", "60 min"), electrical=electrical)
    assert "temperature of the battery not stated: 25 °C, at which it is rated" in warm.assumptions
    assert "loads not stated: the essential ones it feeds, ignition" in warm.assumptions


def test_what_a_claim_names_must_be_there() -> None:
    """A configuration, battery or load that the airplane has not: every one is told, with the claim."""
    claims = (
        claim("rate of climb", "at least", "900 ft/min", configuration="floats"),
        claim("battery endurance", "at least", "60 min", battery="third"),
    )
    battery = Battery("main", 24 * HOUR, 20 * HOUR, 1.15, 12.8)
    electrical = Electrical(60.0, (battery,), (ElectricalLoad("radio", 1.0, ("main",), essential=True),))
    with pytest.raises(InputError) as caught:
        judge(dossier(*claims, made=airplane(electrical=electrical)), NO_POINTS, UNFLOWN)
    words = str(caught.value)
    assert "floats" in words
    assert "third" in words
    assert "claims.toml" in words


def test_units_are_those_of_the_dossier() -> None:
    """The same useful load in pounds: 422 kg are 930 lb."""
    found = verdict(claim("useful load", "at least", "420 kg", configuration="tail wheel"), units=AMERICAN)
    assert "930.4 ± 3.3 lb" in said(found)
    assert to_si(930.4, "lb") == pytest.approx(422.0, abs=0.1)
