"""Answers: what they depend on, what they assume, what they refuse."""

from dataclasses import replace

import numpy as np
import pytest

from tests.model.invented import airplane, flown_by, planned, true_vector
from wringout.model import fit, predict, predict_each
from wringout.model.fit import Fit
from wringout.model.prediction import DIMENSIONS, run_to_run
from wringout.model.question import PredictedQuantity, Question
from wringout.problems import InputError

BASE = Question("take-off ground roll", "tail wheel", 1050.0)


@pytest.fixture(scope="module")
def fitted() -> Fit:
    """The priors' own airplane, flown and fitted."""
    rng = np.random.default_rng(11)
    vector = true_vector(airplane(), planned(), rng, spread=0.0)
    return fit(airplane(), flown_by(airplane(), planned(), vector, rng), seed=1, draws=400)


def test_every_quantity_has_an_answer(fitted: Fit) -> None:
    """Median inside its interval, a spread, a sample a draw, and the quantity's dimension."""
    questions = [Question(quantity, "tail wheel", 1050.0) for quantity in DIMENSIONS]
    for answer in predict_each(airplane(), fitted, questions):
        assert answer.samples.shape == (400,)
        assert answer.low < answer.estimate.value < answer.high
        assert answer.estimate.sd is not None
        assert answer.estimate.dimension is DIMENSIONS[answer.question.quantity]


def test_one_question_or_many_give_the_same_answers(fitted: Fit) -> None:
    """Asking together is only faster."""
    questions = [replace(BASE, mass=mass, head_wind=wind) for mass in (950.0, 1050.0) for wind in (0.0, 4.0)]
    together = predict_each(airplane(), fitted, questions)
    for question, answer in zip(questions, together, strict=True):
        alone = predict(airplane(), fitted, question)
        np.testing.assert_allclose(alone.samples, answer.samples, rtol=1e-9)
        assert alone.notes == answer.notes


@pytest.mark.parametrize(
    ("longer", "shorter"),
    [
        (replace(BASE, mass=1090.0), replace(BASE, mass=950.0)),
        (replace(BASE, pressure_altitude=2000.0), BASE),
        (replace(BASE, temperature=308.15), BASE),
        (BASE, replace(BASE, head_wind=5.0)),
        (replace(BASE, slope=0.03), BASE),
        (replace(BASE, surface="long grass"), BASE),
        (
            replace(BASE, quantity="landing ground roll", slope=-0.03),
            replace(BASE, quantity="landing ground roll"),
        ),
    ],
)
def test_what_lengthens_a_roll(fitted: Fit, longer: Question, shorter: Question) -> None:
    """Mass, height, heat, still air, uphill, long grass for the take-off; downhill for the landing."""
    one, other = predict_each(airplane(), fitted, [longer, shorter])
    assert one.estimate.value > other.estimate.value


def test_speeds_stand_as_they_must(fitted: Fit) -> None:
    """Approach at 1.3 times the stall; least sink below best glide, steepest climb below fastest.

    Carson's speed lies a fourth to two fifths above that of best range, as 3^¼ and a propeller that likes
    speed have it.
    """

    def asked(quantity: PredictedQuantity) -> float:
        return predict(airplane(), fitted, Question(quantity, "tail wheel", 1050.0, flap="0")).estimate.value

    assert asked("approach speed") == pytest.approx(1.3 * asked("stall speed"), rel=0.01)
    assert asked("stall speed") < asked("least sink speed") < asked("best glide speed")
    assert asked("best angle speed") < asked("best climb speed")
    assert 1.25 < asked("Carson speed") / asked("best range speed") < 1.4
    assert asked("least sink") < asked("best glide speed") / asked("glide ratio")


def test_a_turn_at_a_speed_is_no_tighter_than_the_best(fitted: Fit) -> None:
    """Radius and bank at 45 m/s against the least and the steepest; half the mass banks steeper."""
    base = Question("turn radius", "tail wheel", 1050.0)
    best, held = predict_each(airplane(), fitted, [base, replace(base, speed=45.0)])
    assert best.estimate.value < held.estimate.value
    bank = replace(base, quantity="turn bank")
    steepest, at_speed, light = predict_each(
        airplane(), fitted, [bank, replace(bank, speed=45.0), replace(bank, mass=900.0)]
    )
    assert at_speed.estimate.value <= steepest.estimate.value < light.estimate.value


def test_notes_tell_heights_in_the_dossiers_unit(fitted: Fit) -> None:
    """Feet to the hundred, metres to ten."""
    high = Question("full-throttle speed", "tail wheel", 1050.0, pressure_altitude=3000.0)
    assert any("1\u202f800 m outside" in note for note in predict(airplane(), fitted, high).notes)
    feet = replace(fitted, height_unit="ft")
    assert any("5\u202f900 ft outside" in note for note in predict(airplane(), feet, high).notes)


def test_braking_goes_with_the_cg(fitted: Fit) -> None:
    """With a tail wheel the tail lifts at x/h: 0.15 m farther aft allows three quarters more braking.

    With a nose wheel the braked wheels carry a little more.
    """
    asked = Question("landing ground roll", "tail wheel", 1050.0)
    forward, aft = predict_each(airplane(), fitted, [replace(asked, cg=0.55), replace(asked, cg=0.70)])
    assert 0.5 < aft.estimate.value / forward.estimate.value < 0.8
    nose = replace(asked, configuration="nose wheel")
    forward, aft = predict_each(airplane(), fitted, [replace(nose, cg=0.55), replace(nose, cg=0.70)])
    assert 0.85 < aft.estimate.value / forward.estimate.value < 1.0


def test_a_stall_goes_with_the_root_of_mass(fitted: Fit) -> None:
    """Twice 5 % more mass: 2.47 % and 4.88 % more speed."""
    heavy, light = predict_each(
        airplane(), fitted, [Question("stall speed", "tail wheel", mass) for mass in (1045.0, 950.0)]
    )
    assert heavy.estimate.value / light.estimate.value == pytest.approx(1.1**0.5, rel=1e-3)


def test_notes_say_what_was_assumed_and_how_far_it_reaches(fitted: Fit) -> None:
    """An unflown surface, a mass and a height beyond, the technique and the scatter of single runs."""
    far = replace(BASE, surface="snow", mass=1200.0, pressure_altitude=2500.0)
    notes = "; ".join(predict(airplane(), fitted, far).notes)
    said = (
        "nobody rolled on snow",
        "mass is 11 % outside",
        "m outside those flown",
        "typical take-off",
        "single",
    )
    for words in said:
        assert words in notes


def test_a_surface_has_one_friction_by_whatever_name(fitted: Fit) -> None:
    """'grass' is the 'dry grass' that was rolled on, and no note calls it unflown."""
    grass, dry = predict_each(
        airplane(), fitted, [replace(BASE, surface=name) for name in ("Grass", "dry grass")]
    )
    np.testing.assert_array_equal(grass.samples, dry.samples)
    assert not any("nobody rolled" in note for note in grass.notes)


def test_reaching_beyond_the_flying_widens_the_answer(fitted: Fit) -> None:
    """The spread grows with the height above the climbs flown."""
    near, far = predict_each(
        airplane(),
        fitted,
        [
            Question("rate of climb", "tail wheel", 1040.0, pressure_altitude=height)
            for height in (1000.0, 4000.0)
        ],
    )
    assert near.estimate.sd is not None
    assert far.estimate.sd is not None
    assert far.estimate.sd > 1.3 * near.estimate.sd
    assert not any("outside" in note for note in near.notes)


def test_a_configuration_not_flown_is_said(fitted: Fit) -> None:
    """Level legs were flown with the tail wheel only."""
    notes = "; ".join(
        predict(airplane(), fitted, Question("full-throttle speed", "nose wheel", 1050.0)).notes
    )
    assert "no level leg was flown as nose wheel, only as tail wheel" in notes


def test_what_cannot_be_done_is_infinite_and_said(fitted: Fit) -> None:
    """Up a slope steeper than the thrust: no take-off, no spread, and a note."""
    answer = predict(airplane(), fitted, replace(BASE, slope=0.5))
    assert answer.estimate.value == np.inf
    assert answer.estimate.sd is None
    assert any("cannot be done" in note for note in answer.notes)


def test_a_power_beyond_what_the_height_gives_is_full_throttle(fitted: Fit) -> None:
    """75 % of rated at 5 000 m is not there: cruise equals full throttle."""
    cruise, full = predict_each(
        airplane(),
        fitted,
        [
            Question("cruise speed", "tail wheel", 1000.0, pressure_altitude=5000.0, power_fraction=0.75),
            Question("full-throttle speed", "tail wheel", 1000.0, pressure_altitude=5000.0),
        ],
    )
    assert cruise.estimate.value == pytest.approx(full.estimate.value, rel=0.01)


def test_a_glide_at_a_speed_is_no_better_than_the_best(fitted: Fit) -> None:
    """The glide ratio at 25 and at 45 m/s lies below the best."""
    best, slow, fast = predict_each(
        airplane(),
        fitted,
        [replace(Question("glide ratio", "tail wheel", 1000.0), speed=speed) for speed in (None, 25.0, 45.0)],
    )
    assert max(slow.estimate.value, fast.estimate.value) < best.estimate.value


def test_single_runs_scatter_by_some_per_cent(fitted: Fit) -> None:
    """A stated scatter for field lengths, none for the rest."""
    spread = run_to_run(airplane(), fitted, BASE)
    assert spread is not None
    assert 0.03 < spread < 0.2
    assert run_to_run(airplane(), fitted, Question("stall speed", "tail wheel", 1000.0)) is None


@pytest.mark.parametrize(
    ("question", "words"),
    [
        (replace(BASE, configuration="floats"), "floats"),
        (replace(BASE, flap="90"), "90"),
        (replace(BASE, technique="aerobatic"), "aerobatic"),
        (replace(BASE, mass=0.0), "cannot fly"),
        (replace(BASE, mass=float("nan")), "cannot fly"),
        (replace(BASE, pressure_altitude=30000.0), "outside the model"),
        (replace(BASE, temperature=400.0), "outside the model"),
        (replace(BASE, power_fraction=1.5), "not possible"),
        (replace(BASE, quantity="rate of climb", speed=-1.0), "above zero"),
    ],
)
def test_what_cannot_be_asked_is_refused(fitted: Fit, question: Question, words: str) -> None:
    """One clear sentence each, never a silent number."""
    with pytest.raises(InputError, match=words):
        predict(airplane(), fitted, question)
