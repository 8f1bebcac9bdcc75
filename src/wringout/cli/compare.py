"""`compare`: configurations and airplanes on the same missions."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

if TYPE_CHECKING:
    from wringout.dossier.dossier import Units
    from wringout.evaluation.comparison import Comparison, Row
    from wringout.evaluation.measures import Candidate


def compare(
    folder: Path = Path(),
    /,
    *others: Path,
    configurations: Annotated[
        tuple[str, ...],
        Parameter(help="Of the first dossier; those flown, or beside others the reference.", negative=""),
    ] = (),
    json: bool = False,
) -> int:
    """Configurations of one dossier, or several dossiers, on the first one's missions and conditions.

    Parameters
    ----------
    folder
        The dossier whose missions, strips and prices hold for all.
    others
        Dossiers to hold against it, each by its reference configuration.
    json
        Answer as JSON, in SI.
    """
    from wringout.cli.output import caution, print_json, progress, say
    from wringout.evaluation import fit_model
    from wringout.evaluation.compared import compared
    from wringout.evaluation.comparison import candidates_of
    from wringout.evaluation.gains import mission_sentence, sentences

    candidates: list[Candidate] = []
    with progress(quiet=json) as tell:
        for number, root in enumerate((folder, *others)):
            dossier, _, fit = fit_model(root.resolve(), tell)
            found = candidates_of(dossier, fit, configurations if number == 0 else ())
            candidates += found if number == 0 and (configurations or not others) else found[:1]
    comparison = compared(candidates)
    if json:
        print_json(comparison_json(comparison))
        return 0
    say(mission_sentence(comparison))
    for sentence in sentences(comparison):
        say(sentence)
    _tables(comparison, candidates[0].dossier.units)
    for note in comparison.notes:
        say(f"  {note}")
    caution(comparison.caution)
    return 0


def _tables(comparison: Comparison, units: Units) -> None:
    from wringout.cli.output import say, table
    from wringout.evaluation.gains import gains, outing_words

    names = [contender.name for contender in comparison.contenders]
    heads = ("measure", "condition", *names, *(f"P({name} better)" for name in names[1:]))
    table("", heads, [_row(row) for row in comparison.rows], words=2)
    for mission in comparison.missions:
        say(f"{mission.name}: {mission.question}")
        for name, outing in zip(names, mission.outings, strict=True):
            say(f"  {name}: {outing_words(outing, units)}. {outing.sentence}")
        if mission.rows:
            table("", heads, [_row(row) for row in mission.rows], words=2)
    for name, found in zip(names[1:], gains(comparison), strict=True):
        table(
            f"{name} against {names[0]}",
            ("", "how much of what", "condition", "sure"),
            [(gain.kind, gain.words, gain.measure.condition, gain.sure) for gain in found],
            words=3,
        )


def _row(row: Row) -> tuple[str, ...]:
    from wringout.evaluation.gains import interval_words, probability_of, shown_unit

    unit = shown_unit(row.measure)
    figures = [interval_words(row.measure, figure).removesuffix(unit).rstrip() for figure in row.figures]
    better = [probability_of(beats[0]) for beats in row.beats[1:]]
    return (f"{row.measure.what}, {unit}", row.measure.condition, *figures, *better)


def comparison_json(comparison: Comparison) -> dict[str, Any]:
    """The comparison for programs: SI, and money for each SI unit."""
    from wringout.evaluation.gains import gains, mission_sentence, sentences

    return {
        "sentences": [mission_sentence(comparison), *sentences(comparison)],
        "currency": comparison.currency,
        "contenders": [
            {
                "name": item.name,
                "airplane": item.airplane,
                "configuration": item.configuration,
                "dossier": item.dossier,
            }
            for item in comparison.contenders
        ],
        "measures": [_row_json(row) for row in comparison.rows],
        "missions": [
            {
                "mission": mission.name,
                "question": mission.question,
                "strip": mission.strip,
                "outings": [
                    {
                        "outcome": item.outcome,
                        "sentence": item.sentence,
                        "carried": item.carried,
                        "asked": item.asked,
                        "left_behind": list(item.left),
                    }
                    for item in mission.outings
                ],
                "measures": [_row_json(row) for row in mission.rows],
            }
            for mission in comparison.missions
        ],
        "gains": [
            [
                {
                    "contender": gain.contender,
                    "kind": gain.kind,
                    "measure": gain.measure.key,
                    "words": gain.words,
                    "probability_better": gain.probability,
                }
                for gain in found
            ]
            for found in gains(comparison)
        ],
        "notes": list(comparison.notes),
        "caution": comparison.caution,
    }


def _row_json(row: Row) -> dict[str, Any]:
    from wringout.cli.cost import spread_json

    measure = row.measure
    return {
        "measure": measure.key,
        "what": measure.what,
        "condition": measure.condition,
        "unit": measure.unit if measure.dimension is None else measure.dimension.value,
        "better": measure.better,
        "figures": [None if item is None else spread_json(item) for item in row.figures],
        "differences": [None if item is None else spread_json(item) for item in row.differences],
        "probability_better_than_each": [list(beats) for beats in row.beats],
    }
