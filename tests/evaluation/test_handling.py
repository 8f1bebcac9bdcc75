"""The handling record says what pilots said, and makes no number that nobody gave."""

import math
from dataclasses import replace
from statistics import median_high, median_low

import numpy as np
import pytest

from wringout.dossier.card import Card, Rating
from wringout.dossier.handling import HandlingNotes, StickForce, TrimChange
from wringout.evaluation import Evaluation
from wringout.evaluation.handling import handling_record, median, reading_sd, slope_of
from wringout.quantity import to_si

KNOT = to_si(1.0, "kt")


def _card(demo: Evaluation, **changes: object) -> Card:
    return replace(demo.dossier.cards[0], points=(), ratings=(), handling=HandlingNotes(), **changes)  # type: ignore[arg-type]


def test_the_median_is_a_rating_that_was_given() -> None:
    """Never a half between two: of an even number both of the middle stand (no arithmetic on ratings)."""
    rng = np.random.default_rng(5)
    for _ in range(200):
        given = [int(item) for item in rng.integers(1, 11, rng.integers(1, 9))]
        found = median(given)
        assert set(found) <= set(given)
        assert found in {(median_low(given),), (median_low(given), median_high(given))}
        assert found[-1] == median_high(given)


def test_ratings_of_one_task_stand_together_by_configuration(demo: Evaluation) -> None:
    """Two configurations are two airplanes to a rating; comments stay with it, and the range is told."""
    mark = Rating("Land on the mark", 4, "over the nose nothing is seen")
    first = _card(demo)
    cards = (
        replace(first, ratings=(mark, replace(mark, task="land on the mark", rating=3, note="calm"))),
        replace(first, ratings=(replace(mark, rating=6, note="gusty"), Rating("Taxi", None, "easy"))),
        replace(first, configuration="nose wheel", ratings=(replace(mark, rating=2),)),
    )
    record = handling_record(cards)
    landing = next(item for item in record.tasks if item.configuration == "tail wheel" and item.high)
    assert (landing.median, landing.low, landing.high) == ((4,), 3, 6)
    assert [item.note for item in landing.given] == ["over the nose nothing is seen", "calm", "gusty"]
    assert landing.worst is not None
    assert landing.worst.rating == 6
    assert [item.median for item in record.tasks if item.configuration == "nose wheel"] == [(2,)]
    taxi = record.tasks[-1]
    assert (taxi.median, taxi.low, taxi.worst) == ((), None, None)


def test_a_reading_is_uncertain_by_the_step_of_the_scale() -> None:
    """A step of 1 N spread evenly over itself has the standard deviation 0.29 N [GUM, F.2.2.1]."""
    assert reading_sd(1.0) == pytest.approx(0.2887, abs=5e-5)
    spread = np.random.default_rng(2).uniform(-1.0, 1.0, 400_000)  # a step of 2 N
    assert reading_sd(2.0) == pytest.approx(float(np.std(spread)), rel=0.005)


def test_the_slope_is_that_of_least_squares_with_its_uncertainty() -> None:
    """Against a polynomial fit, and the uncertainty against readings drawn anew."""
    rng = np.random.default_rng(3)
    speeds = np.array([26.0, 31.0, 35.0, 43.0])
    forces = 120.0 - 2.7 * speeds + rng.normal(0.0, 0.5, 4)
    found = slope_of(speeds.tolist(), forces.tolist(), 0.5)
    assert found is not None
    assert found[0] == pytest.approx(np.polyfit(speeds, forces, 1)[0])
    drawn = forces + rng.normal(0.0, 0.5, (40_000, 4))
    assert found[1] == pytest.approx(float(np.std(np.polyfit(speeds, drawn.T, 1)[0])), rel=0.02)
    assert slope_of([30.0, 30.0], [1.0, 2.0], 0.1) is None
    assert slope_of([], [], 0.1) is None


def test_forces_are_told_by_series_pull_positive(demo: Evaluation) -> None:
    """Readings of one flap, power and trim go together in order of speed; a push is negative."""
    pull = StickForce("stick", 17.0, "pull", 60 * KNOT, "up", "part", 75 * KNOT)
    push = replace(pull, force=8.0, direction="push", speed=83 * KNOT)
    forces = (push, pull, replace(pull, force=8.0, speed=67 * KNOT))
    other = StickForce("stick", 9.0, "pull", 50 * KNOT, "30", "part", 60 * KNOT)
    change = TrimChange(65 * KNOT, "up", "30", "idle", 14.0, "push", 55 * KNOT)
    notes = HandlingNotes(1.0, (*forces, other), (change,))
    record = handling_record((replace(_card(demo), handling=notes),))
    up, down = record.forces
    assert [item.signed.value for item in up.readings] == [17.0, 8.0, -8.0]
    assert all(item.signed.sd == pytest.approx(1 / math.sqrt(12)) for item in up.readings)
    # By hand: speeds 60, 67, 83 kt about 70, forces 17, 8, −8 N: Σ(v−v̄)F = −298, Σ(v−v̄)² = 278.
    assert up.slope is not None
    assert up.slope * KNOT == pytest.approx(-298.0 / 278.0, rel=1e-9)
    assert down.slope is None
    assert record.trims[0].signed is not None
    assert record.trims[0].signed.value == -14.0


def test_without_notes_nothing_is_made_up(demo: Evaluation) -> None:
    """An empty record."""
    assert handling_record((_card(demo),)).empty


def test_the_demo_s_notes_all_arrive(demo: Evaluation) -> None:
    """As many forces, changes, stalls and impressions as the cards have."""
    cards = demo.dossier.cards
    record = handling_record(cards)
    assert sum(len(item.readings) for item in record.forces) == sum(
        len(card.handling.stick_forces) for card in cards
    )
    assert len(record.trims) == sum(len(card.handling.trim_changes) for card in cards) > 0
    assert len(record.stalls) == sum(len(card.handling.stalls) for card in cards) > 0
    assert len(record.impressions) == sum(len(card.handling.impressions) for card in cards) > 0
