"""The undercarriage's drawings and the timeline: to scale, with words, in any look."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from tests.electrical.test_failure import MAIN, SYSTEM, WARM
from tests.loading.airplanes import hauler
from wringout.airplane.airplane import Propeller
from wringout.charts.electrics import TripMark, timeline
from wringout.charts.theme import IN_PAGE, PAGE, PAGE_DARK, PRINT, Look
from wringout.charts.undercarriage import Marked, gear_plan_view, gear_side_view
from wringout.dossier.dossier import Units
from wringout.electrical import Failure, battery_endurance, play_estimate
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.undercarriage import swept_circle

AIRPLANE = replace(hauler(), geometry=replace(hauler().geometry, length=7.3, height=2.5))
MARKED = Marked(1.85, 2.10, 2.00)
LOOKS = [PRINT, PAGE, PAGE_DARK, IN_PAGE]
KELVIN = Estimate(WARM, 3.0, Dimension.TEMPERATURE, "stated")
NAMES = ["main", "back-up"]


def _drawn(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def _words(svg: str) -> str:
    return " | ".join(part.text or "" for part in _drawn(svg).iter() if part.tag.endswith("text"))


def _circles(svg: str) -> list[float]:
    return [float(part.get("r", "0")) for part in _drawn(svg).iter() if part.tag.endswith("circle")]


def _metre(svg: str) -> float:
    """Length of the scale bar, which is the stroke of four points that stands with '1 m'."""
    bars = [
        [tuple(map(float, pair.split(","))) for pair in part.get("points", "").split()]
        for part in _drawn(svg).iter()
        if part.tag.endswith("polyline")
    ]
    level = [bar for bar in bars if len(bar) == 4 and bar[0][0] == bar[1][0] and bar[2][0] == bar[3][0]]
    return max(bar[2][0] - bar[1][0] for bar in level)


@pytest.mark.parametrize("look", LOOKS)
@pytest.mark.parametrize("name", ["tail wheel", "nose wheel"])
def test_drawings_read_in_every_look(name: str, look: Look) -> None:
    """Well-formed, as wide as the look, with the angle over the wheels and a scale in words."""
    side = gear_side_view(AIRPLANE, name, MARKED, Units(), look=look)
    plan = gear_plan_view(AIRPLANE, name, MARKED, look=look)
    for svg in (side, plan):
        assert _drawn(svg).get("width") == f"{look.width:g}"
        assert "to scale" in svg
        assert "1 m" in _words(svg)
    assert re.search(r"\d+\.\d°", _words(side))
    assert "overturn angle" in _words(plan)
    assert "castor" in _words(plan)


def test_the_circle_is_drawn_to_scale() -> None:
    """Its radius on paper over the scale bar is the reach in metres."""
    build = next(item for item in AIRPLANE.configurations if item.name == "nose wheel")
    svg = gear_plan_view(AIRPLANE, "nose wheel", MARKED)
    reach = swept_circle(build.undercarriage, AIRPLANE.geometry).reach
    assert max(_circles(svg)) / _metre(svg) == pytest.approx(reach, rel=1e-3)


def test_what_fails_is_drawn_in_rust_and_nothing_else() -> None:
    """The one accent stands for the angle or the clearance that fails."""
    fine = gear_side_view(AIRPLANE, "nose wheel", MARKED, Units())
    assert PAGE.palette.rust not in fine
    worse = gear_side_view(AIRPLANE, "nose wheel", replace(MARKED, tip_fails=True), Units())
    assert PAGE.palette.rust in worse
    tips = gear_plan_view(AIRPLANE, "nose wheel", replace(MARKED, overturn_fails=True))
    assert PAGE.palette.rust in tips


def test_the_propeller_s_room_is_told_where_the_thrust_line_is_described() -> None:
    """1.40 m less the radius of 1.00 m leaves 400 mm; without the height nothing is told."""
    builds = tuple(
        replace(item, undercarriage=replace(item.undercarriage, thrust_line_height=1.40))
        for item in AIRPLANE.configurations
    )
    told = replace(AIRPLANE, configurations=builds, propeller=Propeller("constant speed", 2.0, arm=0.2))
    assert "400 mm" in _words(gear_side_view(told, "nose wheel", MARKED, Units()))
    assert "400 mm" not in _words(gear_side_view(AIRPLANE, "nose wheel", MARKED, Units()))


def test_nothing_is_drawn_of_an_airplane_without_length() -> None:
    """The refusal names what is missing."""
    short = replace(AIRPLANE, geometry=replace(AIRPLANE.geometry, length=None))
    with pytest.raises(ValueError, match="length, mean chord"):
        gear_side_view(short, "nose wheel", MARKED, Units())


@pytest.mark.parametrize("look", LOOKS)
def test_bars_end_when_the_loads_do(look: Look) -> None:
    """Bars share one scale: ignition A's ends at t(5 A), and its words say so with their spread."""
    found = play_estimate(SYSTEM, KELVIN)
    svg = timeline(found, NAMES, look=look)
    rows = [
        (float(part.get("y", "0")), float(part.get("x", "0")), float(part.get("width", "0")))
        for part in _drawn(svg).iter()
        if part.tag.endswith("rect") and part.get("x")
    ]
    by_row: dict[float, float] = {}
    for y, _, width in rows:
        by_row[round(y)] = by_row.get(round(y), 0.0) + width
    lengths = sorted(by_row.values(), reverse=True)
    ends = sorted((load.end for load in found.played.loads if load.spells), reverse=True)
    assert len(lengths) == len([load for load in found.played.loads if load.spells])
    assert lengths[1] / lengths[0] == pytest.approx(ends[1] / ends[0], rel=0.01)
    main = battery_endurance(MAIN, 5.0, WARM) / 60.0
    assert f"{main:.0f} ± " in _words(svg)
    assert "30 min asked" in _words(svg)


def test_what_runs_on_and_what_failed_is_said() -> None:
    """One ignition failed: the others run on to the edge; a trip's flag stands at its time."""
    svg = timeline(play_estimate(SYSTEM, KELVIN, (Failure(0.0, "ignition A"),)), NAMES)
    words = _words(svg)
    assert words.count("runs on") == 4
    assert "failed" in words
    flagged = timeline(play_estimate(SYSTEM, KELVIN), NAMES, trip=TripMark(2400.0, "the <long> way"))
    assert "the <long> way: 40 min to a landing" in _words(flagged)
    assert "<long>" not in flagged
    assert "Timeline of what runs" in flagged
