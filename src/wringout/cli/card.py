"""`card`: the test cards for the knee."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from wringout.problems import InputError, Problem

if TYPE_CHECKING:
    from wringout.dossier.card import Card
    from wringout.dossier.dossier import Dossier
    from wringout.evaluation.planned import PlannedFlight
    from wringout.model.fit import Fit


def card(
    folder: Path = Path(),
    /,
    *,
    card: Annotated[
        str | None, Parameter(help="Only this card, e.g. flight-1; every card without it.")
    ] = None,
    paper: Annotated[str, Parameter(help="a5 or us-statement (half a US Letter)")] = "a5",
    json: bool = False,
) -> int:
    """Print the test cards as PDF under report/cards/: what to load, the points in build-up order, blanks.

    Parameters
    ----------
    folder
        The dossier.
    json
        Answer as JSON, in SI.
    """
    from wringout.cli.output import caution, print_json, say
    from wringout.dossier import load, write_file
    from wringout.evaluation.planned import planned_flight
    from wringout.loading.loading_report import CAUTION
    from wringout.report.card import PAPERS, card_pdf

    if paper not in PAPERS:
        raise InputError(
            Problem(f"there is no paper '{paper}' for cards", f"use {' or '.join(PAPERS)}", field="--paper")
        )
    dossier = load(folder)
    chosen = _chosen(dossier, card)
    fit, missing = _known(folder, quiet=json)
    answers: dict[str, Any] = {}
    for each in chosen:
        flight = planned_flight(dossier, each, fit)
        path = f"report/cards/{each.name}.pdf"
        write_file(dossier.root, path, card_pdf(dossier, flight, paper=paper))
        answers[each.name] = _plain(flight, path)
        if not json:
            say(f"{each.name}: {flight.loading.reason}")
            say(f"  {len(flight.points)} points in build-up order: {folder / path}")
    if json:
        print_json({"cards": answers, "nothing_expected_because": missing})
        return 0
    if missing:
        say(f"No figure is expected on the cards: {missing}")
    caution(CAUTION)
    return 0


def _chosen(dossier: Dossier, name: str | None) -> tuple[Card, ...]:
    from wringout.airplane import unknown_name

    names = [each.name for each in dossier.cards]
    if not names:
        raise InputError(Problem("there is no card", "plan a flight in cards/, like cards/flight-1.toml"))
    if name is not None and name not in names:
        raise InputError(unknown_name("card", name, names).at(field="--card"))
    return tuple(each for each in dossier.cards if name in (None, each.name))


def _known(folder: Path, *, quiet: bool) -> tuple[Fit | None, str]:
    """The fit to what is flown so far; without it a card is printed all the same, and the reason told."""
    from wringout.cli.output import progress
    from wringout.evaluation import fit_model

    try:
        with progress(quiet=quiet) as tell:
            return fit_model(folder, tell)[2], ""
    except InputError as error:
        return None, error.problems[0].sentence()


def _plain(flight: PlannedFlight, path: str) -> dict[str, Any]:
    from wringout.cli.points import plain

    loading = flight.loading
    return {
        "file": path,
        "loading": {
            "wanted_cg": loading.wanted_cg,
            "wanted_mass": loading.wanted_mass,
            "ballast_station": loading.station,
            "ballast": loading.ballast,
            "ballast_arm": loading.arm,
            "reach": plain(loading.reach),
            "stations": plain(loading.loading.stations),
            "fuel": plain(loading.loading.fuel),
            "states": plain(loading.report.states),
            "within": loading.report.within,
            "reason": loading.reason,
        },
        "points": [
            {**plain(planned), "expected": plain(expected)}
            for planned, expected in zip(flight.points, flight.expected, strict=True)
        ],
        "expected_from": flight.expected_from,
    }
