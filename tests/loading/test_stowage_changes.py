"""What lets a load go that stays behind: things moved, fuel left, ballast, another configuration."""

from dataclasses import replace

import pytest

from tests.loading.airplanes import ENVELOPE, hauler, printed_airplane
from tests.loading.published import INCH, POUND
from wringout.airplane.airplane import Airplane, EmptyRecord, Envelope, Station
from wringout.dossier.dossier import Load
from wringout.loading import Change, changes, fuel_in_tanks, stow
from wringout.problems import InputError

AIRPLANE = hauler()
PLAIN = "tail wheel"
CREW = (Load("vet", 80.0, ("front seats",)), Load("nurse", 70.0, ("front seats",)))


def changes_by_kind(plane: Airplane, loads: tuple[Load, ...], litres: float, load: str) -> dict[str, Change]:
    """The changes for a load, by their kind; everything goes in each."""
    fuel = fuel_in_tanks(plane.tanks, litres / 1000.0)
    now = stow(plane, PLAIN, loads, fuel)
    assert load in {item.load.name for item in now.left}
    found = changes(plane, PLAIN, loads, fuel, stowage=now, load=load)
    for change in found:
        assert change.stowage.report.within
        assert load not in {item.load.name for item in change.stowage.left}
        assert change.stowage.value > now.value
    return {change.kind: change for change in found}


def test_a_bag_moved_to_where_there_is_room() -> None:
    """A kit that names only the full locker goes into the bay; only that one is moved."""
    loads = (*CREW, Load("kit", 10.0, ("tail locker",)), Load("more kit", 12.0, ("tail locker",), must=False))
    found = changes_by_kind(AIRPLANE, loads, 100.0, "more kit")
    (move,) = found["move"].moves
    assert move.station == "bay"
    assert move.load in {"kit", "more kit"}


def test_less_fuel_just_enough() -> None:
    """Where the mass binds, as much less fuel as the load is too heavy, and no more."""
    roomy = replace(ENVELOPE, maximum_zero_fuel_mass=None, maximum_ramp_mass=None)
    plane = replace(AIRPLANE, envelopes=(roomy,))
    loads = (*CREW, Load("set", 90.0, ("bay",)), Load("sack", 60.0, ("bay",), must=False))
    now = stow(plane, PLAIN, loads, fuel_in_tanks(plane.tanks, 0.2))
    (stays,) = now.left
    assert stays.stop.limit == "the take-off mass"
    change = changes_by_kind(plane, loads, 200.0, "sack")["fuel"]
    assert change.less * plane.fuel.density == pytest.approx(stays.stop.short, abs=0.2)


def test_the_printed_ballast() -> None:
    """4 954 lb at +30.5 in, limit +32.0, ballast at +162: 57.16 lb [FAA mechanic question, as printed]."""
    plane = printed_airplane()
    limits = Envelope(
        "normal",
        (
            (32.0 * INCH, 1000 * POUND),
            (32.0 * INCH, 6000 * POUND),
            (42.1 * INCH, 6000 * POUND),
            (42.1 * INCH, 1000 * POUND),
        ),
        6000 * POUND,
    )
    assert isinstance(plane.empty, EmptyRecord)
    person = 170.0
    empty = (4954.0 * 30.5 - person * 16.0) / (4954.0 - person)
    plane = replace(
        plane,
        envelopes=(limits,),
        empty=replace(
            plane.empty,
            mass=replace(plane.empty.mass, value=(4954.0 - person) * POUND),
            arm=replace(plane.empty.arm, value=empty * INCH),
        ),
        stations=(plane.stations[0], Station("ballast", 162.0 * INCH, 162.0 * INCH, 200.0 * POUND, "things")),
    )
    loads = (Load("pilot", person * POUND, ("pilot",)),)
    now = stow(plane, "as printed", loads, {"wing": 0.0})
    assert not now.placed
    found = changes(plane, "as printed", loads, {"wing": 0.0}, stowage=now, load="pilot")
    (change,) = [item for item in found if item.kind == "ballast"]
    assert change.ballast is not None
    assert change.ballast["ballast"] / POUND == pytest.approx(57.16, abs=0.05)


def test_another_configuration() -> None:
    """Where the other gear brings the CG inside, it is told."""
    narrow = replace(ENVELOPE, vertices=((1.80, 600.0), (1.80, 1090.0), (2.035, 1090.0), (2.035, 600.0)))
    plane = replace(AIRPLANE, envelopes=(narrow,))
    heavy = (CREW[0], Load("anvil", 100.0, ("bay",)))
    kinds = {}
    for mass in range(20, 180, 4):
        loads = (heavy[0], replace(heavy[1], mass=float(mass)))
        fuel = fuel_in_tanks(plane.tanks, 0.05)
        now = stow(plane, PLAIN, loads, fuel)
        if now.left:
            kinds = {
                item.kind: item for item in changes(plane, PLAIN, loads, fuel, stowage=now, load="anvil")
            }
            break
    assert kinds["configuration"].configuration == "nose wheel"


def test_no_such_load() -> None:
    """A load that is not there is refused by name."""
    fuel = fuel_in_tanks(AIRPLANE.tanks, 0.1)
    with pytest.raises(InputError, match="no load 'whale'"):
        changes(AIRPLANE, PLAIN, CREW, fuel, stowage=stow(AIRPLANE, PLAIN, CREW, fuel), load="whale")
