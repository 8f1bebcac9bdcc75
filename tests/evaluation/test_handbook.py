"""The tables of a flight manual: what they hold, and how they go."""

import numpy as np
import pytest

from tests.model.invented import airplane, flown_by, planned, true_vector
from wringout.dossier.dossier import Units
from wringout.evaluation.handbook import HandbookTable, handbook
from wringout.model import fit, predict
from wringout.model.fit import Fit
from wringout.model.question import Question


@pytest.fixture(scope="module")
def fitted() -> Fit:
    """The invented airplane, flown and fitted."""
    rng = np.random.default_rng(11)
    vector = true_vector(airplane(), planned(), rng, spread=0.0)
    return fit(airplane(), flown_by(airplane(), planned(), vector, rng), seed=1, draws=400)


@pytest.fixture(scope="module")
def tables(fitted: Fit) -> tuple[HandbookTable, ...]:
    """Its tables in feet and kilograms."""
    return handbook(airplane(), Units(), fitted, ("tail wheel", "nose wheel"))


def test_a_table_for_each_run_and_configuration(tables: tuple[HandbookTable, ...]) -> None:
    """Take-offs and landings, three round masses, each 2 000 ft, 0 to 40 °C."""
    assert [(item.configuration, item.run) for item in tables] == [
        ("tail wheel", "take-off"),
        ("tail wheel", "landing"),
        ("nose wheel", "take-off"),
        ("nose wheel", "landing"),
    ]
    assert tables[0].masses == (1090.0, 980.0, 870.0)
    assert np.diff(tables[0].altitudes) / 0.3048 == pytest.approx(2000.0)
    assert tables[0].distance.shape == (3, 5, 5)


def test_a_cell_is_what_the_question_answers(tables: tuple[HandbookTable, ...], fitted: Fit) -> None:
    """980 kg, 4 000 ft, 30 °C: roll and distance as asked singly, to what fewer draws cost."""
    place = (1, 2, 3)
    for item in tables[:2]:
        for quantity, cells in (("ground roll", item.ground_roll), ("distance", item.distance)):
            asked = Question(
                f"{item.run} {quantity}",  # type: ignore[arg-type]  # one of the four
                "tail wheel",
                980.0,
                pressure_altitude=4000 * 0.3048,
                temperature=303.15,
                technique=item.technique,
            )
            assert cells[place] == pytest.approx(predict(airplane(), fitted, asked).estimate.value, rel=0.02)


def test_mass_height_and_heat_lengthen(tables: tuple[HandbookTable, ...]) -> None:
    """Every neighbour that is heavier, higher or hotter is longer; a distance is longer than its roll."""
    for item in tables:
        for cells in (item.ground_roll, item.distance):
            assert (np.diff(cells, axis=0) < 0.0).all()
            assert (np.diff(cells, axis=1) > 0.0).all()
            assert (np.diff(cells, axis=2) > 0.0).all()
        assert (item.distance > item.ground_roll).all()
        assert (item.distance_nine_in_ten > item.distance).all()


def test_metres_give_round_metres(fitted: Fit) -> None:
    """Each 500 m to 2 500 m where heights are in metres."""
    (first, *_) = handbook(airplane(), Units(height="m"), fitted, ("tail wheel",))
    assert first.altitudes == (0.0, 500.0, 1000.0, 1500.0, 2000.0, 2500.0)
