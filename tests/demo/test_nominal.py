"""The truth obeys mechanics: steady flight balances, and every run reacts as it must."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wringout.demo import steady
from wringout.demo.air import STANDARD_GRAVITY, UniformAir, still_air
from wringout.demo.nominal import nominal_landing, nominal_stall, nominal_take_off, true_answer
from wringout.demo.setup import setup
from wringout.model.question import Question

SHEPHERD = setup()
MACHINE = SHEPHERD.machine
FULL, IDLE = steady.full(MACHINE), steady.idle(MACHINE)
SHORT = Question("take-off distance", "tail wheel", 1040.0, technique="short field")


def _condition(mass: float, altitude: float) -> steady.Condition:
    air = UniformAir(
        still_air(altitude, 288.15 - 0.0065 * altitude, 101325.0, SHEPHERD.plans[0].weather.reference),
        0.0,
        0.0,
    )
    return steady.Condition(MACHINE, MACHINE.gears[0], mass, 0.0, 1.02, air, altitude)


@given(st.floats(850.0, 1090.0), st.floats(0.0, 3000.0))
@settings(max_examples=20)
def test_level_speed_leaves_no_excess(mass: float, altitude: float) -> None:
    """At the level speed thrust and drag are equal."""
    condition = _condition(mass, altitude)
    assert steady.excess(condition, FULL, steady.level_speed(condition, FULL)) == pytest.approx(0.0, abs=1e-6)


@given(st.floats(850.0, 1080.0), st.floats(0.0, 2900.0))
@settings(max_examples=15)
def test_mass_and_height_cost_climb(mass: float, altitude: float) -> None:
    """Ten kilograms or a hundred metres more always climb worse."""
    climb = steady.best_climb(_condition(mass, altitude), FULL)[1]
    assert steady.best_climb(_condition(mass + 10.0, altitude), FULL)[1] < climb
    assert steady.best_climb(_condition(mass, altitude + 100.0), FULL)[1] < climb


def test_the_best_glide_is_the_best() -> None:
    """A glide faster or slower than the best goes less far."""
    condition = _condition(1000.0, 1000.0)
    speed, ratio = steady.best_glide(condition)
    for other in (0.9 * speed, 1.1 * speed):
        sink = -steady.climb_rate(condition, IDLE, other)
        airspeed = other * (1.225 / condition.air.at(1000.0)[2]) ** 0.5
        assert (airspeed**2 - sink**2) ** 0.5 / sink < ratio


@pytest.mark.parametrize(
    ("change", "longer"),
    [
        ({"mass": 1090.0}, True),
        ({"head_wind": 3.0}, False),
        ({"slope": 0.02}, True),
        ({"pressure_altitude": 1200.0}, True),
        ({"temperature": 305.0}, True),
        ({"technique": "normal"}, True),
    ],
)
def test_take_offs_react_as_they_must(change: dict[str, float], longer: bool) -> None:
    """Mass, slope, height, warmth and speed lengthen a take-off; wind on the nose shortens it."""
    base, changed = nominal_take_off(SHEPHERD, SHORT), nominal_take_off(SHEPHERD, replace(SHORT, **change))  # type: ignore[arg-type]
    assert (changed.ground_roll > base.ground_roll) is longer
    assert (changed.ground_roll + changed.air_distance > base.ground_roll + base.air_distance) is longer


@pytest.mark.parametrize(
    ("change", "longer"),
    [
        ({"mass": 1090.0}, True),
        ({"head_wind": 3.0}, False),
        ({"slope": 0.02}, False),
        ({"pressure_altitude": 1200.0}, True),
        ({"technique": "normal"}, True),
        ({"surface": "gravel"}, True),
    ],
)
def test_landing_rolls_react_as_they_must(change: dict[str, float], longer: bool) -> None:
    """Mass, height, speed and slippery ground lengthen the roll; wind and an upward slope shorten it."""
    base = replace(SHORT, configuration="nose wheel")
    before, after = nominal_landing(SHEPHERD, base), nominal_landing(SHEPHERD, replace(base, **change))  # type: ignore[arg-type]
    assert (after.ground_roll > before.ground_roll) is longer


def test_no_landing_beats_its_grip() -> None:
    """The mean deceleration stays below grip, rolling friction and aerodynamic drag together."""
    down = nominal_landing(SHEPHERD, replace(SHORT, configuration="nose wheel"))
    deceleration = down.touchdown_speed**2 / (2.0 * down.ground_roll) / STANDARD_GRAVITY
    assert 0.15 < deceleration < 0.42 + 0.055 * 1.3 + 0.1


def test_a_take_off_obeys_its_own_times() -> None:
    """Distance over time lies between standing and lift-off speed, and the run ends faster than it began."""
    off = nominal_take_off(SHEPHERD, SHORT)
    mean = off.ground_roll / (off.lift_off - off.start)
    assert 0.4 * off.lift_off_speed < mean < 0.7 * off.lift_off_speed
    assert off.obstacle_speed > off.lift_off_speed


def test_a_brisk_entry_stalls_slower() -> None:
    """Lift overshoots with the entry rate, as the classical reduction to 1 kt/s assumes."""
    question = Question("stall speed", "tail wheel", 1090.0, "45")
    gentle, brisk = nominal_stall(SHEPHERD, question, 1.0), nominal_stall(SHEPHERD, question, 2.5)
    assert brisk.break_speed < gentle.break_speed
    assert gentle.entry_rate == pytest.approx(1.0, abs=0.15)
    assert gentle.least_speed < gentle.break_speed


def test_stall_speed_goes_with_the_root_of_mass() -> None:
    """Twice the stall's mass ratio shows as its square root in speed."""
    heavy = true_answer(SHEPHERD, Question("stall speed", "tail wheel", 1090.0, "30"))
    light = true_answer(SHEPHERD, Question("stall speed", "tail wheel", 900.0, "30"))
    assert heavy / light == pytest.approx((1090.0 / 900.0) ** 0.5, rel=3e-3)


def test_an_unknown_question_is_refused() -> None:
    """A question that the simulator cannot answer is no zero."""
    with pytest.raises(ValueError, match="no answer"):
        true_answer(SHEPHERD, Question("rate of climb", "tail wheel", 1000.0, speed=35.0))
