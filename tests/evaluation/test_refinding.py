"""A flight after an edit of its card: the same as if all were read anew, without reading anything anew."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest

from wringout.dossier import load
from wringout.dossier.card import Card, Mark, NamedManoeuvre
from wringout.dossier.dossier import Dossier
from wringout.dossier.history import version_of
from wringout.dossier.marking import name_span, put_mark
from wringout.evaluation import find_flights, refinding
from wringout.evaluation.find import find_flight
from wringout.evaluation.freshness import freshness
from wringout.evaluation.incoming import column_choices, look, unit_choices
from wringout.evaluation.readings import (
    Reading,
    compared,
    moment,
    moving_mark,
    nearest,
    readings,
    typed_moment,
)
from wringout.evaluation.refinding import card_named, flight_now, kept_flights, points_now
from wringout.problems import InputError
from wringout.recordings.recording import CHANNELS
from wringout.reduction import Flight

NAME = "flight-2a"
FILE = f"cards/{NAME}.toml"


@pytest.fixture(scope="module")
def stalls(tmp_path_factory: pytest.TempPathFactory, demo_root: Path) -> tuple[Path, Flight]:
    """A dossier with one flight of the demo, and that flight as the finder sees it."""
    root = tmp_path_factory.mktemp("one") / "stalls"
    shutil.copytree(demo_root, root, ignore=shutil.ignore_patterns("results", "report"))
    for card in (root / "cards").iterdir():
        if card.stem != NAME:
            card.unlink()
    dossier = load(root)
    return root, flight_now(dossier, card_named(dossier, NAME))


@pytest.fixture
def edited(
    stalls: tuple[Path, Flight], tmp_path: Path
) -> Callable[[Callable[[Path], object]], tuple[Dossier, Card]]:
    """A copy of it after an edit: the dossier and its card."""

    def make(edit: Callable[[Path], object]) -> tuple[Dossier, Card]:
        root = tmp_path / "copy"
        shutil.copytree(stalls[0], root)
        edit(root)
        dossier = load(root)
        return dossier, card_named(dossier, NAME)

    return make


def span_of(flight: Flight) -> NamedManoeuvre:
    """The longest steady manoeuvre of a flight, its end ten seconds earlier."""
    steady = [one for one in flight.manoeuvres if moving_mark(one.kind, "start") is None]
    one = max((one for one in steady if one.kind in ("climb", "level leg")), key=lambda m: m.end - m.start)
    assert one.kind in ("climb", "level leg")
    start, end = moment(flight, round(one.start)), moment(flight, round(one.end) - 10)
    kind = "climb" if one.kind == "climb" else "level leg"
    return NamedManoeuvre(start.replace(microsecond=0), end.replace(microsecond=0), kind)  # type: ignore[arg-type]


def test_an_edit_is_found_without_reading_the_logs(
    stalls: tuple[Path, Flight],
    edited: Callable[[Callable[[Path], object]], tuple[Dossier, Card]],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What the quick way finds is what reading, smoothing and searching all over finds; it is kept."""
    _, before = stalls
    span = span_of(before)
    dossier, card = edited(lambda root: name_span(root, FILE, version_of(root, FILE), span))
    slow = find_flight(dossier, card)
    monkeypatch.setattr(refinding, "find_flight", lambda *_: pytest.fail("the logs were read"))
    quick = flight_now(dossier, card, before)
    assert quick.manoeuvres == slow.manoeuvres
    assert np.array_equal(quick.track.up, slow.track.up, equal_nan=True)
    named = [
        one for one in quick.manoeuvres if one.events and one.events[0].reason == "set by hand on the card"
    ]
    assert [(one.kind, moment(quick, one.end)) for one in named] == [(span.kind, span.end)]
    assert next(state.fresh for state in freshness(dossier) if state.stage == f"flight {NAME}")
    assert find_flights(dossier.root)[1][0].manoeuvres == quick.manoeuvres


def test_what_the_heights_are_held_against_makes_it_read_again(
    stalls: tuple[Path, Flight],
    edited: Callable[[Callable[[Path], object]], tuple[Dossier, Card]],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Another weather reading, another recording: nothing of before is used."""

    def other_height(root: Path) -> None:
        text = (root / FILE).read_text(encoding="utf-8")
        (root / FILE).write_text(text.replace('"mean sea level"', '"unknown"'), encoding="utf-8")

    dossier, card = edited(other_height)
    asked: list[Card] = []

    def find_again(_: Dossier, again: Card) -> Flight:
        asked.append(again)
        return stalls[1]

    monkeypatch.setattr(refinding, "find_flight", find_again)
    flight_now(dossier, card, stalls[1])
    assert asked == [card]


def test_points_follow_and_are_kept_where_the_dossier_is_whole(
    stalls: tuple[Path, Flight], edited: Callable[[Callable[[Path], object]], tuple[Dossier, Card]]
) -> None:
    """One flight of one: its points are the dossier's; of none known there are none to reduce."""
    dossier, card = edited(lambda _: None)
    flights = kept_flights(dossier, {})
    assert [flight.card for flight in flights] == [card]
    points = points_now(dossier, flights)
    assert len(points.stalls) > 3
    assert next(state.fresh for state in freshness(dossier) if state.stage == "points")
    assert points_now(dossier, ()).stalls == ()
    with pytest.raises(InputError, match="names a recording"):
        card_named(dossier, "flight-9")
    assert stalls[1].card == card


def every_reading(dossier: Dossier, flight: Flight) -> tuple[Reading, ...]:
    """The readings of the only flight."""
    return readings(flight, points_now(dossier, (flight,)), dossier.units)


def test_a_reading_says_to_which_point_it_belongs_and_what_it_gave(stalls: tuple[Path, Flight]) -> None:
    """The stalls of the card carry their point's figures; every boundary its reason and its mark."""
    root, flight = stalls
    every = every_reading(load(root), flight)
    assert [one.manoeuvre for one in every] == list(flight.manoeuvres)
    stall = next(one for one in every if one.manoeuvre.kind == "stall" and one.point)
    assert [item.name for item in stall.reduced][:2] == ["mass", "stall speed"]
    assert {item.unit for item in stall.reduced} == {"kg", "kt", "kt/s"}
    assert stall.telling[0].name == "minimum indicated airspeed"
    assert {edge.mark for edge in stall.edges} <= {"stall break", "stall warning"}
    assert all(edge.event.reason for one in every for edge in one.edges)
    assert all(item.unit for one in every for item in one.measured)


def test_a_moved_moment_is_shown_beside_what_it_was(
    stalls: tuple[Path, Flight], edited: Callable[[Callable[[Path], object]], tuple[Dossier, Card]]
) -> None:
    """The mark's own place on the card is known, and each figure carries its value of before."""
    root, before = stalls
    old = every_reading(load(root), before)
    place, landing = next((k, one) for k, one in enumerate(old) if one.manoeuvre.kind == "landing")
    touchdown = next(edge for edge in landing.edges if edge.event.name == "touchdown")
    later = moment(before, touchdown.event.time + 2.0)
    dossier, _ = edited(lambda copy: put_mark(copy, FILE, version_of(copy, FILE), Mark(later, "touchdown")))
    card = card_named(dossier, NAME)
    new = every_reading(dossier, flight_now(dossier, card, before))
    at = nearest(new, "landing", landing.manoeuvre.start, landing.manoeuvre.end)
    assert at == place
    moved = compared(new[at], landing)
    marked = [index for index, mark in enumerate(card.marks) if mark.time == card.marks[-1].time]
    assert [edge.set_by for edge in moved.edges if edge.event.name == "touchdown"] == marked
    roll = next(item for item in moved.measured if item.name == "ground roll")
    assert roll.before is not None
    assert roll.after is not None
    # What was rolled in the two seconds is no longer rolled: at the mean of the speeds at their ends.
    speeds = [one.manoeuvre.measures["touchdown_ground_speed"].value for one in (landing, moved)]
    lasted = card.marks[-1].time - moment(before, touchdown.event.time)
    gone = lasted.total_seconds() * sum(speeds) / 2
    assert roll.before.value - roll.after.value == pytest.approx(gone, rel=0.05)
    assert compared(new[at], None) == new[at]


@pytest.mark.parametrize(
    ("typed", "seconds"), [("+90.5", 90.5), ("whole", 60.0), ("zone", 60.0)], ids=["clock", "moment", "zone"]
)
def test_a_typed_time_means_the_moment_of_the_flight(
    stalls: tuple[Path, Flight], typed: str, seconds: float
) -> None:
    """A time of day alone is of the day on which it falls into the flight."""
    flight = stalls[1]
    start = flight.recording.start.replace(microsecond=0)
    wanted = start + timedelta(seconds=seconds)
    ahead = wanted + timedelta(hours=1)
    text = {
        "+90.5": f"{wanted:%H:%M:%S.%f}"[:10],
        "whole": wanted.isoformat().replace("+00:00", "Z"),
        "zone": f"{ahead:%H:%M:%S}+01:00",
    }[typed]
    assert typed_moment(flight, text) == wanted
    with pytest.raises(InputError, match="no time of day"):
        typed_moment(flight, "ten past")


def test_a_flight_over_midnight_has_its_times_on_both_days(stalls: tuple[Path, Flight]) -> None:
    """23:59 is of the first day, 00:10 of the second."""
    flight = stalls[1]
    late = flight.recording.start.replace(hour=23, minute=50, second=0, microsecond=0)
    shifted = replace(flight, recording=replace(flight.recording, start=late))
    assert typed_moment(shifted, "23:59:00").date() == late.date()
    assert typed_moment(shifted, "00:05:00").date() == late.date() + timedelta(days=1)


def test_a_recording_that_comes_in_is_looked_at(demo_root: Path, tmp_path: Path) -> None:
    """One that says itself what it holds, one whose columns are proposed, and one that cannot be read."""
    path = f"recordings/{NAME}.gpx"
    own = look(demo_root / path, path)
    assert own.proposal is None
    assert {"latitude", "height"} <= set(own.channels)
    engine = f"recordings/{NAME}-engine.csv"
    seen = look(demo_root / engine, engine)
    assert seen.proposal is not None
    assert seen.problems == ()
    assert seen.first is not None
    choices = {one.column: (one.channel, one.unit) for one in column_choices(seen.proposal)}
    assert choices["ias_kt"] == ("indicated_airspeed", "kt")
    assert choices["time_utc"] == ("", "")
    wrong = replace(seen.proposal, mapping=replace(seen.proposal.mapping, time_column="oat_c"))
    assert look(demo_root / engine, engine, wrong).problems
    (tmp_path / "x.csv").write_text("no table at all", encoding="utf-8")
    assert look(tmp_path / "x.csv", "recordings/x.csv").problems[0].file == "recordings/x.csv"
    assert set(unit_choices()) == set(CHANNELS)
    assert "kt" in unit_choices()["indicated_airspeed"]
