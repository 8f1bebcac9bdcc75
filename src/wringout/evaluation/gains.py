"""What each contender gains and gives up against the first, in words first: the comparison read aloud."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor, isfinite, log10
from typing import Literal

from wringout.dossier.dossier import Units
from wringout.evaluation.comparison import Comparison, Row
from wringout.evaluation.costs import Spread
from wringout.evaluation.measures import Measure, Outing
from wringout.quantity.showing import show
from wringout.quantity.units import convert, find_unit

SURE = 0.90
_FIRST = ("strip", "payload", "cruise", "cost an hour", "climb", "range", "stall speed")
_MOST_TOLD = 3


@dataclass(frozen=True, slots=True)
class Gain:
    """One thing in which a contender differs from the first; `probability` that it is the better one in it.

    `words` tell how much of what, `sure` how probable it is that it is so at all.
    """

    contender: str
    kind: Literal["gains", "gives up", "not told apart"]
    measure: Measure
    difference: Spread
    probability: float
    words: str
    sure: str


def gains(comparison: Comparison) -> tuple[tuple[Gain, ...], ...]:
    """What each contender but the first gains and gives up, the greatest in relation to the figure first."""
    # What a strip needed is held against is the strip that there is.
    every: list[tuple[Row, float | None]] = [(row, None) for row in comparison.rows]
    for mission in comparison.missions:
        there = next((item.available for item in mission.outings if item.available), None)
        every += [(row, there if row.measure.key.endswith(": strip") else None) for row in mission.rows]
    found = []
    for number, contender in enumerate(comparison.contenders):
        if number == 0:
            continue
        mine = [
            (_weight(row, number, there), gain)
            for row, there in every
            if (gain := _gain(row, number, contender.name))
        ]
        found.append(tuple(gain for _, gain in sorted(mine, key=lambda item: -item[0])))
    return tuple(found)


def sentences(comparison: Comparison) -> tuple[str, ...]:
    """One sentence a contender but the first: what it gains, what it gives up, how sure that is."""
    first = comparison.contenders[0].name
    told = []
    for each, contender in zip(gains(comparison), comparison.contenders[1:], strict=True):
        up, down = (_told([gain for gain in each if gain.kind == kind]) for kind in ("gains", "gives up"))
        against = f"Against the {first} the {contender.name}"
        told_of = [(words, found) for words, found in (("gives up", down), ("gains", up)) if found]
        if not told_of:
            told.append(f"{against} does nothing better or worse that the flights can tell.")
            continue
        sure = {gain.sure for _, found in told_of for gain in found}
        alike = sure.pop() if len(sure) == 1 else ""
        parts = [f"{words} {_listed(found, alike=bool(alike))}" for words, found in told_of]
        told.append(f"{against} {' and '.join(parts)}{f'; {alike} each' if alike else ''}.")
    return tuple(told)


def mission_sentence(comparison: Comparison) -> str:
    """How many of the missions each contender flies."""
    count = len(comparison.missions)
    if not count:
        return "The dossier asks for no mission."
    parts = []
    for number, contender in enumerate(comparison.contenders):
        outcomes = [mission.outings[number].outcome for mission in comparison.missions]
        sure, open_ = outcomes.count("yes"), outcomes.count("uncertain")
        flies = "flies " if number == 0 else ""
        parts.append(
            f"the {contender.name} {flies}{sure or 'none'}{f', perhaps {sure + open_}' if open_ else ''}"
        )
    of = f"{count} missions" if count > 1 else "one mission"
    listed = f"{'; '.join(parts[:-1])}; and {parts[-1]}" if len(parts) > 2 else " and ".join(parts)
    return f"Of {of}, with all that must go and the usual factors on the strip, {listed}."


def figure_words(measure: Measure, value: float, spread: float, *, sign: bool = False) -> str:
    """A figure of a measure with the digits that half its 90 % interval leaves it, unit included.

    Parameters
    ----------
    measure : Measure
    value : float
        SI, or money for each SI unit.
    spread : float
        Half of its 90 % interval.
    sign : bool
        Whether a plus is written too.
    """
    if not isfinite(value):
        return "cannot"
    digits = digits_for(measure, spread)
    if measure.dimension is None:
        factor = find_unit(measure.per).factor if measure.per else 1.0
        shown = show(value * factor, "", digits=digits)
        words = f"{shown} {measure.unit}{f'/{measure.per}' if measure.per else ''}"
    else:
        words = show(value, measure.unit, digits=digits, dimension=measure.dimension)
    return f"+{words}" if sign and value > 0.0 and not words.startswith("0 ") else words


def digits_for(measure: Measure, spread: float) -> int:
    """Digits after the point that half of a 90 % interval leaves: its first, at most one, of money two."""
    if measure.dimension is None:
        half, most = spread * (find_unit(measure.per).factor if measure.per else 1.0), 2
    else:
        ends = (convert(each, measure.unit, measure.dimension) for each in (spread, 0.0))
        half, most = abs(next(ends) - next(ends)), 1
    if not half > 0.0 or not isfinite(half):
        return 0
    return min(most, max(-floor(log10(half)), 0))


def shown_unit(measure: Measure) -> str:
    """The unit of a measure as it stands behind its figures."""
    return f"{measure.unit}/{measure.per}" if measure.per else measure.unit


def interval_words(measure: Measure, figure: Spread | None) -> str:
    """'118 (117 to 120) kt' with the 90 % interval; a dash where it is not told."""
    if figure is None:
        return "–"
    half = 0.5 * (figure.high - figure.low)
    low, middle, high = (
        figure_words(measure, value, half) for value in (figure.low, figure.median, figure.high)
    )
    if half == 0.0 or low == high:
        return middle
    shown, _, unit = middle.rpartition(" ")
    return f"{shown} ({low.rpartition(' ')[0] or low} to {high.rpartition(' ')[0] or high}) {unit}"


def probability_of(probability: float | None) -> str:
    """A probability alone: '0.93', '> 0.99'; a dash where it is not told."""
    return "–" if probability is None else probability_words(probability).removeprefix("P").lstrip(" =")


def probability_words(probability: float) -> str:
    """'P = 0.93', 'P > 0.99'."""
    if probability > 0.99:
        return "P > 0.99"
    return "P < 0.01" if probability < 0.01 else f"P = {probability:.2f}"


def outing_words(outing: Outing, units: Units) -> str:
    """A mission's outcome in a few words."""
    if outing.outcome == "refused":
        return outing.sentence
    load = f"{show(outing.carried, units.mass, digits=0)} of {show(outing.asked, units.mass, digits=0)}"
    return f"{outing.outcome}, {load}"


def _gain(row: Row, number: int, contender: str) -> Gain | None:
    difference, probability = row.differences[number], row.beats[number][0]
    if difference is None or probability is None:
        return None
    if difference.low == difference.high == 0.0:
        return None
    kind: Literal["gains", "gives up", "not told apart"] = "not told apart"
    if probability >= SURE:
        kind = "gains"
    elif probability <= 1.0 - SURE:
        kind = "gives up"
    half = 0.5 * (difference.high - difference.low)
    amount = figure_words(row.measure, abs(difference.median), half)
    if row.measure.dimension is None:  # 'EUR an hour', not 'EUR/h an hour'
        amount = amount.rpartition("/")[0] if row.measure.per else amount
    sure = 1.0 - probability if kind == "gives up" else probability
    words = f"{amount} {row.measure.short}"
    return Gain(contender, kind, row.measure, difference, probability, words, probability_words(sure))


def _weight(row: Row, number: int, there: float | None) -> float:
    """How much a difference is of the first's figure, or of what there is."""
    difference, first = row.differences[number], row.figures[0]
    if difference is None or first is None or first.median == 0.0 or not isfinite(first.median):
        return 0.0
    return abs(difference.median / (there or first.median))


def _told(found: Sequence[Gain]) -> list[Gain]:
    """The weightiest of the kinds that readers ask first, one each."""
    told: dict[str, Gain] = {}
    for key in _FIRST:
        for gain in found:
            stem = gain.measure.key.rpartition(": ")[2]
            if stem == key and stem not in told:
                told[stem] = gain
    return list(told.values())[:_MOST_TOLD]


def _listed(found: Sequence[Gain], *, alike: bool) -> str:
    words = [gain.words if alike else f"{gain.words} ({gain.sure})" for gain in found]
    return f"{', '.join(words[:-1])} and {words[-1]}" if len(words) > 1 else words[0]
