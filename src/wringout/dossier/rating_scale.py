"""The published ten-point scale of handling and its tree, asked in order, one question at a time.

The tree is that of [NASA-TN-D-5153]; the words are ours and short. A rating is a name for one of ten
descriptions, no quantity: nothing may be added, averaged or divided.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

LOWEST, HIGHEST = 1, 10


@dataclass(frozen=True, slots=True)
class Question:
    """One fork of the tree: what is asked, and what 'no' says of the airplane."""

    key: str
    asks: str
    if_no: str


@dataclass(frozen=True, slots=True)
class Description:
    """One of the ten: what the airplane is like in the task, and what it asks of the pilot."""

    rating: int
    character: str
    demands: str


@dataclass(frozen=True, slots=True)
class Fork:
    """Where a walk stands: the next question, or the descriptions to choose from, one of the two."""

    question: Question | None
    choices: tuple[Description, ...]


QUESTIONS = (
    Question("controllable", "Is it controllable?", "Improvement is mandatory"),
    Question(
        "adequate",
        "Is adequate performance attainable with a tolerable pilot workload?",
        "Deficiencies require improvement",
    ),
    Question("satisfactory", "Is it satisfactory without improvement?", "Deficiencies warrant improvement"),
)

DESCRIPTIONS = (
    Description(1, "excellent, highly desirable", "compensation is no factor for desired performance"),
    Description(2, "good, negligible deficiencies", "compensation is no factor for desired performance"),
    Description(
        3, "fair, some mildly unpleasant deficiencies", "minimal compensation for desired performance"
    ),
    Description(4, "minor but annoying deficiencies", "moderate compensation for desired performance"),
    Description(
        5, "moderately objectionable deficiencies", "considerable compensation for adequate performance"
    ),
    Description(
        6, "very objectionable but tolerable deficiencies", "extensive compensation for adequate performance"
    ),
    Description(
        7,
        "major deficiencies",
        "adequate performance is out of reach with the most compensation that is tolerable; "
        "control is not in question",
    ),
    Description(8, "major deficiencies", "considerable compensation to keep control"),
    Description(9, "major deficiencies", "intense compensation to keep control"),
    Description(10, "major deficiencies", "control will be lost during some part of the task"),
)

# By the number of questions answered yes before the first no: which ratings remain.
_REMAIN = ((10, 10), (7, 9), (4, 6), (1, 3))


def described(rating: int) -> Description:
    """The description of a rating. ValueError where it is not one of the ten.

    Examples
    --------
    >>> described(4).character
    'minor but annoying deficiencies'
    """
    if not LOWEST <= rating <= HIGHEST:
        raise ValueError(f"a rating lies between {LOWEST} and {HIGHEST}, found {rating}")
    return DESCRIPTIONS[rating - LOWEST]


def walk(answers: Sequence[bool]) -> Fork:
    """Where the tree stands after some answers.

    Parameters
    ----------
    answers : sequence of bool
        To the questions in order; the first 'no', or the third 'yes', ends it.

    Returns
    -------
    Fork

    Raises
    ------
    ValueError
        There are answers beyond the end of the tree.

    Examples
    --------
    >>> walk([True]).question.asks
    'Is adequate performance attainable with a tolerable pilot workload?'
    >>> [choice.rating for choice in walk([True, True, False]).choices]
    [4, 5, 6]
    """
    given = tuple(answers)
    yes = next((place for place, answer in enumerate(given) if not answer), len(given))
    if len(given) > min(yes + 1, len(QUESTIONS)):
        raise ValueError(f"the tree ends before the answer {len(given)}")
    if yes == len(given) < len(QUESTIONS):
        return Fork(QUESTIONS[yes], ())
    low, high = _REMAIN[yes]
    return Fork(None, DESCRIPTIONS[low - LOWEST : high])


def path_to(rating: int) -> tuple[bool, ...]:
    """The answers that lead to a rating; ValueError as `described`.

    Examples
    --------
    >>> path_to(8), path_to(10)
    ((True, False), (False,))
    """
    described(rating)
    yes = next(count for count, (low, high) in enumerate(_REMAIN) if low <= rating <= high)
    return (True,) * yes + ((False,) if yes < len(QUESTIONS) else ())


def contradicted(rating: int, answers: Sequence[bool | None]) -> Question | None:
    """The first question whose answer leads elsewhere than to the rating; None where none does.

    `answers` are those given, None where one was not; a question that the tree does not reach has none.
    """
    path = path_to(rating)
    for place, (question, answer) in enumerate(zip(QUESTIONS, answers, strict=True)):
        if answer is not None and (place >= len(path) or path[place] != answer):
            return question
    return None
