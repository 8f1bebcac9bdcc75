"""Chart specification → picture, the same bytes every time."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
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
