"""The other invented airplanes are whole evaluations too: clean, invented, flown, and with their truth."""

from pathlib import Path

import pytest

from wringout.demo import write_demo
from wringout.demo.setup import AIRPLANES, setup
from wringout.demo.truth import questions, stored, stored_answers
from wringout.dossier import check, load
from wringout.loading import loading_report
from wringout.problems import InputError


@pytest.mark.parametrize("airplane", AIRPLANES[1:])
def test_another_demo_is_a_clean_invented_evaluation(airplane: str, tmp_path: Path) -> None:
    """No problem in any file, a dozen claims, four trips, cards with logs inside the airplane's limits."""
    write_demo(tmp_path / airplane, airplane=airplane)
    assert check(tmp_path / airplane) == ()
    dossier = load(tmp_path / airplane)
    assert dossier.invented
    assert dossier.airplane.invented
    assert len(dossier.claims) >= 12
    assert len(dossier.missions) == 4
    for card in dossier.cards:
        assert len(card.recordings) == 2
        assert loading_report(dossier.airplane, card.configuration, card.loading, 0.001).within, card.name
    truth = stored(airplane)
    assert [row["id"] for row in truth["claim"]] == [claim.id for claim in dossier.claims]
    assert {"meets", "misses"} <= {row["truth"] for row in truth["claim"]}
    assert tuple(answer.question for answer in stored_answers(airplane)) == questions(airplane)


def test_a_demo_airplane_of_no_such_name_is_refused_in_words(tmp_path: Path) -> None:
    """The names that there are stand in the refusal, and no folder is begun."""
    with pytest.raises(InputError, match="shepherd, dunlin, fieldfare"):
        write_demo(tmp_path / "none", airplane="heron")
    assert not (tmp_path / "none").exists()
    assert setup().name == "shepherd"
