"""The report on the maker's claims."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING, get_args

from wringout.claims.verdict import Finding, Verdict
from wringout.dossier.claim import CLAIM_DIMENSIONS, Claim
from wringout.dossier.dossier import Units
from wringout.evaluation.next_words import fall, sortie_words, unit_words
from wringout.quantity.showing import show_estimate
from wringout.report.blocks import (
    NOT_KNOWN,
    Block,
    Cell,
    Column,
    fail,
    heading,
    lead,
    origin_words,
    table,
    together,
    unit_of,
)
from wringout.report.words import capital, counted, listed

if TYPE_CHECKING:
    from wringout.evaluation.evaluation import Evaluation

FAILING = ("not borne out", "leaning no")


def verdict_table(evaluation: Evaluation) -> list[Block]:
    """Page 1's table: each claim, the verdict in words, and where its probability stands from 0 to 1."""
    if not evaluation.verdicts:
        return []
    rows: list[list[Cell]] = [
        [
            verdict.claim.statement,
            _found(verdict, evaluation.dossier.units),
            fail(verdict.finding) if verdict.finding in FAILING else verdict.finding,
            verdict.probability,
            chance(verdict),
        ]
        for verdict in evaluation.verdicts
    ]
    columns = (
        Column("the maker's claim", stretch=1),
        Column("what was found"),
        Column("verdict"),
        Column("probability that it holds", "0 to 1", "rule"),
        Column("", kind="number"),
    )
    return [table(columns, rows, dense=len(rows) > 9)]


def claim_blocks(evaluation: Evaluation) -> list[Block]:
    """Each claim with its arithmetic and its evidence, down to card, point and span."""
    if not evaluation.verdicts:
        return [lead(verdicts_sentence(()))]
    blocks: list[Block] = [
        lead(
            verdicts_sentence(evaluation.verdicts),
            "borne out: probability 0.90 or more; not borne out: 0.10 or less",
        )
    ]
    blocks += [_claim(verdict) for verdict in evaluation.verdicts]
    return blocks + _next_blocks(evaluation)


def _next_blocks(evaluation: Evaluation) -> list[Block]:
    """What to fly for each claim that the flights left open, in an hour of points."""
    units, rows = evaluation.dossier.units, []
    for item in evaluation.to_settle:
        flight, claim = item.flight, evaluation.verdicts[item.number].claim
        before, after = (f"{sd}{unit_words(flight, units)}" for sd in fall(flight, units))
        told = capital(sortie_words([point for point, _ in flight.steps])) if flight.steps else NOT_KNOWN
        minutes = f"{flight.time / 60.0:.0f}" if flight.steps else NOT_KNOWN
        rows.append([claim.statement, told, minutes, f"± {before}", f"± {after}"])
    if not rows:
        return []
    columns = (
        Column("claim", stretch=1),
        Column("fly", stretch=1),
        Column("in", "min", "number"),
        Column("now", kind="number"),
        Column("then", kind="number"),
    )
    note = (
        "standard deviation of the claimed figure, before and after; at most an hour of points, those that "
        "take away most for their minutes; a dash where no point takes away a hundredth"
    )
    return [together(heading("What to fly next"), table(columns, rows, note))]


def verdicts_sentence(verdicts: Sequence[Verdict]) -> str:
    """How many claims stand up."""
    if not verdicts:
        return "No claims were registered."
    count = Counter(verdict.finding for verdict in verdicts)
    parts = [f"{count[finding]} {finding}" for finding in get_args(Finding) if count[finding]]
    return f"Of {counted(len(verdicts), 'claim')}: {listed(parts)}."


def _found(verdict: Verdict, units: Units) -> str:
    """The figure that the evidence gives at the claim's conditions: the fit's, where there is one."""
    kind = CLAIM_DIMENSIONS[verdict.claim.quantity]
    rows = sorted(verdict.evidence, key=lambda row: row.kind != "model")
    figures = [row.figure for row in rows if row.figure is not None and row.figure.dimension is kind]
    return show_estimate(figures[0], claim_unit(verdict.claim, units)) if figures else "–"


def claim_unit(claim: Claim, units: Units) -> str:
    """The unit in which the claim's figure is shown beside the evaluation's own."""
    by_quantity = {
        "rate of climb": units.vertical_speed,
        "service ceiling": units.height,
        "range": units.range,
        "endurance": "h",
        "battery endurance": "min",
    }
    return by_quantity.get(claim.quantity) or unit_of(CLAIM_DIMENSIONS[claim.quantity], units)


def chance(verdict: Verdict) -> str:
    """The probability as it may honestly be written: no more than two digits, and never 0 or 1."""
    p = verdict.probability
    if p is None:
        return "–"
    return "<0.01" if p < 0.01 else ">0.99" if p > 0.99 else f"{p:.2f}"


def _claim(verdict: Verdict) -> Block:
    origins = [origin_words(origin) for row in verdict.evidence for origin in row.origins]
    return {
        "type": "claim",
        "statement": verdict.claim.statement,
        "published": verdict.claim.published,
        "finding": verdict.finding,
        "fail": verdict.finding in FAILING,
        "probability": verdict.probability,
        "chance": "" if verdict.probability is None else f"probability {chance(verdict)}",
        "reason": capital(verdict.reason),
        "evidence": [{"kind": row.kind, "arithmetic": row.arithmetic} for row in verdict.evidence],
        "assumptions": f"{capital('; '.join(verdict.assumptions))}." if verdict.assumptions else "",
        "origins": list(dict.fromkeys(origins)),
    }
