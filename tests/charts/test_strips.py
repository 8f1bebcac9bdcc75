"""The year of a strip: a cell for each hour that counts, months told in words, nothing where it is night."""

from __future__ import annotations

import re

import numpy as np
import pytest

from wringout.charts.strips import heat_drawing, heats_drawing
from wringout.charts.theme import IN_PAGE, PAGE, PAGE_DARK, PRINT
from wringout.dossier.dossier import Strip
from wringout.missions.suitability import StripAnswer


def answer(name: str, heat: np.ndarray) -> StripAnswer:
    """An answer with this year."""
    share = float(np.nanmean(heat))
    strip = Strip(name, 0.0, 500.0, 0.0, 0.0, "dry grass")
    return StripAnswer(
        strip=strip,
        configuration="tail wheel",
        mass=900.0,
        share=share,
        low=share,
        high=share,
        heat=heat,
        reasons={},
        season="",
        landing=(300.0, 500.0),
        take_off=(300.0, 500.0),
        density_altitude=(0.0, 100.0),
        cross_wind=4.0,
        masses=np.array([900.0]),
        shares=np.array([share]),
        kept_mass=900.0,
        hours=100,
        notes=(),
    )


HEAT = np.full((12, 24), np.nan)
HEAT[:, 8:16] = 1.0
HEAT[0, 8:16] = 0.0
HEAT[1, 8:16] = 0.5


@pytest.mark.parametrize("look", [PRINT, PAGE, PAGE_DARK, IN_PAGE])
def test_each_hour_that_counts_has_a_cell_and_each_month_its_share(look: object) -> None:
    """Ninety-six cells, eight of them empty outlines; night is bare paper; the words tell the same."""
    drawn = heat_drawing(answer("Hag & End", HEAT), look=look)  # type: ignore[arg-type]
    key = 3
    assert drawn.count("<rect") == 96 + key
    assert drawn.count('fill="none"') == 8 + 1
    assert "Hag &amp; End: share of usable hours" in drawn
    assert "Jan 0 %, Feb 50 %, Mar 100 %" in drawn
    assert drawn.count(">100 %<") == 10
    tints = [float(value) for value in re.findall(r'fill-opacity="([0-9.]+)"', drawn)]
    assert sorted(set(tints)) == [0.45, 0.9]


def test_all_strips_stand_side_by_side_under_their_names() -> None:
    """Twelve years and twelve shares; without a strip there is nothing to draw."""
    drawn = heats_drawing([answer(f"Strip {number}", HEAT) for number in range(12)])
    assert all(f">Strip {number}<" in drawn for number in range(12))
    assert drawn.count("<rect") == 12 * 96 + 3
    with pytest.raises(ValueError, match="no strip"):
        heats_drawing([])
