"""Reads the printed weight-and-balance examples: inputs, and answers with the unit of their last digit."""

import csv
from dataclasses import dataclass
from pathlib import Path

from tests.model.published import last_digit

POUND, INCH, US_GALLON = 0.45359237, 0.0254, 3.785411784e-3
# 6 lb a US gal [common practice, and so printed in the examples].
AVGAS_DENSITY = 6.0 * POUND / US_GALLON

_TABLE = Path(__file__).parents[1] / "published" / "weight_and_balance.csv"


@dataclass(frozen=True, slots=True)
class Printed:
    """One example: inputs by name, answers as (value, one unit of the last printed digit) by quantity."""

    inputs: dict[str, str]
    answers: dict[str, tuple[float, float]]

    def number(self, name: str) -> float:
        """One input as a number."""
        return float(self.inputs[name])


def printed(case: str) -> Printed:
    """The example of that key."""
    with _TABLE.open(encoding="utf-8", newline="") as rows:
        found = [row for row in csv.DictReader(rows) if row["case"] == case]
    inputs: dict[str, str] = {}
    for part in found[0]["inputs"].split("|"):
        name, separator, value = part.partition("=")
        if separator:
            inputs[name] = value
        else:  # a further row of the list that came before
            inputs[list(inputs)[-1]] += f"|{part}"
    return Printed(
        inputs, {row["quantity"]: (float(row["printed"]), last_digit(row["printed"])) for row in found}
    )


def rows_of(text: str) -> list[tuple[str, list[float]]]:
    """'left main:852:16:46|…' as names and numbers."""
    split = [row.split(":") for row in text.split("|")]
    return [(name, [float(number) for number in numbers]) for name, *numbers in split]
