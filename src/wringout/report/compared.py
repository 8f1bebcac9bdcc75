"""The report on configurations and airplanes side by side: what each gains and gives up."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wringout.evaluation.gains import (
    gains,
    interval_words,
    mission_sentence,
    outing_words,
    probability_of,
    sentences,
    shown_unit,
)
from wringout.report.blocks import Block, Cell, Column, caution, fail, lead, table, text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from wringout.dossier.dossier import Units
    from wringout.evaluation.comparison import Comparison, Row
    from wringout.evaluation.evaluation import Evaluation
    from wringout.evaluation.gains import Gain

_TOLD = ("payload", "strip", "cost")
_MOST = 12


def compared_blocks(evaluation: Evaluation, figures: dict[str, Block]) -> list[Block]:
    """The configurations that were flown, then the dossiers that it names."""
    units = evaluation.dossier.units
    blocks: list[Block] = []
    for found, key in ((evaluation.comparison, "trade-off"), (evaluation.beside, "trade-off beside others")):
        if found is not None:
            blocks += _comparison(found, [figures[key]] if key in figures else [], units)
    missing = [f"{name}: {reason}" for name, reason in evaluation.not_beside]
    if missing:
        blocks.append(text(f"Not compared with {' '.join(missing)}"))
    if not blocks:
        return [
            lead("One configuration was flown and no other dossier is named: there is nothing to compare.")
        ]
    return blocks


def _comparison(comparison: Comparison, shown: Sequence[Block], units: Units) -> list[Block]:
    said = sentences(comparison)
    return [
        lead(said[0], *comparison.notes),
        *(text(sentence) for sentence in said[1:]),
        *shown,
        measure_table(comparison),
        mission_table(comparison, units),
        gains_table(comparison),
        caution(comparison.caution),
    ]


def measure_table(comparison: Comparison) -> Block:
    """Every measure, a column a contender, with the probability that each other beats the first."""
    rows = [_row(row, row.measure.condition) for row in comparison.rows]
    return table(_columns(comparison, "measure"), rows, wide=True, dense=True)


def mission_table(comparison: Comparison, units: Units) -> Block:
    """Each mission's outcome, then what it carries, the strip it needs and what it costs."""
    rows: list[list[Cell]] = []
    for mission in comparison.missions:
        words = [outing_words(outing, units) for outing in mission.outings]
        cells: list[Cell] = [
            fail(word) if outing.outcome in ("no", "refused") else word
            for word, outing in zip(words, mission.outings, strict=True)
        ]
        condition = next((f", {row.measure.condition}" for row in mission.rows), "")
        rows.append([f"{mission.name}{condition}", *cells, *("" for _ in comparison.contenders[1:])])
        rows += [_row(row) for what in _TOLD if (row := mission.row(what)) is not None]
    columns = _columns(comparison, "mission")
    return table(columns, rows, mission_sentence(comparison), wide=True, dense=True)


def gains_table(comparison: Comparison) -> Block:
    """What each other gains and gives up against the first, the greatest first, the like of missions once."""
    several = len(comparison.contenders) > 2
    columns = [
        Column("" if several else comparison.contenders[1].name),
        Column("how much of what", stretch=1),
        Column("condition", stretch=1),
        Column("sure", kind="number"),
    ]
    rows: list[list[Cell]] = []
    for contender, found in zip(comparison.contenders[1:], gains(comparison), strict=True):
        for kind in ("gives up", "gains"):
            some = [gain for gain in found if gain.kind == kind]
            for gain, count in _once(some)[:_MOST]:
                on = f"; likewise on {count} of {len(comparison.missions)} missions" if count > 1 else ""
                says = f"{contender.name} {kind}" if several else kind
                rows.append([says, gain.words, f"{gain.measure.condition}{on}", gain.sure])
    return table(columns, rows, wide=True, dense=True)


def _once(found: Sequence[Gain]) -> list[tuple[Gain, int]]:
    """The weightiest of each kind of thing, and of how many missions the like holds."""
    kinds: dict[str, list[Gain]] = {}
    for gain in found:
        kinds.setdefault(gain.measure.key.rpartition(": ")[2], []).append(gain)
    return [(each[0], sum(": " in gain.measure.key for gain in each)) for each in kinds.values()]


def _columns(comparison: Comparison, first: str) -> list[Column]:
    others = comparison.contenders[1:]
    columns = [Column(first, stretch=1)]
    columns += [Column(contender.name, kind="number") for contender in comparison.contenders]
    if len(others) == 1:
        return [*columns, Column("P(better)", kind="number")]
    return columns + [Column(f"P({contender.name})", kind="number") for contender in others]


def _row(row: Row, condition: str = "") -> list[Cell]:
    unit = shown_unit(row.measure)
    figures = [interval_words(row.measure, figure).removesuffix(unit).rstrip() for figure in row.figures]
    better = [probability_of(beats[0]) for beats in row.beats[1:]]
    return [f"{row.measure.what}, {unit}{f'; {condition}' if condition else ''}", *figures, *better]
