"""Configurations and airplanes side by side, held against what the simulator truly does."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from wringout.demo import write_demo
from wringout.demo.nominal import true_answer
from wringout.demo.setup import setup
from wringout.dossier import load
from wringout.evaluation import Evaluation, fit_model
from wringout.evaluation.codec import decode, encode
from wringout.evaluation.compared import beside, compared, with_others
from wringout.evaluation.comparison import Comparison, candidates_of, compare
from wringout.evaluation.cost_figures import trades_of
from wringout.evaluation.gains import gains, interval_words, mission_sentence, probability_words, sentences
from wringout.evaluation.measures import Candidate, on_terms
from wringout.evaluation.usual import HOT, usual_heights
from wringout.model.question import Question
from wringout.problems import InputError

OTHER = "dunlin"


@pytest.fixture(scope="module")
def shelf(demo: Evaluation, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo and another airplane of it beside one another, both evaluated as far as the fit."""
    folder = tmp_path_factory.mktemp("shelf")
    shutil.copytree(demo.dossier.root, folder / "demo")
    write_demo(folder / OTHER, airplane=OTHER)
    fit_model(folder / OTHER)
    return folder


@pytest.fixture(scope="module")
def others(shelf: Path, demo: Evaluation) -> Comparison:
    """The demo against the other airplane, as results are kept."""
    home = load(shelf / "demo")
    found = with_others(home, demo.fit, beside(home, [OTHER]))
    assert found is not None
    return found


def asked(configuration: str, mass: float, altitude: float) -> dict[str, Question]:
    """What the rows of a comparison ask, by their keys."""
    take_off = Question("take-off distance", configuration, mass)
    landing = Question("landing distance", configuration, mass)
    return {
        "cruise": Question(
            "cruise speed", configuration, mass, pressure_altitude=altitude, power_fraction=0.75
        ),
        "climb": Question("rate of climb", configuration, mass),
        "take-off": take_off,
        "landing": landing,
        "hot take-off": replace(take_off, pressure_altitude=1524.0, temperature=HOT),
        "hot landing": replace(landing, pressure_altitude=1524.0, temperature=HOT),
    }


def truth(airplane: str, candidate: Candidate) -> dict[str, float]:
    """What the simulator does at the same."""
    dossier = candidate.dossier
    mass = dossier.airplane.envelopes[0].maximum_takeoff_mass
    height = usual_heights(dossier.units).cruise
    made = setup(airplane)
    return {
        key: true_answer(made, question)
        for key, question in asked(candidate.configuration, mass, height).items()
    }


def test_true_differences_of_configurations_lie_within_the_intervals(demo: Evaluation) -> None:
    """Five of the six at least within 90 %, and none is missed by more than its whole interval."""
    assert demo.comparison is not None
    first, second = candidates_of(demo.dossier, demo.fit)
    one, other = truth("shepherd", first), truth("shepherd", second)
    inside = []
    for key in one:
        row = demo.comparison.row(key)
        assert row is not None
        found = row.differences[1]
        assert found is not None
        true = other[key] - one[key]
        inside.append(found.low <= true <= found.high)
        assert abs(true - found.median) <= found.high - found.low, key
    assert np.sum(inside) >= 5


def test_true_differences_of_airplanes_lie_within_the_intervals(
    others: Comparison, shelf: Path, demo: Evaluation
) -> None:
    """The same for two dossiers, whose errors are independent."""
    home = load(shelf / "demo")
    there = beside(home, [OTHER])[0]
    assert there.dossier is not None
    assert there.fit is not None
    first, second = candidates_of(home, demo.fit)[0], candidates_of(there.dossier, there.fit)[0]
    one, other = truth("shepherd", first), truth(OTHER, second)
    inside = []
    for key in one:
        row = others.row(key)
        assert row is not None
        found = row.differences[1]
        assert found is not None
        true = other[key] - one[key]
        inside.append(found.low <= true <= found.high)
        assert abs(true - found.median) <= found.high - found.low, key
    assert np.sum(inside) >= 5


def test_the_figures_are_those_of_the_evaluation(demo: Evaluation) -> None:
    """Cruise and take-off of the first configuration are the headlines; the cost is that of the costs."""
    assert demo.comparison is not None
    assert demo.costing is not None
    for key, label in (("cruise", "cruise"), ("take-off", "take-off over 15 m")):
        row = demo.comparison.row(key)
        headline = next(item for item in demo.headlines if item.label == label)
        assert row is not None
        assert row.figures[0] is not None
        assert row.figures[0].median == pytest.approx(headline.value, rel=0.005)
        assert row.figures[0].low == pytest.approx(headline.low, rel=0.01)
    row = demo.comparison.row("cost an hour")
    assert row is not None
    assert row.figures[1] is not None
    assert row.figures[1].median == pytest.approx(
        demo.costing.configurations[1].reckoned.hour.median, rel=2e-3
    )


def test_what_configurations_share_cancels(demo: Evaluation) -> None:
    """Fuel at one power is one; the interval of a difference is far narrower than that of the figures."""
    assert demo.comparison is not None
    flow, cruise = demo.comparison.row("fuel flow"), demo.comparison.row("cruise")
    assert flow is not None
    assert cruise is not None
    assert flow.differences[1] is not None
    assert (flow.differences[1].low, flow.differences[1].high) == (0.0, 0.0)
    assert flow.beats[1][0] == 0.5
    figure, difference = cruise.figures[0], cruise.differences[1]
    assert figure is not None
    assert difference is not None
    assert difference.high - difference.low < 0.8 * (figure.high - figure.low)


def test_probabilities_are_of_one_another(others: Comparison) -> None:
    """That the one is better and that the other is add up to one; nobody is held against himself."""
    for row in (*others.rows, *(row for mission in others.missions for row in mission.rows)):
        there, back = row.beats[1][0], row.beats[0][1]
        if there is not None and back is not None:
            assert there + back == pytest.approx(1.0)
        assert row.beats[0][0] is None


def test_airplanes_are_drawn_apart_and_their_place_s_prices_together(shelf: Path, demo: Evaluation) -> None:
    """The other's draws are shuffled; hours, wages and fuel price are the first dossier's."""
    home = load(shelf / "demo")
    there = beside(home, [OTHER])[0].dossier
    assert there is not None
    order = Candidate(there, demo.fit, "tail wheel").order(home)
    assert order is not None
    assert sorted(order) == list(range(len(demo.fit.draws)))
    assert Candidate(home, demo.fit, "tail wheel").order(home) is None
    costs = on_terms(there.costs, home.costs, same_fuel=True)
    assert costs is not None
    assert home.costs is not None
    assert there.costs is not None
    assert costs.hours_per_year == home.costs.hours_per_year
    assert costs.fixed == there.costs.fixed
    dollars = replace(there.costs, price=replace(there.costs.price, currency="USD"))
    assert on_terms(dollars, home.costs, same_fuel=True) is None


def test_missions_are_asked_of_the_other_airplane(others: Comparison) -> None:
    """What cannot go is named, and the trip whose fuel the tanks do not hold is a no."""
    clinic = next(mission for mission in others.missions if mission.name.startswith("clinic day"))
    assert clinic.outings[1].outcome == "no"
    assert clinic.outings[1].left
    assert clinic.outings[1].carried < clinic.outings[1].asked
    pan = next(mission for mission in others.missions if mission.name.startswith("Salter"))
    assert "the tanks hold" in pan.outings[1].sentence


def test_the_sentences_say_what_is_gained_and_given_up(demo: Evaluation, others: Comparison) -> None:
    """In numbers with their units and how sure that is; what is not told apart is in neither list."""
    assert demo.comparison is not None
    said = sentences(demo.comparison)[0]
    assert said.startswith("Against the tail wheel the nose wheel gives up ")
    assert "kt of cruise" in said
    assert "EUR an hour" in said
    assert "P > 0.99" in said
    assert "Of 5 missions" in mission_sentence(others)
    for found in gains(others):
        for gain in found:
            sure = {"gains": gain.probability, "gives up": 1.0 - gain.probability}.get(gain.kind, 0.5)
            assert sure >= 0.9 or gain.kind == "not told apart"
    assert probability_words(0.934) == "P = 0.93"


def test_trades_are_the_missions_with_a_strip(demo: Evaluation) -> None:
    """Payload, strip and cost of each mission of each contender."""
    assert demo.comparison is not None
    trades = trades_of(demo.comparison)
    assert len(trades) == 2 * len(demo.comparison.missions)
    assert all(trade.strip[0] <= trade.strip[1] <= trade.strip[2] for trade in trades)
    assert all(trade.cost for trade in trades)


def test_a_comparison_is_kept_and_comes_back_the_same(shelf: Path, demo: Evaluation) -> None:
    """From the store of the first dossier; of other candidates it is another."""
    home = load(shelf / "demo")
    candidates = candidates_of(home, demo.fit)
    first = compared(candidates)
    assert decode(encode(first, Comparison), Comparison) == first
    assert compared(candidates) == first
    turned = compared(candidates[::-1])
    assert [item.name for item in turned.contenders] == ["nose wheel", "tail wheel"]


def test_who_is_not_there_or_not_evaluated_is_said(shelf: Path, tmp_path: Path) -> None:
    """By name, with the reason."""
    home = load(shelf / "demo")
    write_demo(tmp_path / OTHER, airplane=OTHER)
    alone = replace(home, root=tmp_path / "demo")
    reasons = {item.name: item.reason for item in beside(alone, ["nobody", OTHER, "../x", "demo"])}
    assert "No dossier 'nobody' stands beside this one" in reasons["nobody"]
    assert "not evaluated as it stands" in reasons[OTHER]
    assert "leads out of the folder" in reasons["../x"]
    assert "this dossier itself" in reasons["demo"]


def test_one_or_too_many_are_refused(demo: Evaluation) -> None:
    """In words."""
    candidates = candidates_of(demo.dossier, demo.fit)
    with pytest.raises(InputError, match="Name two to 4"):
        compare(candidates[:1])
    with pytest.raises(InputError, match="named twice"):
        compare((candidates[0], candidates[0]))
    with pytest.raises(InputError, match="no configuration 'floats'"):
        candidates_of(demo.dossier, demo.fit, ["floats"])


def test_intervals_have_the_digits_that_they_leave(demo: Evaluation) -> None:
    """One figure of half the interval, the unit once."""
    assert demo.comparison is not None
    row = demo.comparison.row("cruise")
    assert row is not None
    words = interval_words(row.measure, row.figures[0])
    assert words.endswith(" kt")
    assert words.count("kt") == 1
    assert interval_words(row.measure, None) == "–"
