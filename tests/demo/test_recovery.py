"""From raw logs back to the truth: found, reduced, and within what is stated of the error."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from wringout.demo.truth import stored
from wringout.dossier import load
from wringout.evaluation.find import find_flight
from wringout.quantity import Dimension, parse
from wringout.quantity.estimate import Estimate
from wringout.reduction import Flight, reduce
from wringout.reduction.points import Points

MOST_DEVIATIONS = 4.5  # of some seventy figures one in a million lies farther off


@pytest.fixture(scope="module")
def found(demo: Path) -> tuple[Flight, ...]:
    """Strip work with the tail wheel and stalls at aft CG, found in the demo's logs."""
    dossier = load(demo)
    return tuple(
        find_flight(dossier, card) for card in dossier.cards if card.name in ("flight-2b", "flight-3a")
    )


@pytest.fixture(scope="module")
def points(demo: Path, found: tuple[Flight, ...]) -> Points:
    """The same, reduced."""
    dossier = load(demo)
    return reduce(found, dossier.airplane, dossier.strips)


def _truth(kind: str) -> dict[tuple[str, str], dict[str, Any]]:
    return {(row["card"], row["point"]): row for row in stored()[kind]}


def _deviations(measured: Estimate, true: str, dimension: Dimension) -> float:
    assert measured.sd is not None
    return (measured.value - parse(true, dimension)) / measured.sd


def _take_offs_and_landings(points: Points) -> Iterator[tuple[str, float]]:
    for off in points.takeoffs:
        row = _truth("take_off")[off.origin.card, off.origin.point]
        yield f"{off.origin.point} roll", _deviations(off.ground_roll, row["ground_roll"], Dimension.LENGTH)
        yield f"{off.origin.point} air", _deviations(off.air_distance, row["air_distance"], Dimension.LENGTH)
        yield (
            f"{off.origin.point} lift-off",
            _deviations(off.lift_off_speed, row["lift_off_speed"], Dimension.SPEED),
        )
    for down in points.landings:
        row = _truth("landing")[down.origin.card, down.origin.point]
        yield f"{down.origin.point} roll", _deviations(down.ground_roll, row["ground_roll"], Dimension.LENGTH)
        yield (
            f"{down.origin.point} air",
            _deviations(down.air_distance, row["air_distance"], Dimension.LENGTH),
        )
        yield (
            f"{down.origin.point} touchdown",
            _deviations(down.touchdown_speed, row["touchdown_speed"], Dimension.SPEED),
        )


def test_every_planned_run_is_found(points: Points) -> None:
    """Nine stalls, three take-offs and four landings come out of the two flights."""
    assert (len(points.stalls), len(points.takeoffs), len(points.landings)) == (9, 3, 4)


def test_runs_come_back_within_their_stated_errors(points: Points) -> None:
    """Distances and speeds of every take-off and landing lie where their standard uncertainties say."""
    deviations = dict(_take_offs_and_landings(points))
    assert len(deviations) == 21
    assert max(deviations.values(), key=abs) == pytest.approx(0.0, abs=MOST_DEVIATIONS), deviations


def test_stalls_come_back_within_their_stated_errors(points: Points) -> None:
    """Stall speeds lie where their uncertainties say, brisk entries too, and not all far to one side."""
    deviations = []
    for stall in points.stalls:
        row = _truth("stall")[stall.origin.card, stall.origin.point]
        standard = parse(row["stall_speed"], Dimension.SPEED)
        assert stall.stall_speed.sd is not None
        deviations.append((stall.stall_speed.value - standard) / stall.stall_speed.sd)
    assert max(deviations, key=abs) == pytest.approx(0.0, abs=MOST_DEVIATIONS)
    assert sum(deviations) / len(deviations) == pytest.approx(0.0, abs=2.0)


def test_the_cameras_moments_are_the_events(found: tuple[Flight, ...]) -> None:
    """Where the fence-post camera saw lift-off and touchdown, the manoeuvre has its event there."""
    flight = next(flight for flight in found if flight.card.name == "flight-3a")
    events = [
        flight.recording.start + timedelta(seconds=event.time)
        for manoeuvre in flight.manoeuvres
        for event in manoeuvre.events
        if event.name in ("lift-off", "touchdown")
    ]
    for kind, moment in (("take_off", "lift_off"), ("landing", "touchdown")):
        true = _truth(kind)["flight-3a", "3a.T2" if kind == "take_off" else "3a.L2"][moment]
        assert min(abs((event - true).total_seconds()) for event in events) < 0.2
