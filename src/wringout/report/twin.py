"""The report as one web page that stands by itself: the same contents, its figures alive, nothing fetched."""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from wringout.charts.figure import untitled
from wringout.charts.rendering import chart_library
from wringout.charts.theme import DARK, IN_PAGE, LIGHT, PAGE, Palette
from wringout.charts.typefaces import FONT_DIRECTORY, SANS, SERIF
from wringout.charts.verdict_rule import probability_rule
from wringout.report.composing import content
from wringout.report.drawing import Drawn, Looks, live_figures

if TYPE_CHECKING:
    from jinja2 import Template

    from wringout.evaluation.evaluation import Evaluation

_HERE = Path(__file__).parent
LIVE = Looks(replace(PAGE, width=860), PAGE, replace(PAGE, width=430))
_FACES = (
    (SANS, 400, "SourceSans3-Regular.ttf"),
    (SANS, 500, "SourceSans3-Medium.ttf"),
    (SANS, 700, "SourceSans3-Bold.ttf"),
    (SERIF, 400, "SourceSerif4-Regular.ttf"),
)


def html(evaluation: Evaluation) -> bytes:
    """The report as an HTML file.

    Parameters
    ----------
    evaluation : Evaluation
        The evaluated dossier.

    Returns
    -------
    bytes
        One file with its style, typefaces, figures and the library that draws them inside. Its own policy
        forbids it to ask anything of anyone; equal evaluations give equal bytes.
    """
    drawn = live_figures(evaluation, LIVE)
    style = _style()
    scripts = [chart_library(), (_HERE / "twin.js").read_text(encoding="utf-8")]
    page = _template().render(
        said=content(evaluation, drawn),
        style=style,
        scripts=scripts,
        policy=_policy(style, scripts),
        figures=_figures(drawn),
        light_to_dark=_data(_pairs(LIGHT, DARK)),
    )
    return page.encode()


def policy_of(page: bytes) -> str:
    """The policy that a page made by `html` states for itself, for a server that sends it."""
    head = page[:2000].decode("utf-8", "replace")
    return head.split('http-equiv="Content-Security-Policy" content="', 1)[1].split('"', 1)[0]


@cache
def _template() -> Template:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined
    from markupsafe import Markup

    environment = Environment(
        loader=FileSystemLoader(_HERE),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["raw"] = Markup
    environment.filters["rule"] = lambda chance: Markup(probability_rule(chance, look=IN_PAGE, width=90))
    return environment.get_template("twin.html")


def _style() -> str:
    """The style sheet with its typefaces inside."""
    faces = []
    for family, weight, file in _FACES:
        data = base64.b64encode((FONT_DIRECTORY / file).read_bytes()).decode()
        faces.append(
            f'@font-face{{font-family:"{family}";font-weight:{weight};src:url(data:font/ttf;base64,{data})}}'
        )
    return "\n".join((*faces, (_HERE / "twin.css").read_text(encoding="utf-8")))


def _policy(style: str, scripts: Sequence[str]) -> str:
    """Only the style and the scripts of this page, by their hashes; no address at all."""
    ours = " ".join(_hash(script) for script in scripts)
    return (
        f"default-src 'none'; script-src {ours}; style-src {_hash(style)}; font-src data:; img-src data:; "
        "base-uri 'none'; form-action 'none'"
    )


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def _figures(drawn: Sequence[Drawn]) -> dict[str, dict[str, str]]:
    """Each figure by its name: what draws it, or a drawing that follows the page's colours."""
    colours = _pairs(LIGHT, IN_PAGE.palette)
    found = {}
    for item in drawn:
        if item.spec is not None:
            found[item.name] = {"spec": _data(untitled(item.spec)), "svg": ""}
        elif item.svg:
            svg = item.svg
            for light, name in colours.items():
                svg = svg.replace(light, name)
            found[item.name] = {"spec": "", "svg": svg}
    return found


def _pairs(one: Palette, other: Palette) -> dict[str, str]:
    """Colour → the colour of the same meaning in another palette."""
    pairs = {
        one.paper: other.paper,
        one.ink: other.ink,
        one.rule: other.rule,
        one.rust: other.rust,
    }
    for mine, theirs in zip(one.series, other.series, strict=True):
        pairs.setdefault(mine.text, theirs.text)
        pairs[mine.mark] = theirs.mark
    pairs[one.muted] = other.muted
    return pairs


def _data(value: Any) -> str:
    """JSON that may stand inside a script element: nothing in it can end the element."""
    text = json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"), sort_keys=True)
    return text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e")
