"""A handful of the coverage benchmark: airplanes drawn at random, from recordings to figures never flown."""

import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parents[2] / "benchmarks"))  # scripts, that are run by themselves

from interval_coverage import Answered, answered, questions
from random_airplanes import draw

SEEDS = (2, 3, 4)  # two with fixed pitch, one with a governor; both kinds of gear and of flaps


@pytest.fixture(scope="module")
def rows() -> list[Answered]:
    """Every question of three evaluations beside the simulator's own answer."""
    return [row for seed in SEEDS for row in answered(seed)]


def test_intervals_over_random_airplanes_hold_the_truth(rows: list[Answered]) -> None:
    """Most 90 % intervals hold the truth and no error is absurd; intervals a fifth as wide would not do."""
    assert len(rows) > 35
    off = np.abs([row.deviations for row in rows])
    assert np.mean([row.holds for row in rows]) > 0.75
    assert off.max() < 5.0
    assert np.mean(off < 1.645 / 5.0) < 0.6


def test_field_lengths_of_random_airplanes_come_close(rows: list[Answered]) -> None:
    """Half of the take-off and landing distances at other weights, heights and slopes within a tenth."""
    errors = [abs(row.error) for row in rows if row.quantity.endswith("distance")]
    assert len(errors) == 4 * len(SEEDS)
    assert np.median(errors) < 0.10


def test_random_airplanes_are_of_many_kinds_and_repeatable() -> None:
    """Forty seeds give both propellers, both gears, chargers, and masses from two seats to four."""
    drawn = [draw(seed) for seed in range(40)]
    machines = [one.setup.machine for one in drawn]
    assert {machine.propeller.governed for machine in machines} == {True, False}
    assert {machine.gears[0].tail_wheel for machine in machines} == {True, False}
    assert any(machine.engine.boost_limit for machine in machines)
    assert np.ptp([machine.maximum_mass for machine in machines]) > 800.0
    assert draw(7).airplane_toml == drawn[7].airplane_toml
    assert questions(draw(7)) == questions(drawn[7])
