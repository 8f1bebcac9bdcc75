"""Fifty feet on a sloping strip: they count above the strip beneath the airplane, derived by hand."""

import numpy as np
import pytest

from tests.manoeuvres.flying import STALL_SPEED, TICK, Flight, circuit
from wringout.manoeuvres import Manoeuvre, find
from wringout.recordings import smooth

SPEED = 26.0  # m/s over the ground while the height is gained or lost
CLIMB, SINK, BEND = 4.0, 2.0, 2.0  # m/s, m/s, s in which the path bends off or on to the strip


def only(flight: Flight, kind: str, seed: int) -> Manoeuvre:
    """The only manoeuvre of a kind, by a receiver whose height hardly wanders."""
    recording = flight.recorded(np.random.default_rng([11, seed]), height_jitter=0.1, height_wander=0.02)
    (found,) = (each for each in find(recording, smooth(recording), STALL_SPEED) if each.kind == kind)
    return found


def taken_off(slope: float) -> Flight:
    """Along the slope to lift-off at 26 m/s, then within 2 s off it into a climb of 4 m/s."""
    flight = Flight(slope=slope)
    flight.stand(40.0)
    while flight.speed < SPEED:
        flight.speed += 2.6 * TICK
        flight.step(flight.speed * slope)
    flight.flying = True
    along = SPEED * slope
    for tick in range(round(BEND / TICK)):
        flight.step(along + (CLIMB - along) * tick * TICK / BEND)
    flight.fly(40.0, climb=CLIMB)
    return flight


def landed(slope: float) -> Flight:
    """Down at 2 m/s and 26 m/s, bent within 2 s on to the slope at 100 m, then braked to a stop."""
    flight = Flight()
    flight.stand(40.0)
    flight.take_off()
    circuit(flight)
    flight.to_speed(SPEED)
    flight.slope, along = slope, SPEED * slope
    while flight.height > 100.0 + (SINK - along) * BEND / 2:
        flight.step(-SINK)
    for tick in range(round(BEND / TICK)):
        flight.step(-SINK + (SINK + along) * tick * TICK / BEND)
    flight.flying = False
    while flight.speed > 2.0 * TICK:
        flight.speed -= 2.0 * TICK
        flight.step(flight.speed * slope)
    flight.stand(20.0)
    return flight


@pytest.mark.parametrize(
    ("slope", "distance"),
    [
        # after the bend the airplane gains 4 − 26 · slope on the strip each second, and in it half of that:
        # 15.24 m take 1 s + 15.24 m over that rate, at 26 m/s
        (0.03, 149.06),
        (-0.03, 108.90),
        (0.0, 125.06),
    ],
)
def test_a_take_off_counts_above_the_strip_that_goes_on(slope: float, distance: float) -> None:
    """Uphill the strip rises beneath the airplane and the air distance is longer, downhill shorter."""
    assert distance == pytest.approx(SPEED * (BEND / 2 + 15.24 / (CLIMB - SPEED * slope)), abs=0.01)
    found = [only(taken_off(slope), "take-off", seed).measures["air_distance"] for seed in range(4)]
    for each in found:
        assert each.sd is not None
        assert each.value == pytest.approx(distance, abs=3 * each.sd)
    assert np.mean([each.value for each in found]) == pytest.approx(distance, abs=6.0)


@pytest.mark.parametrize(
    ("slope", "distance"),
    [
        # before the bend the airplane nears the strip's plane by 2 + 26 · slope each second, in it by half of
        # that: 15.24 m above it 1 s + 15.24 m over that rate before the touch, at 26 m/s
        (0.03, 168.53),
        (-0.03, 350.79),
        (0.0, 224.12),
    ],
)
def test_a_landing_counts_above_the_strip_that_lies_before(slope: float, distance: float) -> None:
    """Uphill the strip's plane lies lower beneath the approach and the air distance is shorter, and back."""
    closing = SINK + SPEED * slope
    assert distance == pytest.approx(SPEED * (BEND / 2 + 15.24 / closing), abs=0.01)
    found = [only(landed(slope), "landing", seed).measures["air_distance"] for seed in range(4)]
    for each in found:
        assert each.sd is not None
        assert each.value == pytest.approx(distance, abs=3 * each.sd)
    assert np.mean([each.value for each in found]) == pytest.approx(distance, rel=0.1)


def test_what_a_steeper_strip_would_add_is_stated() -> None:
    """149 m at 3.22 m/s over the strip and 26 m/s: 12 m for each per cent, and a little more.

    The heights that tell where the strip is lie somewhat before the lift-off, and the slope turns about them.
    """
    found = only(taken_off(0.03), "take-off", 1).measures["air_distance_per_slope"]
    assert found.sd is not None
    assert 1.0 < found.value / (149.06 * 26.0 / 3.22) < 1.2
