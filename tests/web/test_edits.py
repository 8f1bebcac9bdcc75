"""Fields: a value typed, kept with its comments, refused in words, taken back."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.testclient import TestClient

from wringout.dossier.history import version_of

FILE = "airplane.toml"


def sent(shelf: Path, path: str, value: str, **more: str) -> dict[str, str]:
    """What a field sends, made on the file as it is."""
    return {"file": FILE, "version": version_of(shelf / "mine", FILE), "path": path, "value": value, **more}


def text(shelf: Path) -> str:
    return (shelf / "mine" / FILE).read_text(encoding="utf-8")


def test_a_field_keeps_what_is_typed_and_every_comment(browser: TestClient, shelf: Path) -> None:
    """The answer brings the file's new version and the way back."""
    before = text(shelf)
    answer = browser.post(
        "/d/mine/edit", data=sent(shelf, '["geometry", "span"]', "34 ft", kind="quantity", unit="m")
    )
    assert answer.status_code == 200
    assert answer.headers["hx-trigger"] == "edited"
    assert text(shelf) == before.replace('span = "10.2 m"', 'span = "34 ft"')
    assert version_of(shelf / "mine", FILE) in answer.text
    assert "span: 10.2 m → 34 ft" in answer.text


def test_a_bare_number_takes_the_unit_of_its_field(browser: TestClient, shelf: Path) -> None:
    """As a person means it."""
    browser.post("/d/mine/edit", data=sent(shelf, '["geometry", "span"]', "10,4", kind="quantity", unit="m"))
    assert 'span = "10.4 m"' in text(shelf)


@pytest.mark.parametrize(
    "case",
    [
        ('["geometry", "span"]', "ten", "quantity", "a length is expected"),
        ('["geometry", "span"]', "10 kg", "quantity", "kg"),
        ('["geometry", "span"]', "", "quantity", "missing"),
        ('["station", 0, "seats"]', "two", "number", "no number"),
        ('["nowhere", "x"]', "1", "text", "nowhere"),
        ("[", "1", "text", "reload the page"),
        ("[" * 5000, "1", "text", "reload the page"),
    ],
)
def test_a_value_that_cannot_stand_is_told_at_the_field(
    browser: TestClient, shelf: Path, case: tuple[str, str, str, str]
) -> None:
    """In the words of `check`; the file is as it was."""
    path, value, kind, said = case
    before = text(shelf)
    answer = browser.post(
        "/d/mine/edit", data=sent(shelf, path, value, kind=kind), headers={"HX-Request": "true"}
    )
    assert answer.status_code == 422
    assert said in answer.text.lower()
    assert "<html" not in answer.text
    assert text(shelf) == before


def test_a_field_on_an_old_page_is_refused_and_told_what_stands_there_now(
    browser: TestClient, shelf: Path
) -> None:
    """409, with the new version beside it: saving again is then a choice."""
    old = sent(shelf, '["geometry", "span"]', "9.9 m")
    browser.post("/d/mine/edit", data=sent(shelf, '["geometry", "span"]', "10.4 m"))
    answer = browser.post("/d/mine/edit", data=old)
    assert answer.status_code == 409
    assert "changed elsewhere" in answer.text
    assert "10.4 m" in answer.text
    now = version_of(shelf / "mine", FILE)
    assert now in answer.text
    assert browser.post("/d/mine/edit", data={**old, "version": now}).status_code == 200
    assert 'span = "9.9 m"' in text(shelf)


def test_an_edit_is_taken_back_and_done_again(browser: TestClient, shelf: Path) -> None:
    """The page is drawn anew each time."""
    before = text(shelf)
    browser.post("/d/mine/edit", data=sent(shelf, '["geometry", "span"]', "10.4 m"))
    after = text(shelf)
    for address, wanted in (("undo", before), ("redo", after)):
        step = {"file": FILE, "version": version_of(shelf / "mine", FILE)}
        answer = browser.post(f"/d/mine/{address}", data=step)
        assert answer.headers["hx-refresh"] == "true"
        assert text(shelf) == wanted
    step = {"file": FILE, "version": version_of(shelf / "mine", FILE)}
    nothing = browser.post("/d/mine/redo", data=step)
    assert nothing.status_code == 422
    assert "nothing to do again" in nothing.text.lower()


def test_the_fields_of_the_first_page_edit_the_head(browser: TestClient, shelf: Path) -> None:
    """The day stays a day and the title a text, with their comments."""
    version = version_of(shelf / "mine", "dossier.toml")
    day = {
        "file": "dossier.toml",
        "version": version,
        "path": '["day"]',
        "value": "2026-06-01",
        "kind": "day",
    }
    assert browser.post("/d/mine/edit", data=day).status_code == 200
    assert "day = 2026-06-01            # first day" in (shelf / "mine" / "dossier.toml").read_text()
    assert 'value="2026-06-01"' in browser.get("/d/mine/").text
