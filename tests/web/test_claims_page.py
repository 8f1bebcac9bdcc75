"""The claims page: verdicts in words, evidence down to the seconds of a recording, changed claims."""

from __future__ import annotations

import re
import shutil
import tomllib
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from typing import TYPE_CHECKING, Any
from xml.etree.ElementTree import fromstring

import pytest
from starlette.testclient import TestClient

from tests.web.test_browser import CHROMIUM, LARGE, SOON, TABLET, Watched
from wringout.dossier import check
from wringout.dossier.claim import CLAIM_DIMENSIONS
from wringout.dossier.claim_tables import ClaimTable, ConditionsTable
from wringout.dossier.history import version_of
from wringout.evaluation import Evaluation
from wringout.web.app import create_app

if TYPE_CHECKING:
    from playwright.sync_api import Browser

PAGE = "/d/demo/claims"
ORIGIN = "http://127.0.0.1"


def _plain(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).replace("\u00a0", " ").split())


def test_each_claim_stands_there_with_its_verdict(evaluated: TestClient, demo: Evaluation) -> None:
    """Its words, where it was published, finding and reason, and the rule with its probability in words."""
    answer = evaluated.get(PAGE)
    words = _plain(answer.text)
    assert answer.status_code == 200
    assert f"Of {len(demo.verdicts)} claims:" in words
    for verdict in demo.verdicts:
        assert " ".join(verdict.claim.statement.split()) in words
        assert verdict.claim.published in words
        assert verdict.finding in words
        assert " ".join(verdict.reason.split())[1:] in words
        spoken = "not tested"
        if verdict.probability is not None:
            spoken = f"probability that the claim holds: {verdict.probability:.2f}"
        assert f'aria-label="{spoken}"' in answer.text


def test_evidence_is_shown_with_its_arithmetic_and_its_seconds(
    evaluated: TestClient, demo: Evaluation
) -> None:
    """Every line of arithmetic, every origin as a link to its span, and a trace of it that is sound SVG."""
    for number, verdict in enumerate(demo.verdicts):
        answer = evaluated.get(f"{PAGE}/{number}/evidence")
        assert answer.status_code == 200
        words = _plain(answer.text)
        for row in verdict.evidence:
            assert " ".join(row.arithmetic.split())[1:] in words
        for assumption in verdict.assumptions:
            assert " ".join(assumption.split())[1:] in words
        origins = [origin for row in verdict.evidence for origin in row.origins]
        for origin in origins:
            assert f"/flights/{origin.card}#span={origin.start:.1f}-{origin.end:.1f}" in answer.text
        drawings = re.findall(r"<svg.*?</svg>", answer.text, re.DOTALL)
        assert len(drawings) == len(origins)
        for drawing in drawings:
            assert "height" in fromstring(drawing).attrib["aria-label"]


def test_a_claim_that_is_not_there_is_told(evaluated: TestClient) -> None:
    """A number beyond the last is answered in words."""
    for part in ("evidence", "fields"):
        assert evaluated.get(f"{PAGE}/99/{part}").status_code == 404


@pytest.fixture
def changed(demo: Evaluation, tmp_path: Path) -> Iterator[tuple[TestClient, Path]]:
    """A copy of the evaluated demo that a test may change."""
    root = tmp_path / "demo"
    shutil.copytree(demo.dossier.root, root)
    with TestClient(create_app(tmp_path), base_url=ORIGIN, headers={"origin": ORIGIN}) as client:
        yield client, root


def test_a_changed_claim_waits_to_be_judged_anew(changed: tuple[TestClient, Path]) -> None:
    """Its figure is edited in its field; claims are then stale, while points and model stand."""
    client, root = changed
    assert "41 kt" in client.get(f"{PAGE}/0/fields").text
    sent = client.post(
        "/d/demo/edit",
        data={
            "file": "claims.toml",
            "version": version_of(root, "claims.toml"),
            "path": '["claim", 0, "value"]',
            "value": "40 kt",
        },
    )
    assert sent.status_code == 200
    assert tomllib.loads((root / "claims.toml").read_text(encoding="utf-8"))["claim"][0]["value"] == "40 kt"
    assert "are to be computed anew" in _plain(client.get(PAGE).text)
    assert client.get(f"{PAGE}/0/evidence").status_code == 422
    assert "are reduced; " in _plain(client.get("/d/demo/points").text)
    assert "Take-off over 15 m takes" in _plain(client.get("/d/demo/model").text)


ROLL = {
    "id": "roll, as told at the fence",
    "statement": "She is off the grass in two hundred and fifty metres.",
    "quantity": "take-off ground roll",
    "relation": "at most",
    "value": "250 m",
    "published": "salesman, 11 May 2026",
    "conditions.surface": "dry grass",
    "conditions.power": "100 %",
    "conditions.mass": "900",
    "conditions.temperature": "",
}


def _claims(root: Path) -> list[dict[str, Any]]:
    claims: list[dict[str, Any]] = tomllib.loads((root / "claims.toml").read_text(encoding="utf-8")).get(
        "claim", []
    )
    return claims


def _add(client: TestClient, root: Path, **changes: str) -> Any:
    version = version_of(root, "claims.toml") if (root / "claims.toml").is_file() else ""
    return client.post(f"{PAGE}/new", data=ROLL | {"version": version} | changes)


def _undo(client: TestClient, root: Path) -> None:
    version = version_of(root, "claims.toml")
    assert client.post("/d/demo/undo", data={"file": "claims.toml", "version": version}).status_code == 204


def _faults(html: str) -> dict[str, str]:
    """What each field is told, by the end of its id."""
    lines = re.findall(r'id="(?:says|table)-claim-\d+-?([a-z-]*)"[^>]*>(.*?)</div>', html, re.DOTALL)
    return {key: _plain(said) for key, said in lines if _plain(said)}


def test_the_form_asks_for_all_that_the_reader_knows(evaluated: TestClient) -> None:
    """Every key of a claim and of its conditions is a field, every quantity and relation a choice."""
    html = evaluated.get(PAGE).text
    form = html[html.index('id="add-claim"') :]
    names = set(re.findall(r'<(?:input|select)[^>]*? name="([^"]+)"', form))
    assert names >= set(ClaimTable.model_fields) - {"conditions"}
    assert names >= {f"conditions.{key}" for key in ConditionsTable.model_fields}
    for choice in (*CLAIM_DIMENSIONS, "at least", "at most", "about"):
        assert f"<option>{choice}</option>" in form


def test_a_claim_is_added_by_the_form_and_taken_back(changed: tuple[TestClient, Path]) -> None:
    """It stands last in the file as typed, what is empty left out; it is listed; undo restores each byte."""
    client, root = changed
    before = (root / "claims.toml").read_bytes()
    assert _add(client, root).headers["HX-Refresh"] == "true"
    claim = _claims(root)[-1]
    assert claim.pop("conditions") == {"surface": "dry grass", "power": "100 %", "mass": "900 kg"}
    assert claim == {key: text for key, text in ROLL.items() if "." not in key}
    assert check(root) == ()
    words = _plain(client.get(PAGE).text)
    assert "are to be computed anew" in words
    assert ROLL["statement"] in words
    assert "Take back new claim 'roll, as told at the fence'" in words
    _undo(client, root)
    assert (root / "claims.toml").read_bytes() == before


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"value": "250"}, {"value": "unit"}),
        ({"value": "250 kg"}, {"value": "length"}),
        ({"value": "-250 m"}, {"value": "above zero"}),
        ({"quantity": ""}, {"quantity": ""}),
        ({"statement": "", "id": ""}, {"statement": "", "id": ""}),
        ({"tolerance": "5 m"}, {"tolerance": "no tolerance"}),
        ({"conditions.configuration": "floats"}, {"conditions-configuration": "floats"}),
        ({"conditions.mass": "heavy"}, {"conditions-mass": "heavy"}),
    ],
)
def test_a_claim_with_a_fault_is_told_at_its_field(
    changed: tuple[TestClient, Path], changes: dict[str, str], told: dict[str, str]
) -> None:
    """In the words of the check, and only there; nothing is written."""
    client, root = changed
    before = (root / "claims.toml").read_bytes()
    answer = _add(client, root, **changes)
    assert answer.status_code == 422
    faults = _faults(answer.text)
    assert faults.keys() == told.keys()
    for key, words in told.items():
        assert words in faults[key]
    assert (root / "claims.toml").read_bytes() == before


def test_a_form_on_an_older_version_adds_nothing(changed: tuple[TestClient, Path]) -> None:
    """It is told so under the form, and taking out on an older version is refused as well."""
    client, root = changed
    before = (root / "claims.toml").read_bytes()
    number = str(len(_claims(root)))
    answer = _add(client, root, version="0" * 32, number=number)
    assert answer.status_code == 422
    assert "changed elsewhere" in _faults(answer.text)[""]
    assert f'id="table-claim-{number}"' in answer.text
    away = client.post(f"{PAGE}/away", data={"number": "0", "version": "0" * 32})
    assert away.status_code == 409
    assert (root / "claims.toml").read_bytes() == before


def test_a_claim_is_taken_out_and_taken_back(changed: tuple[TestClient, Path]) -> None:
    """It alone leaves the file; a number that no claim has is refused; undo restores each byte."""
    client, root = changed
    before, claims = (root / "claims.toml").read_bytes(), _claims(root)
    version = version_of(root, "claims.toml")
    assert client.post(f"{PAGE}/away", data={"number": "99", "version": version}).status_code == 422
    assert client.post(f"{PAGE}/away", data={"number": "1", "version": version}).status_code == 204
    assert _claims(root) == [claims[0], *claims[2:]]
    assert f"Take back claim '{claims[1]['id']}' taken out" in _plain(client.get(PAGE).text)
    _undo(client, root)
    assert (root / "claims.toml").read_bytes() == before


def test_the_first_claim_makes_its_file(changed: tuple[TestClient, Path]) -> None:
    """Where no file of claims is there, the form makes it; taken back, it holds no claim."""
    client, root = changed
    (root / "claims.toml").unlink()
    assert _add(client, root, **{"conditions.mass": "heavy"}).status_code == 422
    assert not (root / "claims.toml").exists()
    assert _add(client, root).status_code == 204
    assert [claim["id"] for claim in _claims(root)] == [ROLL["id"]]
    _undo(client, root)
    assert _claims(root) == []
    assert check(root) == ()


def test_the_last_claim_can_be_taken_out(changed: tuple[TestClient, Path]) -> None:
    """A file that held nothing else stays one that reads, with no claim in it."""
    client, root = changed
    text = (root / "claims.toml").read_text(encoding="utf-8")
    only = text[text.index("[[claim]]") :]
    end = only.find("[[claim]]", 1)
    (root / "claims.toml").write_text(only[:end].rstrip() + "\n", encoding="utf-8")
    version = version_of(root, "claims.toml")
    assert client.post(f"{PAGE}/away", data={"number": "0", "version": version}).status_code == 204
    assert _claims(root) == []
    assert check(root) == ()


def test_a_dossier_without_claims_says_what_to_do(changed: tuple[TestClient, Path]) -> None:
    """The empty state is one sentence, with the form open beneath it."""
    from wringout.evaluation import evaluate

    client, root = changed
    (root / "claims.toml").unlink()
    evaluate(root)
    words = _plain(client.get(PAGE).text)
    assert "No claims were registered." in words
    assert "Write what the maker says" in words
    assert 'id="add-claim" open' in client.get(PAGE).text


@pytest.mark.skipif(CHROMIUM is None, reason="no chromium on this machine: apt install chromium")
@pytest.mark.parametrize(("size", "scheme"), [(LARGE, "dark"), (TABLET, "light")])
def test_evidence_opens_in_place(
    chromium: Browser, served_demo: str, size: tuple[int, int], scheme: str
) -> None:
    """By key the evidence opens under its claim and leads to the flight at its span, the manoeuvre chosen."""
    watched = Watched(chromium, size, scheme)
    page = watched.page
    page.set_default_timeout(SOON)
    page.goto(f"{served_demo}{PAGE}")
    page.locator("#claim-0 summary").first.focus()
    page.keyboard.press("Enter")
    page.wait_for_selector("#claim-0 .span svg")
    assert page.locator("#claim-0 .span svg").count() == 3
    assert watched.overflow() <= 0
    assert watched.faults() == []
    page.locator("#claim-0 .span a").first.click()
    page.wait_for_selector("#reading h2, #reading .moments, #reading input")
    assert "#span=" in page.url
    assert page.locator(".list tr.chosen").count() == 1
    assert watched.said == []
    watched.context.close()
