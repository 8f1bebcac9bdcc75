"""A chart on a page: data that stays data, both palettes, words and numbers beside it."""

from __future__ import annotations

import json
from typing import Any

from starlette.testclient import TestClient

from wringout.charts import PAGE, Look
from wringout.charts.theme import DARK, LIGHT
from wringout.web.charts import chart, drawing, library, numbers
from wringout.web.rendering import templates


def spec(look: Look) -> dict[str, Any]:
    """A small figure with words that would end a script if they were let."""
    return {
        "title": {"text": ["It needs </script><b>310 m</b>"], "offset": 4},
        "description": "a & b </script>",
        "padding": {"top": 40, "left": 0},
        "config": {"title": {"lineHeight": 20}, "background": look.palette.paper},
    }


def shown(made: object) -> str:
    """The chart as it stands on a page."""
    module = templates().env.get_template("pieces/chart.html").module
    return str(module.show(made))  # type: ignore[attr-defined]


def test_nothing_in_a_chart_can_end_its_data() -> None:
    """The data reads back as it was, in each palette; the title is the page's own text."""
    made = chart("t", spec, numbers(("at", "m"), [("sea level", "310")]))
    light, dark = json.loads(made.light), json.loads(made.dark)
    assert light["description"] == "a & b </script>"
    assert (light["config"]["background"], dark["config"]["background"]) == (LIGHT.paper, DARK.paper)
    assert "title" not in light
    text = shown(made)
    assert text.count("</script>") == 2
    assert "&lt;b&gt;310" in text.replace("\u00a0", " ")


def test_the_same_numbers_and_the_words_stand_beside_a_chart() -> None:
    """One step away, with the unit in the heading."""
    text = shown(chart("t", spec, numbers(("at", "distance, m"), [("sea level", "310")])))
    assert "The same numbers" in text
    assert "distance, m" in text
    assert 'aria-label="a &amp; b &lt;/script&gt;"' in text


def test_a_drawing_brings_its_words() -> None:
    """From the drawing itself."""
    made = drawing(
        "d", "An airplane", lambda look: f'<svg aria-label="wing &amp; wheel" fill="{look.palette.ink}"/>'
    )
    assert made.alt == "wing & wheel"
    assert PAGE.palette.ink in made.light


def test_the_library_is_served_from_here_and_interprets_what_it_draws(browser: TestClient) -> None:
    """One script without a word of another place to load from."""
    answer = browser.get("/static/vega.js")
    assert answer.status_code == 200
    assert answer.content == library()
    assert b"vegaEmbed" in answer.content
    assert b"importScripts" not in answer.content


def test_an_unchanged_file_is_not_sent_twice(browser: TestClient) -> None:
    """The style sheet is asked for again, and only its name comes back."""
    first = browser.get("/static/field_book.css")
    again = browser.get("/static/field_book.css", headers={"if-none-match": first.headers["etag"]})
    assert (first.status_code, again.status_code) == (200, 304)
