"""One row a channel: rate, gaps, what was left out, step and what is missing."""

import numpy as np
import pytest

from tests.recordings.test_cleaning import SECONDS, cleaned, fixes
from wringout.recordings import health
from wringout.recordings.inspection import step_of
from wringout.recordings.recording import FloatArray


def test_health_of_a_log_with_faults() -> None:
    """Each fault counts at its own channel."""
    generator = np.random.default_rng(0)
    channels = fixes(SECONDS)
    channels["indicated_airspeed"] = np.round(generator.normal(40.0, 2.0, len(SECONDS)), 1)
    channels["indicated_airspeed"][::4] = np.nan
    channels["height"] += generator.normal(0.0, 0.5, len(SECONDS))
    channels["latitude"][150] += 1e-5
    keep = (SECONDS < 40.0) | (SECONDS > 48.0)
    rows = {
        row.channel: row for row in health(cleaned(SECONDS[keep], {k: v[keep] for k, v in channels.items()}))
    }
    assert list(rows) == ["latitude", "longitude", "height", "indicated_airspeed"]
    assert rows["height"].rate == pytest.approx(5.0)
    assert rows["height"].gaps == 1
    assert rows["height"].longest_gap == pytest.approx(8.4)
    assert (rows["latitude"].jumps, rows["height"].jumps) == (1, 0)
    assert rows["indicated_airspeed"].missing == pytest.approx(0.25, abs=0.01)
    assert rows["indicated_airspeed"].step == pytest.approx(0.1)
    assert rows["height"].step is None


@pytest.mark.parametrize("step", [0.05144, 0.3048, 1.0, 1e-7])
def test_the_step_of_rounded_values(step: float) -> None:
    """A tenth of a knot, a foot, a metre, 1e-7: the step is found, small or large."""
    walk: FloatArray = np.cumsum(np.random.default_rng(2).normal(0.0, 2.0, 3000))
    values: FloatArray = step * np.round(walk)
    assert step_of(values) == pytest.approx(step, rel=1e-6)


def test_noise_has_no_step() -> None:
    """Nor have constants, or three samples."""
    generator = np.random.default_rng(2)
    assert step_of(generator.normal(size=3000)) is None
    assert step_of(np.zeros(100)) is None
    assert step_of(np.array([1.0, 2.0, 3.0])) is None
