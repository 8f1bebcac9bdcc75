"""The simulated flights are whole flights, repeatable, inside the airplane's limits, and noted honestly."""

from pathlib import Path

import numpy as np
import pytest

from wringout.demo.craft import SAMPLE_STEP
from wringout.demo.flights import Flown, fly
from wringout.demo.sensors import column
from wringout.demo.setup import setup
from wringout.dossier import load
from wringout.loading import loading_report

STRIP, PLANS = setup().strip, setup().plans


def test_each_flight_begins_and_ends_standing_on_the_strip(flights: tuple[Flown, ...]) -> None:
    """First and last sample stand still on the strip, and between them the airplane was far above it."""
    for flown in flights:
        samples = flown.samples
        along, right = STRIP.along(samples[-1, 1], samples[-1, 2])
        assert 0.0 < along < STRIP.length
        assert abs(right) < 10.0
        assert column(samples, "wheels")[[0, -1]].tolist() == [1.0, 1.0]
        assert np.hypot(samples[[0, -1], 4], samples[[0, -1], 5]).max() == 0.0
        assert column(samples, "height").max() > STRIP.elevation + 100.0


def test_samples_stand_on_the_recorders_grid(flights: tuple[Flown, ...]) -> None:
    """Every 0.2 s one sample, none missing, none twice."""
    for flown in flights:
        assert np.allclose(np.diff(column(flown.samples, "time")), SAMPLE_STEP)
        assert np.isfinite(flown.samples).all()


def test_the_recorded_path_is_the_integral_of_the_recorded_speed(flights: tuple[Flown, ...]) -> None:
    """Positions and velocities tell the same story to a few centimetres a second of flight."""
    for flown in flights:
        for place, speed in (("east", "east_speed"), ("north", "north_speed"), ("height", "up_speed")):
            steps = np.diff(column(flown.samples, place))
            rates = column(flown.samples, speed)
            expected = 0.5 * (rates[1:] + rates[:-1]) * SAMPLE_STEP
            assert np.abs(steps - expected).max() < 0.35
            assert abs((steps - expected).sum()) < 0.01 * len(steps) ** 0.5 + 3.0


def test_energy_is_not_made(flights: tuple[Flown, ...]) -> None:
    """In still parts of the climb the specific energy never grows faster than full power allows."""
    for flown in flights:
        high = column(flown.samples, "height") > STRIP.elevation + 150.0
        energy = column(flown.samples, "height") + column(flown.samples, "airspeed") ** 2 / 19.6133
        growth = (energy[50:] - energy[:-50]) / 10.0
        assert growth[high[50:] & high[:-50]].max() < 149.0e3 * 0.75 / (850.0 * 9.80665)


def test_the_programme_is_flown_as_asked(flights: tuple[Flown, ...]) -> None:
    """Level legs, climbs, glides, stalls, six take-offs and eight landings, in three to four hours."""
    kinds = [point.kind for flown in flights for point in flown.outing.noted]
    count = {kind: kinds.count(kind) for kind in set(kinds)}
    assert count == {"level": 8, "climb": 5, "glide": 3, "stall": 18, "take-off": 6, "landing": 8}
    hours = sum(len(flown.samples) for flown in flights) * SAMPLE_STEP / 3600.0
    assert 3.0 < hours < 4.0


def test_every_loading_is_inside_the_airplanes_limits(demo: Path) -> None:
    """What the cards say was loaded can be flown by the airplane's own envelope."""
    dossier = load(demo)
    for card in dossier.cards:
        report = loading_report(dossier.airplane, card.configuration, card.loading, 0.001)
        assert report.within, card.name


def test_marks_lie_where_things_happened(flights: tuple[Flown, ...]) -> None:
    """An observer with a button is late by some tenths of a second."""
    for flown in flights:
        moments = {point: flown_off for point, flown_off in flown.outing.take_offs if point}
        for mark in flown.outing.marked:
            if mark.kind == "lift-off":
                error = mark.time - moments[mark.point].lift_off
                assert abs(error) < 1.5


def test_the_same_seed_flies_the_same_flight(flights: tuple[Flown, ...]) -> None:
    """A flight is a function of its plan and its generator."""
    again = fly(setup(), PLANS[1], 20250617)
    assert np.array_equal(again.samples, flights[1].samples)
    other = fly(setup(), PLANS[1], 20250618)
    assert other.samples.shape != again.samples.shape or not np.array_equal(other.samples, again.samples)


def test_technique_differs_between_runs(flights: tuple[Flown, ...]) -> None:
    """Two landings with one technique are not the same landing."""
    downs = [flown for outing in flights for point, flown in outing.outing.landings if point]
    assert len({round(down.ground_roll, 1) for down in downs}) == len(downs)
    rolls = [off.ground_roll for flown in flights for point, off in flown.outing.take_offs if point]
    assert min(rolls) > 60.0
    assert max(rolls) < 220.0


@pytest.mark.parametrize("number", range(len(PLANS)))
def test_true_cg_lies_between_the_wheels_and_the_aft_limit(number: int, flights: tuple[Flown, ...]) -> None:
    """The CG of each flight is one that the airplane allows."""
    assert 0.89 < flights[number].cg_at_start < 1.18
