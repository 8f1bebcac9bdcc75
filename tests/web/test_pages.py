"""The shelf, a dossier's first page, its texts: what they say in every state a dossier can be in."""

from __future__ import annotations

import errno
import re
import shutil
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from wringout.dossier import history
from wringout.dossier.shelf import dossiers

BROKEN = sorted((Path(__file__).parent.parent / "broken" / "dossiers").iterdir())


def test_an_empty_shelf_says_what_to_do_next(browser: TestClient, shelf: Path) -> None:
    """In one sentence."""
    shutil.rmtree(shelf / "mine")
    answer = browser.get("/")
    assert answer.status_code == 200
    assert "No dossier is here yet. Make one below" in answer.text


def test_the_shelf_lists_each_dossier_with_its_state(browser: TestClient) -> None:
    """Name, airplane, day, and that it is not evaluated."""
    text = browser.get("/").text
    for said in ("One dossier", "mine", "Example 100", "2026-05-12", "not evaluated yet"):
        assert said in text


def test_a_dossier_is_made_from_the_template_and_from_another(browser: TestClient, shelf: Path) -> None:
    """The browser is led to the new one."""
    made = browser.post("/new", data={"name": "river strip", "kind": "template"})
    assert (made.status_code, made.headers["location"]) == (303, "/d/river%20strip/")
    made = browser.post("/new", data={"name": "copy", "kind": "airplane", "source": "mine"})
    assert made.status_code == 303
    assert dossiers(shelf) == ("copy", "mine", "river strip")


@pytest.mark.parametrize("name", ["", "mine", "../out", "a/b", ".x", "a\tb"])
def test_a_name_that_cannot_be_used_is_told_at_the_field_and_stays_there(
    browser: TestClient, shelf: Path, name: str
) -> None:
    """What was typed stays; nothing is made."""
    answer = browser.post("/new", data={"name": name, "kind": "demo"})
    assert answer.status_code == 422
    assert 'class="fault"' in answer.text
    assert re.search(r'value="demo" checked', answer.text)
    assert {path.name for path in shelf.iterdir()} == {"mine"}


def test_a_sound_dossier_offers_its_evaluation(browser: TestClient) -> None:
    """The button, the stages to be computed, and the airplane to scale with its words."""
    text = browser.get("/d/mine/").text
    assert "Nothing is evaluated yet." in text
    assert "/d/mine/work/evaluate" in text
    assert 'class="open"' in text
    assert re.search(r'<svg[^>]*aria-label="[^"]{40,}', text)


@pytest.mark.parametrize("case", BROKEN, ids=lambda case: case.name)
def test_a_broken_dossier_is_told_with_file_line_and_mend(
    browser: TestClient, shelf: Path, case: Path
) -> None:
    """Every page of it opens; the problem leads to its line; nothing offers to evaluate it."""
    shutil.copytree(case, shelf / "mine", dirs_exist_ok=True)
    changed = next(path.relative_to(case).as_posix() for path in case.rglob("*") if path.is_file())
    answer = browser.get("/d/mine/")
    assert answer.status_code == 200
    assert f"/d/mine/text/{changed}" in answer.text
    assert "to mend before it can be evaluated" in answer.text
    assert "/work/evaluate" not in answer.text
    assert browser.get("/").text.count("to mend") == 1
    assert browser.get(f"/d/mine/text/{changed}").status_code == 200


def test_an_empty_folder_with_a_head_alone_is_told(browser: TestClient, shelf: Path) -> None:
    """A dossier.toml without a word in it."""
    shutil.rmtree(shelf / "mine")
    (shelf / "mine").mkdir()
    (shelf / "mine" / "dossier.toml").write_text("")
    answer = browser.get("/d/mine/")
    assert answer.status_code == 200
    assert "to mend" in answer.text
    assert "airplane.toml" in answer.text


def test_a_text_is_saved_whole_and_a_second_hand_is_refused(browser: TestClient, shelf: Path) -> None:
    """409; what the second typed is still in its field, and saving again puts it in."""
    page = browser.get("/d/mine/text/missions.toml").text
    version = re.search(r'name="version" value="(\w+)"', page)
    assert version is not None
    first = browser.post("/d/mine/text/missions.toml", data={"version": version[1], "text": "# first\r\n"})
    assert first.status_code == 303
    assert (shelf / "mine" / "missions.toml").read_bytes() == b"# first\n"
    second = browser.post("/d/mine/text/missions.toml", data={"version": version[1], "text": "# <second>"})
    assert second.status_code == 409
    assert "changed elsewhere" in second.text
    assert "# &lt;second&gt;" in second.text
    version = re.search(r'name="version" value="(\w+)"', second.text)
    assert version is not None
    again = browser.post("/d/mine/text/missions.toml", data={"version": version[1], "text": "# second"})
    assert again.status_code == 303


def test_a_text_as_large_as_a_file_may_be_is_saved_and_a_larger_one_kept_in_its_field(
    browser: TestClient, shelf: Path
) -> None:
    """Whatever its letters cost on the way; the file is never cut."""
    address, place = "/d/mine/text/missions.toml", shelf / "mine" / "missions.toml"
    text = "# é\n" * 399_000
    sent = {"version": history.version_of(shelf / "mine", "missions.toml"), "text": text}
    assert browser.post(address, data=sent).status_code == 303
    assert place.read_text(encoding="utf-8") == text
    sent = {"version": history.version_of(shelf / "mine", "missions.toml"), "text": "# x\n" * 501_000}
    refused = browser.post(address, data=sent)
    assert refused.status_code == 422
    assert "2 MB" in refused.text.replace("\u00a0", " ")
    assert "# x\n# x" in refused.text
    assert place.read_text(encoding="utf-8") == text


def test_what_a_dossier_says_is_never_taken_for_a_page(browser: TestClient, shelf: Path) -> None:
    """Markup in names and titles is shown as it was written."""
    nasty = "<script>alert(1)</script><img src=x onerror=alert(1)>"
    head = shelf / "mine" / "dossier.toml"
    head.write_text(re.sub(r'title = ".*"', f"title = '{nasty}'", head.read_text()))
    airplane = shelf / "mine" / "airplane.toml"
    airplane.write_text(airplane.read_text().replace('name = "Example 100"', f"name = '{nasty}'", 1))
    text = browser.get("/d/mine/").text
    assert "&lt;script&gt;alert(1)" in text
    assert "<script>alert" not in text
    assert "<img src=x" not in text


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EROFS, errno.EACCES])
def test_a_disk_that_refuses_is_told_in_a_sentence(
    browser: TestClient, shelf: Path, monkeypatch: pytest.MonkeyPatch, code: int
) -> None:
    """Full, read-only, forbidden: every change says so, and nothing was changed."""

    def refuse(*_: object, **__: object) -> None:
        raise OSError(code, "the disk refuses")

    before = (shelf / "mine" / "dossier.toml").read_bytes()
    version = history.version_of(shelf / "mine", "dossier.toml")
    monkeypatch.setattr("tempfile.mkstemp", refuse)
    edit = {"file": "dossier.toml", "version": version, "path": '["title"]', "value": "x"}
    for address, sent in (
        ("/d/mine/edit", edit),
        ("/d/mine/text/dossier.toml", {"version": version, "text": "x"}),
        ("/new", {"name": "next", "kind": "template"}),
    ):
        answer = browser.post(address, data=sent)
        assert answer.status_code == 422
        assert "The disk refuses" in answer.text or "the disk refuses" in answer.text
    assert (shelf / "mine" / "dossier.toml").read_bytes() == before


def test_a_shelf_that_has_gone_is_told(browser: TestClient, shelf: Path) -> None:
    """A stick pulled out while the workbench runs."""
    shutil.rmtree(shelf)
    assert "cannot be opened" in browser.get("/").text
    assert browser.get("/d/mine/").status_code == 404


def test_a_fault_of_our_own_is_a_sentence_and_no_code(
    browser: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The trace goes to the terminal, never into a page."""

    def fail(*_: object) -> None:
        raise ZeroDivisionError("secret detail")

    monkeypatch.setattr("wringout.web.state.examine", fail)
    answer = browser.get("/d/mine/")
    assert answer.status_code == 500
    assert "your files are as they were" in answer.text
    assert "secret detail" not in answer.text


@pytest.mark.parametrize(
    "address", ["/nowhere", "/static/../app.py", "/static/app.py", "/fonts/x.ttf", "/d/mine/nowhere"]
)
def test_a_page_that_is_not_there_is_a_sentence(browser: TestClient, address: str) -> None:
    """404 with the way back."""
    answer = browser.get(address)
    assert answer.status_code == 404
    assert "shelf of dossiers" in answer.text
