"""Landings of the demo apart into airplane and pilot, and about the line at which they aimed."""

import json
from collections.abc import Callable

import pytest

from wringout.charts.touchdowns import touchdown_figure, touchdown_sentence
from wringout.evaluation import Evaluation
from wringout.evaluation.field_runs import field_runs
from wringout.model import predict
from wringout.model.touchdowns import touchdown_spreads
from wringout.report.performance import field_blocks
from wringout.report.runs import runs_table


def test_every_length_and_technique_has_its_three_hands(demo: Evaluation) -> None:
    """The best that was flown is no longer than the pilot's nine in ten, which is no longer than an average
    pilot's; the typical run is the model's own answer."""
    assert demo.runs
    flown = {(item.question.quantity, item.question.technique) for item in demo.runs}
    for kind in ("take-off", "landing"):
        for technique in demo.fit.techniques[kind]:
            assert {(f"{kind} ground roll", technique), (f"{kind} distance", technique)} <= flown
    for item in demo.runs:
        assert item.best is not None
        assert item.mine is not None
        assert item.best.length.value < item.mine.nine_in_ten.value < item.average.nine_in_ten.value
        asked = predict(demo.dossier.airplane, demo.fit, item.question)
        assert item.mine.typical.value == pytest.approx(asked.estimate.value)


def test_touchdowns_lie_about_the_boards_of_the_demo(demo: Evaluation) -> None:
    """The simulator's pilot aims his path at a point of the strip with 12 m of scatter and then floats: short
    landings, which float least, touch within two of their standard uncertainties of that scatter, and all are
    told about the line of the cards, in a sentence, a figure and the report."""
    spreads = touchdown_spreads(demo.points)
    short = next(item for item in spreads if item.technique == "short field")
    assert short.offset is not None
    assert len(short.beyond) == 4
    assert abs(short.spread.value - 12.0) < 2.0 * (short.spread.sd or 0.0)
    words = touchdown_sentence(short, demo.dossier.units)
    assert "the line on average" in words
    drawn = touchdown_figure(spreads, demo.dossier.units)
    assert words in drawn["description"]
    assert "touch within" in " ".join(drawn["title"]["text"])
    with pytest.raises(ValueError, match="three times alike"):
        touchdown_figure((), demo.dossier.units)


def test_the_report_has_them(demo: Evaluation) -> None:
    """The table of the three hands and the figure of touchdowns stand with take-off and landing."""
    figure = {"type": "figure", "name": "touchdowns", "title": "", "alt": "", "wide": False, "note": []}
    blocks = field_blocks(demo, {"touchdowns": figure})
    assert runs_table(demo.runs, demo.dossier.units) in blocks
    assert figure in blocks


def test_nothing_flown_has_no_runs(demo: Evaluation) -> None:
    """Without take-offs and landings there is nothing to tell apart."""
    none = type(demo.points)((), (), (), (), (), (), (), ())
    assert field_runs(demo.dossier, none, demo.fit) == ()


def test_the_command_tells_them(wringout: Callable[..., object], demo: Evaluation) -> None:
    """In words, and as JSON with the offset from the line."""
    assert "touch" in wringout("points", demo.dossier.root).out  # type: ignore[attr-defined]
    told = json.loads(wringout("points", demo.dossier.root, "--json").out)["touchdowns"]  # type: ignore[attr-defined]
    assert {item["technique"] for item in told} == {"normal", "short field"}
    assert all(item["offset"]["unit"] == "m" for item in told)
