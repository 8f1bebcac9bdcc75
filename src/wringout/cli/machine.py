"""`gear` and `electrics`: the airplane as a machine."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from wringout.problems import InputError

if TYPE_CHECKING:
    from wringout.dossier.dossier import Dossier
    from wringout.evaluation.word_table import WordTable
    from wringout.model.fit import Fit


def gear(
    folder: Path = Path(),
    /,
    *,
    configuration: Annotated[str, Parameter(help="The reference configuration without it.")] = "",
    cg: Annotated[
        str,
        Parameter(help="e.g. '1050 mm' aft of datum; the aft limit without it.", allow_leading_hyphen=True),
    ] = "",
    mass: Annotated[str, Parameter(help="e.g. '1000 kg'; the maximum take-off mass without it.")] = "",
    friction: Annotated[str, Parameter(help="At the wheels: 0.4 dry grass, 0.8 dry tarmac.")] = "",
    ground: Annotated[str, Parameter(help="Soft ground, e.g. 'dry sand'.")] = "",
    json: bool = False,
) -> int:
    """Undercarriage: wheel loads, tipping, clearances, braking, turning, steps, soft ground, floats.

    Parameters
    ----------
    folder
        The dossier.
    json
        Answer as JSON, in SI.
    """
    from wringout.cli.output import caution, print_json, say
    from wringout.cli.points import plain
    from wringout.evaluation.gear import answer_gear, typed_gear
    from wringout.evaluation.gear_words import CAUTION, gear_sentence, gear_sentences, gear_tables

    dossier, fit = _known(folder)
    typed = {"configuration": configuration, "cg": cg, "mass": mass, "friction": friction, "soil": ground}
    asked = typed_gear(typed, dossier)
    answer = answer_gear(dossier, asked, fit)
    if json:
        told = plain(answer)
        told["sentence"], told["caution"] = gear_sentence(answer), CAUTION
        told["sentences"] = list(gear_sentences(answer, dossier.units))
        print_json(told)
        return 0
    say(gear_sentence(answer))
    for sentence in gear_sentences(answer, dossier.units):
        say(sentence)
    _tables(gear_tables(answer, dossier.units))
    caution(CAUTION)
    return 0


def electrics(
    folder: Path = Path(),
    /,
    *,
    failure: Annotated[
        str, Parameter(help="e.g. 'the belt breaks'; the first of the table without it.")
    ] = "",
    temperature: Annotated[
        str, Parameter(help="Of the batteries, e.g. '-10 °C'; 10 °C without it.", allow_leading_hyphen=True)
    ] = "",
    age: Annotated[str, Parameter(help="What is left of rated charge, e.g. '70 %'; as described.")] = "",
    shed: Annotated[str, Parameter(help="'nothing', 'to the essential' or 'to the engine'.")] = "",
    recognition: Annotated[
        str, Parameter(help="Until the pilot sheds, e.g. '2 min'; 5 min without it.")
    ] = "",
    json: bool = False,
) -> int:
    """Electrics: what goes dark, and when, after each failure, and how far that carries.

    Parameters
    ----------
    folder
        The dossier.
    json
        Answer as JSON, in SI.
    """
    from wringout.cli.output import caution, print_json, say
    from wringout.cli.points import plain
    from wringout.evaluation.electrics import answer_electrics, typed_electrics
    from wringout.evaluation.electrics_words import (
        CAUTION,
        electrics_sentence,
        electrics_tables,
        thirty_minutes_sentence,
        trip_sentence,
    )

    dossier, fit = _known(folder)
    typed = {
        "failure": failure,
        "temperature": temperature,
        "age": age,
        "shedding": shed,
        "recognition": recognition,
    }
    answer = answer_electrics(dossier, typed_electrics(typed, dossier), fit)
    units = dossier.units
    sentences = [
        electrics_sentence(answer, units),
        trip_sentence(answer, units),
        thirty_minutes_sentence(answer),
    ]
    if json:
        told: dict[str, Any] = plain(answer)
        told["sentence"], *told["sentences"] = (sentence for sentence in sentences if sentence)
        told["caution"] = CAUTION
        print_json(told)
        return 0
    for sentence in sentences:
        if sentence:
            say(sentence)
    _tables(electrics_tables(answer, units))
    caution(CAUTION)
    return 0


def _known(folder: Path) -> tuple[Dossier, Fit | None]:
    """The dossier and what was fitted to it, if that stands."""
    from wringout.dossier import load
    from wringout.evaluation.kept import kept

    dossier = load(folder)
    try:
        return dossier, kept(dossier).fit
    except InputError:  # a dossier without flights has nothing fitted, and the machine is told all the same
        return dossier, None


def _tables(tables: Sequence[WordTable]) -> None:
    from wringout.cli.output import say, table

    for item in tables:
        headings = [f"{heading}\n{unit}" if unit else heading for heading, unit in item.headings]
        table(item.title, headings, item.plain_rows, words=item.words)
        if item.note:
            say(f"  {item.note}")
