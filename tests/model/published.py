"""Reads the printed values of tests/published, each with the unit of its last printed digit."""

import csv
from pathlib import Path

PUBLISHED = Path(__file__).parents[1] / "published"


def printed(file: str, case: str) -> dict[str, tuple[float, float]]:
    """Quantity → (value, one unit of its last printed digit) of one case."""
    with (PUBLISHED / file).open(encoding="utf-8", newline="") as rows:
        texts = {row["quantity"]: row["printed"] for row in csv.DictReader(rows) if row["case"] == case}
    return {quantity: (float(text), last_digit(text)) for quantity, text in texts.items()}


def last_digit(text: str) -> float:
    """One unit of the last printed digit: '0.071' → 0.001."""
    mantissa, _, exponent = text.upper().partition("E")
    decimals = len(mantissa.partition(".")[2])
    return float(10.0 ** (int(exponent or 0) - decimals))
