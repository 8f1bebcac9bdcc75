"""The glide figure's dots, and small figures drawn straight to SVG."""

from __future__ import annotations

from dataclasses import replace
from typing import Any
from xml.etree.ElementTree import fromstring

import numpy as np
import pytest

from tests.report.sample import evaluation
from wringout.charts.glide import NAME, glide_figure
from wringout.charts.inquiry import inquiry_drawing
from wringout.charts.lines import named, value_at
from wringout.charts.span import shown_about, span_drawing
from wringout.evaluation.evaluation import Curve
from wringout.evaluation.traces import Trace
from wringout.model.fit import Residual
from wringout.physics.airspeed import true_from_calibrated
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

WHOLE = evaluation()
UNITS = WHOLE.dossier.units


def _dots(spec: dict[str, Any]) -> list[dict[str, float]]:
    """The measured points of a figure: filled points with the ends of their bars."""
    return [
        row
        for layer in spec["layer"][0]["layer"]
        if layer["mark"]["type"] == "point"
        for row in layer["data"]["values"]
        if "y_low" in row
    ]


def test_a_glide_that_sinks_twice_as_fast_goes_half_as_far() -> None:
    """A point's ratio is the line's times fitted over measured sink: by geometry, speed over sink."""
    line = named(WHOLE.curves, NAME)[0]
    climb = WHOLE.points.climbs[0]
    state = replace(climb.conditions, configuration=line.configuration)
    calibrated = float(line.x[5])
    true = true_from_calibrated(calibrated, state.pressure.value, state.temperature.value)
    sink = Estimate(-6.0, 0.3, Dimension.SPEED, "made up")
    glide = replace(
        climb,
        conditions=state,
        power="idle",
        true_airspeed=Estimate(float(true), 0.2, Dimension.SPEED, "made up"),
        rate_of_climb=sink,
    )
    residual = Residual(glide.origin, "rate of climb, idle", sink, -3.0, 0.0, False)
    dots = _dots(glide_figure([line], [glide], [residual], units=UNITS))
    assert len(dots) == 1
    expected = value_at(line, calibrated) / 2.0
    assert dots[0]["y"] == pytest.approx(expected, rel=1e-4)
    # 5 % of sink is 5 % of ratio; nine in ten lie within 1.645 standard deviations (normal table).
    assert dots[0]["y_high"] - dots[0]["y"] == pytest.approx(1.645 * 0.05 * expected, rel=1e-3)


def test_without_a_line_there_is_no_figure() -> None:
    """It refuses in words."""
    with pytest.raises(ValueError, match="no predicted line"):
        glide_figure([], [], [], units=UNITS)


def _line(median: list[float], high: list[float]) -> Curve:
    x = np.linspace(0.0, 3000.0, len(median))
    middle = np.array(median)
    return Curve(
        "take-off distance against pressure altitude",
        "tail wheel",
        "",
        x,
        Dimension.LENGTH,
        middle,
        0.9 * middle,
        np.array(high),
        Dimension.LENGTH,
        True,
    )


def _drawn(line: Curve, here: tuple[float, float, float, float] | None) -> str:
    return inquiry_drawing(
        line,
        here,
        across=("pressure altitude", "m"),
        up=("take-off distance", "m"),
        words="300 m",
        alt="words",
    )


def test_what_cannot_be_done_ends_the_line_and_nothing_is_not_a_number() -> None:
    """Where half of the airplanes cannot take off there is no line; the drawing is sound XML."""
    drawing = _drawn(
        _line([300.0, 400.0, 600.0, np.inf], [330.0, 500.0, np.inf, np.inf]), (0.0, 280.0, 300.0, 330.0)
    )
    fromstring(drawing)
    assert "nan" not in drawing.lower()
    assert "inf" not in drawing.replace("inquiry", "").lower()
    assert "300 m" in drawing


def test_a_line_that_runs_away_does_not_press_its_useful_part_flat() -> None:
    """The axis ends near four times the answer, whatever the line does at its end."""
    drawing = _drawn(
        _line([300.0, 350.0, 450.0, 90000.0], [330.0, 400.0, 520.0, 99000.0]), (0.0, 280.0, 300.0, 330.0)
    )
    assert "90\u202f000" not in drawing
    assert "1\u202f200" in drawing or "1\u202f000" in drawing


def test_nothing_at_all_to_draw_is_refused() -> None:
    """A line that can be done nowhere has no axis."""
    with pytest.raises(ValueError, match="nothing to show"):
        _drawn(_line([np.inf, np.inf], [np.inf, np.inf]), None)


def test_a_span_is_shown_with_room_about_it_and_its_ends_by_the_clock() -> None:
    """The span's ends and the extremes of the trace are written; a gap breaks the line."""
    time = np.arange(0.0, 100.0)
    values = np.where((time > 50) & (time < 55), np.nan, 40.0 + time / 10.0)
    drawing = span_drawing(
        [Trace("indicated airspeed", "kt", time, values)], 40.0, 60.0, ("09:00:40.0", "09:01:00.0")
    )
    fromstring(drawing)
    assert shown_about(40.0, 60.0) == (30.0, 70.0)
    assert "09:00:40.0" in drawing
    assert "indicated airspeed 43 to 47 kt" in drawing
    path = next(
        part for part in drawing.split('<path d="') if part.startswith("M") and "stroke-linejoin" in part
    )
    assert path.split('"')[0].count("M") == 2


def test_a_span_without_a_sample_is_no_drawing() -> None:
    """Nothing is drawn where nothing was recorded."""
    assert span_drawing([Trace("height", "m", np.zeros(0), np.zeros(0))], 0.0, 1.0, ("a", "b")) == ""
