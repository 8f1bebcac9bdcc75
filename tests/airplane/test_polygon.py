"""Polygons that cross themselves and those that do not."""

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from wringout.airplane.polygon import Point, crossing, signed_area

SQUARE = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
WHOLE = st.integers(0, 8).map(float)


def _segments_meet(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Brute-force twin in exact fractions: is there a common point of two segments?"""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = ((Fraction(x), Fraction(y)) for x, y in (a, b, c, d))
    denominator = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx)
    if denominator == 0:
        if (cx - ax) * (by - ay) != (cy - ay) * (bx - ax):
            return False
        return (
            max(min(ax, bx), min(cx, dx)) <= min(max(ax, bx), max(cx, dx))
            and max(min(ay, by), min(cy, dy)) <= min(max(ay, by), max(cy, dy))
        )  # fmt: skip
    s = ((cx - ax) * (dy - cy) - (cy - ay) * (dx - cx)) / denominator
    t = ((cx - ax) * (by - ay) - (cy - ay) * (bx - ax)) / denominator
    return 0 <= s <= 1 and 0 <= t <= 1


def test_a_square_does_not_cross_itself() -> None:
    """Nor does it backwards, nor with a corner on a straight edge."""
    assert crossing(SQUARE) is None
    assert crossing(SQUARE[::-1]) is None
    assert crossing([(0.0, 0.0), (0.5, 0.0), *SQUARE[1:]]) is None
    assert signed_area(SQUARE) == 1.0
    assert signed_area(SQUARE[::-1]) == -1.0


@pytest.mark.parametrize(
    "vertices",
    [
        [(0.0, 0.0), (1.0, 1.0), (1.0, 0.0), (0.0, 1.0)],
        [(0.0, 0.0), (2.0, 0.0), (1.0, 0.0), (1.0, 1.0)],
        [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (1.0, 0.0), (2.0, 0.0), (2.0, 2.0)],
        [(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (1.0, 0.0), (0.0, 2.0)],
    ],
    ids=["bow tie", "folded back", "corner visited twice", "corner on an edge"],
)
def test_an_outline_that_meets_itself_is_found(vertices: list[Point]) -> None:
    """Each way of meeting itself is named by its two edges."""
    assert crossing(vertices) is not None


@given(st.lists(st.tuples(WHOLE, WHOLE), min_size=4, max_size=7, unique=True))
def test_the_crossing_agrees_with_exact_arithmetic(vertices: list[Point]) -> None:
    """For corners on a grid, where floating point is exact, a twin in fractions says the same."""
    count = len(vertices)
    edges = [(vertices[i], vertices[(i + 1) % count]) for i in range(count)]
    apart = [(i, j) for i in range(count) for j in range(i + 2, count) if (i, j) != (0, count - 1)]
    meet = any(_segments_meet(*edges[i], *edges[j]) for i, j in apart)
    folded = any(
        (b[0] - a[0]) * (c[1] - b[1]) == (b[1] - a[1]) * (c[0] - b[0])
        and (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1]) < 0
        for a, b, c in zip(vertices, vertices[1:] + vertices[:1], vertices[2:] + vertices[:2], strict=True)
    )
    assert (crossing(vertices) is not None) == (meet or folded)


@given(st.lists(st.tuples(WHOLE, WHOLE), min_size=3, max_size=8), st.tuples(WHOLE, WHOLE))
def test_the_area_stays_when_the_polygon_moves(vertices: list[Point], by: Point) -> None:
    """Moving all corners changes no area; reversing them changes its sign."""
    assume(len(vertices) >= 3)
    moved = [(x + by[0], y + by[1]) for x, y in vertices]
    assert signed_area(moved) == signed_area(vertices)
    assert signed_area(vertices[::-1]) == -signed_area(vertices)
