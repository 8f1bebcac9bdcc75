"""The longest steady stretches, as trying every stretch finds them."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from wringout.manoeuvres.windows import moving_mean, within_tolerance
from wringout.recordings.recording import FloatArray


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 2**32 - 1), count=st.integers(1, 40), coarse=st.booleans())
def test_the_longest_window_is_taken_first(seed: int, count: int, coarse: bool) -> None:
    """As found by trying all windows, the earliest of equals; then the same on either side of it."""
    generator = np.random.default_rng(seed)
    quantities = [
        (np.cumsum(generator.normal(0.0, 1.0, count)), float(generator.uniform(0.5, 6.0))) for _ in range(2)
    ]
    if coarse:
        quantities = [(np.round(values), round(tolerance)) for values, tolerance in quantities]

    def tried(first: int, after: int) -> list[tuple[int, int]]:
        held = [
            (low, high)
            for low in range(first, after)
            for high in range(low + 1, after + 1)
            if all(np.ptp(values[low:high]) <= tolerance for values, tolerance in quantities)
        ]
        best = max(held, key=lambda each: (each[1] - each[0], -each[0]), default=(first, first))
        if best[1] - best[0] < 3:
            return []
        return [*tried(first, best[0]), best, *tried(best[1], after)]

    assert within_tolerance(quantities, 0, count, 3) == tried(0, count)


def test_a_mean_is_unknown_only_where_a_sample_is() -> None:
    """One hole in a channel leaves the means beyond its reach as they were."""
    values: FloatArray = np.arange(20, dtype=np.float64)
    with_hole = values.copy()
    with_hole[8] = np.nan
    mean = moving_mean(with_hole, 5)
    assert np.flatnonzero(np.isnan(mean)).tolist() == [6, 7, 8, 9, 10]
    np.testing.assert_allclose(mean[11:], moving_mean(values, 5)[11:])
