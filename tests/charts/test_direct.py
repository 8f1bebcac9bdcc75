"""The figure drawn straight to SVG is the figure that the engine draws, and follows the page's light."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from tests.loading.airplanes import hauler, loading
from wringout.charts.direct import direct_svg
from wringout.charts.figure import margins_for, untitled
from wringout.charts.grammar import Frame
from wringout.charts.loading import loading_drawing, loading_figure, loading_frame, loading_layers
from wringout.charts.rendering import svg
from wringout.charts.scales import scale
from wringout.charts.theme import IN_PAGE, PAGE
from wringout.dossier.dossier import Units
from wringout.loading import LoadingReport, loading_report

UNITS = Units()
_MOVE = re.compile(r"translate\(([-0-9.]+),\s*([-0-9.]+)\)")


def _report() -> LoadingReport:
    return loading_report(hauler(), "tail wheel", loading())


def _dots(drawing: str) -> list[tuple[float, float]]:
    """Where the dots of a drawing stand on the whole sheet, from left to right."""
    return sorted(_placed(ElementTree.fromstring(drawing), (0.0, 0.0), _is_dot))


def _is_dot(element: ElementTree.Element) -> bool:
    path = element.get("d", "")
    if element.get("opacity") == "0":  # the engine's ghosts, for whose sake a second axis is drawn
        return False
    return element.tag.endswith("circle") or ("A" in path and "translate" in element.get("transform", ""))


def _placed(
    element: ElementTree.Element, at: tuple[float, float], wanted: Callable[[ElementTree.Element], bool]
) -> list[tuple[float, float]]:
    move = _MOVE.match(element.get("transform", ""))
    here = (at[0] + float(move[1]), at[1] + float(move[2])) if move else at
    own = [here] if wanted(element) else []
    return own + [place for child in element for place in _placed(child, here, wanted)]


def _texts(drawing: str) -> list[str]:
    return sorted(
        "".join(part.itertext())
        for part in ElementTree.fromstring(drawing).iter()
        if part.tag.endswith("text")
    )


def test_it_is_the_figure_that_the_engine_draws() -> None:
    """With the same axes the same dots stand at the same places, and the same words are said."""
    spec = loading_figure(_report(), UNITS, look=PAGE)
    frame, layers = _parts()
    ours = direct_svg(frame, layers, alt="", margins=margins_for(PAGE, frame), name="loading-figure")
    theirs = svg(untitled(spec))
    assert len(_dots(ours)) == len(_dots(theirs)) >= 2
    for (x, y), (x_there, y_there) in zip(_dots(ours), _dots(theirs), strict=True):
        assert x == pytest.approx(x_there, abs=0.6)  # the engine puts its lines on half pixels
        assert y == pytest.approx(y_there, abs=0.6)
    assert _texts(ours) == _texts(theirs)


def _parts() -> tuple[Frame, list[dict[str, object]]]:
    """Frame and layers from which the figure was made."""
    frame = loading_frame(_report(), UNITS, PAGE)
    return frame, loading_layers(frame, _report(), UNITS)


def test_its_colours_are_the_pages_own() -> None:
    """No colour is fixed in it: one drawing serves light, dark and print."""
    drawing = loading_drawing(_report(), UNITS)
    assert not re.search(r"#[0-9A-Fa-f]{3,8}\b", drawing)
    assert set(re.findall(r"var\((--[a-z]+)\)", drawing)) <= {
        "--paper",
        "--ink",
        "--rule",
        "--muted",
        "--rust",
        "--lake",
    }


def test_nothing_in_it_asks_for_a_style() -> None:
    """A strict page forbids styles and scripts in elements; the drawing has none."""
    drawing = loading_drawing(_report(), UNITS)
    assert "style=" not in drawing
    assert "<script" not in drawing


def test_every_mark_can_be_told_apart() -> None:
    """A page that moves marks finds each by its id."""
    names = re.findall(r' id="([^"]+)"', loading_drawing(_report(), UNITS))
    assert len(names) == len(set(names)) > 5
    assert all(before != after for before, after in pairwise(names))


def test_a_mark_that_it_does_not_know_is_refused() -> None:
    """It draws all of a figure or none of it."""
    axis = scale("mass", "kg", [[0.0, 1.0]], 100.0)
    frame = Frame(axis, axis, IN_PAGE)
    layer = {"data": {"values": [{"x": 0.0, "y": 0.0}]}, "mark": {"type": "arc"}}
    with pytest.raises(ValueError, match="'arc'"):
        direct_svg(frame, [layer], alt="", margins=margins_for(IN_PAGE, frame), name="n")
