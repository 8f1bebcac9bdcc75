"""`card` through the command line."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.conftest import Ran
from wringout.evaluation import Evaluation

Command = Callable[..., Ran]


def test_a_card_before_anything_is_flown(wringout: Command, tmp_path: Path) -> None:
    """From `new` to a card on paper; the answer says how much ballast and where the card is."""
    root = tmp_path / "mine"
    assert wringout("new", root).code == 0
    ran = wringout("card", root)
    assert (ran.code, ran.err) == (0, "")
    assert "49.7 kg of ballast at cargo bay" in ran.out
    assert "5 points in build-up order" in ran.out
    assert "flight manual" in ran.out
    place = root / "report" / "cards" / "flight-1.pdf"
    first = place.read_bytes()
    assert first.startswith(b"%PDF")
    assert wringout("card", root, "--card", "flight-1").code == 0
    assert place.read_bytes() == first


def test_every_card_of_the_demo(wringout: Command, demo: Evaluation) -> None:
    """Without a name each card is printed; as JSON each has its loading and its points in SI."""
    ran = wringout("card", demo.dossier.root, "--json")
    assert (ran.code, ran.err) == (0, "")
    answer = json.loads(ran.out)["cards"]
    assert list(answer) == [card.name for card in demo.dossier.cards]
    for card in demo.dossier.cards:
        said = answer[card.name]
        assert (demo.dossier.root / said["file"]).read_bytes().startswith(b"%PDF")
        assert sorted(item["point"]["id"] for item in said["points"]) == sorted(p.id for p in card.points)
        assert said["loading"]["within"] is True
        assert said["expected_from"] == "the points flown so far"
    stalls = [item for item in answer["flight-2a"]["points"] if item["point"]["kind"] == "stall"]
    assert all(item["expected"][0]["estimate"]["unit"] == "m/s" for item in stalls)


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--card", "flight-9"), "Write 'flight-1' if that is meant"),
        (("--paper", "a6"), "Use a5 or us-statement"),
    ],
)
def test_what_cannot_be_printed_is_told(
    wringout: Command, tmp_path: Path, options: tuple[str, ...], said: str
) -> None:
    """An unknown card or paper is refused with what would do."""
    wringout("new", tmp_path / "d")
    ran = wringout("card", tmp_path / "d", *options)
    assert ran.code == 1
    assert said in ran.err


def test_a_dossier_without_cards_and_one_whose_log_is_spoilt(wringout: Command, tmp_path: Path) -> None:
    """No card: the way to one. A log that cannot be read keeps no card from being printed."""
    root = tmp_path / "d"
    wringout("new", root)
    card = root / "cards" / "flight-1.toml"
    text = card.read_text(encoding="utf-8")
    (root / "recordings" / "log.gpx").write_text("not a log", encoding="utf-8")
    card.write_text(
        text.replace("[loading]\n", '[[recording]]\npath = "recordings/log.gpx"\n\n[loading]\n', 1),
        encoding="utf-8",
    )
    ran = wringout("card", root)
    assert ran.code == 0
    assert "No figure is expected on the cards" in ran.out
    card.unlink()
    ran = wringout("card", root)
    assert ran.code == 1
    assert "there is no card" in ran.err.lower()
