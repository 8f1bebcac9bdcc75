"""Most payload, worst loadings and least ballast, each against what a blind search finds."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.loading.airplanes import ENVELOPE, hauler, loading, printed_airplane
from tests.loading.published import INCH, POUND, printed
from wringout.airplane.airplane import EmptyRecord, Envelope
from wringout.dossier.card import CardLoading
from wringout.loading import (
    Pilot,
    adverse_loadings,
    ballast,
    capacity,
    empty_mass,
    fuel_in_tanks,
    loading_report,
    useful_load,
    usual_pilot,
)
from wringout.loading.balance import ballast_mass
from wringout.problems import InputError

AIRPLANE = hauler()

ALLOWED = st.tuples(
    st.floats(86.0, 240.0),
    st.floats(0.0, 180.0),
    st.floats(2.55, 3.35),
    st.floats(0.0, 15.0),
    st.floats(0.02, 0.22),
)


def card(front: float, bay: float, bay_arm: float, locker: float, fuel: float) -> CardLoading:
    """A loading with fuel as a burn from full tanks leaves it."""
    return CardLoading(
        {"front seats": front, "bay": bay, "tail locker": locker},
        {"bay": bay_arm},
        fuel_in_tanks(AIRPLANE.tanks, fuel),
        mass_sd=0.0,
        fuel_sd=0.0,
    )


@settings(max_examples=40, deadline=None)
@given(ALLOWED)
def test_no_loading_carries_more(case: tuple[float, float, float, float, float]) -> None:
    """No loading that is within every limit carries more than `capacity` says."""
    built = card(*case)
    report = loading_report(AIRPLANE, "tail wheel", built)
    assume(report.state("zero fuel").mass.value <= 1020.0)
    assume(report.within)
    most = capacity(AIRPLANE, "tail wheel", case[4])
    assert sum(built.stations.values()) <= float(most.payload[0]) + 0.01


def blind_search(fuel: float, configuration: str) -> float:
    """Most payload by trying a grid of loadings, each through the whole loading report."""
    best = 0.0
    for front in np.linspace(86.0, 240.0, 8):
        for bay in np.linspace(0.0, 180.0, 10):
            if front + bay <= best:
                continue
            for arm in (2.55, 2.95, 3.35):
                for locker in (0.0, 5.0):
                    built = card(float(front), float(bay), arm, locker, fuel)
                    if loading_report(AIRPLANE, configuration, built).within:
                        best = max(best, sum(built.stations.values()))
    return best


@pytest.mark.parametrize(("fuel", "configuration"), [(0.05, "tail wheel"), (0.22, "nose wheel")])
def test_a_blind_search_comes_near(fuel: float, configuration: str) -> None:
    """A coarse search over loadings reaches `capacity` within the step of its grid, and not beyond."""
    most = float(capacity(AIRPLANE, configuration, fuel).payload[0])
    found = blind_search(fuel, configuration)
    assert found <= most + 0.01
    assert found >= most - 25.0


def test_mass_limits_alone() -> None:
    """By mass alone it is useful load to the take-off limit less fuel, or less where zero fuel limits."""
    most = capacity(AIRPLANE, "tail wheel", [0.02, 0.22])
    empty = empty_mass(AIRPLANE, "tail wheel").mass.value
    assert most.by_mass == pytest.approx([1020.0 - empty, 1090.0 - empty - 0.22 * 720.0])
    assert np.all(most.payload <= most.by_mass + 1e-6)
    assert useful_load(AIRPLANE, "tail wheel").value == pytest.approx(1094.0 - empty)


def between(forward: float, aft: float) -> Envelope:
    """The invented envelope with straight CG limits."""
    return replace(ENVELOPE, vertices=((forward, 500.0), (forward, 1090.0), (aft, 1090.0), (aft, 500.0)))


@pytest.mark.parametrize(
    ("envelope", "binding"),
    [
        (between(1.50, 2.60), "highest zero-fuel mass"),
        (between(1.50, 2.04), "aft limit"),
        (between(2.24, 2.60), "forward limit"),
    ],
)
def test_what_stops_more_is_named(envelope: Envelope, binding: str) -> None:
    """The words name the limit that a little more payload would break."""
    airplane = replace(AIRPLANE, envelopes=(envelope,))
    most = capacity(airplane, "tail wheel", 0.05, Pilot("front seats", 60.0))
    assert most.binding == (binding,)


def test_full_stations_stop_more() -> None:
    """With room in mass and CG the stations themselves are the limit."""
    small = tuple(replace(station, mass_limit=90.0, seats=1) for station in AIRPLANE.stations[:1])
    airplane = replace(AIRPLANE, stations=small, combined_limits=())
    most = capacity(airplane, "tail wheel", 0.10)
    assert float(most.payload[0]) == pytest.approx(90.0)
    assert most.binding[0] == "every station is full"


def test_no_room_for_the_pilot() -> None:
    """Where not even the pilot is inside the envelope there is no payload, and the words say so."""
    far = replace(ENVELOPE, vertices=((3.0, 600.0), (3.0, 1090.0), (3.1, 1090.0), (3.1, 600.0)))
    most = capacity(replace(AIRPLANE, envelopes=(far,)), "tail wheel", 0.05)
    assert np.isnan(most.payload[0])
    assert "not even the pilot" in most.binding[0]


def test_pilot_and_fuel_must_fit() -> None:
    """A pilot too heavy for the seat, or fuel beyond the tanks, is refused with both figures."""
    with pytest.raises(InputError, match="front seats may hold 240 kg, the pilot has 300 kg"):
        capacity(AIRPLANE, "tail wheel", 0.05, Pilot("front seats", 300.0))
    with pytest.raises(InputError, match=r"the tanks hold 220\.0 L, asked for are 500\.0 L"):
        capacity(AIRPLANE, "tail wheel", 0.5)
    assert usual_pilot(AIRPLANE) == Pilot("front seats", 86.0)


@settings(max_examples=40, deadline=None)
@given(ALLOWED)
def test_no_loading_is_worse_than_the_adverse_ones(case: tuple[float, float, float, float, float]) -> None:
    """No loading that stations, tanks and the highest mass allow has less margin than the adverse ones."""
    built = card(*case)
    worst = adverse_loadings(AIRPLANE, "tail wheel", least_fuel=0.02)
    off = loading_report(AIRPLANE, "tail wheel", built).state("take-off")
    assume(off.mass.value <= 1090.0)
    assume(built.stations["bay"] + built.stations["tail locker"] <= 185.0)
    # The adverse search tries fuel in 21 steps: between them a millimetre may hide.
    assert off.forward >= worst.forward.margin - 1e-3
    assert off.aft >= worst.aft.margin - 1e-3
    reached = np.interp(off.mass.value, worst.mass, worst.most_aft)
    assert off.cg.value <= reached + 3e-3


def test_adverse_rows_add_up() -> None:
    """The rows of each adverse case are its mass and CG, and its margin is the envelope's."""
    found = adverse_loadings(AIRPLANE, "nose wheel")
    for case in (found.forward, found.aft):
        assert sum(row.mass for row in case.rows) == pytest.approx(case.mass)
        assert sum(row.moment for row in case.rows) == pytest.approx(case.mass * case.cg)
    assert found.forward.margin == pytest.approx(found.forward.cg - found.forward.limit)
    assert found.aft.margin == pytest.approx(found.aft.limit - found.aft.cg)
    assert "Loaded most forward it is" in found.sentence


def test_adverse_forward_of_the_printed_example() -> None:
    """The most forward loading of fig. 10-10 is found, not told: pilot alone and least fuel."""
    example = printed("WB-50")
    airplane = printed_airplane()
    record = airplane.empty
    assert isinstance(record, EmptyRecord)
    arm = (1169.0 * 10.6 - 17.0 * 49.0) / (1169.0 + 17.0) * INCH
    oiled = replace(
        airplane,
        stations=tuple(station for station in airplane.stations if station.name != "oil"),
        empty=replace(
            record,
            mass=replace(record.mass, value=(1169.0 + 17.0) * POUND),
            arm=replace(record.arm, value=arm),
        ),
    )
    found = adverse_loadings(oiled, "as printed").forward
    mass, unit = example.answers["mass"]
    assert found.mass / POUND == pytest.approx(mass, abs=unit)
    cg, unit = example.answers["cg"]
    assert found.cg / INCH == pytest.approx(cg, abs=unit)
    assert found.within


def test_ballast_of_a_single_limit_is_the_formula() -> None:
    """With straight limits the least ballast is W (limit − x)/(arm − limit) at the worst moment."""
    square = between(2.0, 2.4)
    airplane = replace(AIRPLANE, envelopes=(square,))
    found = ballast(airplane, "tail wheel", loading(), "tail locker")
    wanted = max(
        ballast_mass(state.mass.value, state.cg.value, 2.0, 4.10)
        for state in found.before.states
        if state.forward < 0.0
    )
    assert found.mass == pytest.approx(wanted, abs=2e-3)
    assert found.after is not None
    assert found.after.within


def test_ballast_that_is_not_needed_or_cannot_help() -> None:
    """Inside already: nothing. Where the station's limit is reached first: none, and the words say why."""
    assert ballast(AIRPLANE, "tail wheel", loading(), "tail locker").mass == 0.0
    far = between(2.2, 2.4)
    found = ballast(replace(AIRPLANE, envelopes=(far,)), "tail wheel", loading(), "tail locker")
    assert found.mass is None
    assert found.after is None
    assert found.reason.startswith("No ballast at tail locker brings the loading inside, up to the 15.0 kg")
