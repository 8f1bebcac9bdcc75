"""Options, handling and a card's notes in a real browser: sound at both sizes, in both lights."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.web.test_browser import CHROMIUM, LARGE, TABLET, Watched

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no chromium on this machine: apt install chromium")

PAGES = ("options?after=nose%20wheel", "handling", "flights/flight-2a/notes")


@pytest.mark.parametrize("size", [LARGE, TABLET], ids=["large", "tablet"])
def test_the_pages_are_sound(chromium: Browser, served_demo: str, size: tuple[int, int]) -> None:
    """No serious fault for those who hear or do not see colours, nothing too wide, nothing on the console."""
    watched = Watched(chromium, size, "light")
    for path in PAGES:
        watched.page.goto(f"{served_demo}/d/demo/{path}")
        watched.page.wait_for_load_state("networkidle")
        assert watched.faults() == [], path
        assert watched.overflow() <= 0, path
        watched.page.emulate_media(color_scheme="dark")
        assert watched.faults(rules=["color-contrast"]) == [], path
        watched.page.emulate_media(color_scheme="light")
    assert watched.said == []
    watched.context.close()


def test_the_tree_is_walked_by_hand(chromium: Browser, served_demo: str) -> None:
    """Yes, yes, no: each answer asks the next question in place and keeps the task that was typed."""
    watched = Watched(chromium, LARGE, "dark")
    page = watched.page
    page.goto(f"{served_demo}/d/demo/handling")
    page.wait_for_load_state("networkidle")
    page.fill("#rate-task", "hold 60 kt")
    for word, wanted in (("Yes", "tolerable pilot workload"), ("Yes", "without improvement"), ("No", "4")):
        page.click(f'.fork .buttons button:has-text("{word}")')
        page.wait_for_selector(f'.fork >> text="{wanted}"' if wanted == "4" else f".asked >> text={wanted}")
    assert page.input_value("#rate-task") == "hold 60 kt"
    assert page.locator('.fork input[name="rating"]').count() == 3
    assert watched.said == []
    watched.context.close()
