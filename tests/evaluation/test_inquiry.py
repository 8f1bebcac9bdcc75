"""A figure asked at any condition: read as typed, answered as the model answers, drawn through its answer."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

import numpy as np
import pytest

from wringout.evaluation.evaluation import Evaluation
from wringout.evaluation.inquiry import (
    ALTITUDE,
    BEARS,
    InquiryError,
    answered,
    line_key,
    reaches,
    standing_temperature,
    typed_inquiry,
)
from wringout.evaluation.inquiry_words import answer_sentence, interval_words
from wringout.evaluation.kept import kept
from wringout.evaluation.point_rows import point_rows
from wringout.model import predict
from wringout.model.question import PredictedQuantity
from wringout.problems import Problem

FOOT = 0.3048  # m, exactly (international foot)


@pytest.mark.parametrize("quantity", get_args(PredictedQuantity))
def test_every_figure_is_answered_as_the_model_answers_it(demo: Evaluation, quantity: str) -> None:
    """The answer is the model's own to the same question, whatever stands beside it in the call."""
    inquiry = typed_inquiry({"figure": quantity}, demo.dossier, demo.fit)
    found = answered(demo.dossier, demo.fit, inquiry)
    alone = predict(demo.dossier.airplane, demo.fit, inquiry.question)
    assert found.prediction.estimate.value == pytest.approx(alone.estimate.value, rel=1e-9)
    assert (found.prediction.low, found.prediction.high) == pytest.approx((alone.low, alone.high), rel=1e-9)
    assert inquiry.along in BEARS[inquiry.question.quantity]


def test_the_line_goes_through_the_answer(demo: Evaluation) -> None:
    """At a node of the line the line is the answer; between nodes it lies between its neighbours."""
    for altitude in (0.0, 7000.0, 14000.0):
        inquiry = typed_inquiry(
            {"figure": "take-off distance", "pressure_altitude": f"{altitude} ft"}, demo.dossier, demo.fit
        )
        found = answered(demo.dossier, demo.fit, inquiry)
        at = np.flatnonzero(np.isclose(found.curve.x, altitude * FOOT))
        assert at.size == 1
        assert found.curve.median[at[0]] == pytest.approx(found.prediction.estimate.value, rel=1e-9)
        assert found.curve.high[at[0]] == pytest.approx(found.prediction.high, rel=1e-9)


def test_a_bare_number_takes_the_slider_s_unit_and_a_typed_unit_is_kept(demo: Evaluation) -> None:
    """'5000' is feet where feet are shown; '1524 m' is the same height; '2403 lb' is 1 090 kg."""
    typed = {"pressure_altitude": "5000", "mass": "2403.04 lb", "temperature": "25", "slope": "−2"}
    asked = typed_inquiry({"figure": "take-off distance", **typed}, demo.dossier, demo.fit).question
    assert asked.pressure_altitude == pytest.approx(5000 * FOOT)
    assert asked.mass == pytest.approx(1090.0, abs=0.01)  # 1 lb = 0.45359237 kg exactly
    assert asked.temperature == pytest.approx(298.15)
    assert asked.slope == pytest.approx(-0.02)
    metres = typed_inquiry(
        {"figure": "take-off distance", "pressure_altitude": "1524 m"}, demo.dossier, demo.fit
    )
    assert metres.question.pressure_altitude == pytest.approx(asked.pressure_altitude)


def test_nothing_typed_for_the_temperature_is_the_standard_one(demo: Evaluation) -> None:
    """5.1 °C at 5 000 ft: the standard atmosphere's 15 °C less 1.9812 K for each thousand feet."""
    asked = typed_inquiry(
        {"figure": "take-off distance", "pressure_altitude": "5000 ft"}, demo.dossier, demo.fit
    )
    assert asked.question.temperature is None
    assert standing_temperature(asked.question) == pytest.approx(288.15 - 5 * 1.9812, abs=0.02)


def test_every_field_that_is_not_understood_is_told(demo: Evaluation) -> None:
    """Two slips give two faults, each at its field."""
    with pytest.raises(InquiryError) as caught:
        typed_inquiry(
            {"figure": "take-off distance", "mass": "heavy", "slope": "2 kg", "temperature": "20"},
            demo.dossier,
            demo.fit,
        )
    assert set(caught.value.places) == {"mass", "slope"}


@pytest.mark.parametrize(
    ("typed", "place"),
    [
        ({"figure": "top speed"}, "figure"),
        ({"configuration": "floats"}, "configuration"),
        ({"surface": "dry gras"}, "surface"),
        ({"flap": "60"}, "flap"),
        ({"mass": "-3"}, "mass"),
        ({"pressure_altitude": "90000 ft"}, "pressure_altitude"),
        ({"temperature": "400"}, "temperature"),
    ],
)
def test_what_cannot_be_asked_is_refused_at_its_field(
    demo: Evaluation, typed: dict[str, str], place: str
) -> None:
    """Names that nobody knows and conditions outside the model are told in words, with what mends them."""
    with pytest.raises(InquiryError) as caught:
        answered(demo.dossier, demo.fit, typed_inquiry(typed, demo.dossier, demo.fit))
    assert caught.value.places == (place,)
    problem: Problem = caught.value.problems[0]
    assert problem.what
    assert problem.mend


@pytest.mark.parametrize(
    ("field", "low", "high"),
    [
        ("pressure_altitude", "0", "6000"),
        ("mass", "950 kg", "1090 kg"),
        ("temperature", "0", "30"),
        ("slope", "0", "3"),
        ("head_wind", "10", "0"),
    ],
)
def test_a_take_off_grows_with_height_mass_heat_slope_and_less_wind(
    demo: Evaluation, field: str, low: str, high: str
) -> None:
    """The direction in which each condition works is that of every flight manual (common practice)."""
    near, far = (
        answered(
            demo.dossier,
            demo.fit,
            typed_inquiry({"figure": "take-off distance", field: value}, demo.dossier, demo.fit),
        ).prediction
        for value in (low, high)
    )
    assert far.estimate.value > near.estimate.value
    assert far.low > near.low


def test_where_only_the_place_along_the_line_moves_the_line_stays(demo: Evaluation) -> None:
    """The key of a line leaves out where on it the question stands, and holds all else."""
    here = typed_inquiry({"figure": "take-off distance", "pressure_altitude": "0"}, demo.dossier, demo.fit)
    there = replace(here, question=replace(here.question, pressure_altitude=1000.0))
    heavier = replace(here, question=replace(here.question, mass=1000.0))
    key = line_key(here, demo.dossier, demo.fit)
    assert line_key(there, demo.dossier, demo.fit) == key
    assert line_key(heavier, demo.dossier, demo.fit) != key
    first = answered(demo.dossier, demo.fit, here)
    again = answered(demo.dossier, demo.fit, there, first.curve)
    assert again.curve is first.curve
    assert again.prediction.estimate.value > first.prediction.estimate.value


def test_sliders_reach_from_the_lightest_to_the_heaviest(demo: Evaluation) -> None:
    """The mass slider ends at the highest take-off mass; each slider starts inside its own ends."""
    dossier = demo.dossier
    for reach in reaches(dossier, demo.fit, dossier.airplane.configurations[0].name):
        assert reach.low < reach.high
        if reach.start is not None:
            assert reach.low <= reach.start <= reach.high
    mass = reaches(dossier, demo.fit, "tail wheel")[0]
    assert (mass.high, mass.unit) == (1090.0, "kg")


def test_the_answer_is_a_sentence_with_what_it_holds_for(demo: Evaluation) -> None:
    """Figure, conditions in the reader's units, and the interval; a stall says nothing of wind."""
    typed = {
        "figure": "take-off distance",
        "pressure_altitude": "5000",
        "temperature": "25",
        "head_wind": "10",
    }
    inquiry = typed_inquiry(typed, demo.dossier, demo.fit)
    found = answered(demo.dossier, demo.fit, inquiry)
    said = answer_sentence(found.prediction, inquiry, demo.dossier.units)
    assert said.startswith("Take-off over 15 m takes ")
    assert said.endswith(
        "as tail wheel, at 1\u202f090 kg, 5\u202f000 ft and 25 °C, on dry grass, level, 10 kt of head wind."
    )
    assert interval_words(found.prediction, demo.dossier.units).endswith(" m")
    stall = typed_inquiry({"figure": "stall speed", "head_wind": "10", "flap": "45"}, demo.dossier, demo.fit)
    words = answer_sentence(answered(demo.dossier, demo.fit, stall).prediction, stall, demo.dossier.units)
    assert words.endswith("kt calibrated as tail wheel, at 1\u202f090 kg, flaps 45.")


def test_what_cannot_be_done_is_said(demo: Evaluation) -> None:
    """A take-off uphill that no airplane of the fit can make has no number."""
    inquiry = typed_inquiry(
        {"figure": "take-off distance", "pressure_altitude": "20000 ft", "slope": "20"},
        demo.dossier,
        demo.fit,
    )
    found = answered(demo.dossier, demo.fit, inquiry)
    assert answer_sentence(found.prediction, inquiry, demo.dossier.units).startswith("It does not get over")
    assert interval_words(found.prediction, demo.dossier.units) == "it cannot be done at all"
    assert ALTITUDE in BEARS["take-off distance"]


def test_what_stands_is_read_back_from_the_store(demo: Evaluation) -> None:
    """Points, fit and verdicts are those of the evaluation."""
    found = kept(demo.dossier)
    assert found.points == demo.points
    assert found.fit is not None
    assert np.array_equal(found.fit.draws, demo.fit.draws)
    assert found.verdicts == demo.verdicts


def test_every_point_has_a_row_of_its_kind(demo: Evaluation) -> None:
    """None is lost, none is twice there; each carries the residuals that bear its origin."""
    rows = point_rows(demo.points, demo.fit)
    made = demo.points
    assert [len(rows[kind]) for kind in ("level", "stall", "take-off", "landing")] == [
        len(made.levels),
        len(made.stalls),
        len(made.takeoffs),
        len(made.landings),
    ]
    assert len(rows["climb"]) + len(rows["glide"]) == len(made.climbs)
    residuals = [one for every in rows.values() for row in every for one in row.residuals]
    assert len(residuals) == len(demo.fit.residuals)
    assert all(
        one.origin == row.point.origin for every in rows.values() for row in every for one in row.residuals
    )
