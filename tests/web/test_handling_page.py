"""The handling page and a card's notes: the tree walked, ratings kept, every form with its way back."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from wringout.dossier import load
from wringout.dossier.rating_scale import QUESTIONS

CARD = "cards/flight-1.toml"
NOTES = "/d/mine/flights/flight-1/notes"
KEPT = {
    "card": "flight-1",
    "task": "hold 60 kt, within 3 kt",
    "answers": "yes,yes,no",
    "rating": "5",
    "note": "hard",
}


def _version(browser: TestClient, address: str = NOTES) -> str:
    return re.search(r'name="version" id="[^"]*" value="([0-9a-f]+)"', browser.get(address).text)[1]  # type: ignore[index]


@pytest.mark.parametrize(
    ("answers", "asked", "choices"),
    [
        ("", 0, []),
        ("yes", 1, []),
        ("yes,yes", 2, []),
        ("no", None, [10]),
        ("yes,no", None, [7, 8, 9]),
        ("yes,yes,no", None, [4, 5, 6]),
        ("yes,yes,yes", None, [1, 2, 3]),
    ],
)
def test_the_tree_is_walked_on_the_page(
    browser: TestClient, answers: str, asked: int | None, choices: list[int]
) -> None:
    """Each step asks the next question or offers what remains, and keeps card and task as typed."""
    text = browser.get(
        "/d/mine/handling/scale",
        params={"card": "flight-1", "task": "a & b", "answers": answers, "begun": "true"},
    ).text
    found = [int(value) for value in re.findall(r'type="radio" name="rating" value="(\d+)"', text)]
    assert found == choices
    assert ('class="question"' in text) is (asked is not None)
    if asked is not None:
        assert QUESTIONS[asked].asks in text.split('class="question"', 1)[1]
        for word in ("yes", "no"):
            wanted = ",".join(part for part in (answers, word) if part)
            assert f'name="answers" value="{wanted}"' in text
    assert 'value="a &amp; b"' in text


def test_a_rating_is_kept_with_its_answers_and_taken_back(browser: TestClient, shelf: Path) -> None:
    """It stands on the card, the comments of the file stay, and one step takes it back."""
    file = shelf / "mine" / CARD
    before = file.read_text(encoding="utf-8")
    answer = browser.post("/d/mine/handling/rating", data=KEPT)
    assert answer.status_code == 204
    after = file.read_text(encoding="utf-8")
    assert before.split("[[point]]")[0] in after
    (rating,) = load(shelf / "mine").cards[0].ratings
    assert (rating.task, rating.rating, rating.note) == ("hold 60 kt, within 3 kt", 5, "hard")
    assert "adequate = true" in after
    assert "satisfactory = false" in after
    page = " ".join(browser.get("/d/mine/handling").text.split())
    assert "One task rated 5 on the ten-point scale" in page
    version = _version(browser)
    assert browser.post("/d/mine/undo", data={"file": CARD, "version": version}).status_code < 300
    assert file.read_text(encoding="utf-8") == before


@pytest.mark.parametrize(
    ("changed", "wanted"),
    [
        ({"rating": "3"}, "do not lead to 3"),
        ({"answers": "yes,yes"}, "do not lead to 5"),
        ({"task": " "}, "a rating is of a task"),
        ({"answers": "no,yes"}, "tree ends"),
        ({"card": "flight-9"}, "there is no card"),
    ],
)
def test_what_does_not_follow_from_the_answers_is_refused(
    browser: TestClient, shelf: Path, changed: dict[str, str], wanted: str
) -> None:
    """In words, and nothing is written."""
    before = (shelf / "mine" / CARD).read_bytes()
    answer = browser.post("/d/mine/handling/rating", data={**KEPT, **changed}, headers={"HX-Request": "true"})
    assert 400 <= answer.status_code < 500
    assert wanted.lower() in answer.text.lower()
    assert (shelf / "mine" / CARD).read_bytes() == before


def test_weather_is_typed_into_its_form(browser: TestClient, shelf: Path) -> None:
    """A bare number gets the unit that stood there, another stays; what cannot be is told at its field."""
    sent = {"path": "weather.0", "version": _version(browser), "qnh": "1009", "temperature": "55 °F"}
    assert browser.post(f"{NOTES}/table", data=sent).status_code == 200
    text = (shelf / "mine" / CARD).read_text(encoding="utf-8")
    assert 'qnh = "1009 hPa"' in text
    assert 'temperature = "55 °F"' in text
    assert "# true, where it blows from" in text
    wrong = browser.post(f"{NOTES}/table", data={**sent, "version": _version(browser), "qnh": "30"})
    assert wrong.status_code == 422
    assert "does not occur" in wrong.text.split('id="says-weather-0-qnh"', 1)[1].split("</div>", 1)[0]
    assert 'qnh = "1009 hPa"' in (shelf / "mine" / CARD).read_text(encoding="utf-8")
    checked = browser.post(f"{NOTES}/check", data={**sent, "qnh": "30"})
    assert "does not occur" in checked.text


def test_a_reading_more_is_added_with_its_moment(browser: TestClient, shelf: Path) -> None:
    """A time typed as text becomes one; one without its zone is refused at its field."""
    fresh = {
        "path": "weather.1",
        "time": "2026-05-12T11:00:00+01:00",
        "elevation": "120 m",
        "qnh": "1015 hPa",
        "temperature": "16 °C",
        "wind_direction": "240 °",
        "wind_speed": "8 kt",
        "wind_speed_sd": "2 kt",
        "wind_height": "10 m",
    }
    wrong = {**fresh, "version": _version(browser), "time": "2026-05-12T11:00:00"}
    assert "no zone" in browser.post(f"{NOTES}/table", data=wrong).text
    answer = browser.post(f"{NOTES}/table", data={**fresh, "version": _version(browser)})
    assert answer.headers["hx-retarget"] == "#part-weather"
    readings = load(shelf / "mine").cards[0].weather
    assert [round(item.qnh) for item in readings] == [101600, 101500]


def test_notes_of_several_lines_stay_lines(browser: TestClient, shelf: Path) -> None:
    """A browser's line ends become the file's, each line on one of its own."""
    sent = {"path": "", "version": _version(browser), "notes": "gusty after eleven\r\nsheep on the strip"}
    assert browser.post(f"{NOTES}/table", data=sent).status_code == 200
    assert load(shelf / "mine").cards[0].notes == "gusty after eleven\nsheep on the strip"
    assert "\ngusty after eleven\nsheep on the strip\n" in (shelf / "mine" / CARD).read_text(encoding="utf-8")
    assert "sheep on the strip</textarea>" in browser.get(NOTES).text


def test_forces_ask_for_their_scale_and_go_again(browser: TestClient, shelf: Path) -> None:
    """Without a scale a force is refused; with it it stands, and the row can be taken away."""
    force = {
        "path": "stick_force.0",
        "force": "14 N",
        "direction": "pull",
        "speed": "60 kt",
        "flap": "up",
        "power": "part",
    }
    refused = browser.post(f"{NOTES}/table", data={**force, "version": _version(browser)})
    assert "the card has no spring scale" in refused.text
    scale = {"path": "spring_scale", "resolution": "1 N", "version": _version(browser)}
    assert browser.post(f"{NOTES}/table", data=scale).status_code == 200
    kept = browser.post(f"{NOTES}/table", data={**force, "version": _version(browser)})
    assert kept.status_code == 200
    assert load(shelf / "mine").cards[0].handling.stick_forces[0].force == 14.0
    assert (
        "17" not in browser.get("/d/mine/handling").text.split("Forces as read", 1)[1].split("</table>", 1)[0]
    )
    away = browser.post(f"{NOTES}/away", data={"path": "stick_force.0", "version": _version(browser)})
    assert away.status_code == 200
    assert load(shelf / "mine").cards[0].handling.stick_forces == ()


def test_an_older_page_does_not_overwrite_a_newer_file(browser: TestClient) -> None:
    """The edit is refused with what to do."""
    version = _version(browser)
    browser.post("/d/mine/handling/rating", data=KEPT)
    stale = browser.post(f"{NOTES}/table", data={"path": "", "version": version, "pilot": "B. Nobody"})
    assert stale.status_code in (409, 422)
    assert "changed elsewhere" in stale.text


def test_what_files_say_stays_text(browser: TestClient) -> None:
    """A task of scripts is shown, not run."""
    browser.post("/d/mine/handling/rating", data={**KEPT, "task": "<script>x</script>", "note": "<i>"})
    for address in ("/d/mine/handling", NOTES):
        text = browser.get(address).text
        assert "<script>x" not in text
        assert "&lt;script&gt;x" in text
    assert browser.get("/d/mine/flights/nothing/notes").status_code == 404
