"""`options`: builds of the airplane, and what one costs and changes."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from wringout.problems import InputError, Problem

if TYPE_CHECKING:
    from wringout.dossier.dossier import Dossier
    from wringout.evaluation.consequences import Consequences
    from wringout.outfitting import Build, Change, Refused

SHEET = "report/exchange.pdf"


def options(
    folder: Path = Path(),
    /,
    *,
    gear: Annotated[str | None, Parameter(help="Configuration after, e.g. 'nose wheel'.")] = None,
    with_: Annotated[
        tuple[str, ...], Parameter(name="--with", help="An option that goes in; as often as wanted.")
    ] = (),
    without: Annotated[
        tuple[str, ...], Parameter(help="An option that was aboard on the scales and comes out.")
    ] = (),
    before: Annotated[
        str | None, Parameter(help="Configuration before; left out, the one that was weighed.")
    ] = None,
    print_: Annotated[
        bool, Parameter(name="--print", help=f"Write the comparison on one page, {SHEET}.", negative="")
    ] = False,
    paper: Annotated[str, Parameter(help="a4 or us-letter")] = "a4",
    json: bool = False,
) -> int:
    """Builds: what each weighs, carries and costs, what an exchange changes; an impossible one is refused.

    Parameters
    ----------
    folder
        The dossier.
    json
        Answer as JSON, in SI.
    """
    from wringout.dossier import load
    from wringout.outfitting import build, change, configuration_builds, fitted_options
    from wringout.report.printing import PAPERS

    if paper not in PAPERS:
        raise InputError(
            Problem(f"there is no paper '{paper}'", f"use {' or '.join(PAPERS)}", field="--paper")
        )
    dossier = load(folder)
    airplane = dossier.airplane
    asked = gear is not None or with_ or without
    if not asked:
        if print_:
            mend = "name a configuration with --gear or an option with --with"
            raise InputError(Problem("there is no exchange to print", mend, field="--print"))
        return _overview(dossier, configuration_builds(airplane), as_json=json)
    fitted = fitted_options(airplane)
    _refuse_unfitted(without, fitted)
    start = before or airplane.empty.configuration
    first = build(airplane, start, fitted)
    wanted = tuple(name for name in (*fitted, *with_) if name not in without)
    found = change(airplane, first, build(airplane, gear or start, wanted))
    asked_of, missing = _changes(folder, dossier, found, quiet=json)
    written = _printed(dossier, found, paper) if print_ else None
    if json:
        _as_json(found, asked_of, missing, written)
        return 0
    _say(dossier, found, asked_of, missing)
    if written:
        from wringout.cli.output import say

        say(f"Before and after on one page: {folder / written}")
    return 0


def _refuse_unfitted(without: tuple[str, ...], fitted: tuple[str, ...]) -> None:
    from wringout.airplane import unknown_name

    for name in without:
        if name not in fitted:
            raise InputError(
                unknown_name("option aboard on the scales called", name, fitted).at(field="--without")
            )


def _changes(
    folder: Path, dossier: Dossier, found: Change, *, quiet: bool
) -> tuple[Consequences | None, str]:
    """What becomes of missions and claims; without a fit the reason why that is not known."""
    from wringout.cli.output import progress
    from wringout.evaluation import fit_model
    from wringout.evaluation.consequences import consequences

    try:
        with progress(quiet=quiet) as tell:
            _, points, fit = fit_model(folder, tell)
        return consequences(dossier, points, fit, found), ""
    except InputError as error:
        return None, error.problems[0].sentence()


def _printed(dossier: Dossier, found: Change, paper: str) -> str:
    from wringout.dossier import write_file
    from wringout.report.exchange_sheet import exchange_pdf

    write_file(dossier.root, SHEET, exchange_pdf(dossier, found, paper=paper))
    return SHEET


def _overview(dossier: Dossier, builds: tuple[Build | Refused, ...], *, as_json: bool) -> int:
    from wringout.cli.blocks import show_block
    from wringout.cli.output import caution, print_json, say
    from wringout.cli.points import plain
    from wringout.outfitting import CAUTION, Build
    from wringout.report.options import NO_OPTIONS, builds_sentence, builds_table, options_table

    airplane, units = dossier.airplane, dossier.units
    if as_json:
        print_json(
            {
                "builds": [_build_json(item) for item in builds],
                "options": plain(airplane.options),
                "kits": plain(airplane.kits),
                "caution": CAUTION,
            }
        )
        return 0
    weighed = [item for item in builds if isinstance(item, Build)]
    say(builds_sentence(weighed, units) if weighed else "No build of it can be weighed.")
    show_block(builds_table(airplane, builds, units))
    if airplane.options and weighed:
        show_block(options_table(airplane, weighed[0], units))
    else:
        say(NO_OPTIONS)
    caution(CAUTION)
    return 0


def _say(dossier: Dossier, found: Change, asked_of: Consequences | None, missing: str) -> None:
    from wringout.cli.blocks import show_block
    from wringout.cli.output import caution, say
    from wringout.outfitting import CAUTION
    from wringout.report.options import (
        change_sentence,
        comparison_table,
        consequences_tables,
        limits_words,
        steps_table,
    )

    units = dossier.units
    say(change_sentence(found, units))
    say(limits_words(found))
    show_block(steps_table(found, units))
    show_block(comparison_table(found, units))
    if asked_of is None:
        say(f"What it changes in missions and claims is not known: {missing}")
    else:
        say(asked_of.sentence())
        for block in consequences_tables(asked_of):
            show_block(block)
        for note in asked_of.notes:
            say(note)
    caution(CAUTION)


def _build_json(item: Build | Refused) -> dict[str, Any]:
    from wringout.cli.output import problem_json
    from wringout.cli.points import plain
    from wringout.outfitting import Build

    named = {"configuration": item.configuration, "options": list(item.options)}
    if not isinstance(item, Build):
        return {**named, "refused": [problem_json(problem) for problem in item.problems]}
    return {
        **named,
        "empty": plain(item.empty),
        "envelope": plain(item.envelope),
        "useful_load": plain(item.useful_load),
        "full_fuel": item.full_fuel,
        "drag_area_change": plain(item.drag_area_change),
        "worst_forward": plain(item.adverse.forward),
        "worst_aft": plain(item.adverse.aft),
    }


def _as_json(found: Change, asked_of: Consequences | None, missing: str, written: str | None) -> None:
    from wringout.cli.output import print_json
    from wringout.cli.points import plain
    from wringout.outfitting import CAUTION

    changes = None
    if asked_of is not None:
        changes = {
            "sentence": asked_of.sentence(),
            "missions": [
                {
                    "name": item.name,
                    "configuration": item.configuration,
                    "changed": item.changed,
                    "before": item.before.outcome,
                    "before_sentence": item.before.sentence,
                    "after": item.after.outcome,
                    "after_sentence": item.after.sentence,
                }
                for item in asked_of.missions
            ],
            "claims": [
                {
                    "id": item.before.claim.id,
                    "changed": item.changed,
                    "before": item.before.finding,
                    "before_probability": item.before.probability,
                    "after": item.after.finding,
                    "after_probability": item.after.probability,
                }
                for item in asked_of.claims
            ],
            "notes": list(asked_of.notes),
        }
    print_json(
        {
            "before": _build_json(found.before),
            "after": _build_json(found.after),
            "mass": found.mass,
            "arm": found.arm,
            "useful_load": found.useful_load,
            "steps": plain(found.steps),
            "labour": found.labour,
            "labour_unknown": found.labour_unknown,
            "prices": plain(found.prices),
            "prices_unknown": found.prices_unknown,
            "negligible": found.negligible,
            "changes": changes,
            "changes_unknown_because": missing,
            "file": written,
            "caution": CAUTION,
        }
    )
