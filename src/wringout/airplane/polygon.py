"""A polygon in the plane: does it cross itself, and what area does it hold?"""

from collections.abc import Sequence
from itertools import combinations

Point = tuple[float, float]


def signed_area(vertices: Sequence[Point]) -> float:
    """Area of the polygon by the surveyor's formula, positive where its vertices run counter-clockwise."""
    pairs = zip(vertices, [*vertices[1:], vertices[0]], strict=True)
    return sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairs) / 2


def crossing(vertices: Sequence[Point]) -> tuple[int, int] | None:
    """The first two edges that meet although they are not neighbours, each by the vertex where it starts.

    Also two neighbours that fold back onto each other. None for a simple polygon.
    """
    count = len(vertices)
    for i, j in combinations(range(count), 2):
        a, b = vertices[i], vertices[(i + 1) % count]
        c, d = vertices[j], vertices[(j + 1) % count]
        if j == i + 1 or (i == 0 and j == count - 1):
            before, corner, after = (a, b, d) if j == i + 1 else (c, a, b)
            if _side(before, corner, after) == 0 and _along(before, corner, after) < 0:
                return i, j
        elif _meet(a, b, c, d):
            return i, j
    return None


def _side(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _along(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1])


def _within(a: Point, b: Point, p: Point) -> bool:
    return min(a[0], b[0]) <= p[0] <= max(a[0], b[0]) and min(a[1], b[1]) <= p[1] <= max(a[1], b[1])


def _meet(a: Point, b: Point, c: Point, d: Point) -> bool:
    of_c, of_d = _side(a, b, c), _side(a, b, d)
    of_a, of_b = _side(c, d, a), _side(c, d, b)
    if of_c * of_d < 0 and of_a * of_b < 0:
        return True
    return (
        (of_c == 0 and _within(a, b, c))
        or (of_d == 0 and _within(a, b, d))
        or (of_a == 0 and _within(c, d, a))
        or (of_b == 0 and _within(c, d, b))
    )
