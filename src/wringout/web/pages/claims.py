"""Claims: each with its verdict in words, its arithmetic, its evidence down to the span of the recording."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from markupsafe import Markup

from wringout.charts.span import shown_about, span_drawing
from wringout.charts.theme import IN_PAGE
from wringout.charts.verdict_rule import probability_rule
from wringout.claims import told_by_points
from wringout.claims.verdict import Verdict
from wringout.dossier.dossier import Dossier
from wringout.dossier.drafting import part_file
from wringout.dossier.editing import value_at
from wringout.dossier.files import read_file
from wringout.dossier.toml import LARGEST_TEXT
from wringout.evaluation.keys import flown_cards
from wringout.evaluation.next_flight import ENDED
from wringout.evaluation.traces import GROUND_SPEED, HEIGHT, usual_traces, window
from wringout.problems import InputError, Problem
from wringout.reduction.points import Origin
from wringout.report.verdicts import FAILING, chance, verdicts_sentence
from wringout.report.words import capital
from wringout.web.access import Bench, Standing
from wringout.web.flight_words import clock
from wringout.web.kept_results import RESULTS
from wringout.web.pages.claim_edits import adding
from wringout.web.pages.flights import KEPT
from wringout.web.point_words import span_of
from wringout.web.refusals import MissingError
from wringout.web.rendering import page
from wringout.web.stale import stale
from wringout.web.state import State

router = APIRouter(default_response_class=HTMLResponse)
_MOST_TRACE = 2000  # samples of a window before it is thinned for its paper
_KINDS = {
    "measured": "as measured",
    "model": "by the fitted airplane",
    "physics": "by what physics allows",
    "arithmetic": "by arithmetic",
}
# What a claim says, in the order in which it is written; the conditions it has are asked for below them.
_FIELDS = (
    ("statement", "What is claimed, word for word", "text", True),
    ("value", "Figure", "text", False),
    ("relation", "Relation: at least, at most, about", "text", False),
    ("published", "Where it was published", "text", True),
)


@router.get("/d/{name}/claims", response_class=HTMLResponse)
def claims(request: Request, bench: Bench, state: Standing) -> Response:
    """Every claim with its verdict."""
    dossier = state.dossier
    results = None if dossier is None else RESULTS.of(dossier)
    if dossier is None or results is None or results.kept.verdicts is None:
        what = "The verdicts on the claims"
        return stale(
            request, bench, state, "claims", what, template="pages/claims_stale.html", **adding(state)
        )
    verdicts = results.kept.verdicts
    return page(
        request,
        "pages/claims.html",
        state,
        part="claims",
        sentence=verdicts_sentence(verdicts),
        rows=[_row(number, verdict) for number, verdict in enumerate(verdicts)],
        **adding(state),
    )


@router.get("/d/{name}/claims/{number}/evidence", response_class=HTMLResponse)
def evidence(request: Request, state: Standing, number: int) -> Response:
    """The evidence on one claim, each figure that was measured with its span of the recording."""
    dossier, verdict = _verdict(state, number)
    return page(
        request,
        "pieces/claim_evidence.html",
        state,
        number=number,
        verdict=verdict,
        rows=[
            {
                "kind": _KINDS[row.kind],
                "arithmetic": capital(row.arithmetic),
                "origins": [_origin(dossier, verdict, origin) for origin in row.origins],
            }
            for row in verdict.evidence
        ],
        assumptions=[f"{capital(words)}." for words in verdict.assumptions],
    )


@router.get("/d/{name}/claims/{number}/fields", response_class=HTMLResponse)
def fields(request: Request, state: Standing, number: int) -> Response:
    """The fields of one claim as its file has it."""
    file = part_file(state.root, "claims")
    data = read_file(state.root, file, LARGEST_TEXT)
    claim = value_at(file, data, ("claim", number))
    if not isinstance(claim, dict):
        raise MissingError(Problem("this claim is not there any more", "reload the page"))
    conditions = claim.get("conditions", {})
    stated = [key for key in conditions if isinstance(conditions[key], str)]
    return page(
        request,
        "pieces/claim_fields.html",
        state,
        number=number,
        file=file,
        line=_line(data, str(claim.get("id", ""))),
        fields=[
            *((["claim", number, key], label, claim.get(key, ""), long) for key, label, _, long in _FIELDS),
            *(
                (["claim", number, "conditions", key], key.replace("_", " "), conditions[key], False)
                for key in stated
            ),
        ],
    )


def _row(number: int, verdict: Verdict) -> dict[str, Any]:
    return {
        "number": number,
        "claim": verdict.claim,
        "finding": verdict.finding,
        "fail": verdict.finding in FAILING,
        "open": verdict.finding not in ENDED and told_by_points(verdict.claim),
        "rule": Markup(probability_rule(verdict.probability, look=IN_PAGE, width=132)),
        "chance": "" if verdict.probability is None else chance(verdict),
        "reason": f"{capital(verdict.reason)}.",
    }


def _verdict(state: State, number: int) -> tuple[Dossier, Verdict]:
    """The dossier and its verdict of that number. Raises InputError or MissingError in words."""
    dossier = state.dossier
    verdicts = None if dossier is None else RESULTS.of(dossier).kept.verdicts
    if dossier is None or verdicts is None:
        raise InputError(Problem("the claims are to be judged anew first", "reload the page and evaluate"))
    if not 0 <= number < len(verdicts):
        raise MissingError(Problem("this claim is not there any more", "reload the page"))
    return dossier, verdicts[number]


def _origin(dossier: Dossier, verdict: Verdict, origin: Origin) -> dict[str, Any]:
    """Card, point, span by the clock, and the traces about it where a recording has it."""
    card = next((item for item in flown_cards(dossier) if item.name == origin.card), None)
    said: dict[str, Any] = {"origin": origin, "flown": card is not None, "span": span_of(origin)}
    if card is None:
        return {**said, "words": f"{origin.card}, {origin.point}", "drawing": ""}
    flight = KEPT.of(dossier, card).flight
    names = [HEIGHT, GROUND_SPEED if "roll" in _what(verdict) else usual_traces(flight.recording)[1]]
    between = shown_about(origin.start, origin.end)
    traces = [window(KEPT.trace(dossier, card, name), *between, _MOST_TRACE) for name in names]
    clocks = clock(flight, origin.start), clock(flight, origin.end)
    return {
        **said,
        "words": f"{origin.card}, {origin.point}, {clocks[0]}–{clocks[1]} UTC",
        "drawing": Markup(span_drawing(traces, origin.start, origin.end, clocks)),
    }


def _what(verdict: Verdict) -> str:
    """The kind of figure, 'roll' for all that is done on the ground."""
    quantity = verdict.claim.quantity
    on_ground = ("take-off", "landing", "stopping")
    return "roll" if quantity.startswith(on_ground) else quantity


def _line(data: bytes, claim: str) -> int:
    """The line of the file that begins a claim; 0 where it is not found."""
    for number, line in enumerate(data.decode("utf-8", "replace").splitlines(), start=1):
        if line.startswith("id") and f'"{claim}"' in line:
            return number
    return 0
