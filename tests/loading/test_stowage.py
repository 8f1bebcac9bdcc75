"""Stowage: the best there is by trying all, inside the envelope it was cut to, and what stops the rest."""

import math
import time
from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from tests.loading.airplanes import ENVELOPE, hauler, printed_airplane
from tests.loading.published import INCH, POUND
from wringout.airplane.airplane import Airplane, Envelope, Station
from wringout.dossier.dossier import Load
from wringout.loading import empty_mass, fuel_in_tanks, loading_report, margins, stow
from wringout.loading.envelope_pieces import monotone_pieces
from wringout.loading.fuel import burn_breaks, contents_during_burn, fuel_arm
from wringout.loading.loading_report import maximum_mass
from wringout.problems import InputError

AIRPLANE = hauler()
PLAIN = "tail wheel"

# Edges that bulge towards what is allowed, and away from it; and two horns at the top.
BULGING = Envelope(
    "normal", ((1.92, 600.0), (1.99, 1090.0), (2.04, 1090.0), (2.08, 900.0), (2.06, 600.0)), 1090.0
)
HOLLOW = Envelope(
    "normal", ((1.99, 600.0), (1.93, 1090.0), (2.10, 1090.0), (2.02, 820.0), (2.03, 600.0)), 1090.0
)
HORNED = Envelope(
    "normal",
    (
        (1.90, 600.0),
        (1.90, 1090.0),
        (1.97, 1090.0),
        (2.00, 830.0),
        (2.03, 1060.0),
        (2.12, 1060.0),
        (2.12, 600.0),
    ),
    1090.0,
)
STEPPED = Envelope(
    "normal",
    (
        (1.90, 600.0),
        (1.90, 880.0),
        (1.96, 880.0),
        (1.96, 1090.0),
        (2.03, 1090.0),
        (2.03, 880.0),
        (2.06, 880.0),
        (2.06, 600.0),
    ),
    1090.0,
)


def airplane(envelope: Envelope = ENVELOPE, *, fixed: bool = False) -> Airplane:
    """The invented hauler with another envelope, the bay's load at its middle where `fixed`."""
    stations = AIRPLANE.stations
    if fixed:
        stations = tuple(replace(item, arm_aft=item.arm) for item in stations)
    return replace(AIRPLANE, envelopes=(envelope,), stations=stations)


def worth(load: Load) -> float:
    """What one piece counts for."""
    return load.mass if load.value is None else load.value


def tried_all(plane: Airplane, loads: tuple[Load, ...], fuel: dict[str, float]) -> tuple[int, float] | None:
    """Pieces of what must go, and the value of all that goes, in the best of all arrangements."""
    pieces = [load for load in loads for _ in range(load.count)]
    empty = empty_mass(plane, PLAIN)
    aboard = sum(fuel.values())
    burnt = np.unique(np.concatenate((np.linspace(0.0, aboard, 301), burn_breaks(plane.tanks, fuel))))
    contents = contents_during_burn(plane.tanks, fuel, np.clip(burnt, 0.0, aboard))
    density = plane.fuel.density
    fuel_mass = sum(density * contents[tank.name] for tank in plane.tanks)
    fuel_moment = sum(
        density * contents[tank.name] * fuel_arm(tank, contents[tank.name]) for tank in plane.tanks
    )
    envelope = plane.envelopes[0]
    best: tuple[int, float] | None = None
    for places in product(*((None, *load.stations) for load in pieces)):
        there = {station.name: 0.0 for station in plane.stations}
        for load, place in zip(pieces, places, strict=True):
            if place is not None:
                there[place] += load.mass
        musts = sum(load.must for load, place in zip(pieces, places, strict=True) if place is not None)
        value = sum(worth(load) for load, place in zip(pieces, places, strict=True) if place is not None)
        if best is not None and (musts, value) <= best:
            continue
        if not _seated(plane, pieces, places) or not _held(plane, there):
            continue
        payload = sum(there.values())
        mass = empty.mass.value + payload + np.asarray(fuel_mass)
        ramp, zero = mass[0], mass[-1]
        if (
            ramp > maximum_mass(envelope, "take-off") + 1e-6
            or zero > maximum_mass(envelope, "zero fuel") + 1e-6
        ):
            continue
        low, high = (
            sum(there[s.name] * arm for s, arm in zip(plane.stations, arms, strict=True))
            for arms in ([s.arm for s in plane.stations], [s.arm_aft for s in plane.stations])
        )
        others = empty.moment + np.asarray(fuel_moment)
        found = margins(envelope, mass, (others + 0.5 * (low + high)) / mass)
        if np.any(found.minimum < -1e-6):
            continue
        least = np.max((found.forward_limit - 1e-9) * mass - others)
        most = np.min((found.aft_limit + 1e-9) * mass - others)
        if max(least, low) <= min(most, high):
            best = (musts, value)
    return best


def _seated(plane: Airplane, pieces: list[Load], places: tuple[str | None, ...]) -> bool:
    pilot = plane.stations[0].name
    if any(pilot in load.stations for load in pieces) and pilot not in places:
        return False
    for station in plane.stations:
        here = [load for load, place in zip(pieces, places, strict=True) if place == station.name]
        if not station.seats or station.holds == "things":
            continue
        seats = [s.name for s in plane.stations if s.seats and s.holds != "things"]
        people = [
            load for load in here if station.holds == "people" or all(name in seats for name in load.stations)
        ]
        if len(people) + (len(here) > len(people)) > station.seats:
            return False
    return True


def _held(plane: Airplane, there: dict[str, float]) -> bool:
    for station in plane.stations:
        room = math.inf if station.mass_limit is None else station.mass_limit
        if station.floor_load_limit is not None and station.floor_area:
            room = min(room, station.floor_load_limit * station.floor_area)
        if there[station.name] > room + 1e-6:
            return False
    return all(
        sum(there[name] for name in limit.stations) <= limit.mass_limit + 1e-6
        for limit in plane.combined_limits
    )


THINGS = st.lists(
    st.tuples(
        st.sampled_from([12.0, 23.5, 41.0, 55.0, 64.0, 90.0]),
        st.sampled_from([("bay",), ("tail locker", "bay"), ("bay", "tail locker"), ("tail locker",)]),
        st.booleans(),
        st.sampled_from([1, 1, 2]),
        st.sampled_from([None, None, 30.0, 77.0]),
    ),
    min_size=1,
    max_size=3,
)
CREW = st.sampled_from([(70.0,), (82.0, 66.0), (110.0, 95.0), (60.0, 60.0, 60.0)])


def loads_of(
    crew: tuple[float, ...], things: list[tuple[float, tuple[str, ...], bool, int, float | None]]
) -> tuple[Load, ...]:
    """People on the front seats and things behind."""
    people = tuple(Load(f"person {n}", mass, ("front seats",)) for n, mass in enumerate(crew))
    return people + tuple(
        Load(f"thing {n}", mass, places, must, count, value)
        for n, (mass, places, must, count, value) in enumerate(things)
    )


@pytest.mark.parametrize(
    ("envelope", "fixed"),
    [(ENVELOPE, False), (BULGING, False), (HOLLOW, False), (STEPPED, False), (HOLLOW, True), (HORNED, True)],
    ids=["usual", "bulging", "hollow", "stepped", "hollow and fixed", "horned"],
)
def test_nothing_better_is_found_by_trying_all(envelope: Envelope, fixed: bool) -> None:
    """On every small case as many musts go, then as much value, as in the best of all arrangements."""
    plane = airplane(envelope, fixed=fixed)

    @settings(max_examples=25, deadline=None, derandomize=True, phases=[Phase.generate])
    @given(CREW, THINGS, st.sampled_from([0.03, 0.1, 0.2]))
    def compared(
        crew: tuple[float, ...],
        things: list[tuple[float, tuple[str, ...], bool, int, float | None]],
        volume: float,
    ) -> None:
        loads, fuel = loads_of(crew, things), fuel_in_tanks(plane.tanks, volume)
        found = stow(plane, PLAIN, loads, fuel)
        best = tried_all(plane, loads, fuel)
        musts = sum(item.count for item in found.placed if item.load.must)
        if best is None:
            assert not found.placed
            return
        assert musts == best[0]
        assert found.value == pytest.approx(best[1])
        assert found.report.within
        assert loading_report(plane, PLAIN, found.loading).within

    compared()


HALF = fuel_in_tanks(AIRPLANE.tanks, 0.1)
CREW_OF_TWO = (Load("vet", 80.0, ("front seats",)), Load("nurse", 70.0, ("front seats",)))


def test_one_line_is_cut_exactly_at_the_envelope() -> None:
    """Lines through an edge's moments are exact where they are drawn and never cut off what is allowed."""
    for envelope in (ENVELOPE, BULGING, HOLLOW, STEPPED, HORNED):
        for pieces in monotone_pieces(envelope):
            top = float(pieces.corners[-1])
            masses = np.linspace(float(pieces.corners[0]), top, 301)
            for edge, sign in ((pieces.aft, 1.0), (pieces.forward, -1.0)):
                for mass in masses[1:-1:37]:
                    below, above = edge.slopes(float(mass), (float(masses[0]), top))
                    here = float(edge.moment(np.array([mass]))[0])
                    for slope, side in ((below, masses < mass), (above, masses > mass)):
                        assert slope is not None
                        line = here + slope * (masses[side] - mass)
                        assert np.all(sign * (line - edge.moment(masses[side])) >= -1e-6)


def test_a_horn_is_one_way_down() -> None:
    """A polygon with two horns falls into two parts, each with the whole foot; a plain one is one part."""
    assert len(monotone_pieces(ENVELOPE)) == len(monotone_pieces(STEPPED)) == 1
    parts = monotone_pieces(HORNED)
    assert sorted(float(part.corners[-1]) for part in parts) == [1060.0, 1090.0]
    assert all(float(part.corners[0]) == 600.0 for part in parts)


def test_what_binds_and_by_how_much() -> None:
    """A crate lighter by what is said goes beside the rest, and one a little heavier does not."""
    crates = Load("crates", 90.0, ("bay",), must=False)
    loads = (*CREW_OF_TWO, Load("X-ray set", 45.0, ("bay",)), Load("dog", 60.0, ("bay",)), crates)
    found = stow(AIRPLANE, PLAIN, loads, HALF)
    (stays,) = found.left
    assert stays.load is crates
    assert stays.stop.limit in {"the limit of bay", "the limit of bay and locker", "aft CG"}
    fits = replace(crates, mass=crates.mass - stays.stop.short - 0.05)
    assert not stow(AIRPLANE, PLAIN, (*loads[:-1], fits), HALF).left
    too_heavy = replace(crates, mass=crates.mass - stays.stop.short + 0.2)
    assert stow(AIRPLANE, PLAIN, (*loads[:-1], too_heavy), HALF).left


def test_aft_cg_is_told_in_kilograms_and_by_the_millimetre() -> None:
    """Where the CG binds, a limit moved by a millimetre lets as many kilograms go as the price says."""
    moved = tuple((cg + 0.001 if cg == 2.25 else cg, mass) for cg, mass in ENVELOPE.vertices)
    locker = replace(AIRPLANE.stations[2], mass_limit=150.0)
    plane = replace(
        AIRPLANE, stations=(*AIRPLANE.stations[:2], locker), combined_limits=(), envelopes=(ENVELOPE,)
    )
    loads = (CREW_OF_TWO[0], Load("anvil", 130.0, ("tail locker",)), Load("box", 60.0, ("bay",)))
    found = stow(plane, PLAIN, loads, HALF)
    (stays,) = found.left
    assert stays.stop.limit == "aft CG"
    assert stays.stop.words("kg").startswith("aft CG binds by ")
    wider = replace(plane, envelopes=(replace(ENVELOPE, vertices=moved),))
    after = stow(wider, PLAIN, loads, HALF).left[0].stop
    assert stays.stop.price is not None
    assert stays.stop.short - after.short == pytest.approx(1e-3 * stays.stop.price, rel=0.05)


def test_seats_are_counted() -> None:
    """Three people do not share two seats, however light they are."""
    people = tuple(Load(name, 50.0, ("front seats",)) for name in ("a", "b", "c"))
    found = stow(AIRPLANE, PLAIN, people, HALF)
    assert len(found.placed) == 2
    assert [item.stop.words() for item in found.left] == ["no seat is free"]
    assert not found.complete


def test_a_person_and_a_crate_do_not_share_a_seat() -> None:
    """What lies on a seat takes it; where nobody sits there, things may."""
    seat = Station("rear seat", 2.4, 2.4, 120.0, "either", seats=1)
    plane = replace(AIRPLANE, stations=(*AIRPLANE.stations, seat))
    crate = Load("crate", 20.0, ("rear seat", "bay"), must=False)
    shepherd = Load("shepherd", 75.0, ("rear seat",))
    both = stow(plane, PLAIN, (*CREW_OF_TWO, shepherd, crate), HALF)
    assert {(item.load.name, item.station) for item in both.placed} >= {
        ("shepherd", "rear seat"),
        ("crate", "bay"),
    }
    alone = stow(plane, PLAIN, (*CREW_OF_TWO, crate), HALF)
    assert ("crate", "rear seat") in {(item.load.name, item.station) for item in alone.placed}


def test_somebody_flies() -> None:
    """Where not all that must go can, it is not the pilot who stays."""
    loads = (
        Load("pilot", 60.0, ("front seats",)),
        Load("engine", 175.0, ("bay",)),
        Load("gearbox", 170.0, ("bay",)),
    )
    found = stow(AIRPLANE, PLAIN, loads, HALF)
    assert "pilot" in {item.load.name for item in found.placed}
    assert [item.load.name for item in found.left] == ["gearbox"]


def test_an_airplane_that_nothing_brings_inside() -> None:
    """Where no plan is inside every limit nothing is stowed, and that is the reason told."""
    far = replace(ENVELOPE, vertices=((3.0, 500.0), (3.0, 1090.0), (3.2, 1090.0), (3.2, 500.0)))
    found = stow(airplane(far), PLAIN, CREW_OF_TWO, HALF)
    assert not found.placed
    assert not found.complete
    assert all("inside every limit" in item.stop.words() for item in found.left)


def test_second_choice_where_the_first_is_full() -> None:
    """What the locker cannot hold goes into the bay, its second choice; what it can stays there."""
    things = (
        CREW_OF_TWO[0],
        Load("kit", 20.0, ("tail locker", "bay")),
        Load("bag", 9.0, ("tail locker", "bay")),
    )
    places = {item.load.name: item.station for item in stow(AIRPLANE, PLAIN, things, HALF).placed}
    assert places == {"vet": "front seats", "kit": "bay", "bag": "tail locker"}


def test_the_printed_airplane_filled() -> None:
    """AC 43.13-1B, fig. 10-13 and 10-14: all seats leave no room for baggage; with 240 lb of fuel and one of
    the rear seats free the baggage goes, at 2 036 lb and +18.7 in."""
    plane = printed_airplane()
    person = 170.0 * POUND
    people = (
        Load("pilot", person, ("pilot",)),
        Load("front passenger", person, ("front passenger",)),
        Load("rear passengers", person, ("rear passengers",), count=2),
        Load("oil", 17.0 * POUND, ("oil",)),
    )
    baggage = Load("baggage", 100.0 * POUND, ("baggage",), must=False)
    density = plane.fuel.density
    full = stow(plane, "as printed", (*people, baggage), {"wing": 234.0 * POUND / density})
    assert full.report.state("take-off").mass.value / POUND == pytest.approx(2100.0, abs=1.0)
    assert [item.load.name for item in full.left] == ["baggage"]
    assert full.left[0].stop.limit == "the take-off mass"
    assert full.left[0].stop.short / POUND == pytest.approx(100.0, abs=1.0)
    fewer = (*people[:2], replace(people[2], count=1), people[3], baggage)
    heavy = stow(plane, "as printed", fewer, {"wing": 240.0 * POUND / density})
    assert not heavy.left
    state = heavy.report.state("take-off")
    assert state.mass.value / POUND == pytest.approx(2036.0, abs=1.0)
    assert state.cg.value / INCH == pytest.approx(18.7, abs=0.1)


def test_loads_that_cannot_be_understood() -> None:
    """An unknown station, no station, no mass: every one is told."""
    bad = (Load("a", 5.0, ("roof",)), Load("b", 5.0, ()), Load("c", 0.0, ("bay",)))
    with pytest.raises(InputError) as caught:
        stow(AIRPLANE, PLAIN, bad, HALF)
    assert len(caught.value.problems) == 3
    assert "no station 'roof'" in str(caught.value)


def test_twenty_things_and_six_stations_take_little_work() -> None:
    """Well under half a second of processor, what stops each thing that stays included."""
    stations = (
        Station("front", 1.95, 1.95, 240.0, "people", seats=2),
        Station("right rear", 2.4, 2.4, 120.0, "either", seats=1),
        Station("bay front", 2.5, 2.9, 120.0, "things", floor_area=0.8, floor_load_limit=150.0),
        Station("bay aft", 2.95, 3.4, 100.0, "things"),
        Station("pod", 2.1, 2.6, 70.0, "things"),
        Station("locker", 4.1, 4.1, 15.0, "things"),
    )
    plane = replace(AIRPLANE, stations=stations, combined_limits=())
    rng = np.random.default_rng(8)
    behind = [item.name for item in stations[1:]]
    loads = [Load("pilot", 82.0, ("front",)), Load("nurse", 70.0, ("front", "right rear"))]
    for number in range(18):
        places = tuple(str(name) for name in rng.permutation(behind)[: rng.integers(1, 6)])
        loads.append(Load(f"thing {number}", round(float(rng.uniform(2.0, 45.0)), 1), places, must=False))
    stow(plane, PLAIN, loads[:3], HALF)  # the solver is loaded
    begin = time.process_time()
    found = stow(plane, PLAIN, loads, HALF)
    assert time.process_time() - begin < 0.5
    assert found.report.within
    assert found.left
