"""The button that stows: rows, figure and words follow, and what stays is told with its reason."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

from starlette.testclient import TestClient

from tests.web.test_loading_page import FIELDS, PAGE
from wringout.dossier import load


def _plain(html: str) -> str:
    return unescape(re.sub(r"<[^>]+>", " ", html)).replace("\u00a0", " ")


def _stations(html: str) -> list[str]:
    """The place chosen in each row."""
    rows = html.split('id="things"', 1)[1].split('id="stowed"', 1)[0].split('class="thing-row')[1:]
    return [re.findall(r'<option value="([^"]*)" selected', row)[0] for row in rows]


def test_what_was_left_behind_is_stowed(browser: TestClient) -> None:
    """A crate that stayed goes into the bay, the pilot keeps a seat, and the words say that all go."""
    fields = FIELDS | {"thing.1.station": "", "thing.1.arm": ""}
    answer = browser.post(f"{PAGE}/stow", data=fields)
    assert answer.status_code == 200
    assert _stations(answer.text) == ["front seats", "cargo bay"]
    assert "Pilot and crate go" in _plain(answer.text)
    assert "Within every limit" in _plain(answer.text)


def test_what_stays_is_told_with_its_reason(browser: TestClient, shelf: Path) -> None:
    """A safe that no floor holds stays behind, and by how many kilograms it is too heavy is said."""
    dossier = load(shelf / "mine")
    bay = next(station for station in dossier.airplane.stations if station.name == "cargo bay")
    heavy = (bay.mass_limit or 0.0) + 40.0
    fields = FIELDS | {"thing.2.name": "safe", "thing.2.mass": f"{heavy} kg", "thing.2.station": "cargo bay"}
    answer = browser.post(f"{PAGE}/stow", data=fields)
    assert _stations(answer.text)[2] == ""
    assert re.search(r"safe stays: .* binds by \d+ kg", _plain(answer.text))


def test_what_is_not_understood_stands_at_its_field(browser: TestClient) -> None:
    """A mass without sense moves nothing."""
    answer = browser.post(f"{PAGE}/stow", data=FIELDS | {"thing.1.mass": "heavy"})
    assert answer.headers["HX-Reswap"] == "none"
    assert "says-thing-1-mass" in answer.text
