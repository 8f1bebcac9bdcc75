"""The airplane's page: every key of its file a field, faults at their fields, edits that change one value."""

from __future__ import annotations

import difflib
import re
import tomllib
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from wringout.dossier.dossier import Units
from wringout.dossier.filled import FilledTable, filled
from wringout.dossier.forms import airplane_form
from wringout.dossier.history import version_of
from wringout.dossier.toml import read_toml
from wringout.web.pages.airplane import PARTS

PAGE, FILE = "/d/mine/airplane", "airplane.toml"


def _form(shelf: Path) -> FilledTable:
    data = (shelf / "mine" / FILE).read_bytes()
    return filled(airplane_form(), read_toml(FILE, data), (), Units())


def _sent(shelf: Path, path: tuple[str | int, ...], **typed: str) -> dict[str, str]:
    """What the form of a table sends when some of its fields were typed into."""
    table = _form(shelf).at(path)
    assert table is not None
    fields = {field.form.key: field.text for field in table.fields if field.form.kind != "pairs"}
    for field in table.fields:
        for number, row in enumerate(field.pairs):
            fields |= {f"{field.form.key}.{number}.{place}": cell for place, cell in enumerate(row)}
    version = version_of(shelf / "mine", FILE)
    return {**fields, **typed, "path": ".".join(map(str, path)), "version": version}


def _line(html: str, path: str) -> str:
    """What stands under a field in an answer."""
    found = re.search(rf'id="says-{path}"[^>]*>(.*?)</div>', html, re.DOTALL)
    assert found is not None, path
    return unescape(re.sub(r"<[^>]+>", "", found[1])).replace("\u00a0", " ")


def _difference(before: str, after: str) -> list[str]:
    lines = difflib.unified_diff(before.split("\n"), after.split("\n"), lineterm="", n=0)
    return [line for line in lines if line[0] in "+-" and not line.startswith(("+++", "---"))]


def _text(shelf: Path) -> str:
    return (shelf / "mine" / FILE).read_text(encoding="utf-8")


def test_every_table_of_the_file_has_its_part_of_the_page() -> None:
    """A table that the reader knows and the page does not would be lost from sight."""
    tables = [table.key for table in airplane_form().tables]
    assert sorted(key for keys in PARTS.values() for key in keys if key) == sorted(tables)


def test_every_value_of_the_file_stands_in_a_field(browser: TestClient, shelf: Path) -> None:
    """As it was typed, with its unit; nothing of the file is missing from the page."""
    answer = browser.get(PAGE)
    assert answer.status_code == 200
    html = unescape(answer.text)

    def values(table: FilledTable) -> list[Any]:
        own = [
            text
            for field in table.fields
            for text in (field.text, *(cell for row in field.pairs for cell in row))
            if text
        ]
        return own + [text for tables in table.tables.values() for each in tables for text in values(each)]

    missing = [
        text
        for text in values(_form(shelf))
        if f'value="{text}"' not in html and f"selected>{text}<" not in html
    ]
    assert not missing
    assert 'class="drawn"' in html
    assert "<svg" in html


def test_the_page_says_first_what_the_airplane_takes(browser: TestClient) -> None:
    """The answer as a sentence, before any field."""
    html = browser.get(PAGE).text
    assert html.index("of people, things and fuel") < html.index("<input")


def test_a_value_is_kept_as_typed_and_shown_in_the_readers_unit(browser: TestClient, shelf: Path) -> None:
    """95 lb in a field shown in kg: the file says 95 lb, the page what that is; one line differs."""
    before = _text(shelf)
    answer = browser.post(f"{PAGE}/table", data=_sent(shelf, ("station", 0), mass_limit="95 lb"))
    assert answer.status_code == 200
    # 95 lb × 0.45359237 kg/lb, exact by definition
    assert _line(answer.text, "station-0-mass-limit") == "43.09 kg"
    removed, added = _difference(before, _text(shelf))
    assert removed.startswith('-mass_limit = "220 kg"')
    assert added.startswith('+mass_limit = "95 lb"')
    assert added.endswith("# optional")


def test_a_bare_number_gets_the_unit_of_its_field(browser: TestClient, shelf: Path) -> None:
    """And the field is told what was kept."""
    answer = browser.post(f"{PAGE}/table", data=_sent(shelf, ("geometry",), span="11"))
    assert 'span = "11 m"' in _text(shelf)
    assert 'data-kept="11 m"' in answer.text
    assert "11.00 m" in answer.text  # the drawing follows


@pytest.mark.parametrize(
    ("path", "key", "text", "words"),
    [
        ("station.1", "mass_limit", "heavy", "does not start with a number"),
        ("station.1", "arm_aft", "0.2 m", "lies ahead of its forward end"),
        ("configuration.1", "kit", "nose-weel kit", "there is no kit"),
        ("engine", "rated_power", "-4 kW", "must be above zero"),
        ("envelope.0", "vertices.1.1", "800 s", "is expected"),
        ("", "occupant_mass", "", "is missing"),
    ],
)
def test_a_fault_stands_at_its_field_and_nothing_is_kept(  # noqa: PLR0917 - the cases' columns
    browser: TestClient, shelf: Path, path: str, key: str, text: str, words: str
) -> None:
    """While it is typed and when it is left, in the words of the dossier's own check."""
    before = _text(shelf)
    at = tuple(int(part) if part.isdecimal() else part for part in path.split(".") if part)
    field = "-".join([*path.split("."), key.split(".", maxsplit=1)[0]]).replace("_", "-").strip("-")
    for way, status in (("check", 200), ("table", 422)):
        answer = browser.post(f"{PAGE}/{way}", data=_sent(shelf, at, **{key: text}))
        assert answer.status_code == status
        assert words in _line(answer.text, field).lower()
        assert _text(shelf) == before


def test_two_values_that_need_one_another_are_kept_together(browser: TestClient, shelf: Path) -> None:
    """A bay moved aft: its forward end alone is refused, both ends are one edit."""
    sent = _sent(shelf, ("station", 1), arm="2.6 m")
    assert browser.post(f"{PAGE}/table", data=sent).status_code == 422
    card = shelf / "mine" / "cards" / "flight-1.toml"
    card.write_text(
        re.sub(r"\[loading\.station_arms\]\n.*?\n", "", card.read_text(encoding="utf-8")), encoding="utf-8"
    )
    sent = _sent(shelf, ("station", 1), arm="1.4 m", arm_aft="2.4 m")
    assert browser.post(f"{PAGE}/table", data=sent).status_code == 200
    assert tomllib.loads(_text(shelf))["station"][1]["arm"] == "1.4 m"


def test_what_other_files_then_miss_is_told(browser: TestClient, shelf: Path) -> None:
    """A station that cards name cannot lose its name: the words say which file and line."""
    answer = browser.post(f"{PAGE}/table", data=_sent(shelf, ("station", 0), name="bench"))
    assert answer.status_code == 422
    told = re.search(r'id="table-station-0"[^>]*>(.*?)</div>', answer.text, re.DOTALL)
    assert told is not None
    assert "cards/flight-1.toml, line" in told[1]


def test_a_row_comes_and_goes(browser: TestClient, shelf: Path) -> None:
    """What is needed is asked for; then the row stands in its list and can be taken away again."""
    version = {"version": version_of(shelf / "mine", FILE)}
    refused = browser.post(
        f"{PAGE}/table", data={"path": "station.2", "name": "pod", "holds": "things", **version}
    )
    assert refused.status_code == 422
    assert "'arm' is missing" in _line(refused.text, "station-2-arm")
    row = {"path": "station.2", "name": "pod", "holds": "things", "arm": "1.2", **version}
    added = browser.post(f"{PAGE}/table", data=row)
    assert added.status_code == 200
    assert added.headers["hx-retarget"] == "#part-places"
    assert tomllib.loads(_text(shelf))["station"][2] == {"name": "pod", "holds": "things", "arm": "1.2 m"}
    version = {"version": version_of(shelf / "mine", FILE)}
    assert browser.post(f"{PAGE}/away", data={"path": "station.2", **version}).status_code == 200
    assert len(tomllib.loads(_text(shelf))["station"]) == 2


def test_a_row_with_tables_in_it_is_added_whole(browser: TestClient, shelf: Path) -> None:
    """A configuration and its undercarriage are one edit."""
    version = version_of(shelf / "mine", FILE)
    typed = {
        "path": "configuration.2", "version": version, "name": "skis", "envelope": "normal",
        "undercarriage.kind": "skis", "undercarriage.main_arm": "0.6", "undercarriage.third_arm": "5.6",
        "undercarriage.track": "2.05", "undercarriage.cg_height": "1.1", "undercarriage.braking": "false",
    }  # fmt: skip
    assert browser.post(f"{PAGE}/table", data=typed).status_code == 200
    added = tomllib.loads(_text(shelf))["configuration"][2]
    assert added["undercarriage"]["main_arm"] == "0.6 m"
    assert added["undercarriage"]["braking"] is False


def test_a_record_takes_the_place_of_the_weighing(browser: TestClient, shelf: Path) -> None:
    """In one edit, since an airplane has one of the two."""
    typed = {
        "path": "empty_record", "version": version_of(shelf / "mine", FILE), "configuration": "tail wheel",
        "mass": "575 kg ± 2 kg", "arm": "0.83 m ± 5 mm", "source": "the record of 3 March",
    }  # fmt: skip
    assert browser.post(f"{PAGE}/table", data=typed).status_code == 200
    data = tomllib.loads(_text(shelf))
    assert "weighing" not in data
    assert data["empty_record"]["mass"] == "575 kg ± 2 kg"


def test_an_edit_on_an_old_version_is_refused(browser: TestClient, shelf: Path) -> None:
    """The other hand's work stays, and the words say so."""
    sent = _sent(shelf, ("geometry",), span="11 m")
    file = shelf / "mine" / FILE
    file.write_text(_text(shelf) + "\n# another hand\n", encoding="utf-8")
    answer = browser.post(f"{PAGE}/table", data=sent)
    assert answer.status_code == 422
    assert "changed elsewhere" in answer.text
    assert _text(shelf).endswith("# another hand\n")
    assert "11 m" not in _text(shelf)


def test_an_edit_can_be_taken_back(browser: TestClient, shelf: Path) -> None:
    """The button says what it takes back; the file is then byte for byte as it was."""
    before = (shelf / "mine" / FILE).read_bytes()
    browser.post(f"{PAGE}/table", data=_sent(shelf, ("geometry",), span="11 m"))
    assert "span 10.2 m → 11 m" in browser.get(PAGE).text
    back = {"file": FILE, "version": version_of(shelf / "mine", FILE)}
    assert browser.post("/d/mine/undo", data=back).status_code == 204
    assert (shelf / "mine" / FILE).read_bytes() == before


def test_a_broken_airplane_is_shown_with_its_faults_at_their_fields(browser: TestClient, shelf: Path) -> None:
    """What another hand broke can be mended on the page, and only the wrong field is marked."""
    file = shelf / "mine" / FILE
    file.write_text(_text(shelf).replace('span = "10.2 m"', 'span = "wide"'), encoding="utf-8")
    html = browser.get(PAGE).text
    assert "One thing keeps the description from being an airplane." in html
    assert "does not start with a number" in _line(html, "geometry-span")
    assert browser.post(f"{PAGE}/table", data=_sent(shelf, ("geometry",), span="10.2 m")).status_code == 200
    assert "of people, things and fuel" in browser.get(PAGE).text


def test_a_file_that_is_no_toml_leads_to_its_text(browser: TestClient, shelf: Path) -> None:
    """Nothing can be drawn of it; the page says where to look."""
    (shelf / "mine" / FILE).write_text("[geometry\n", encoding="utf-8")
    answer = browser.get(PAGE)
    assert answer.status_code == 200
    assert "A bracket is not closed" in answer.text
    assert "/d/mine/text/airplane.toml" in answer.text


def test_a_path_that_the_form_does_not_know_is_refused(browser: TestClient, shelf: Path) -> None:
    """Whatever a form sends, nothing but the airplane's own tables can be written."""
    before = _text(shelf)
    for path in ("nothing", "station.99", "geometry.span", "station.-1", "..", "kit.0.off.7.name"):
        data = {"path": path, "version": version_of(shelf / "mine", FILE), "name": "x", "arm": "1 m"}
        for way in ("table", "away", "check"):
            assert browser.post(f"{PAGE}/{way}", data=data).status_code in {200, 422}
    assert _text(shelf) == before
