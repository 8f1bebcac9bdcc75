"""Assumptions tried without writing them."""

from pathlib import Path

import pytest

from wringout.dossier import create
from wringout.dossier.cost_trial import tried_costs
from wringout.problems import InputError


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A new dossier."""
    create(tmp_path)
    return tmp_path


def test_what_is_typed_is_tried_and_nothing_is_written(root: Path) -> None:
    """A bare number keeps the unit that stands, another unit holds as typed, comments stay."""
    before = (root / "costs.toml").read_bytes()
    trial = tried_costs(
        root, {"hours_per_year": "200", "fixed.1.amount": "300 EUR/month", "loan.rate": "4 % ± 1 %"}
    )
    assert trial.costs is not None
    assert trial.costs.hours_per_year.value == 200 * 3600.0
    assert trial.costs.fixed[1].amount.value == pytest.approx(3_600.0 / 31_557_600.0)
    assert trial.costs.loan is not None
    assert trial.costs.loan.rate.sd == 0.01
    assert trial.changed == ("hours_per_year", "fixed.1.amount", "loan.rate")
    assert b"# flown in a year" in trial.draft
    assert (root / "costs.toml").read_bytes() == before


def test_what_stands_there_already_or_is_empty_changes_nothing(root: Path) -> None:
    """The same text, and none."""
    trial = tried_costs(root, {"kept": "10 years", "price": "  "})
    assert (trial.changed, trial.faults) == ((), {})
    assert trial.draft == (root / "costs.toml").read_bytes()


@pytest.mark.parametrize(
    ("place", "text", "words"),
    [
        ("fixed.0.amount", "dear", "does not say for what unit"),
        ("fixed.0.amount", "3 000 USD/year", "is in USD, the price in EUR"),
        ("loan.rate", "500 %", "no such interest"),
        ("value_left", "much", "does not start with a number"),
    ],
)
def test_a_fault_stands_at_its_place(root: Path, place: str, text: str, words: str) -> None:
    """In the words of the dossier's own check, and the costs are none then."""
    trial = tried_costs(root, {"price": "185 000 EUR ± 4 000 EUR", place: text})
    assert trial.costs is None
    assert words in trial.faults[place].what


@pytest.mark.parametrize("place", ["hour", "fixed.0", "fixed.x.amount.y", "", "loan.rates", "..", "source"])
def test_a_place_that_is_none_is_refused(root: Path, place: str) -> None:
    """With what it might mean."""
    with pytest.raises(InputError, match="no assumption"):
        tried_costs(root, {place: "1"})


def test_a_row_that_is_not_there_is_refused(root: Path) -> None:
    """Nothing is added by trying."""
    with pytest.raises(InputError, match="fixed"):
        tried_costs(root, {"fixed.9.amount": "1 EUR/year"})
