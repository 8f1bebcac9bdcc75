"""Which manoeuvre belongs to which card point, and what is said of the rest."""

import numpy as np

from tests.reduction.handmade import flight, legs, manoeuvre, point
from wringout.reduction.assign import assign

HEADINGS = (0.0, 120.0, 240.0)


def test_times_on_the_card_decide() -> None:
    """A manoeuvre goes to the point of its kind whose span holds its middle, in whatever order they stand."""
    climb = manoeuvre("climb", 100.0, 160.0, {})
    other = manoeuvre("climb", 300.0, 360.0, {})
    stall = manoeuvre("stall", 110.0, 150.0, {})
    points = [point("late", "climb", 290.0, 340.0), point("early", "climb", 120.0, 170.0)]
    assigned, left = assign(flight(points, [stall, climb, other]))
    assert {found.id: manoeuvres for found, manoeuvres in assigned} == {"late": (other,), "early": (climb,)}
    assert [one.reason.split(" of ")[0] for one in left] == ["the stall"]
    assert "belongs to no point of the card" in left[0].reason


def test_all_legs_within_a_level_point_are_its_group() -> None:
    """Level legs inside one point's span form one group."""
    manoeuvres, points = legs(np.random.default_rng(1), {"L1": 40.0, "L2": 50.0}, HEADINGS, (3.0, 0.0))
    assigned, left = assign(flight(points, manoeuvres))
    assert left == ()
    assert [(found.id, len(group)) for found, group in assigned] == [("L1", 3), ("L2", 3)]


def test_points_without_times_go_in_order_where_the_count_agrees() -> None:
    """Two climbs for two points without times are taken in order; turns belong to nobody and are no loss."""
    climbs = [manoeuvre("climb", start, start + 60.0, {}) for start in (500.0, 100.0)]
    turn = manoeuvre("turn", 200.0, 260.0, {})
    assigned, left = assign(flight([point("C1", "climb"), point("C2", "climb")], [*climbs, turn]))
    assert [(found.id, group[0].start) for found, group in assigned] == [("C1", 100.0), ("C2", 500.0)]
    assert left == ()


def test_points_without_times_are_not_guessed() -> None:
    """Three take-offs for two points could be any two of them: all are left out with the mend."""
    takeoffs = [manoeuvre("take-off", start, start + 20.0, {}) for start in (100.0, 300.0, 500.0)]
    assigned, left = assign(flight([point("T1", "take-off"), point("T2", "take-off")], takeoffs))
    assert assigned == ()
    assert [one.point for one in left] == ["T1", "T2", ""]
    assert left[2].reason == "3 take-offs belong to no point of the card: 09:01:40, 09:05:00, 09:08:20 UTC"
    assert "give each point its start and end" in left[0].reason


def test_level_points_without_times_follow_the_steps_of_speed() -> None:
    """Legs are cut into groups where the indicated airspeed steps."""
    more = {
        "L1": {"indicated_airspeed": (38.0, 0.1)},
        "L2": {"indicated_airspeed": (48.0, 0.1)},
    }
    manoeuvres, _ = legs(np.random.default_rng(1), {"L1": 40.0, "L2": 50.0}, HEADINGS, (3.0, 0.0), more=more)
    assigned, left = assign(flight([point("A", "level"), point("B", "level")], manoeuvres))
    assert left == ()
    assert [group[0].measures["indicated_airspeed"].value for _, group in assigned] == [38.0, 48.0]
    assert [len(group) for _, group in assigned] == [3, 3]


def test_point_without_manoeuvre_says_when_it_was_sought() -> None:
    """A point with nothing in its span is named with the clock times."""
    _, left = assign(flight([point("S1", "stall", 60.0, 120.0)], []))
    assert left[0].reason == "no stall was found between 09:01:00 and 09:02:00 UTC"
