"""The ten-point scale's tree walked in full: every path, every rating, in the order that is published."""

import csv
from itertools import product
from pathlib import Path

import pytest

from wringout.dossier.rating_scale import DESCRIPTIONS, QUESTIONS, contradicted, described, path_to, walk

TABLE = Path(__file__).parents[1] / "published" / "ten_point_scale.csv"
PUBLISHED = list(csv.DictReader(TABLE.read_text(encoding="utf-8").splitlines()))


def _answers(row: dict[str, str]) -> tuple[bool, ...]:
    return tuple(word == "yes" for word in row["answers"].split())


def test_the_questions_stand_in_the_published_order() -> None:
    """Controllable, then adequate, then satisfactory [NASA-TN-D-5153]."""
    asked = []
    answers: list[bool] = []
    while (question := walk(answers).question) is not None:
        asked.append(question.key)
        answers.append(True)
    assert asked == ["controllable", "adequate", "satisfactory"]


@pytest.mark.parametrize("row", PUBLISHED, ids=[row["rating"] for row in PUBLISHED])
def test_every_path_leads_to_its_published_rating(row: dict[str, str]) -> None:
    """Question by question: no fork offers a rating before its last answer, and the last one offers it."""
    rating, answers = int(row["rating"]), _answers(row)
    for count in range(len(answers)):
        fork = walk(answers[:count])
        assert fork.question is QUESTIONS[count]
        assert fork.choices == ()
    fork = walk(answers)
    assert fork.question is None
    same = [int(other["rating"]) for other in PUBLISHED if _answers(other) == answers]
    assert [choice.rating for choice in fork.choices] == same
    assert path_to(rating) == answers


@pytest.mark.parametrize("row", PUBLISHED, ids=[row["rating"] for row in PUBLISHED])
def test_each_description_says_what_the_published_one_says(row: dict[str, str]) -> None:
    """The words that tell one rating from its neighbours."""
    said = described(int(row["rating"]))
    assert row["character"] in said.character
    wanted = "no factor" if row["demands"] == "not a factor" else row["demands"]
    assert wanted in said.demands


def test_the_tree_has_four_ends_that_share_the_ten_ratings() -> None:
    """Every complete set of answers ends somewhere, and every rating is at one end only."""
    ends = [(False,), (True, False), (True, True, False), (True, True, True)]
    reached = [choice.rating for end in ends for choice in walk(end).choices]
    assert sorted(reached) == list(range(1, 11))
    assert [item.rating for item in DESCRIPTIONS] == list(range(1, 11))


@pytest.mark.parametrize("answers", [(False, True), (True, False, True), (True, True, True, True)])
def test_answers_beyond_an_end_are_refused(answers: tuple[bool, ...]) -> None:
    """The tree does not go on after a no."""
    with pytest.raises(ValueError, match="tree ends"):
        walk(answers)


@pytest.mark.parametrize("rating", [0, 11, -1])
def test_there_are_ten(rating: int) -> None:
    """Nothing below 1, nothing above 10."""
    with pytest.raises(ValueError, match="between 1 and 10"):
        described(rating)


def test_answers_that_lead_elsewhere_are_found_out() -> None:
    """Against every rating, every set of answers, given in full or in part."""
    for rating in range(1, 11):
        path = path_to(rating)
        for answers in product((True, False, None), repeat=3):
            fits = all(
                answer is None or (place < len(path) and path[place] == answer)
                for place, answer in enumerate(answers)
            )
            assert (contradicted(rating, answers) is None) is fits
