"""The airplane's page under a hand: faults as one types, edits one after another, a drawing that follows."""

from __future__ import annotations

from collections.abc import Callable
from time import monotonic
from typing import TYPE_CHECKING

import pytest

from tests.web.test_browser import CHROMIUM, LARGE, SOON, TABLET, Watched

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

PAGE = "/d/mine/airplane"
REFUSED = "status of 422"  # the browser itself notes every answer that refuses

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no chromium on this machine: apt install chromium")


def _opened(watched: Watched, served: str) -> Page:
    page = watched.page
    page.set_default_timeout(SOON)
    page.goto(f"{served}{PAGE}")
    page.locator("#airplane-drawing svg").wait_for()
    return page


def _until(page: Page, holds: Callable[[], bool]) -> None:
    """Wait until something holds; the page forbids to evaluate words, so it is asked from here."""
    end = monotonic() + SOON / 1000
    while not holds():
        assert monotonic() < end, "it never came to hold"
        page.wait_for_timeout(30)


def test_a_fault_is_told_while_it_is_typed_and_goes_when_it_is_mended(chromium: Browser, served: str) -> None:
    """What was typed stays, the focus stays, and a bare number shows its unit once it is kept."""
    watched = Watched(chromium, LARGE, "light")
    page = _opened(watched, served)
    field, says = page.locator("#f-station-1-mass-limit"), page.locator("#says-station-1-mass-limit")
    field.fill("heavy")
    says.locator(".fault").wait_for()
    assert page.evaluate("document.activeElement.id") == "f-station-1-mass-limit"
    page.keyboard.press("Tab")
    _until(page, lambda: any(REFUSED in word for word in watched.said))
    assert field.input_value() == "heavy"
    field.fill("110")
    page.keyboard.press("Tab")
    _until(page, lambda: field.input_value() == "110 kg")
    says.locator(".fault").wait_for(state="detached")
    assert all(REFUSED in word for word in watched.said)
    watched.context.close()


def test_edits_follow_on_one_another_and_the_drawing_follows_them(chromium: Browser, served: str) -> None:
    """Two fields left faster than the server answers are both kept, each on the version of the other."""
    watched = Watched(chromium, LARGE, "dark")
    page = _opened(watched, served)
    page.fill("#f-geometry-span", "12.3 m")
    page.keyboard.press("Tab")
    page.fill("#f-geometry-wing-area", "19 m²")
    page.keyboard.press("Tab")
    page.locator('#steps-airplane-toml button:has-text("19 m²")').wait_for()
    page.locator('#airplane-drawing text:text-is("12.30 m")').wait_for()
    page.reload()
    assert page.input_value("#f-geometry-span") == "12.3 m"
    assert page.input_value("#f-geometry-wing-area") == "19 m²"
    page.locator('#steps-airplane-toml button:has-text("Take back")').click()
    _until(page, lambda: page.input_value("#f-geometry-wing-area") == "15.8 m²")
    assert not watched.said
    watched.context.close()


def test_a_row_is_added_with_the_keyboard_alone(chromium: Browser, served: str) -> None:
    """Opened, filled in, refused at the field that is lacking, added, and taken away again."""
    watched = Watched(chromium, TABLET, "light")
    page = _opened(watched, served)
    page.locator("#part-flaps summary").focus()
    page.keyboard.press("Enter")
    page.locator("#f-flap-3-name").focus()
    page.keyboard.type("barn door")
    page.keyboard.press("Enter")
    page.locator("#says-flap-3-deflection .fault").wait_for()
    page.locator("#f-flap-3-deflection").focus()
    page.keyboard.type("55 °")
    page.keyboard.press("Enter")
    page.locator('#entry-flap-3 input[value="barn door"]').wait_for()
    page.locator("#entry-flap-3 button.away").focus()
    page.keyboard.press("Enter")
    page.locator("#entry-flap-3").wait_for(state="detached")
    watched.context.close()


@pytest.mark.parametrize(("size", "scheme"), [(LARGE, "light"), (TABLET, "dark")])
def test_the_page_is_sound(chromium: Browser, served: str, size: tuple[int, int], scheme: str) -> None:
    """Nothing wider than the window, nothing that axe calls serious, nothing said, nothing from afar."""
    watched = Watched(chromium, size, scheme)
    page = _opened(watched, served)
    assert watched.overflow() <= 0
    assert not watched.faults()
    assert not watched.said
    assert all(asked.startswith((served, "data:")) for asked in watched.asked)
    assert page.locator("h1").count() == 1
    watched.context.close()
