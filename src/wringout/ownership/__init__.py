"""What it costs to own and to fly, what that hangs on, and from when one is cheaper than another."""

from wringout.ownership.annuity import annual_capital_cost, capital_recovery_factor, present_value_factor
from wringout.ownership.assumptions import Assumption, assumptions
from wringout.ownership.break_even import BreakEven, CostLine, break_even, cost_line, difference_line
from wringout.ownership.parts import Parts, cost_parts
from wringout.ownership.reckoning import CostFigure, Reckoned, Swing, reckon

__all__ = [
    "Assumption",
    "BreakEven",
    "CostFigure",
    "CostLine",
    "Parts",
    "Reckoned",
    "Swing",
    "annual_capital_cost",
    "assumptions",
    "break_even",
    "capital_recovery_factor",
    "cost_line",
    "cost_parts",
    "difference_line",
    "present_value_factor",
    "reckon",
]
