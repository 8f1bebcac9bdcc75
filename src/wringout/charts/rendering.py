"""Chart specification → picture, the same bytes every time."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from functools import cache
from html import escape
from typing import Any

from wringout.charts.typefaces import register

VEGA_LITE_VERSION = "6.4"
_COUNTED_ID = re.compile(r"\b(?:clip|gradient|pattern)_?\d+\b")


def svg(spec: Mapping[str, Any]) -> str:
    """`spec` as an SVG drawing; nothing is fetched, and equal specifications give equal text."""
    import vl_convert

    register()
    drawing: str = vl_convert.vegalite_to_svg(
        json.dumps(spec), vl_version=VEGA_LITE_VERSION, allowed_base_urls=[]
    )
    return _with_settled_ids(drawing)


@cache
def chart_library() -> str:
    """The library that draws specifications in a browser, from the package that also draws here.

    Nothing in it ends a script element, so that it may stand in a page.
    """
    import vl_convert

    script: str = vl_convert.javascript_bundle(vl_version=VEGA_LITE_VERSION)  # type: ignore[call-arg]
    return script.replace("</script", "<\\/script")


def titled(drawing: str, spec: Mapping[str, Any]) -> str:
    """The drawing of an untitled figure with the title of its specification set above it.

    The same picture as that of the whole specification, without drawing the figure a second time.
    """
    title, style = spec["title"]["text"], spec["config"]["title"]
    width, height = spec_size(spec)
    line = style["lineHeight"]
    raised = len(title) * line + spec["title"]["offset"]
    body = drawing[drawing.index(">", drawing.index("<svg")) + 1 : drawing.rindex("</svg>")]
    words = "".join(
        f'<text x="0" y="{(number + 0.78) * line:.2f}">{escape(text)}</text>'
        for number, text in enumerate(title)
    )
    ground = spec["config"]["background"]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" version="1.1" '
        f'width="{width:g}" height="{height:g}" viewBox="0 0 {width:g} {height:g}" role="img" '
        f'aria-label="{escape(str(spec["description"]), quote=True)}">'
        f'<rect width="{width:g}" height="{height:g}" fill="{ground}"/>'
        f'<g font-family="{style["font"]}" font-size="{style["fontSize"]:g}" '
        f'font-weight="{style["fontWeight"]}" fill="{style["color"]}">{words}</g>'
        f'<g transform="translate(0,{raised:g})">{body}</g></svg>'
    )


def spec_size(spec: Mapping[str, Any]) -> tuple[float, float]:
    """Width and height on paper of a whole figure, its padding included."""
    padding = spec["padding"]
    return (
        padding["left"] + spec["width"] + padding["right"],
        padding["top"] + spec["height"] + padding["bottom"],
    )


def png(spec: Mapping[str, Any], scale: float = 2.0) -> bytes:
    """`spec` as a PNG picture with `scale` picture elements for each unit of the specification."""
    import vl_convert

    register()
    picture: bytes = vl_convert.vegalite_to_png(
        json.dumps(spec), vl_version=VEGA_LITE_VERSION, allowed_base_urls=[], scale=scale
    )
    return picture


def _with_settled_ids(drawing: str) -> str:
    """Ids count up over a process's life; here they are numbered anew within each drawing."""
    order: dict[str, str] = {}

    def settle(match: re.Match[str]) -> str:
        return order.setdefault(match.group(), f"part{len(order) + 1}")

    return _COUNTED_ID.sub(settle, drawing)
