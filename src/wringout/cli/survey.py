"""`survey`: a whole table of runways through a year of hours."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from wringout.cli.options import quantity_option
from wringout.quantity import Dimension

if TYPE_CHECKING:
    from wringout.dossier.runways import RunwayTable
    from wringout.evaluation.stages import Progress


def survey(
    folder: Path,
    /,
    *,
    runways: Annotated[
        Path, Parameter(help="An open CSV: lengths, headings, surfaces, elevations of both ends.")
    ],
    weather: Annotated[
        Path | None, Parameter(help="EPW, TMY3-type CSV, or a description; the dossier's without it.")
    ] = None,
    configuration: Annotated[
        tuple[str, ...], Parameter(help="One or several; the reference configuration without it.")
    ] = (),
    load: Annotated[
        tuple[str, ...], Parameter(help="One or several payloads, pilot counted; the pilot and one more.")
    ] = (),
    fuel: Annotated[str | None, Parameter(help="Aboard at landing and take-off; half without it.")] = None,
    samples: Annotated[int, Parameter(help="Airplanes that the flights allow, for the interval.")] = 10,
    surface: Annotated[str | None, Parameter(help="On every strip, e.g. 'wet grass'.")] = None,
    method: Annotated[
        str, Parameter(help="'physics', or published factors: 'leaflet', 'class B'.")
    ] = "physics",
    take_off_factor: Annotated[float | None, Parameter(help="Margin; 1.33 without it.")] = None,
    landing_factor: Annotated[float | None, Parameter(help="Margin; 1.43 without it.")] = None,
    cross_wind: Annotated[str | None, Parameter(help="Limit; a fifth of V_S0 without it.")] = None,
    tail_wind: Annotated[str, Parameter(help="Limit.")] = "10 kt",
    level: Annotated[bool, Parameter(help="Runways whose slope is not told count as level.")] = False,
    all_hours: Annotated[bool, Parameter(help="Count the hours of darkness too.")] = False,
    scheduler: Annotated[
        str | None, Parameter(help="Address of a Dask scheduler, e.g. 'tcp://10.0.0.1:8786'.")
    ] = None,
    json: bool = False,
) -> int:
    """How much of a year each runway of a table can be used, as Parquet; killed, it goes on where it was."""
    from wringout.cli.output import caution, print_json, progress, say, table
    from wringout.cli.strips import practice_option
    from wringout.dossier.runways import read_runways
    from wringout.dossier.weather_reading import read_weather
    from wringout.evaluation import fit_model
    from wringout.evaluation.strip_words import CAUTION
    from wringout.evaluation.strips import StripsAsked, dossier_weather
    from wringout.evaluation.survey_words import left_out_words, summary_sentence, survey_summary
    from wringout.evaluation.surveys import SurveyAsked, planned_survey, run_survey

    practice = practice_option(method, take_off_factor, landing_factor, cross_wind, tail_wind)
    read = read_runways(runways, level=level)
    payloads = tuple(quantity_option("load", text, Dimension.MASS) for text in load)
    asked = SurveyAsked(
        configuration,
        payloads,
        samples,
        StripsAsked(
            fuel=quantity_option("fuel", fuel, Dimension.VOLUME),
            surface=surface,
            all_hours=all_hours,
            practice=practice,
        ),
    )
    with progress(quiet=json) as tell:
        dossier, _, fit = fit_model(folder, tell)
    hours = dossier_weather(dossier) if weather is None else read_weather(weather)
    planned = planned_survey(dossier, fit, read.strips, hours, asked)
    with _strips_left(quiet=json) as tell:
        place = run_survey(dossier.root, planned, tell, scheduler=scheduler)
    summary = survey_summary(place)
    if json:
        print_json(
            {
                "file": str(place),
                "strips": len(read.strips),
                "left_out": read.reasons,
                "hours": len(planned.plan.weather.month),
                "rows": [
                    {
                        "configuration": row.configuration,
                        "payload": row.payload,
                        "strips": row.strips,
                        "nine_in_ten": row.nine_in_ten,
                        "half": row.half,
                        "never": row.never,
                        "binding": dict(row.binding),
                    }
                    for row in summary
                ],
            }
        )
        return 0
    say(summary_sentence(summary, dossier.units))
    from wringout.quantity import show

    table(
        f"{len(read.strips)} strips, {len(planned.plan.weather.month)} hours of {hours.site.name}",
        ("configuration", "what binds most", "payload", "strips", "9 hours in 10", "every second", "never"),
        (
            (
                row.configuration,
                row.binding[0][0] if row.binding else "nothing",
                show(row.payload, dossier.units.mass, digits=0),
                f"{row.strips}",
                f"{row.nine_in_ten}",
                f"{row.half}",
                f"{row.never}",
            )
            for row in summary
        ),
        words=2,
    )
    _say_left_out(read)
    say(left_out_words(hours, dossier.units))
    say(f"Every row stands in {place}.")
    caution(CAUTION)
    return 0


def _say_left_out(read: RunwayTable) -> None:
    """How many rows of the table were left out for what, with the first line of each."""
    from wringout.cli.output import say
    from wringout.evaluation.survey_words import left_out_rows

    for words, reason in zip(left_out_rows(read), read.reasons, strict=True):
        first = next(problem for problem in read.left_out if problem.field == reason)
        say(f"Left out: {words}, the first on line {first.line}: {first.what}.")


@contextmanager
def _strips_left(*, quiet: bool) -> Iterator[Progress]:
    """A progress bar of strips with the time left; nothing where nobody watches."""
    import sys

    from wringout.evaluation.stages import silent

    if quiet or not sys.stderr.isatty():
        yield silent
        return
    from rich.progress import (
        BarColumn,
        MofNCompleteColumn,
        TextColumn,
        TimeElapsedColumn,
        TimeRemainingColumn,
    )
    from rich.progress import Progress as Bar

    from wringout.cli.output import console

    with Bar(
        TextColumn("{task.description}"),
        BarColumn(),
        MofNCompleteColumn(),
        TimeElapsedColumn(),
        TextColumn("left"),
        TimeRemainingColumn(),
        console=console(error=True),
    ) as bar:
        line = bar.add_task("strips", total=None)

        def tell(stage: str, done: int, total: int, fresh: bool) -> None:  # noqa: ARG001 (the protocol's)
            bar.update(line, completed=done, total=total)

        yield tell
