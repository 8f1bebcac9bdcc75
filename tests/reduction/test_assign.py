"""Which manoeuvre belongs to which card point, and what is said of the rest."""

from dataclasses import replace

import numpy as np

from tests.reduction.handmade import flight, legs, manoeuvre, moment, point
from wringout.dossier.card import Mark, NamedManoeuvre
from wringout.manoeuvres import Event
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


def test_a_point_without_times_says_that_it_was_matched_by_elimination() -> None:
    """The only landing left goes to the only such point, with a note; of two each says so."""
    landing = manoeuvre("landing", 900.0, 940.0, {})
    ((_, (found,)),), _ = assign(flight([point("D1", "landing")], [landing]))
    assert found.notes[0].startswith("matched by elimination")
    assert "the only landing left" in found.notes[0]
    climbs = [manoeuvre("climb", start, start + 60.0, {}) for start in (100.0, 500.0)]
    assigned, _ = assign(flight([point("C1", "climb"), point("C2", "climb")], climbs))
    assert ["one of 2 climbs left, in their order" in each.notes[0] for _, (each,) in assigned] == [True] * 2


def test_a_point_that_was_not_flown_takes_nothing() -> None:
    """The landing left over stays with nobody, and the point is left out with its note."""
    landing = manoeuvre("landing", 900.0, 940.0, {})
    assigned, left = assign(flight([point("D1", "landing", flown=False, note="sheep")], [landing]))
    assert assigned == ()
    assert [(one.point, one.reason.split(" of ")[0]) for one in left] == [
        ("D1", "not flown: sheep"),
        ("", "the landing"),
    ]


def test_marks_and_named_spans_tie_before_times_do() -> None:
    """A mark of B in a stall within A's times: B's; a leg named for L1 outside of its times: L1's."""
    stall = manoeuvre("stall", 300.0, 320.0, {}, Event("break", 315.0, 0.3, "observer's mark"))
    other = manoeuvre("stall", 340.0, 360.0, {}, Event("break", 355.0, 0.5, "least airspeed"))
    leg = manoeuvre("level leg", 700.0, 760.0, {})
    flown = flight(
        [point("A", "stall", 290.0, 400.0), point("B", "stall"), point("L1", "level", 500.0, 600.0)],
        [stall, other, leg],
    )
    marked = replace(
        flown.card,
        marks=(Mark(moment(315.0), "stall break", "B", 0.3),),
        manoeuvres=(NamedManoeuvre(moment(700.0), moment(760.0), "level leg", "L1"),),
    )
    assigned, left = assign(replace(flown, card=marked))
    assert {found.id: group for found, group in assigned} == {"A": (other,), "B": (stall,), "L1": (leg,)}
    assert left == ()


def test_what_is_said_by_hand_and_fits_nothing_is_told() -> None:
    """A mark where nothing is, a span that gave no manoeuvre, each with its time; an exclusion is no loss."""
    flown = flight([point("S1", "stall", 290.0, 400.0)], [manoeuvre("stall", 300.0, 320.0, {})])
    card = replace(
        flown.card,
        marks=(Mark(moment(1000.0), "touchdown"), Mark(moment(0.0), "exclude from")),
        manoeuvres=(
            NamedManoeuvre(moment(60.0), moment(70.0), "climb"),
            NamedManoeuvre(moment(80.0), moment(90.0), "none"),
        ),
    )
    _, left = assign(replace(flown, card=card))
    assert [one.reason for one in left] == [
        "the mark 'touchdown' of 09:16:40 UTC fits nothing that was found",
        (
            "the climb named from 09:01:00 to 09:01:10 UTC cannot be measured: it is too short, unsteady or "
            "not in the recording"
        ),
    ]
