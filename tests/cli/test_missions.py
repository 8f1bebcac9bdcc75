"""The command of missions, for people and for programs."""

from __future__ import annotations

import json
import re
from collections.abc import Callable

from tests.conftest import Ran
from wringout.evaluation import Evaluation

Command = Callable[..., Ran]
PAN = "Salter's Pan and back"


def _joined(text: str) -> str:
    return re.sub(r"[\s\u00a0\u202f]+", " ", text)


def test_missions_in_words(wringout: Command, demo: Evaluation) -> None:
    """Each mission's outcome and sentence, what would help, its tables, and the caution once."""
    ran = wringout("missions", demo.dossier.root)
    assert (ran.code, ran.err) == (0, "")
    said = _joined(ran.out)
    for found, helps in zip(demo.missions, demo.mission_changes, strict=True):
        assert f"{found.mission.name}: {found.outcome}." in said
        assert _joined(found.sentence) in said
        assert all(_joined(words) in said for words in helps)
    assert ran.out.count("Caution:") == 1
    assert "nan" not in ran.out.lower()


def test_a_mission_with_something_else_in_it(wringout: Command, demo: Evaluation) -> None:
    """With fuel at the far strip, or without the crates, the feed goes."""
    for option in (("--fuel-at", "Salter's Pan"), ("--leave", "crates"), ("--power", "60 %")):
        ran = wringout("missions", demo.dossier.root, PAN, *option)
        assert ran.code == 0
        assert "feed for the station at the pan go" in _joined(ran.out).split("It takes")[0]


def test_missions_for_programs(wringout: Command, demo: Evaluation) -> None:
    """SI: fuel that adds up from its legs, what stays with its limit and kilograms, the changes in words."""
    (found,) = json.loads(wringout("missions", demo.dossier.root, PAN, "--json").out)["missions"]
    burnt = sum(leg["burnt"]["value"] for leg in found["legs"])
    reserve = next(row["volume"] for row in found["fuel_rows"] if row["name"] == "reserve")
    assert abs(found["fuel"]["value"] - burnt - reserve) < 1e-3
    (left,) = found["placement"]["left"]
    assert left["stop"]["limit"] == "the take-off mass"
    assert 0.0 < left["stop"]["short"] < left["load"]["mass"]
    assert found["changes"]


def test_what_is_not_there_is_refused(wringout: Command, demo: Evaluation) -> None:
    """A mission, a strip or a load of no name is refused in words."""
    for option, words in (
        (("the moon",), "there is no mission 'the moon'"),
        (("--fuel-at", "Mars"), "no mission's route has the strip 'Mars'"),
        (("--leave", "whale"), "no mission has the load 'whale'"),
    ):
        ran = wringout("missions", demo.dossier.root, *option)
        assert ran.code == 1
        assert words in ran.err
