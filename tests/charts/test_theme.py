"""Colours can be read, typefaces are there and draw."""

import re

import numpy as np
import pytest

from tests.charts.picture import ink, pixels
from wringout.charts.theme import DARK, LIGHT, PAGE, PAGE_DARK, PRINT, Look, Palette, config
from wringout.charts.typefaces import FONT_DIRECTORY, FONT_FILES, SANS, SERIF, register

LOOKS = pytest.mark.parametrize("look", [PRINT, PAGE, PAGE_DARK], ids=["print", "page", "dark page"])


def luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour [WCAG 2.1, definition of relative luminance]."""
    parts = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.03928 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio [WCAG 2.1, definition of contrast ratio]."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_contrast_of_black_and_white() -> None:
    """The contrast formula gives the 21 : 1 of black on white that WCAG 2.1 states."""
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)


@LOOKS
def test_text_can_be_read(look: Look) -> None:
    """Every colour in which text is set has a contrast of at least 4.5 : 1 with its ground."""
    palette = look.palette
    for colour in (palette.ink, palette.muted, palette.rust, *(series.text for series in palette.series)):
        assert contrast(colour, palette.paper) >= 4.5


@LOOKS
def test_marks_can_be_seen(look: Look) -> None:
    """Every colour of data has a contrast of at least 3 : 1 with its ground."""
    assert all(contrast(series.mark, look.palette.paper) >= 3.0 for series in look.palette.series)


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
def test_series_are_apart(palette: Palette) -> None:
    """No two data colours are one, and the accent is none of them."""
    marks = [series.mark for series in palette.series]
    assert len({palette.rust, palette.ink, *marks}) == len(marks) + 2


def test_typefaces_are_shipped() -> None:
    """Every typeface file is in the package with its open licence beside it."""
    assert all((FONT_DIRECTORY / name).stat().st_size > 100_000 for name in FONT_FILES)
    for face in ("SourceSans3", "SourceSerif4"):
        assert "SIL OPEN FONT LICENSE" in (FONT_DIRECTORY / f"{face}-OFL.txt").read_text(encoding="utf-8")


def sheet(text: str, family: str, weight: int) -> str:
    """One line of text on white paper."""
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" width="400" height="40">'
        '<rect width="400" height="40" fill="#FFFFFF"/>'
        f'<text x="4" y="30" font-family="\'{family}\'" font-weight="{weight}" font-size="30">'
        f"{text}</text></svg>"
    )


@pytest.mark.parametrize("family", [SANS, SERIF])
@pytest.mark.parametrize("weight", [400, 500, 700])
def test_typeface_draws(family: str, weight: int) -> None:
    """The renderer knows each typeface: text in it leaves ink (an unknown one leaves none)."""
    import vl_convert

    register()
    picture = pixels(vl_convert.svg_to_png(sheet("1 090 kg", family, weight)))
    assert ink(picture, "#FFFFFF").sum() > 200


def test_figures_are_tabular() -> None:
    """Columns of equal digits are equally wide, so that decimal points stand under one another."""
    import vl_convert

    register()

    def width(text: str) -> int:
        picture = pixels(vl_convert.svg_to_png(sheet(text, SANS, 400)))
        columns = np.flatnonzero(ink(picture, "#FFFFFF").any(axis=0))
        return int(columns[-1] - columns[0])

    assert len({width(f"|{digit * 9}|") for digit in "0123456789"}) == 1


@LOOKS
def test_configuration_quotes_its_typeface(look: Look) -> None:
    """The family name holds a bare digit and stands in quotes everywhere, or its text would vanish."""
    names = re.findall(r"'(?:font|labelFont|titleFont)': (\"[^\"]*\"|'[^']*')", repr(config(look)))
    assert names
    assert set(names) == {f"\"'{SANS}'\""}
