"""A loading that is tried: moments kept, limits told place by place, begun from cards and missions."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.loading.airplanes import hauler
from wringout.dossier.dossier import Load, Mission, Units
from wringout.dossier.trial import Thing, Trial
from wringout.evaluation.described import empty_sentence, useful_sentence
from wringout.evaluation.trials import summed, trial_of_mission, tried, usual_trial
from wringout.loading import empty_mass
from wringout.loading.balance import cg_after_change, cg_after_shift

AIRPLANE, UNITS = hauler(), Units()
BAY = next(station for station in AIRPLANE.stations if station.arm_aft != station.arm)
SEAT = next(station for station in AIRPLANE.stations if station.seats)
FUEL = {tank.name: 0.5 * tank.usable for tank in AIRPLANE.tanks}


def _trial(*things: Thing) -> Trial:
    return Trial("tail wheel", (Thing("pilot", 80.0, SEAT.name), *things), FUEL)


def test_things_in_one_bay_act_where_each_of_them_lies() -> None:
    """Two things added one after the other by the lever law give the CG of both [FAA-H-8083-25]."""
    bare = tried(AIRPLANE, _trial()).report.state("ramp")
    both = (Thing("crate", 30.0, BAY.name, BAY.arm), Thing("bag", 12.0, BAY.name, BAY.arm_aft))
    mass, cg = bare.mass.value, bare.cg.value
    for thing in both:
        assert thing.arm is not None
        cg = cg_after_change(mass, cg, thing.mass, thing.arm)
        mass += thing.mass
    found = tried(AIRPLANE, _trial(*both)).report.state("ramp")
    assert found.mass.value == pytest.approx(mass, abs=1e-9)
    assert found.cg.value == pytest.approx(cg, abs=1e-12)


def test_a_thing_moved_along_the_floor_moves_the_cg_by_the_lever_law() -> None:
    """x' = x + w (to − from)/W [FAA-H-8083-25, weight and balance]."""
    before, after = BAY.arm + 0.1, BAY.arm_aft - 0.1
    other = Thing("bag", 12.0, BAY.name, BAY.arm_aft)
    first = tried(AIRPLANE, _trial(Thing("crate", 30.0, BAY.name, before), other)).report.state("ramp")
    moved = tried(AIRPLANE, _trial(Thing("crate", 30.0, BAY.name, after), other)).report.state("ramp")
    wanted = cg_after_shift(first.mass.value, first.cg.value, 30.0, before, after)
    assert moved.cg.value == pytest.approx(wanted, abs=1e-12)


def test_what_stays_behind_weighs_nothing() -> None:
    """It stands on the list and in no moment."""
    with_dog = tried(AIRPLANE, _trial(Thing("dog", 40.0, None)))
    assert with_dog.report.rows == tried(AIRPLANE, _trial()).report.rows
    assert len(with_dog.trial.things) == 2


def test_a_thing_lies_inside_its_place_whatever_is_asked() -> None:
    """An arm beyond the floor's end is the floor's end; none at all is its middle."""
    for arm, wanted in ((99.0, BAY.arm_aft), (-99.0, BAY.arm), (None, 0.5 * (BAY.arm + BAY.arm_aft))):
        loading = summed(AIRPLANE, _trial(Thing("crate", 10.0, BAY.name, arm)))
        assert loading.station_arms == {BAY.name: pytest.approx(wanted)}


def test_the_room_left_is_that_of_the_tightest_limit() -> None:
    """Filling a place by just its room reaches a limit of place, and a gram more is beyond it."""
    start = tried(AIRPLANE, _trial(Thing("crate", 5.0, BAY.name)))
    room = next(use.room for use in start.places if use.station == BAY)
    assert room is not None
    full = tried(AIRPLANE, _trial(Thing("crate", 5.0 + room, BAY.name)))
    assert all(check.within for check in full.report.limits)
    over = tried(AIRPLANE, _trial(Thing("crate", 5.0 + room + 1e-3, BAY.name)))
    assert not all(check.within for check in over.report.limits)
    assert (next(use.room for use in over.places if use.station == BAY) or 0.0) < 0.0


def test_a_mission_begins_with_its_loads_placed_and_the_fuel_that_the_mass_allows() -> None:
    """As heavy as it may take off, to the litre, or with full tanks."""
    loads = (
        Load("vet", 80.0, (SEAT.name,)),
        Load("crates", 60.0, (BAY.name,)),
        Load("too much", 5000.0, (BAY.name,), must=False),
    )
    mission = Mission("day", "?", "tail wheel", loads, 1e5, 0.0, 1000.0, 1800.0)
    trial = trial_of_mission(mission, AIRPLANE, UNITS)
    assert [thing.station for thing in trial.things] == [SEAT.name, BAY.name, None]
    report = tried(AIRPLANE, trial).report
    full = sum(tank.usable for tank in AIRPLANE.tanks)
    aboard = sum(trial.fuel.values())
    litre = 1e-3 * AIRPLANE.fuel.density
    assert aboard == pytest.approx(full) or 0.0 <= report.state("take-off").mass_margin <= litre + 1e-9


def test_the_usual_beginning_is_a_pilot_alone() -> None:
    """In the first seat with the airplane's usual mass."""
    (pilot,) = usual_trial(AIRPLANE, UNITS).things
    assert (pilot.station, pilot.mass) == (SEAT.name, AIRPLANE.seats_weight)


def test_the_lead_says_on_which_side_of_a_limit_mass_and_cg_lie() -> None:
    """Below and ahead where all is well; above and behind where it is not, in the reader's units."""
    fine = tried(AIRPLANE, _trial())
    assert "below the limit" in fine.lead(UNITS)
    heavy = tried(AIRPLANE, _trial(Thing("lead", 900.0, BAY.name, BAY.arm_aft)))
    assert "above the limit" in heavy.lead(UNITS)
    assert "behind the aft limit" in heavy.lead(UNITS)
    pounds = tried(AIRPLANE, _trial()).lead(replace(UNITS, mass="lb", arm="in"))
    assert "lb" in pounds
    assert "in," in pounds


def test_the_airplane_is_told_by_what_it_takes() -> None:
    """Empty masses of all configurations by their names, and what is left above the first [by hand]."""
    empty = empty_mass(AIRPLANE, AIRPLANE.configurations[0].name).mass.value
    said = useful_sentence(AIRPLANE, UNITS)
    highest = 1094.0  # the stated ramp mass of the hauler
    assert f"takes {highest - empty:.0f} kg" in said
    told = empty_sentence(AIRPLANE, UNITS)
    assert all(item.name in told for item in AIRPLANE.configurations)
