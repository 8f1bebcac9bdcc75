"""The loading report: states, path, limits, and which limit binds."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.loading.airplanes import ENVELOPE, hauler, loading
from wringout.airplane.airplane import Envelope, Tank
from wringout.dossier.card import CardLoading
from wringout.loading import loading_report, margins, mass_and_cg, mass_and_cg_sd
from wringout.problems import InputError

AIRPLANE = hauler()

LOADINGS = st.builds(
    CardLoading,
    st.fixed_dictionaries(
        {
            "front seats": st.floats(60.0, 260.0),
            "bay": st.floats(1.0, 250.0),
            "tail locker": st.floats(0.0, 20.0),
        }
    ),
    st.fixed_dictionaries({"bay": st.floats(2.55, 3.35)}),
    st.fixed_dictionaries(
        {"left": st.floats(0.0, 0.09), "right": st.floats(0.0, 0.09), "auxiliary": st.floats(0.0, 0.04)}
    ),
    st.just(0.5),
    st.just(0.001),
)


def test_states_in_their_order() -> None:
    """Ramp, take-off, landing and zero fuel, each by the fuel that is left; rows add up to the ramp."""
    report = loading_report(AIRPLANE, "tail wheel", loading(bay=50.0), taxi_fuel=0.004, landing_fuel=0.03)
    assert [state.name for state in report.states] == ["ramp", "take-off", "landing", "zero fuel"]
    assert [state.fuel for state in report.states] == pytest.approx([0.12, 0.116, 0.03, 0.0])
    ramp = report.state("ramp")
    assert sum(row.mass for row in report.rows) == pytest.approx(ramp.mass.value)
    assert sum(row.moment for row in report.rows) == pytest.approx(ramp.mass.value * ramp.cg.value)
    assert report.within
    assert report.sentence().startswith("Within every limit; nearest is the ")
    assert ramp.chord_fraction == pytest.approx((ramp.cg.value - 1.50) / 1.60)


@settings(max_examples=60, deadline=None)
@given(LOADINGS)
def test_within_means_within_everywhere(card: CardLoading) -> None:
    """`within` agrees with a slow walk: every place limit, and 400 moments of the burn, by their own sums."""
    report = loading_report(AIRPLANE, "nose wheel", card)
    bay, locker = card.stations["bay"], card.stations["tail locker"]
    places = (
        card.stations["front seats"] <= 240.0 and bay <= min(180.0, 1.5 * 150.0) and locker <= 15.0
    ) and bay + locker <= 185.0
    burnt = np.linspace(0.0, sum(card.fuel.values()), 400)
    mass, cg = mass_and_cg(AIRPLANE, "nose wheel", card, burnt)
    found = margins(ENVELOPE, mass, cg)
    walk = bool(np.all(found.inside)) and bool(mass[-1] <= 1020.0)
    closest = min(abs(float(m)) for m in (*found.forward, *found.aft, found.maximum[0], mass[-1] - 1020.0))
    if closest > 1e-4:  # on the very edge the finer path may see more than 400 moments do
        assert report.within == (places and walk)
    assert report.within == (report.binding.margin >= -1e-6)


@settings(max_examples=40, deadline=None)
@given(LOADINGS)
def test_binding_is_no_farther_than_any_state(card: CardLoading) -> None:
    """The binding limit has the least share left of all that the states and places show."""
    report = loading_report(AIRPLANE, "tail wheel", card)
    width = 2.25 - 1.80
    for state in report.states:
        assert report.binding.share <= min(state.forward, state.aft) / width + 1e-12
        assert report.binding.share <= state.mass_margin / (state.maximum_mass - 600.0) + 1e-12
    for check in report.limits:
        assert report.binding.share <= check.margin / check.limit + 1e-12


def test_uncertainty_is_on_every_state() -> None:
    """Each state carries the standard uncertainties of `mass_and_cg_sd`."""
    card = loading(bay=50.0)
    report = loading_report(AIRPLANE, "tail wheel", card)
    mass_sd, cg_sd = mass_and_cg_sd(AIRPLANE, "tail wheel", card, [0.0, 0.0, 0.12])
    assert [state.mass.sd for state in report.states] == pytest.approx(list(mass_sd))
    assert [state.cg.sd for state in report.states] == pytest.approx(list(cg_sd))


@pytest.mark.parametrize(
    ("stations", "fuel", "words"),
    [
        ({"tail_locker": 15.5}, 0.06, "0.5 kg beyond the limit of tail locker as loaded"),
        (
            {"bay": 178.0, "tail_locker": 12.0, "front_seats": 120.0},
            0.03,
            "5.0 kg beyond the combined limit bay and locker as loaded",
        ),
        ({"bay": 180.0, "front_seats": 240.0}, 0.0, "highest zero-fuel mass with no fuel"),
    ],
)
def test_what_binds_is_named(stations: dict[str, float], fuel: float, words: str) -> None:
    """The sentence names the limit and by how much."""
    card = loading(**({"bay": 1.0} | stations))
    card = replace(card, fuel={"left": fuel, "right": fuel})
    report = loading_report(AIRPLANE, "tail wheel", card)
    assert not report.within
    assert words in report.sentence()


def test_floor_load_is_mass_over_area() -> None:
    """A load of 180 kg on a floor of 1.0 m² is 180 kg/m² against 150."""
    small = tuple(
        replace(station, floor_area=1.0) if station.name == "bay" else station
        for station in AIRPLANE.stations
    )
    report = loading_report(replace(AIRPLANE, stations=small), "tail wheel", loading(bay=180.0))
    floor = next(check for check in report.limits if check.kind == "floor")
    assert (floor.found, floor.limit, floor.within) == (180.0, 150.0, False)
    assert "30.0 kg/m² beyond the floor limit of bay" in report.sentence()


def test_a_burn_that_leaves_the_envelope_in_its_middle_is_found() -> None:
    """A front tank drawn first takes the CG aft beyond the limit before the rear tank brings it back."""
    front_first = replace(
        AIRPLANE,
        tanks=(
            Tank("front", 0.08, 0.0, ((0.08, 1.00),)),
            Tank("rear", 0.08, 0.0, ((0.08, 3.00),), burn_order=2),
        ),
        envelopes=(
            Envelope("normal", ((1.80, 600.0), (1.80, 1090.0), (2.01, 1090.0), (2.01, 600.0)), 1090.0),
        ),
    )
    card = CardLoading({"front seats": 172.0}, {}, {"front": 0.08, "rear": 0.08}, 0.5, 0.001)
    report = loading_report(front_first, "tail wheel", card)
    assert all(state.inside for state in report.states)
    assert not report.within
    assert "beyond the aft limit with 80 L of fuel left" in report.sentence()


def test_ramp_mass_has_its_own_limit() -> None:
    """Between take-off and ramp limit an airplane may stand on the ramp if taxi burns the difference."""
    card = replace(loading(bay=73.4), fuel={"left": 0.09, "right": 0.09, "auxiliary": 0.04})
    heavy = replace(card, stations={**card.stations, "bay": 91.5})
    report = loading_report(AIRPLANE, "tail wheel", heavy, taxi_fuel=0.0)
    assert report.state("ramp").mass.value > 1090.0
    assert report.state("ramp").inside
    assert not report.state("take-off").inside
    after_taxi = loading_report(AIRPLANE, "tail wheel", heavy, taxi_fuel=0.005)
    assert after_taxi.state("take-off").inside


def test_fuel_that_is_not_aboard_is_refused() -> None:
    """Taxi or landing fuel beyond what is aboard is refused in litres."""
    with pytest.raises(InputError, match="the taxi takes 200 L and 120 L are aboard"):
        loading_report(AIRPLANE, "tail wheel", loading(), taxi_fuel=0.2)
    with pytest.raises(InputError, match="130 L at landing, 110 L at take-off"):
        loading_report(AIRPLANE, "tail wheel", loading(), taxi_fuel=0.01, landing_fuel=0.13)


def test_landing_fuel_comes_from_the_card() -> None:
    """What was left at shutdown is the landing fuel; without it the landing is left out, and said so."""
    card = replace(loading(), fuel_at_shutdown={"left": 0.02, "right": 0.015})
    assert loading_report(AIRPLANE, "tail wheel", card).state("landing").fuel == pytest.approx(0.035)
    without = loading_report(AIRPLANE, "tail wheel", loading())
    assert "landing mass is not examined" in without.notes[0]
    with pytest.raises(KeyError):
        without.state("landing")
