"""Whose requests are answered: those of this workbench's own pages on this machine, or with its token."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from tests.web.conftest import ORIGIN
from wringout.problems import InputError
from wringout.web.app import create_app
from wringout.web.guard import HEADERS, LARGEST_BODY

TOKEN = "correct-horse-battery"
FOREIGN = "http://evil.example"


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1.evil.example", "", "localhost@evil.example", "[::2]"]
)
def test_a_name_rebound_to_this_machine_is_refused(browser: TestClient, host: str) -> None:
    """Another site's name that suddenly means 127.0.0.1 gets no page, whatever it asks."""
    answer = browser.get("/", headers={"host": host})
    assert answer.status_code == 403
    assert "mine" not in answer.text


@pytest.mark.parametrize("host", ["127.0.0.1:8737", "localhost:8737", "[::1]:8737", "LOCALHOST"])
def test_this_machines_own_names_are_answered(browser: TestClient, host: str) -> None:
    """With any port."""
    assert browser.get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize("origin", [FOREIGN, "null", "http://127.0.0.1:99", "http://localhost"])
def test_a_form_on_another_site_changes_nothing(browser: TestClient, shelf: Path, origin: str) -> None:
    """Every unsafe method from another origin is refused before it does anything."""
    for method in ("POST", "PUT", "PATCH", "DELETE"):
        answer = browser.request(
            method, "/new", data={"name": "theirs", "kind": "template"}, headers={"origin": origin}
        )
        assert answer.status_code == 403
    assert [path.name for path in shelf.iterdir()] == ["mine"]


def test_a_program_that_does_not_say_where_it_comes_from_changes_nothing(shelf: Path) -> None:
    """Neither Origin nor Sec-Fetch-Site: refused; a browser's own word 'same-origin' is enough."""
    with TestClient(create_app(shelf), base_url=ORIGIN, follow_redirects=False) as client:
        sent = {"name": "other", "kind": "template"}
        assert client.post("/new", data=sent).status_code == 403
        assert client.post("/new", data=sent, headers={"sec-fetch-site": "cross-site"}).status_code == 403
        assert client.post("/new", data=sent, headers={"sec-fetch-site": "same-origin"}).status_code == 303


@pytest.mark.parametrize(
    "address", ["/", "/d/mine/", "/nowhere", "/static/field_book.css", "/static/vega.js"]
)
def test_no_page_may_load_or_run_anything_from_elsewhere(browser: TestClient, address: str) -> None:
    """The strict policy stands on every answer: no script in the page, no eval, no other origin."""
    answer = browser.get(address)
    assert {name: answer.headers[name] for name in HEADERS} == HEADERS
    policy = answer.headers["content-security-policy"]
    assert "unsafe" not in policy
    assert "http" not in policy
    assert "cache-control" in answer.headers


@pytest.mark.parametrize("address", ["/", "/d/mine/", "/d/mine/text/airplane.toml"])
def test_a_page_names_no_other_place_and_holds_no_script_of_its_own(
    browser: TestClient, address: str
) -> None:
    """Only data blocks and our own files."""
    text = browser.get(address).text
    assert 'src="http' not in text
    assert 'href="http' not in text
    assert " style=" not in text
    assert " onclick" not in text
    assert text.count("<script") == text.count('<script src="/static/') + text.count('application/json">')


def test_a_body_beyond_its_bound_is_refused_by_its_length(browser: TestClient) -> None:
    """Before it is read."""
    answer = browser.post("/new", content=b"x" * (LARGEST_BODY + 1))
    assert answer.status_code == 413
    assert "8 MB" in answer.text


@pytest.mark.parametrize("length", ["-1", "abc", "9" * 30])
def test_a_length_that_is_none_is_refused(browser: TestClient, length: str) -> None:
    """A header that lies does not reach the pages."""
    assert browser.post("/new", content=b"x", headers={"content-length": length}).status_code == 413


def test_a_body_that_grows_while_it_is_read_is_cut_off(browser: TestClient) -> None:
    """Without a length, in pieces, as long as the sender likes."""

    def pieces() -> Iterator[bytes]:
        yield b"name=a&kind=template&source="
        for _ in range(LARGEST_BODY // 100_000 + 1):
            yield b"x" * 100_000

    form = {"content-type": "application/x-www-form-urlencoded"}
    assert browser.post("/new", content=pieces(), headers=form).status_code == 413


@pytest.fixture
def stranger(shelf: Path) -> Iterator[TestClient]:
    """Another machine, before a workbench with a token."""
    with TestClient(
        create_app(shelf, token=TOKEN),
        base_url="http://tablet.local:8737",
        headers={"origin": "http://tablet.local:8737"},
        follow_redirects=False,
    ) as client:
        yield client


def test_another_machine_shows_the_token_once(stranger: TestClient) -> None:
    """It moves from the address into a cookie that no script reads, and every page opens."""
    assert stranger.get("/").status_code == 401
    first = stranger.get("/d/mine/", params={"token": TOKEN, "line": "3"})
    assert (first.status_code, first.headers["location"]) == (303, "/d/mine/?line=3")
    cookie = first.headers["set-cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=lax" in cookie
    assert TOKEN not in cookie
    assert stranger.get("/d/mine/").status_code == 200


@pytest.mark.parametrize("token", ["", "wrong", TOKEN[:-1], TOKEN + "x", "é"])
def test_a_wrong_token_opens_nothing(stranger: TestClient, token: str) -> None:
    """Neither in the address nor in the cookie, and for no file of the pages either."""
    assert stranger.get("/", params={"token": token}).status_code == 401
    assert stranger.get("/static/field_book.css").status_code == 401
    assert stranger.post("/new", data={"name": "x", "kind": "template"}).status_code == 401
    assert stranger.get("/", headers={"cookie": "wringout-token=0123"}).status_code == 401


def test_the_token_leads_to_no_other_site(stranger: TestClient) -> None:
    """The address after the token is always one of this workbench."""
    answer = stranger.get("//evil.example/", params={"token": TOKEN})
    assert answer.headers["location"].startswith("/")
    assert not answer.headers["location"].startswith("//")


NAMES = [
    "%2e%2e",
    "..%2fsecret",
    "%2e%2e%2fsecret",
    "%2fetc",
    "secret",
    "mine%00",
    "mine%0a",
    ".hidden",
    "x" * 300,
]


@pytest.mark.parametrize("name", NAMES)
def test_a_name_that_leads_out_of_the_shelf_is_not_there(browser: TestClient, name: str) -> None:
    """In words, and never what lies beside the folder."""
    answer = browser.get(f"/d/{name}/")
    assert answer.status_code == 404
    assert "Traceback" not in answer.text
    assert "Example 100" not in answer.text


def test_a_link_out_of_the_shelf_is_not_there(browser: TestClient, shelf: Path) -> None:
    """Even to a dossier that reads."""
    (shelf / "linked").symlink_to(shelf.parent / "secret")
    assert browser.get("/d/linked/").status_code == 404
    assert "linked" not in browser.get("/").text


@pytest.mark.parametrize(
    "file", ["../../secret/airplane.toml", "%2e%2e/secret", "/etc/hosts", "results/x", "a%00b", "linked.toml"]
)
def test_a_file_that_is_none_of_the_dossiers_is_neither_shown_nor_written(
    browser: TestClient, shelf: Path, file: str
) -> None:
    """Through a path, through a link, by any name."""
    (shelf / "mine" / "linked.toml").symlink_to(shelf.parent / "secret" / "airplane.toml")
    before = (shelf.parent / "secret" / "airplane.toml").read_bytes()
    assert browser.get(f"/d/mine/text/{file}").status_code == 404
    assert browser.post(f"/d/mine/text/{file}", data={"version": "x", "text": "x"}).status_code == 404
    sent = {"file": file, "version": "x", "path": '["name"]', "value": "x"}
    assert browser.post("/d/mine/edit", data=sent).status_code in {409, 422}
    assert (shelf.parent / "secret" / "airplane.toml").read_bytes() == before


def test_a_shelf_that_is_not_there_is_told(tmp_path: Path) -> None:
    """At the start, in one sentence."""
    with pytest.raises(InputError, match="cannot be opened"):
        create_app(tmp_path / "nowhere")
