"""What it costs to own and to fly."""

from wringout.ownership.hourly import CostRow, HourlyCost, break_even_hours, hourly_cost

__all__ = ["CostRow", "HourlyCost", "break_even_hours", "hourly_cost"]
