"""When a claim holds: rounding, tolerance, and the words for a probability."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wringout.claims.relation import finding, interval, last_digit, probability, probability_of_samples
from wringout.dossier.claim import Claim, ClaimConditions
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

KNOT = 1852.0 / 3600.0


def claim(relation: str, value: float, text: str, tolerance: float | None = None) -> Claim:
    """A claim of a stall speed."""
    return Claim(
        "stall",
        "It stalls slowly.",
        "stall speed",
        relation,  # type: ignore[arg-type]  # the test names the three relations
        value,
        tolerance,
        ClaimConditions(),
        "an invented brochure",
        text,
    )


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("38 kt", 38 * KNOT, KNOT),
        ("38.5 kt", 38.5 * KNOT, 0.1 * KNOT),
        ("1 040 m", 1040.0, 1.0),
        (".45 m", 0.45, 0.01),
    ],
)
def test_the_last_digit_is_read_off_the_text(text: str, value: float, unit: float) -> None:
    """One unit of the last printed digit in SI, whatever the unit and the grouping."""
    assert last_digit(claim("at most", value, text)) == pytest.approx(unit)


def test_rounding_is_given_to_the_maker() -> None:
    """'38 kt at most' holds up to 38.5 kt, 'at least' down to 37.5 kt, 'about' from 37 to 39 kt."""
    assert interval(claim("at most", 38 * KNOT, "38 kt"))[1] == pytest.approx(38.5 * KNOT)
    assert interval(claim("at least", 38 * KNOT, "38 kt"))[0] == pytest.approx(37.5 * KNOT)
    assert interval(claim("about", 38 * KNOT, "38 kt")) == pytest.approx((37 * KNOT, 39 * KNOT))
    assert interval(claim("about", 38 * KNOT, "38 kt", 2 * KNOT)) == pytest.approx((36 * KNOT, 40 * KNOT))


def test_probability_by_hand() -> None:
    """A stall at 39.5 ± 1 kt meets 'at most 38 kt' when it is below 38.5 kt: one sd under, 15.87 %."""
    figure = Estimate(39.5 * KNOT, KNOT, Dimension.SPEED, "test")
    assert probability(claim("at most", 38 * KNOT, "38 kt"), figure) == pytest.approx(0.158655, abs=1e-6)
    rng = np.random.default_rng(3)
    samples = figure.value + KNOT * rng.standard_normal(100_000)
    assert probability_of_samples(claim("at most", 38 * KNOT, "38 kt"), samples) == pytest.approx(
        0.159, abs=0.004
    )


def test_a_figure_without_spread_answers_yes_or_no() -> None:
    """Arithmetic without uncertainty is not half true."""
    exact = Estimate(38.4 * KNOT, None, Dimension.SPEED, "test")
    assert probability(claim("at most", 38 * KNOT, "38 kt"), exact) == 1.0
    assert probability(claim("at most", 38 * KNOT, "38.0 kt"), exact) == 0.0


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_words_never_go_down_as_probability_goes_up(one: float, other: float) -> None:
    """The five findings stand in the order of their probabilities."""
    order = ["not borne out", "leaning no", "open", "leaning yes", "borne out"]
    low, high = sorted((one, other))
    assert order.index(finding(low)) <= order.index(finding(high))


def test_a_figure_that_is_no_number_is_refused() -> None:
    """A claim whose text has no number cannot be rounded."""
    with pytest.raises(ValueError, match="'stall'"):
        last_digit(claim("at most", 19.0, "slow"))
