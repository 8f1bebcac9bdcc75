"""The figures of cost and of what is traded: nothing cut off, every number in their words."""

import numpy as np
import pytest

from tests.charts.picture import beyond
from wringout.charts import PAGE, PAGE_DARK, PRINT, Look, svg
from wringout.charts.break_even import break_even_figure
from wringout.charts.figure import Spec
from wringout.charts.tornado import shown_value, tornado_figure
from wringout.charts.tradeoff import Trade, tradeoff_figure
from wringout.dossier.dossier import Units
from wringout.ownership import Assumption, CostLine, Swing

HOUR = 3600.0


def swing(name: str, low: float, high: float, costs: tuple[float, float], unit: str = "EUR") -> Swing:
    """An assumption's bar, costs by the hour."""
    item = Assumption(name, name, (low + high) / 2, (high - low) / 3.3, unit, 1.0, "amount", "test")
    return Swing(item, low, high, costs[0] / HOUR, costs[1] / HOUR)


SWINGS = (
    swing("hours flown in a year", 120.0, 250.0, (520.0, 320.0), "h"),
    swing("value left at the sale of an airplane that has a long name", 49.0, 75.0, (415.0, 371.0), "%"),
    swing("price of fuel", 2.33, 2.99, (379.0, 408.0), "EUR/L"),
)
HOURS = np.linspace(50.0, 800.0, 40) * HOUR
LINE = CostLine("nose wheel", HOURS, 20.0 / HOURS - 4e-5, 10.0 / HOURS - 5e-5, 30.0 / HOURS - 3e-5)
TRADES = (
    Trade("tail wheel", "clinic day", (530.0, 590.0, 650.0), 359.0, 509.0, flies=True),
    Trade("nose wheel", "clinic day", (570.0, 640.0, np.inf), 353.0, 525.0, flies=False),
    Trade("tail wheel", "sick dog", (490.0, 550.0, 617.0), 390.0, None, flies=False),
    Trade("nose wheel", "sick dog", (np.inf, np.inf, np.inf), 384.0, 226.0, flies=False),
)


def tornado(look: Look) -> Spec:
    return tornado_figure(SWINGS, 394.0 / HOUR, "EUR", title="It hangs on hours", look=look)


def meeting(look: Look) -> Spec:
    where = [None, 400.0 * HOUR]
    return break_even_figure(
        [LINE, LINE],
        "EUR/nm more",
        1852.0,
        title="Where they meet",
        assumed=180 * HOUR,
        meets=where,
        look=look,
    )


def trade(look: Look) -> Spec:
    return tradeoff_figure(TRADES, Units(), "EUR", title="What is traded", look=look)


@pytest.mark.parametrize("look", [PAGE, PAGE_DARK, PRINT], ids=["page", "dark", "print"])
@pytest.mark.parametrize("draw", [tornado, meeting, trade])
def test_nothing_is_cut_off_and_equal_figures_are_equal(draw, look: Look) -> None:  # type: ignore[no-untyped-def]
    """Every letter stands on the paper, and a figure drawn twice is the same picture."""
    spec = draw(look)
    drawing = svg(spec)
    assert not any(beyond(drawing).values())
    assert svg(draw(look)) == drawing


def test_the_words_hold_every_number() -> None:
    """Who cannot see the bars hears the assumptions with their costs; who cannot see the dots, the trades."""
    told = str(tornado(PAGE)["description"])
    assert "hours flown in a year 120 h to 250 h: 520 to 320 EUR an hour" in told
    told = str(trade(PAGE)["description"])
    assert "tail wheel, clinic day: 590 m, 359 kg, 509 EUR" in told
    assert "nose wheel, sick dog" not in told


def test_ends_have_the_digits_that_their_spread_leaves() -> None:
    """Two figures of the spread."""
    assert shown_value(SWINGS[2], 2.33) == "2.33 EUR/L"
    assert shown_value(swing("overhaul", 34_312.0, 50_692.0, (1.0, 2.0)), 34_312.0) == "34\u202f300 EUR"


def test_nothing_to_show_is_said() -> None:
    """No uncertain assumption, no strip."""
    with pytest.raises(ValueError, match="no assumption states an uncertainty"):
        tornado_figure((), 0.1, "EUR", title="none")
    with pytest.raises(ValueError, match="no mission names a strip"):
        tradeoff_figure(TRADES[3:], Units(), "EUR", title="none")
