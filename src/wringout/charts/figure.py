"""Frame, layers, title and words for those who cannot see it → one complete Vega-Lite specification."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from wringout.charts.grammar import MEAN_LETTER, Frame, Layer
from wringout.charts.scales import Scale, tick_text
from wringout.charts.theme import Look, config

Spec = dict[str, Any]

_SCHEMA = "https://vega.github.io/schema/vega-lite/v6.4.json"  # an identifier; nothing is fetched from there
_UNITS = r"\d{3}|[A-Za-z]{1,3}|US gal|°[CF]|%|m²|kg/m³|[A-Za-z]+/[a-zA-Z]+"
_NUMBER_AND_UNIT = re.compile(rf"(?<=flaps) (?=\S)|(?<=\d) (?=(?:{_UNITS})(?![\w-]))")


@dataclass(frozen=True, slots=True)
class Margins:
    """Paper around the ruled field."""

    left: float
    right: float
    bottom: float
    top: float


def figure(
    frame: Frame,
    layers: Sequence[Layer],
    *,
    title: str,
    alt: str,
    margins: Margins | None = None,
    grid: bool = True,
) -> Spec:
    """One figure.

    Parameters
    ----------
    frame : Frame
        Its axes and look.
    layers : sequence of Layer
        What stands in it, first drawn first.
    title : str
        The answer, as a sentence.
    alt : str
        What the figure shows, in words, for those who cannot see it.
    margins : Margins, optional
        Paper around the ruled field.
    grid : bool
        Whether the field is ruled at the ticks.

    Returns
    -------
    dict
        Vega-Lite specification with all its data inside.
    """
    look = frame.look
    edge = margins or margins_for(look, frame)
    lines = title_lines(title, frame.x.extent + edge.left + edge.right, look)
    head = len(lines) * look.title * 1.3 + look.small * 0.8
    shared = {name: _channel(name, axis, look, grid=grid) for name, axis in (("x", frame.x), ("y", frame.y))}
    main: Layer = {"layer": gathered(layers), "encoding": shared}
    return {
        "$schema": _SCHEMA,
        "description": alt,
        "title": {"text": lines, "offset": look.small * 0.8, "dx": -edge.left},
        "autosize": "none",
        "padding": {"left": edge.left, "right": edge.right, "top": edge.top + head, "bottom": edge.bottom},
        "width": frame.x.extent,
        "height": frame.y.extent,
        "layer": [main, *_second_axes(frame)],
        "resolve": {"scale": {"x": "independent", "y": "independent"}},
        "config": config(look),
    }


def gathered(layers: Sequence[Layer]) -> list[Layer]:
    """The same drawing in fewer layers: like marks together, where the last of them stood, words last.

    Each layer costs the renderer a scale and a data flow of its own; a figure is drawn in half the time.
    """
    groups: dict[str, Layer] = {}
    for number, layer in enumerate(layers):
        mark, encoding = dict(layer["mark"]), layer.get("encoding", {})
        data = layer["data"]["values"]
        if mark["type"] == "text" and "text" in mark:
            words = mark.pop("text")
            data = [{**row, "text": words} for row in data]
            encoding = {**encoding, "text": {"field": "text"}}
        single = mark["type"] not in {"text", "rule", "point", "bar", "rect"}
        key = str(number) if single else repr((mark, encoding))
        earlier = groups.pop(key)["data"]["values"] if key in groups else []
        groups[key] = {"data": {"values": [*earlier, *data]}, "mark": mark, "encoding": encoding}
    return sorted(groups.values(), key=_turn)


def _turn(layer: Layer) -> int:
    """Marks before halos before words, so that no halo covers a word."""
    mark = layer["mark"]
    return 0 if mark["type"] != "text" else 1 if "stroke" in mark else 2


def untitled(spec: Spec) -> Spec:
    """The same figure without its title, for a face that sets the title as text of its own."""
    title = spec.get("title")
    if not title:
        return spec
    line = spec["config"]["title"]["lineHeight"]
    padding = dict(spec["padding"])
    padding["top"] -= line * len(title["text"]) + title["offset"]
    return {**{key: value for key, value in spec.items() if key != "title"}, "padding": padding}


def title_lines(title: str, width: float, look: Look) -> list[str]:
    """A sentence broken into lines that fit `width` on paper."""
    letters = max(12, int(width / (look.title * MEAN_LETTER)))
    return textwrap.wrap(bound(title), letters, break_on_hyphens=False) or [title]


def bound(text: str) -> str:
    """The text with every number held to its unit (and flaps to their setting): no line ends between them."""
    return _NUMBER_AND_UNIT.sub("\u00a0", text)


def margins_for(look: Look, frame: Frame, *, right: float | None = None) -> Margins:
    """Room for tick labels, axis titles and second axes."""
    em = look.small
    second_y = em * 3.6 if frame.y.companion else em * 0.8
    return Margins(
        left=em * 3.6,
        right=max(second_y, right or 0.0),
        bottom=em * (5.4 if frame.x.companion else 3.4),
        top=em * 1.7,
    )


def _domain(axis: Scale) -> dict[str, Any]:
    return {"domain": [axis.low, axis.high], "nice": False, "zero": False}


def _axis(axis: Scale, look: Look, *, across: bool) -> dict[str, Any]:
    shared = {"ticks": True, "labelFlush": False, **tick_text(axis.ticks)}
    words = f"{axis.title}, {axis.unit}" if axis.unit else axis.title
    if across:
        # The title stands at the right end, under the rows of numbers.
        return {
            **shared,
            "title": words,
            "titleAnchor": "end",
            "titleAlign": "right",
            "titleX": axis.extent,
            "titleY": look.small * (3.7 if axis.companion else 1.9),
            "titleBaseline": "top",
        }
    return {
        **shared,
        "title": words,
        "titleAngle": 0,
        "titleAlign": "left",
        "titleAnchor": "end",
        "titleX": -look.small * 3.4,
        "titleY": -look.small * 0.75,
        "titleBaseline": "bottom",
    }


def _channel(name: str, axis: Scale, look: Look, *, grid: bool) -> dict[str, Any]:
    shown = {**_axis(axis, look, across=name == "x"), "grid": grid} if axis.ticks else None
    return {"field": name, "type": "quantitative", "scale": _domain(axis), "axis": shown}


def _second_axes(frame: Frame) -> list[Layer]:
    """An invisible mark each in the companion units, only so that their axes are drawn."""
    small = frame.look.small
    across, up = frame.x.second(), frame.y.second()
    layers = []
    if across is not None:
        place = {
            "orient": "bottom",
            "offset": small * 1.9,
            "labelFlush": False,
            "titleAnchor": "start",
            "titleAlign": "right",
            "titleX": -small,
            "titleY": small * 0.75,
            "titleBaseline": "top",
        }
        layers.append(_ghost("x", across, place, frame.look))
    if up is not None:
        place = {
            "orient": "right",
            "titleAngle": 0,
            "titleAlign": "left",
            "titleAnchor": "end",
            "titleX": small * 0.75,
            "titleY": -small * 0.75,
            "titleBaseline": "bottom",
        }
        layers.append(_ghost("y", up, place, frame.look))
    return layers


def _ghost(name: str, axis: Scale, place: dict[str, Any], look: Look) -> Layer:
    muted = look.palette.muted
    colours = {"labelColor": muted, "titleColor": muted, "tickColor": muted, "domain": False}
    shown = {**colours, **tick_text(axis.ticks), "title": axis.unit, **place}
    channel = {"datum": axis.low, "type": "quantitative", "scale": _domain(axis), "axis": shown}
    return {"data": {"values": [{}]}, "mark": {"type": "point", "opacity": 0}, "encoding": {name: channel}}
