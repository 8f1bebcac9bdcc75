"""Every figure of a whole evaluation, on paper and on pages: valid, the same every time, nothing cut off."""

import json
import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from html import escape
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.charts.picture import beyond
from tests.report.sample import evaluation
from wringout.charts.airplane import airplane_drawing
from wringout.charts.camera import camera_figure
from wringout.charts.climb import climb_altitude_figure, climb_speed_figure
from wringout.charts.field import field_figure
from wringout.charts.figure import Spec, untitled
from wringout.charts.flight import flight_figure, thinned
from wringout.charts.glide import glide_figure
from wringout.charts.learning import learning_figure, residual_figure
from wringout.charts.lines import at_conditions_of, named, of_origin, value_at
from wringout.charts.loading import loading_figure
from wringout.charts.payload import payload_range_figure
from wringout.charts.power import speed_power_figure
from wringout.charts.rendering import spec_size, svg, titled
from wringout.charts.speeds import position_error_figure, stall_figure
from wringout.charts.theme import PAGE, PAGE_DARK, PRINT, Look
from wringout.charts.track import track_figure
from wringout.charts.typefaces import SANS
from wringout.charts.verdict_rule import probability_rule

WHOLE = evaluation()
UNITS, CLAIMS = WHOLE.dossier.units, WHOLE.dossier.claims
RESIDUALS, CURVES = WHOLE.fit.residuals, WHOLE.curves

FIGURES: Mapping[str, Callable[[Look], Spec]] = {
    "loading": lambda look: loading_figure(WHOLE.loadings["flight-1"], UNITS, look=look),
    "flight": lambda look: flight_figure(
        WHOLE.flights[0].recording,
        WHOLE.flights[0].track,
        WHOLE.flights[0].manoeuvres,
        UNITS,
        title="Sixteen level legs",
        look=replace(look, width=look.width * 1.4),
    ),
    "track": lambda look: track_figure(
        WHOLE.flights[0].track, WHOLE.flights[0].manoeuvres, UNITS, title="The track", look=look
    ),
    "stall": lambda look: stall_figure(CURVES, WHOLE.points.stalls, CLAIMS, UNITS, look=look),
    "position error": lambda look: position_error_figure(WHOLE.points.position_error, UNITS, look=look),
    "speed and power": lambda look: speed_power_figure(
        CURVES, WHOLE.points.levels, RESIDUALS, claims=CLAIMS, rated_power=149_000.0, units=UNITS, look=look
    ),
    "climb and speed": lambda look: climb_speed_figure(
        CURVES, WHOLE.points.climbs, RESIDUALS, UNITS, look=look
    ),
    "climb and altitude": lambda look: climb_altitude_figure(
        CURVES, WHOLE.points.climbs, RESIDUALS, CLAIMS, UNITS, look=look
    ),
    "glide": lambda look: glide_figure(
        CURVES, WHOLE.points.climbs, RESIDUALS, claims=CLAIMS, units=UNITS, look=look
    ),
    "cameras": lambda look: camera_figure(WHOLE.points.cameras, look=replace(look, width=look.width * 1.4)),
    "take-off": lambda look: field_figure(
        "take-off distance", CURVES, WHOLE.points.takeoffs, RESIDUALS, claims=CLAIMS, units=UNITS, look=look
    ),
    "landing": lambda look: field_figure(
        "landing ground roll", CURVES, WHOLE.points.landings, RESIDUALS, claims=CLAIMS, units=UNITS, look=look
    ),
    "payload and range": lambda look: payload_range_figure(
        tuple(WHOLE.payload_range.values()), UNITS, look=look
    ),
    "learning": lambda look: learning_figure(
        WHOLE.fit.parameters, look=replace(look, width=look.width * 1.4)
    ),
    "residuals": lambda look: residual_figure(RESIDUALS, look=replace(look, width=look.width * 1.4)),
}
EACH = pytest.mark.parametrize("name", FIGURES)


def schema() -> dict[str, Any]:
    """The published Vega-Lite schema, as the altair library carries it."""
    found = find_spec("altair")
    assert found is not None
    assert found.origin is not None
    path = Path(found.origin).parent / "vegalite" / "v6" / "schema" / "vega-lite-schema.json"
    read: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return read


@pytest.fixture(scope="module")
def validator() -> Any:
    """Checks a specification against the schema."""
    import jsonschema  # type: ignore[import-untyped]  # no types are published with it

    made = schema()
    return jsonschema.validators.validator_for(made)(made)


@EACH
def test_specification_is_valid(name: str, validator: Any) -> None:
    """Each figure is a valid Vega-Lite specification by the published schema."""
    assert [error.message[:200] for error in validator.iter_errors(FIGURES[name](PRINT))] == []


@EACH
def test_figure_speaks(name: str) -> None:
    """Each figure answers in its title and tells its content in words; no number is missing."""
    spec = FIGURES[name](PAGE)
    title = " ".join(spec["title"]["text"])
    assert title[0].isupper() or title[0].isdigit()
    assert len(spec["description"]) > 40
    assert "nan" not in f"{title} {spec['description']}".lower().split()


@EACH
@pytest.mark.parametrize("look", [PRINT, PAGE_DARK], ids=["print", "dark page"])
def test_nothing_is_cut_off(name: str, look: Look) -> None:
    """No mark or word, nor the title, runs over the edge of its figure."""
    spec = FIGURES[name](look)
    assert beyond(titled(svg(untitled(spec)), spec)) == {"left": 0, "right": 0, "above": 0, "below": 0}


@EACH
def test_same_bytes_every_time(name: str) -> None:
    """Drawn again, each figure is the same text."""
    spec = FIGURES[name](PRINT)
    assert svg(spec) == svg(FIGURES[name](PRINT))


@EACH
def test_words_are_set_in_the_shipped_typeface(name: str) -> None:
    """No text asks for a typeface that is not shipped, and none fetches anything."""
    drawing = svg(FIGURES[name](PRINT))
    families = set(re.findall(r'font-family="([^"]+)"', drawing))
    assert families == {f"'{SANS}'"}
    assert "href" not in drawing.replace("xlink", "")


@EACH
def test_title_set_above_is_the_same_picture(name: str) -> None:
    """The untitled drawing with its title set above is as large as the whole figure drawn at once."""
    spec = FIGURES[name](PRINT)
    drawing = svg(untitled(spec))
    composed = titled(drawing, spec)
    for whole in (svg(spec), composed):
        found = re.search(r' width="([\d.]+)" height="([\d.]+)"', whole)
        assert found is not None
        assert (float(found[1]), float(found[2])) == pytest.approx(spec_size(spec), abs=0.01)
    first = f">{escape(spec['title']['text'][0])}</text>"
    assert first in composed
    assert first not in drawing


def test_point_that_fits_lies_on_its_line() -> None:
    """A point measured as fitted stands on the line, one ten per cent longer stands ten per cent above it."""
    line = named(CURVES, "take-off distance against elevation")[0]
    found = of_origin(
        RESIDUALS, WHOLE.points.takeoffs[0].origin, ("take-off ground roll", "take-off air distance")
    )
    assert len(found) == 2
    exact = [replace(item, fitted=item.measured.value) for item in found]
    on_line = value_at(line, 500.0)
    assert at_conditions_of(line, 500.0, exact)[0] == pytest.approx(on_line)
    longer = [replace(item, fitted=item.measured.value / 1.1) for item in found]
    assert at_conditions_of(line, 500.0, longer)[0] == pytest.approx(1.1 * on_line)
    assert np.isnan(at_conditions_of(line, 9000.0, exact)[0])


def test_points_of_one_height_stand_side_by_side() -> None:
    """Points flown at one density altitude are moved apart across by their width, not up or down."""
    first = WHOLE.points.takeoffs[0]
    twins = [replace(first, origin=replace(first.origin, point=name)) for name in ("T1", "T2", "T3")]
    residuals = [
        replace(item, origin=replace(item.origin, point=name))
        for item in RESIDUALS
        for name in ("T1", "T2", "T3")
        if item.origin == first.origin
    ]
    spec = field_figure("take-off distance", CURVES, twins, residuals, units=UNITS, look=PRINT)
    layers = spec["layer"][0]["layer"]
    dots = next(layer["data"]["values"] for layer in layers if layer["mark"].get("size") == PRINT.dot**2)
    assert len({row["y"] for row in dots}) == 1
    across = sorted(row["x"] for row in dots)
    low, high = spec["layer"][0]["encoding"]["x"]["scale"]["domain"]
    steps = np.diff(across) * spec["width"] / (high - low)
    assert steps == pytest.approx([PRINT.dot, PRINT.dot], abs=0.02)


def test_part_of_a_figure_is_not_the_figure() -> None:
    """A take-off whose air distance has no residual is not shown as a whole distance."""
    origin = WHOLE.points.takeoffs[0].origin
    some = [item for item in RESIDUALS if item.what != "take-off air distance"]
    assert of_origin(some, origin, ("take-off ground roll", "take-off air distance")) == ()


def test_thinned_trace_keeps_its_extremes() -> None:
    """A trace thinned for the paper keeps its highest and lowest sample, and a long gap stays a gap."""
    time = np.linspace(0.0, 100.0, 20_001)
    values = np.sin(time)
    values[7000:9000] = np.nan
    values[12_345] = 7.0
    less_time, less = thinned(time, values, 400)
    assert len(less) < 900
    assert np.nanmax(less) == 7.0
    assert np.nanmin(less) == np.nanmin(values)
    assert np.isnan(less[(less_time > time[7100]) & (less_time < time[8900])]).all()


def test_loading_outside_is_said_in_the_accent() -> None:
    """A loading beyond its limits draws its path in the accent; one inside never uses it."""
    inside, rust = WHOLE.loadings["flight-1"], PRINT.palette.rust
    outside = replace(inside, within=False)
    assert rust not in svg(loading_figure(inside, UNITS, look=PRINT))
    assert rust in svg(loading_figure(outside, UNITS, look=PRINT))


def test_unflown_line_is_dashed() -> None:
    """A line that no flight supports is dashed, the others are not."""
    flown = [line for line in CURVES if line.name == "rate of climb against speed"]
    assert "stroke-dasharray" not in svg(climb_speed_figure(flown, (), (), UNITS, look=PRINT))
    unflown = [replace(line, flown=False) for line in flown]
    assert "stroke-dasharray" in svg(climb_speed_figure(unflown, (), (), UNITS, look=PRINT))


def test_figure_without_its_line_is_refused() -> None:
    """A figure that has no predicted line says which is missing."""
    with pytest.raises(ValueError, match="no predicted line for the landing distance"):
        field_figure("landing distance", (), (), (), units=UNITS)


def test_airplane_is_drawn_to_scale() -> None:
    """Span and wheelbase stand on paper in the ratio of the description, and the alt text names them."""
    plane = WHOLE.dossier.airplane
    drawing = airplane_drawing(plane, "big tyres", UNITS, look=PRINT)
    level = re.findall(r'<polyline points="([\d.]+),([\d.]+) ([\d.]+),\2"', drawing)
    lengths = [float(end) - float(start) for start, _, end in level]
    wheelbase = abs(
        plane.configurations[0].undercarriage.third_arm - plane.configurations[0].undercarriage.main_arm
    )
    metre = max(length for length in lengths if length < 0.7 * PRINT.width) / plane.geometry.span
    assert any(length == pytest.approx(wheelbase * metre, abs=0.05) for length in lengths)
    assert any(
        length == pytest.approx((plane.geometry.length or 0.0) * metre, abs=0.05) for length in lengths
    )
    assert "span 10.90 m" in drawing
    assert "to scale" in drawing


@pytest.mark.parametrize("look", [PRINT, PAGE], ids=["print", "page"])
def test_every_dimension_of_the_airplane_has_its_unit_within_the_sheet(look: Look) -> None:
    """Length, wheelbase, track, span and height end with their metre, and none runs over an edge."""
    drawing = airplane_drawing(WHOLE.dossier.airplane, "big tyres", UNITS, look=look)
    dimensions = re.findall(
        r'<rect x="([-\d.]+)" y="[-\d.]+" width="([\d.]+)"[^>]*stroke="none"/><text[^>]*>([^<]+)</text>',
        re.sub(r">\s+<", "><", drawing),
    )
    assert len(dimensions) == 5
    for left, wide, words in dimensions:
        assert re.fullmatch(r"\d+\.\d\d\sm", words), words
        assert 0 <= float(left) <= float(left) + float(wide) <= look.width, words


def test_airplane_that_is_not_described_is_not_drawn() -> None:
    """Without a length there is nothing to draw from, and the message says so."""
    plane = WHOLE.dossier.airplane
    bare = replace(plane, geometry=replace(plane.geometry, length=None))
    with pytest.raises(ValueError, match="length"):
        airplane_drawing(bare, "big tyres", UNITS)


@pytest.mark.parametrize(
    ("probability", "words"), [(0.97, "holds: 0.97"), (0.02, "holds: 0.02"), (None, "not tested")]
)
def test_probability_rule(probability: float | None, words: str) -> None:
    """The rule says its probability in words; the accent is kept for what does not hold."""
    drawing = probability_rule(probability, look=PRINT)
    assert words in drawing
    assert (PRINT.palette.rust in drawing) == (probability is not None and probability <= 0.1)


def test_impossible_probability_is_refused() -> None:
    """A probability above one is a fault of the caller, not a tick off the scale."""
    with pytest.raises(ValueError, match="between 0 and 1"):
        probability_rule(1.2)
