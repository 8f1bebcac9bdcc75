"""Margins to envelopes of any shape, against a slow twin that walks round the polygon."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from wringout.airplane.airplane import Envelope
from wringout.loading import margins

Corner = tuple[float, float]

# A step in the aft limit: heavier than 900 kg only ahead of 2.1 m; and a notch that makes the top two-horned.
STEPPED = Envelope(
    "stepped",
    ((1.8, 600.0), (1.8, 1000.0), (1.9, 1090.0), (2.1, 1090.0), (2.1, 900.0), (2.3, 900.0), (2.3, 600.0)),
    1090.0,
)
HORNED = Envelope("horned", ((1.8, 600.0), (1.8, 1000.0), (2.0, 800.0), (2.2, 1000.0), (2.2, 600.0)), 1000.0)


def inside_by_winding(corners: tuple[Corner, ...], point: Corner) -> bool:
    """Whether the polygon winds round the point: the sum of the angles under which its edges are seen."""
    x, y = point
    total = 0.0
    for (x1, y1), (x2, y2) in zip(corners, (*corners[1:], corners[0]), strict=True):
        ax, ay, bx, by = x1 - x, y1 - y, x2 - x, y2 - y
        total += math.atan2(ax * by - ay * bx, ax * bx + ay * by)
    return abs(total) > math.pi


def distance_to_edges(corners: tuple[Corner, ...], point: Corner) -> float:
    """Least distance of the point to any edge."""
    p = np.array(point)
    least = math.inf
    for start, end in zip(corners, (*corners[1:], corners[0]), strict=True):
        a, b = np.array(start), np.array(end)
        share = np.clip(np.dot(p - a, b - a) / np.dot(b - a, b - a), 0.0, 1.0)
        least = min(least, float(np.linalg.norm(p - a - share * (b - a))))
    return least


@st.composite
def envelopes(draw: st.DrawFn) -> Envelope:
    """A star-shaped polygon about (2 m, 800 kg), convex or not, in either direction."""
    count = draw(st.integers(3, 9))
    radii = [draw(st.floats(0.2, 1.0)) for _ in range(count)]
    turns = [2.0 * math.pi * (i + draw(st.floats(0.0, 0.8))) / count for i in range(count)]
    corners = tuple(
        (2.0 + 0.3 * r * math.cos(turn), 800.0 + 300.0 * r * math.sin(turn))
        for r, turn in zip(radii, turns, strict=True)
    )
    assume(np.ptp([mass for _, mass in corners]) > 50.0)
    if draw(st.booleans()):
        corners = corners[::-1]
    return Envelope("star", corners, maximum_takeoff_mass=2000.0)


POINTS = st.tuples(st.floats(450.0, 1150.0), st.floats(1.6, 2.4))


@given(envelopes(), POINTS)
def test_sign_agrees_with_winding(envelope: Envelope, point: tuple[float, float]) -> None:
    """Inside by margins is inside by winding, for any polygon, away from its very edge."""
    mass, cg = point
    scaled = tuple((x * 1000.0, m) for x, m in envelope.vertices)
    assume(distance_to_edges(scaled, (cg * 1000.0, mass)) > 1e-3)
    assert bool(margins(envelope, mass, cg).inside) == inside_by_winding(envelope.vertices, (cg, mass))


@given(envelopes(), POINTS)
def test_margins_end_on_the_edge(envelope: Envelope, point: tuple[float, float]) -> None:
    """Moved by a margin, CG along its mass or mass along its CG, the point lies on the polygon."""
    mass, cg = point
    found = margins(envelope, mass, cg)
    masses = [m for _, m in envelope.vertices]
    at = min(max(mass, min(masses)), max(masses))
    scaled = tuple((x * 1000.0, m) for x, m in envelope.vertices)
    for moved in (cg - float(found.forward), cg + float(found.aft)):
        assert distance_to_edges(scaled, (moved * 1000.0, at)) < 1e-5
    for moved in (mass + float(found.above), mass - float(found.below)):
        if not math.isnan(moved):
            assert distance_to_edges(scaled, (cg * 1000.0, moved)) < 1e-5


@given(envelopes(), st.lists(POINTS, min_size=1, max_size=20))
def test_arrays_are_their_scalars(envelope: Envelope, points: list[tuple[float, float]]) -> None:
    """One call on arrays gives what a call on each gives."""
    mass, cg = np.array(points).T
    together = margins(envelope, mass, cg)
    for i in range(len(points)):
        alone = margins(envelope, mass[i], cg[i])
        for name in ("forward", "aft", "above", "below", "maximum", "minimum"):
            np.testing.assert_array_equal(getattr(together, name)[i], getattr(alone, name))


def test_corners_and_edges_are_allowed() -> None:
    """Every corner and the middle of every edge is inside, at any shape."""
    for envelope in (STEPPED, HORNED):
        corners = envelope.vertices
        for (x1, m1), (x2, m2) in zip(corners, (*corners[1:], corners[0]), strict=True):
            assert margins(envelope, m1, x1).inside
            assert margins(envelope, 0.5 * (m1 + m2), 0.5 * (x1 + x2)).inside


def test_a_step_is_met_from_both_sides() -> None:
    """At the mass of a step the wider piece counts: the edge itself is allowed."""
    on_step = margins(STEPPED, 900.0, 2.2)
    assert on_step.inside
    assert float(on_step.aft) == pytest.approx(0.1)
    above = margins(STEPPED, 900.001, 2.2)
    assert not above.inside
    assert float(above.aft) == pytest.approx(-0.1)


def test_nearest_piece_bounds_a_point_between_horns() -> None:
    """Between two horns the nearer one is told, with its own limits."""
    found = margins(HORNED, 900.0, 1.95)
    assert not found.inside
    assert float(found.aft_limit) == pytest.approx(1.9)
    assert float(found.forward_limit) == pytest.approx(1.8)
    assert float(found.aft) == pytest.approx(-0.05)
    assert float(found.above) == pytest.approx(-50.0)


def test_mass_above_the_polygon_keeps_its_cg_margins() -> None:
    """Over the highest mass the CG is held to the limits at the top, and the mass margin says by how much."""
    found = margins(STEPPED, 1100.0, 2.0)
    assert float(found.maximum) == pytest.approx(-10.0)
    assert float(found.forward) == pytest.approx(0.1)
    assert not found.inside
    assert margins(STEPPED, 1100.0, 2.0, maximum_mass=1100.0).inside


def test_no_mass_is_allowed_beyond_every_cg() -> None:
    """Aft of the whole polygon there is no mass margin to tell."""
    found = margins(STEPPED, 800.0, 2.4)
    assert math.isnan(float(found.above))
    assert math.isnan(float(found.below))
    assert float(found.aft) == pytest.approx(-0.1)


def test_nan_gives_nan() -> None:
    """NaN in mass or CG is NaN in every margin that needs it, and not inside."""
    for mass, cg in ((math.nan, 2.0), (800.0, math.nan)):
        found = margins(STEPPED, mass, cg)
        assert math.isnan(float(found.forward))
        assert math.isnan(float(found.forward_limit))
        assert not found.inside


def test_a_line_is_no_envelope() -> None:
    """Two corners, or corners without area, are refused."""
    with pytest.raises(ValueError, match="three corners"):
        margins(Envelope("line", ((1.8, 600.0), (2.0, 900.0)), 900.0), 700.0, 1.9)
    with pytest.raises(ValueError, match="three corners"):
        margins(Envelope("flat", ((1.8, 600.0), (2.0, 600.0), (1.9, 600.0)), 900.0), 700.0, 1.9)
