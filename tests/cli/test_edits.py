"""What is put on a card by hand overrides what is found, survives a run from nothing, can be taken out."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import Ran
from wringout.dossier.editing import with_item
from wringout.evaluation import Evaluation

Command = Callable[..., Ran]
CARD = "cards/flight-3a.toml"
STALLS = "cards/flight-2a.toml"


class Desk:
    """A copy of the demo, the commands over it, and moments of its recordings."""

    def __init__(self, root: Path, wringout: Command) -> None:
        self.root, self.wringout = root, wringout
        self.before = self.flights()

    def answer(self, command: str) -> Any:
        """What a command says as JSON."""
        ran = self.wringout(command, self.root, "--json")
        assert (ran.code, ran.err) == (0, "")
        return json.loads(ran.out)

    def flights(self) -> Any:
        """Flights by card."""
        return self.answer("flights")

    def at(self, card: str, seconds: float) -> datetime:
        """A moment of a card's recording, to a millisecond as a card has it."""
        start = datetime.fromisoformat(self.before[card]["recording_start"])
        return start + timedelta(seconds=round(seconds, 3))

    def add(self, file: str, list_: str, /, **item: Any) -> None:
        """One more table on a card."""
        path = self.root / file
        path.write_bytes(with_item(file, path.read_bytes(), (list_,), item))

    def checked(self) -> None:
        """The dossier has no problem."""
        assert "No problems" in self.wringout("check", self.root).out


@pytest.fixture
def desk(demo: Evaluation, tmp_path: Path, wringout: Command) -> Desk:
    """A copy of the evaluated demo."""
    root = tmp_path / "demo"
    shutil.copytree(demo.dossier.root, root)
    return Desk(root, wringout)


def of_kind(flights: Any, card: str, kind: str) -> list[dict[str, Any]]:
    """A card's manoeuvres of one kind."""
    return [each for each in flights[card]["manoeuvres"] if each["kind"] == kind]


def event(manoeuvre: dict[str, Any], name: str) -> dict[str, Any]:
    """A moment of a manoeuvre."""
    found: dict[str, Any] = next(each for each in manoeuvre["events"] if each["name"] == name)
    return found


def point(points: Any, kind: str, name: str) -> dict[str, Any]:
    """A test point."""
    found: dict[str, Any] = next(each for each in points[kind] if each["origin"]["point"] == name)
    return found


def reasons(points: Any, card: str) -> Iterator[str]:
    """Why something of a card was left out."""
    return (each["reason"] for each in points["left_out"] if each["card"] == card)


def test_every_kind_of_mark_moves_its_moment(desk: Desk) -> None:
    """Each moment of a take-off, a landing and a stall is where the mark says, from nothing too."""
    takeoff = of_kind(desk.before, "flight-3a", "take-off")[1]
    landing = of_kind(desk.before, "flight-3a", "landing")[0]
    stall = of_kind(desk.before, "flight-2a", "stall")[0]
    plain = desk.answer("points")
    moved: list[tuple[str, str, str, float]] = []
    for card, manoeuvre, names, shift in (
        ("flight-3a", takeoff, ("start of roll", "lift-off", "obstacle"), 0.7),
        ("flight-3a", landing, ("obstacle", "touchdown", "full stop"), -0.6),
        ("flight-2a", stall, ("break", "warning"), -0.4),
    ):
        for name in names:
            time = event(manoeuvre, name)["time"] + shift
            kind = f"stall {name}" if name in ("break", "warning") else name
            moved.append((card, manoeuvre["kind"], kind, time))
    # the demo's own mark of the same stall warning gives way to the earlier one
    for card, _, kind, time in moved:
        desk.add(f"cards/{card}.toml", "mark", time=desk.at(card, time), kind=kind, time_sd="0.1 s")
    desk.checked()
    after = desk.flights()
    for card, sort, kind, time in moved:
        places = [
            each
            for each in after[card]["manoeuvres"]
            if each["kind"] == sort
            for one in each["events"]
            if one["name"] == kind.removeprefix("stall ")
            and abs(one["time"] - time) < 2e-3
            and (one["reason"], one["time_sd"]) == ("observer's mark", 0.1)
        ]
        assert len(places) == 1, (kind, time)
    points = desk.answer("points")
    for kind, name in (("takeoffs", "3a.T1"), ("landings", "3a.L1")):
        one, other = point(points, kind, name), point(plain, kind, name)
        assert one["ground_roll"]["value"] != other["ground_roll"]["value"]
        assert one["ground_roll"]["sd"] < other["ground_roll"]["sd"]
    shutil.rmtree(desk.root / "results")
    assert desk.answer("points") == points
    assert desk.flights() == after


def test_a_span_is_taken_out_and_put_back(desk: Desk) -> None:
    """By a pair of marks or by one table: the landing in it is gone; without them all is as it was."""
    card = (desk.root / CARD).read_bytes()
    plain = desk.answer("points")
    landing = of_kind(desk.before, "flight-3a", "landing")[2]
    start, end = desk.at("flight-3a", landing["start"] - 20.0), desk.at("flight-3a", landing["end"] + 5.0)

    def gone() -> None:
        desk.checked()
        assert len(of_kind(desk.flights(), "flight-3a", "landing")) == 3
        points = desk.answer("points")
        assert "3a.L3" not in {each["origin"]["point"] for each in points["landings"]}
        assert any("no landing was found between" in reason for reason in reasons(points, "flight-3a"))

    desk.add(CARD, "mark", time=start, kind="exclude from")
    desk.add(CARD, "mark", time=end, kind="exclude to")
    gone()
    (desk.root / CARD).write_bytes(card)
    desk.add(CARD, "manoeuvre", start=start, end=end, kind="none", note="a gust, and sheep")
    gone()
    (desk.root / CARD).write_bytes(card)
    assert desk.flights() == desk.before
    assert desk.answer("points") == plain


def test_a_boundary_and_a_kind_are_set_by_hand(desk: Desk) -> None:
    """A climb of flight 1 begins later, a stray climb joins a point, a stray leg is called a glide."""
    card = "flight-1"
    climbs = of_kind(desk.before, card, "climb")
    plain = desk.answer("points")
    name = "cards/flight-1.toml"
    original = (desk.root / name).read_bytes()
    origins = {each["origin"]["start"]: each["origin"]["point"] for each in plain["climbs"]}
    tied = next(each for each in climbs if each["start"] in origins)
    start, end = tied["start"] + 10.0, tied["end"] - 5.0
    desk.add(name, "manoeuvre", start=desk.at(card, start), end=desk.at(card, end), kind="climb")
    stray = of_kind(desk.before, card, "level leg")[0]
    desk.add(
        name,
        "manoeuvre",
        start=desk.at(card, stray["start"]),
        end=desk.at(card, stray["end"]),
        kind="glide",
        note="idle by then",
    )
    desk.checked()
    after = desk.flights()
    edited = next(each for each in of_kind(after, card, "climb") if abs(each["start"] - start) < 2e-3)
    assert edited["end"] == pytest.approx(end, abs=2e-3)
    assert {each["reason"] for each in edited["events"]} == {"set by hand on the card"}
    assert len(of_kind(after, card, "climb")) == len(climbs)
    glide = next(each for each in of_kind(after, card, "glide") if abs(each["start"] - stray["start"]) < 2e-3)
    assert "idle by then" in glide["notes"]
    point_of = origins[tied["start"]]
    points = desk.answer("points")
    one = point(points, "climbs", point_of)
    assert one["origin"]["start"] == pytest.approx(start, abs=2e-3)
    assert any("set by hand" in note for note in one["origin"]["notes"])
    ran = desk.wringout("points", desk.root)
    assert "its span is set by hand on the card" in " ".join(ran.out.split())
    shutil.rmtree(desk.root / "results")
    assert desk.answer("points") == points
    (desk.root / name).write_bytes(original)
    assert desk.answer("points") == plain


def test_what_a_card_names_for_a_point_belongs_to_it(desk: Desk) -> None:
    """A climb that belonged to no point is named for a new one; a mark names a landing for another."""
    card, name = "flight-1", "cards/flight-1.toml"
    plain = desk.answer("points")
    tied = {each["origin"]["start"] for each in plain["climbs"]}
    stray = next(each for each in of_kind(desk.before, card, "climb") if each["start"] not in tied)
    desk.add(name, "point", id="C9", kind="climb", flap="up", power="full")
    desk.add(
        name,
        "manoeuvre",
        start=desk.at(card, stray["start"]),
        end=desk.at(card, stray["end"]),
        kind="climb",
        point="C9",
    )
    landing = of_kind(desk.before, card, "landing")[0]
    desk.add(
        name,
        "point",
        id="D9",
        kind="landing",
        flap="up",
        power="idle",
        technique="normal",
        strip="Corran Mill",
    )
    touch = event(landing, "touchdown")["time"]
    desk.add(name, "mark", time=desk.at(card, touch), kind="touchdown", point="D9")
    desk.checked()
    points = desk.answer("points")
    assert point(points, "climbs", "C9")["origin"]["start"] == pytest.approx(stray["start"], abs=2e-3)
    assert point(points, "landings", "D9")["origin"]["start"] == pytest.approx(landing["start"], abs=0.5)
    assert not any("elimination" in note for note in point(points, "landings", "D9")["origin"]["notes"])


def test_elimination_is_told_and_a_point_not_flown_takes_nothing(desk: Desk) -> None:
    """A point without times takes the one landing left, and says so; given up, it takes none."""
    name = "cards/flight-1.toml"
    item = {"id": "D9", "kind": "landing", "flap": "up", "power": "idle", "technique": "normal"}
    original = (desk.root / name).read_bytes()
    desk.add(name, "point", **item, strip="Corran Mill")
    ran = desk.wringout("check", desk.root)
    assert "nothing says when 'D9' was flown" in " ".join(ran.out.split())
    assert "matched by elimination" in " ".join(desk.wringout("points", desk.root).out.split())
    notes = point(desk.answer("points"), "landings", "D9")["origin"]["notes"]
    assert notes[0].startswith("matched by elimination: the card does not say when it was flown")
    (desk.root / name).write_bytes(original)
    desk.add(name, "point", **item, strip="Corran Mill", flown=False, note="low sun")
    desk.checked()
    points = desk.answer("points")
    assert "D9" not in {each["origin"]["point"] for each in points["landings"]}
    assert "not flown: low sun" in reasons(points, "flight-1")


def test_marks_and_spans_that_fit_nothing_are_told(desk: Desk) -> None:
    """A lift-off in the cruise, a climb of eight seconds: both left out with what is wrong."""
    name, card = "cards/flight-1.toml", "flight-1"
    desk.add(name, "mark", time=desk.at(card, 1500.0), kind="full stop")
    desk.add(name, "manoeuvre", start=desk.at(card, 900.0), end=desk.at(card, 908.0), kind="climb")
    told = list(reasons(desk.answer("points"), card))
    assert any("the mark 'full stop' of" in reason and "fits nothing" in reason for reason in told)
    assert any("the climb named from" in reason and "cannot be measured" in reason for reason in told)
