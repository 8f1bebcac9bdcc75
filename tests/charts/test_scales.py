"""Axes: round numbers, true positions, the second unit on the same paper."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wringout.charts.scales import COMPANIONS, round_ticks, scale
from wringout.quantity import convert, to_si, unit_dimension

FINITE = st.floats(-1e5, 1e5, allow_nan=False)


@given(low=FINITE, span=st.floats(1e-3, 1e5), count=st.integers(2, 10))
def test_ticks_are_round_and_inside(low: float, span: float, count: int) -> None:
    """Ticks lie inside the ends, an equal step of 1, 2 or 5 times a power of ten apart."""
    ticks = round_ticks(low, low + span, count)
    assert all(low - 1e-6 * span <= tick <= low + span * (1 + 1e-6) for tick in ticks)
    steps = np.diff(ticks)
    if len(steps):
        assert steps == pytest.approx(np.full_like(steps, steps[0]), rel=1e-6)
        leading = steps[0] / 10 ** np.floor(np.log10(steps[0]) + 1e-9)
        assert min(abs(leading - k) for k in (1, 2, 5, 10)) < 1e-6
    assert 1 <= len(ticks) <= 2.5 * count + 2


@given(values=st.lists(st.floats(0.0, 3000.0), min_size=2, max_size=20), share=st.floats(0.0, 1.0))
def test_paper_and_back(values: list[float], share: float) -> None:
    """A position on paper leads back to the value it came from, and every value lies on the paper."""
    axis = scale("distance", "m", [values], 240.0)
    value = axis.low + share * (axis.high - axis.low)
    assert float(axis.at(axis.along(value))) == pytest.approx(value, abs=1e-6 * (axis.high - axis.low))
    assert np.all((axis.along(values) >= -1e-6) & (axis.along(values) <= 240.0 + 1e-6))


@pytest.mark.parametrize("unit", COMPANIONS)
def test_second_unit_lies_on_the_same_paper(unit: str) -> None:
    """A tick of the companion unit stands where the same quantity stands in the axis's own unit."""
    dimension = unit_dimension(unit)
    axis = scale("", unit, [[to_si(10.0, unit), to_si(160.0, unit)]], 300.0)
    second = axis.second()
    assert second is not None
    assert unit_dimension(second.unit) is dimension
    for tick in second.ticks:
        same = convert(to_si(tick, second.unit), unit)
        assert float(second.along(tick)) == pytest.approx(float(axis.along(same)), abs=0.3)


def test_axis_needs_something_to_show() -> None:
    """An axis of gaps only is refused, not drawn empty."""
    with pytest.raises(ValueError, match="nothing to show on the axis 'mass'"):
        scale("mass", "kg", [[np.nan, np.inf]], 100.0)


def test_gaps_do_not_stretch_an_axis() -> None:
    """NaN and infinity among the values leave the axis as it is without them."""
    assert scale("mass", "kg", [[600.0, np.nan, 1090.0, np.inf]], 100.0) == scale(
        "mass", "kg", [[600.0, 1090.0]], 100.0
    )
