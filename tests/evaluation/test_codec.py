"""Results survive the way to disk and back, and nothing foreign is taken for one."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from wringout.evaluation.codec import decode, encode, fingerprint
from wringout.quantity import Dimension, Estimate
from wringout.reduction.points import ClimbPoint, Conditions, LevelPoint, Origin, Point


@dataclass(frozen=True, slots=True)
class Sample:
    """Every kind of field that results use."""

    estimate: Estimate | None
    arrays: Mapping[str, NDArray[np.float64]]
    points: tuple[Point, ...]
    day: date
    moment: datetime
    path: Path


def sample(value: float = 1.0) -> Sample:
    estimate = Estimate(value, None, Dimension.MASS, "scales")
    conditions = Conditions("tail wheel", "0", estimate, 2.1, estimate, estimate, estimate)
    origin = Origin("flight-1", "1.1", "flight-1.gpx", 10.0, 20.0)
    climb = ClimbPoint(origin, conditions, "idle", estimate, estimate)
    level = LevelPoint(origin, conditions, estimate, estimate, None, None, estimate)
    return Sample(
        estimate,
        {"time": np.array([0.0, 0.2, np.nan])},
        (climb, level),
        date(2026, 5, 12),
        datetime(2026, 5, 12, 9, 0, tzinfo=UTC),
        Path("cards/flight-1.toml"),
    )


def test_a_result_comes_back_as_it_went() -> None:
    """Unions, optional fields, arrays with NaN, days, moments and paths."""
    before = sample()
    after = decode(encode(before, Sample), Sample)
    np.testing.assert_array_equal(after.arrays["time"], before.arrays["time"])
    assert (after.estimate, after.points, after.day, after.moment, after.path) == (
        before.estimate,
        before.points,
        before.day,
        before.moment,
        before.path,
    )


@given(st.floats(allow_nan=True, allow_infinity=True))
def test_every_float_survives(value: float) -> None:
    """To the last bit, NaN and infinity included."""
    found = decode(encode(Estimate(value, None, Dimension.MASS, ""), Estimate), Estimate).value
    assert found == value or (math.isnan(found) and math.isnan(value))


@given(st.binary(max_size=200))
def test_foreign_bytes_are_refused(data: bytes) -> None:
    """A damaged or foreign file raises an ordinary exception and runs nothing."""
    with pytest.raises((ValueError, KeyError, OSError, EOFError)):
        decode(data, Sample)


def test_equal_values_have_equal_fingerprints_and_others_do_not() -> None:
    """The key of a stage depends on what it uses and on nothing else."""
    assert fingerprint(sample(), Sample) == fingerprint(sample(), Sample)
    assert fingerprint(sample(), Sample) != fingerprint(sample(2.0), Sample)
