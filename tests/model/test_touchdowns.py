"""Touchdown points about a line: known places come back as their spread."""

from dataclasses import replace

import numpy as np
import pytest

from tests.model.invented import planned
from wringout.model.touchdowns import touchdown_spreads
from wringout.reduction.points import LandingPoint, Points, TouchdownPlace

MINUTE = 1852.0  # m of latitude in a minute of arc: what a nautical mile was made of


def at(north: float, track: float = 0.0, sd: float = 0.0, line: float | None = None) -> TouchdownPlace:
    """A place so many metres north of 47° N 8° E, with a line so many metres north of it."""
    place = [(np.radians(47.0 + value / MINUTE / 60.0), np.radians(8.0)) for value in (north, line or 0.0)]
    return TouchdownPlace("A", *place[0], track, sd, None if line is None else place[1])


def landed(places: list[TouchdownPlace], technique: str = "short") -> Points:
    """Landings that touched there."""
    first: LandingPoint = planned().landings[0]
    points = tuple(replace(first, technique=technique, place=place) for place in places)
    return replace(planned(), landings=points)


def test_places_along_the_strip_come_back_as_their_spread() -> None:
    """Touchdowns 0, 10, 20, 30 and 40 m along: sd √250 = 15.8 m, the middle one on the line; 0.5 % for the
    figure of the earth."""
    (found,) = touchdown_spreads(landed([at(value) for value in (0.0, 10.0, 20.0, 30.0, 40.0)]))
    assert found.spread.value == pytest.approx(250.0**0.5, rel=0.005)
    assert found.beyond == pytest.approx((-20.0, -10.0, 0.0, 10.0, 20.0), rel=0.005, abs=1e-6)
    assert found.stretch.value == pytest.approx(2 * 1.645 * found.spread.value)
    assert found.spread.sd == pytest.approx(found.spread.value / 8.0**0.5)


def test_the_positions_own_uncertainty_is_taken_out() -> None:
    """With 9 m of their own: √(250 − 81) = 13.0 m; never less than a quarter of what was seen."""
    values = (0.0, 10.0, 20.0, 30.0, 40.0)
    (found,) = touchdown_spreads(landed([at(value, sd=9.0) for value in values]))
    assert found.spread.value == pytest.approx(13.0, rel=0.005)
    (least,) = touchdown_spreads(landed([at(value, sd=90.0) for value in values]))
    assert least.spread.value == pytest.approx(250.0**0.5 / 4.0, rel=0.005)


def test_well_known_places_count_more() -> None:
    """Four places known to a decimetre 10 m apart, and one that is known to 200 m: the spread is that of the
    four, √(500/3) = 12.9 m, with which the fifth hardly has to do."""
    known = [at(value, sd=0.1) for value in (0.0, 10.0, 20.0, 30.0)]
    (found,) = touchdown_spreads(landed([*known, at(150.0, sd=200.0)]))
    assert found.spread.value == pytest.approx((500.0 / 3.0) ** 0.5, rel=0.01)


def test_the_most_probable_spread_is_found() -> None:
    """Against a search over a fine grid of the restricted likelihood itself, written out here."""
    values, own = np.array([0.0, 25.0, 31.0, 70.0]), np.array([3.0, 9.0, 20.0, 6.0])
    (found,) = touchdown_spreads(landed([at(v, sd=u) for v, u in zip(values, own, strict=True)]))

    def likelihood(spread: float) -> float:
        variance = spread**2 + own**2
        mean = np.sum(values / variance) / np.sum(1.0 / variance)
        return float(
            -0.5 * np.sum(np.log(variance))
            - 0.5 * np.log(np.sum(1.0 / variance))
            - 0.5 * np.sum((values - mean) ** 2 / variance)
        )

    grid = np.arange(1.0, 120.0, 0.02)
    best = grid[np.argmax([likelihood(spread) for spread in grid])]
    assert found.spread.value == pytest.approx(best, rel=0.006)  # 0.5 % for the figure of the earth


def test_touchdowns_lie_about_the_line_at_which_they_aimed() -> None:
    """Aimed at a line at 100 m, touched at 110, 120 and 130 m: 20 m beyond it on average, ± 10/√3 m; a card
    that aimed elsewhere is measured from its own line. Where one card gives no line, about their mean."""
    aimed = [at(value, line=100.0) for value in (110.0, 120.0, 130.0)]
    (found,) = touchdown_spreads(landed(aimed))
    assert found.beyond == pytest.approx((10.0, 20.0, 30.0), rel=0.005)
    assert found.offset is not None
    assert (found.offset.value, found.offset.sd) == pytest.approx((20.0, 10.0 / 3.0**0.5), rel=0.005)
    assert found.spread.value == pytest.approx(10.0, rel=0.005)
    (moved,) = touchdown_spreads(landed([*aimed[:2], at(530.0, line=500.0)]))
    assert moved.beyond == pytest.approx((10.0, 20.0, 30.0), rel=0.005)
    (mean,) = touchdown_spreads(landed([*aimed[:2], at(130.0)]))
    assert mean.offset is None
    assert mean.beyond == pytest.approx((-10.0, 0.0, 10.0), rel=0.005, abs=1e-6)


def test_places_across_the_strip_are_no_spread_along_it() -> None:
    """Rolling east, places north of one another lie on one line across."""
    (found,) = touchdown_spreads(landed([at(value, track=np.pi / 2.0) for value in (0.0, 5.0, 9.0)]))
    assert found.spread.value == pytest.approx(0.0, abs=1e-6)


def test_only_like_landings_are_gathered_and_two_are_too_few() -> None:
    """Opposite directions and other techniques lie about lines of their own; two landings tell no spread."""
    there = [at(value, track=0.1) for value in (0.0, 8.0, 16.0)]
    back = [at(value, track=np.pi) for value in (500.0, 508.0, 516.0)]
    both = touchdown_spreads(landed([*there, *back]))
    assert [round(found.spread.value) for found in both] == [8, 8]
    assert touchdown_spreads(landed(there[:2])) == ()
