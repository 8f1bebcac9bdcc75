"""The printed values of landing gears, with their inputs."""

import csv
from pathlib import Path

from tests.model.published import last_digit

TABLE = Path(__file__).parents[1] / "published" / "landing_gear.csv"


def example(case: str) -> tuple[dict[str, float], float, float]:
    """Inputs, printed value and one unit of its last digit."""
    with TABLE.open(encoding="utf-8", newline="") as rows:
        row = next(row for row in csv.DictReader(rows) if row["case"] == case)
    pairs = (part.split("=") for part in row["inputs"].split("|") if part)
    return {name: float(value) for name, value in pairs}, float(row["printed"]), last_digit(row["printed"])
