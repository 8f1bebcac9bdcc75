"""What an exchange changes: missions and claims asked of the airplane before and after."""

import shutil
from dataclasses import replace

import numpy as np
import pytest

from wringout.dossier import load
from wringout.dossier.dossier import Dossier
from wringout.evaluation import Evaluation
from wringout.evaluation.codec import encode
from wringout.evaluation.consequences import STAGE, Consequences, consequences
from wringout.evaluation.keys import stage_keys
from wringout.evaluation.pipeline import find_flights
from wringout.model import predict
from wringout.model.changed_drag import with_drag_change
from wringout.model.question import Question
from wringout.outfitting import build, change, fitted_options
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate


@pytest.fixture(scope="module")
def copied(demo: Evaluation, tmp_path_factory: pytest.TempPathFactory) -> Dossier:
    """The demo's dossier in a folder of its own."""
    root = tmp_path_factory.mktemp("options") / "demo"
    shutil.copytree(demo.dossier.root, root)
    return load(root)


def _asked(demo: Evaluation, dossier: Dossier, configuration: str, *options: str) -> Consequences:
    airplane = dossier.airplane
    fitted = fitted_options(airplane)
    before = build(airplane, "tail wheel", fitted)
    after = build(airplane, configuration, (*fitted, *options))
    return consequences(dossier, demo.points, demo.fit, change(airplane, before, after))


def test_an_exchange_for_itself_changes_nothing(demo: Evaluation, copied: Dossier) -> None:
    """The same airplane twice."""
    found = _asked(demo, copied, "tail wheel")
    assert not any(item.changed for item in found.missions)
    assert not any(item.changed for item in found.claims)
    assert found.sentence() == "It changes no mission's answer and no claim's verdict."


def test_each_build_answers_as_the_evaluation_answers_for_its_configuration(
    demo: Evaluation, copied: Dossier
) -> None:
    """A mission of the tail wheel is answered before, one of the nose wheel after, by another road alike."""
    found = _asked(demo, copied, "nose wheel")
    straight = {answer.mission.name: answer for answer in demo.missions}
    sides = 0
    for item in found.missions:
        own = {"tail wheel": item.before, "nose wheel": item.after}.get(item.configuration)
        if own is not None:
            assert own.outcome == straight[item.name].outcome
            assert own.fuel.value == pytest.approx(straight[item.name].fuel.value, rel=1e-12)
            sides += 1
    assert sides >= 2
    verdicts = {verdict.claim.id: verdict for verdict in demo.verdicts}
    for claim in found.claims:
        stated = verdicts[claim.before.claim.id].claim.conditions.configuration
        own_verdict = claim.after if stated == "nose wheel" else claim.before
        assert own_verdict.finding == verdicts[claim.before.claim.id].finding


def test_a_heavier_build_s_useful_load_is_judged_as_it_is(demo: Evaluation, copied: Dossier) -> None:
    """The kit's 6.9 kg more leave 6.9 kg less, which a claim just borne out does not survive."""
    found = _asked(demo, copied, "nose wheel")
    claim = next(item for item in found.claims if item.before.claim.quantity == "useful load")
    (before,), (after,) = (
        [row.figure for row in verdict.evidence if row.kind == "measured" and row.figure is not None]
        or [row.figure for row in verdict.evidence if row.figure is not None][:1]
        for verdict in (claim.before, claim.after)
    )
    assert after.value - before.value == pytest.approx(-(51.6 + 19.5 - 58.0 - 6.2), abs=1e-9)
    assert claim.changed


def test_more_drag_slows_and_its_belief_widens(demo: Evaluation) -> None:
    """Drag area that is believed adds to the draws; the speed falls by what the drag's share says."""
    fit, airplane = demo.fit, demo.dossier.airplane
    belief = Estimate(0.06, 0.03, Dimension.AREA, "belief")
    more = with_drag_change(fit, "tail wheel", belief, 1)
    names = [item.parameter.name for item in fit.parameters]
    column = names.index("zero-lift drag area")
    added = more.draws[:, column] - fit.draws[:, column]
    assert float(np.mean(added)) == pytest.approx(0.06, abs=4 * 0.03 / np.sqrt(len(added)))
    assert float(np.std(added)) == pytest.approx(0.03, rel=0.1)
    assert np.array_equal(np.delete(more.draws, column, axis=1), np.delete(fit.draws, column, axis=1))
    question = Question("full-throttle speed", "tail wheel", 1000.0)
    slow, fast = (predict(airplane, item, question).estimate for item in (more, fit))
    # Power goes with the cube of speed: (A + ΔA) of drag at speeds where drag of lift is a fifth or so.
    share = 0.06 / float(np.mean(fit.draws[:, column]))
    assert -share / 3.0 * 1.1 < slow.value / fast.value - 1.0 < -share / 3.0 * 0.5
    nose = with_drag_change(fit, "nose wheel", belief, 1)
    own = names.index("drag-area change: nose wheel")
    assert not np.array_equal(nose.draws[:, own], fit.draws[:, own])
    assert np.array_equal(nose.draws[:, column], fit.draws[:, column])


def test_what_was_computed_is_kept(demo: Evaluation, copied: Dossier) -> None:
    """A second call reads the store; another build does not."""
    first = _asked(demo, copied, "tail wheel", "belly pod")
    kept = list((copied.root / "results" / STAGE).glob("*.npz"))
    assert len(kept) == 1
    again = _asked(demo, copied, "tail wheel", "belly pod")
    assert encode(again, Consequences) == encode(first, Consequences)
    _asked(demo, copied, "tail wheel")
    assert list((copied.root / "results" / STAGE).glob("*.npz")) != kept
    assert any("nobody flew them" in note for note in first.notes)


def test_notes_and_options_cost_no_flight(copied: Dossier) -> None:
    """A rating, a note or an option more leaves every flight, point and fit as it was found."""
    card = copied.cards[0]
    noted = replace(card, ratings=(), notes="other words", handling=type(card.handling)())
    other = replace(copied, cards=(noted, *copied.cards[1:]), airplane=replace(copied.airplane, options=()))
    told = {"answers", "exchanges"}  # an option may be what lets a mission's load go
    before, after = (
        {key: value for key, value in stage_keys(item).items() if key not in told} for item in (copied, other)
    )
    assert after == before
    moved = replace(copied, cards=(replace(card, pilot="somebody else"), *copied.cards[1:]))
    assert stage_keys(moved) != stage_keys(copied)


def test_a_kept_flight_carries_its_card_s_newest_notes(copied: Dossier) -> None:
    """The report prints the notes of the card as it is, though its flight was found before."""
    path = copied.root / "cards" / "flight-1.toml"
    text = path.read_text(encoding="utf-8")
    try:
        path.write_text(text.replace("Smooth above 4000 ft.", "Rough below 4000 ft."), encoding="utf-8")
        _, flights = find_flights(copied.root)
        assert flights[0].card.notes.startswith("Rough below")
    finally:
        path.write_text(text, encoding="utf-8")
