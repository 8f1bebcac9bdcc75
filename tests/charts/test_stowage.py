"""The board of places and tanks: arms to scale, squares as large as masses, and words for all of it."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from tests.loading.airplanes import hauler
from wringout.charts.stowage import Place, stowage_board
from wringout.dossier.dossier import Units
from wringout.dossier.trial import Thing, Trial
from wringout.evaluation.trials import tried

UNITS = Units()
AIRPLANE = hauler()
BAY = next(station for station in AIRPLANE.stations if station.arm_aft != station.arm)
SEAT = next(station for station in AIRPLANE.stations if station.seats)


def _board(*things: Thing, fuel: float = 0.5) -> ElementTree.Element:
    tanks = {tank.name: tank.usable * fuel for tank in AIRPLANE.tanks}
    found = tried(AIRPLANE, Trial("tail wheel", things, tanks))
    places = [Place(use.station, "", False) for use in found.places]
    return ElementTree.fromstring(stowage_board(AIRPLANE, found.trial, found.report, places, UNITS))


def _of(board: ElementTree.Element, kind: str) -> list[ElementTree.Element]:
    return [part for part in board.iter() if kind in part.get("class", "").split()]


def _middle(part: ElementTree.Element) -> float:
    return float(re.findall(r"[-0-9.]+", part.get("transform", ""))[0])


def _side(part: ElementTree.Element) -> float:
    return float([rect for rect in part if rect.tag.endswith("rect")][1].get("width", ""))


def test_a_square_is_as_large_as_its_mass() -> None:
    """Four times the mass has twice the side."""
    small, large = _of(_board(Thing("a", 30.0, SEAT.name), Thing("b", 120.0, None)), "thing")
    assert _side(large) == pytest.approx(2 * _side(small), abs=0.1)


def test_a_thing_stands_at_its_arm() -> None:
    """From the forward to the aft end of the bay by the scale that the board itself states."""
    for arm in (BAY.arm, 0.5 * (BAY.arm + BAY.arm_aft), BAY.arm_aft):
        board = _board(Thing("crate", 20.0, BAY.name, arm))
        left, extent, low, high = (
            float(board.get(f"data-{key}", "")) for key in ("left", "extent", "low", "high")
        )
        (thing,) = _of(board, "thing")
        assert low + (_middle(thing) - left) / extent * (high - low) == pytest.approx(arm * 1000, abs=2.0)


def test_two_things_at_one_arm_can_be_taken_up_apart() -> None:
    """Their hands are wide enough and do not cover one another [WCAG 2.2, 2.5.8: 24 px]."""
    first, second = _of(_board(*(Thing(name, 9.0, SEAT.name) for name in "ab")), "thing")
    hand = float(next(rect for rect in first if rect.tag.endswith("rect")).get("width", ""))
    assert hand >= 24.0
    assert abs(_middle(first) - _middle(second)) >= hand - 0.1


@pytest.mark.parametrize("part", [0.0, 0.25, 1.0])
def test_a_level_stands_where_the_tank_is_filled_to(part: float) -> None:
    """As a part of the tank's length, and in words."""
    board = _board(fuel=part)
    for tank, level in zip(AIRPLANE.tanks, _of(board, "level"), strict=True):
        along = _middle(level) - float(board.get("data-left", ""))
        assert along == pytest.approx(part * float(level.get("data-length", "")), abs=0.1)
        assert float(level.get("aria-valuenow", "")) == pytest.approx(1000 * part * tank.usable, rel=1e-4)
        assert (level.get("role"), level.get("aria-label")) == ("slider", f"fuel in {tank.name}")


def test_each_square_says_what_it_is_and_where() -> None:
    """A name out of a dossier is words, whatever characters it has."""
    board = _board(Thing('a "<dog>" & co', 20.0, BAY.name), Thing("stick", 1.0, None))
    dog, stick = (part.get("aria-label", "") for part in _of(board, "thing"))
    assert dog == f'1: a "<dog>" & co, 20 kg, at {BAY.name}'
    assert stick.endswith("stays behind")


def test_inches_and_pounds_are_shown_where_the_reader_wants_them() -> None:
    """The board's scale is in the reader's unit of arm."""
    trial = Trial("tail wheel", (Thing("crate", 20.0, BAY.name, BAY.arm),), {})
    found = tried(AIRPLANE, trial)
    places = [Place(use.station, "", False) for use in found.places]
    units = replace(UNITS, arm="in", mass="lb")
    board = ElementTree.fromstring(stowage_board(AIRPLANE, trial, found.report, places, units))
    assert board.get("data-unit") == "in"
    # 20 kg / 0.45359237 kg/lb, exact by definition
    assert "44.1 lb" in _of(board, "thing")[0].get("aria-label", "")
