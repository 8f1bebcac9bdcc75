"""The marks mean what they say: labels apart, hatching on the forbidden side, bars of the right length."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wringout.charts.figure import bound, gathered, title_lines
from wringout.charts.grammar import (
    Flag,
    Frame,
    claim_flags,
    dimension_line,
    hatching,
    measured,
    polyline,
    series_of,
    shortened,
    spread,
)
from wringout.charts.scales import Scale
from wringout.charts.theme import PRINT

PAPER = Frame(Scale("", "", 0.0, 200.0, (), 200.0), Scale("", "", 0.0, 200.0, (), 200.0), PRINT)


@given(st.lists(st.floats(0, 300), min_size=1, max_size=12), st.floats(1, 30))
def test_labels_are_pushed_apart(wanted: list[float], gap: float) -> None:
    """After spreading, neighbours stand a gap apart, in the same order, about the same middle."""
    placed = spread(wanted, gap)
    order = np.argsort(wanted, kind="stable")
    assert np.all(np.diff(placed[order]) >= gap - 1e-6)
    assert placed.mean() == pytest.approx(np.mean(wanted), abs=1e-6)


@given(st.lists(st.integers(0, 20), min_size=1, max_size=12, unique=True))
def test_labels_far_enough_apart_stay(slots: list[int]) -> None:
    """Labels that do not touch are not moved."""
    wanted = np.array(slots) * 10.0
    assert spread(wanted, 9.5) == pytest.approx(wanted)


@pytest.mark.parametrize(("turn", "forbidden"), [(1, "right"), (-1, "left")])
def test_hatching_stands_outside(turn: int, forbidden: str) -> None:
    """Round a square walked either way, every stroke starts on its edge and ends outside it."""
    corners = np.array([(50.0, 50.0), (150.0, 50.0), (150.0, 150.0), (50.0, 150.0), (50.0, 50.0)])[::turn]
    strokes = hatching(PAPER, corners[:, 0], corners[:, 1], forbidden)  # type: ignore[arg-type]
    assert len(strokes) > 40
    for x, y, end_x, end_y in strokes:
        assert max(abs(x - 100), abs(y - 100)) == pytest.approx(50.0)
        assert max(abs(end_x - 100), abs(end_y - 100)) > 50.5


def test_error_bar_is_the_90_percent_interval() -> None:
    """A measured point's bar reaches 1.645 standard uncertainties to each side, in the axis's unit."""
    frame = replace(PAPER, y=Scale("speed", "kt", 0.0, 100.0, (0.0, 50.0, 100.0), 200.0))
    row = measured(frame, [10.0], [20.0], [0.5], "#000000")[0]["data"]["values"][0]
    knot = 1852 / 3600
    assert row["y_low"] == pytest.approx((20.0 - 1.645 * 0.5) / knot, rel=1e-4)
    assert row["y_high"] == pytest.approx((20.0 + 1.645 * 0.5) / knot, rel=1e-4)


def test_claim_stands_on_its_figure() -> None:
    """A claim's mast starts at the claimed point and its flag names figure and source."""
    layers = claim_flags(PAPER, [Flag(40.0, 60.0, "36 kt", "brochure p. 3")])
    mast = layers[0]["data"]["values"][0]
    assert (mast["x"], mast["y"]) == (40.0, 60.0)
    assert mast["y2"] > 60.0
    assert layers[-1]["mark"]["text"] == "claim 36 kt, brochure p. 3"


def test_claims_close_together_fly_in_rows_of_their_own() -> None:
    """Two claims at one place fly at different heights; one at the upper edge has its mast downwards."""
    both = claim_flags(PAPER, [Flag(40.0, 60.0, "a", ""), Flag(40.0, 64.0, "b", "")])
    tops = [both[index]["data"]["values"][0]["y2"] for index in (0, 5)]
    assert min(tops) > 64.0
    assert abs(tops[0] - tops[1]) > PRINT.small
    high = claim_flags(PAPER, [Flag(40.0, 195.0, "c", "")])[0]["data"]["values"][0]
    assert high["y2"] < high["y"]


def test_long_sources_are_shortened_at_a_word() -> None:
    """A source too long for a figure ends at a word, a quotation that would stay open goes whole."""
    assert shortened("brochure, p. 3") == "brochure, p. 3"
    assert shortened("Fellside brochure 'One airplane, three pairs of shoes'") == "Fellside brochure …"


def test_dimension_line_spans_its_points() -> None:
    """A dimension line runs from one point to the other, with two arrowheads."""
    strokes = dimension_line(PAPER, (20.0, 30.0), (80.0, 30.0), "60 mm", "#000000")[0]["data"]["values"]
    assert len(strokes) == 5
    assert (strokes[0]["x"], strokes[0]["x2"]) == (20.0, 80.0)


def test_path_keeps_its_order() -> None:
    """A path that runs back over itself keeps the order of its points, by a field of its own."""
    layer = polyline([3.0, 1.0, 2.0], [0.0, 1.0, 2.0], {"stroke": "#000000"})
    assert [row["n"] for row in layer["data"]["values"]] == [0, 1, 2]
    assert layer["encoding"]["order"]["field"] == "n"


def test_gathered_layers_keep_every_mark() -> None:
    """Like layers are drawn together: fewer layers, the same rows, words after their halos."""
    layers = [
        part for x in (10.0, 20.0, 30.0) for part in claim_flags(PAPER, [Flag(x, 60.0, f"{x:g}", "p. 3")])
    ]
    together = gathered(layers)
    assert len(together) < len(layers)
    before = sum(len(layer["data"]["values"]) for layer in layers)
    assert sum(len(layer["data"]["values"]) for layer in together) == before
    halo, words = together[-2:]
    assert "stroke" in halo["mark"]
    assert [row["text"] for row in words["data"]["values"]] == [
        "claim 10, p. 3",
        "claim 20, p. 3",
        "claim 30, p. 3",
    ]


def test_no_fifth_series() -> None:
    """A fifth series is refused with what to do instead."""
    with pytest.raises(ValueError, match="small multiples"):
        series_of(PRINT, 4)


def test_numbers_keep_their_units() -> None:
    """No line of a title ends between a number and its unit, nor inside a hyphened word."""
    assert (
        bound("from 15 m to 90 km/h at 25 °C and 2 people")
        == "from 15\u00a0m to 90\u00a0km/h at 25\u00a0°C and 2 people"
    )
    lines = title_lines("The take-off roll takes 148 m at sea level and 237 m at 8 200 ft", 150.0, PRINT)
    assert len(lines) > 1
    assert not any(line[-1].isdigit() or line.endswith("-") for line in lines)
