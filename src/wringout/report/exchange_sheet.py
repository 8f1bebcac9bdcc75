"""An exchange before and after on one page: items, mass and CG, limits, and who makes the record."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from wringout.charts.exchange import exchange_figure
from wringout.charts.figure import untitled
from wringout.charts.rendering import svg
from wringout.charts.theme import PRINT
from wringout.charts.typefaces import SANS, SERIF
from wringout.outfitting import Change
from wringout.report.composing import curled
from wringout.report.options import (
    change_sentence,
    comparison_table,
    limits_words,
    steps_table,
    work_words,
)
from wringout.report.printing import PAPERS, compiled, template
from wringout.report.words import airplane_words, capital

if TYPE_CHECKING:
    from wringout.dossier.dossier import Dossier

_WIDE = replace(PRINT, width=470)
NOT_THE_RECORD = (
    "This sheet is not a weight-and-balance record and changes none. A licensed mechanic makes the exchange, "
    "weighs the airplane or computes its new empty mass and CG, and makes and signs the record; until then "
    "the record in force governs, and so does the approved flight manual."
)


def exchange_pdf(dossier: Dossier, change: Change, *, paper: str = "a4") -> bytes:
    """The comparison on one page.

    Parameters
    ----------
    dossier : Dossier
    change : Change
    paper : str
        'a4' or 'us-letter'.

    Returns
    -------
    bytes
        A PDF/UA-1 file; equal exchanges give equal bytes.

    Raises
    ------
    ValueError
        Another paper.
    """
    if paper not in PAPERS:
        raise ValueError(f"paper '{paper}' is not known: use {' or '.join(PAPERS)}")
    said = exchange_content(dossier, change, paper=paper)
    drawn = exchange_figure(change, dossier.units, title=said["sentence"], look=_WIDE)
    files = template("exchange.typ", said)
    files["figures/exchange.svg"] = svg(untitled(drawn)).encode()
    return compiled(files, dossier.day)


def exchange_content(dossier: Dossier, change: Change, *, paper: str = "a4") -> dict[str, Any]:
    """Everything that the page says, as plain data for `exchange.typ`."""
    airplane, units, palette = airplane_words(dossier.airplane), dossier.units, PRINT.palette
    day = f"{dossier.day.day} {dossier.day:%B %Y}"
    title = f"{capital(change.before.name)} → {change.after.name}"
    drawn = exchange_figure(change, units, title=title, look=_WIDE)
    footer = [airplane, day, *(["invented demonstration"] if dossier.invented else []), "not a record"]
    said: dict[str, Any] = {
        "paper": paper,
        "title": title,
        "author": dossier.evaluator,
        "description": f"Weight and balance of {airplane} before and after an exchange",
        "keywords": ["weight and balance", dossier.airplane.maker, dossier.airplane.name],
        "sans": SANS,
        "serif": SERIF,
        "palette": {"ink": palette.ink, "muted": palette.muted, "rule": palette.rule, "rust": palette.rust},
        "footer": " · ".join(footer),
        "over": f"Weight and balance before and after · {airplane}",
        "sentence": change_sentence(change, units, "Afterwards"),
        "steps": steps_table(change, units),
        "comparison": comparison_table(change, units),
        "limits": limits_words(change),
        "work": f"{capital(work_words(change))}.",
        "source": f"From {change.before.empty.mass.source}; arms aft of the datum.",
        "figure": {
            "alt": drawn["description"],
            "words": "What loadings reach: before dashed, after in colour; hatched, the limits after.",
        },
        "caution": NOT_THE_RECORD,
        "blanks": ["weighed or computed", "empty mass", "empty CG", "mechanic, licence", "date, signature"],
    }
    return {name: curled(part) for name, part in said.items()}
