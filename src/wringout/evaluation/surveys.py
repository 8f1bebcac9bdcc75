"""A survey over a runway table and a year of hours: planned, reckoned on every core or a cluster, kept."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from dataclasses import dataclass, field, replace
from importlib import import_module
from pathlib import Path
from time import monotonic
from typing import Any

from wringout.dossier.dossier import Dossier, Strip
from wringout.dossier.runways import RunwayTable, read_runways, runways_of
from wringout.dossier.store import digest, software
from wringout.dossier.survey_store import SurveyStore
from wringout.dossier.weather import Weather
from wringout.evaluation.codec import fingerprint
from wringout.evaluation.keys import stage_keys
from wringout.evaluation.stages import Progress, silent
from wringout.evaluation.strips import (
    StripsAsked,
    asked_load,
    dossier_weather,
    hours_counted,
    shortest_techniques,
)
from wringout.missions.hour_judging import REASONS
from wringout.missions.runs import Asking, field_runs
from wringout.missions.suitability import HARD
from wringout.missions.survey import SurveyPlan, SurveyRows, surveyed
from wringout.model.fit import Fit
from wringout.problems import InputError, Problem

SAMPLES = 10
STAGE = "survey"
PATIENCE = 30.0  # s for a scheduler to answer
_WAITING = 4  # chunks a core that wait to be written or reckoned: what bounds the memory


@dataclass(frozen=True, slots=True)
class SurveyAsked:
    """What is asked of a survey; None the usual of `StripsAsked`.

    `payloads` [kg] are the loadings, pilot counted, and `fuel` [m³] goes with each.
    """

    configurations: tuple[str, ...] = ()
    payloads: tuple[float, ...] = ()
    samples: int = SAMPLES
    strips: StripsAsked = field(default_factory=StripsAsked)


@dataclass(frozen=True, slots=True)
class Survey:
    """A survey that is planned: its work is cut, its key known; `masses` [kg] by configuration."""

    plan: SurveyPlan
    strips: tuple[Strip, ...]
    key: str
    chunks: tuple[slice, ...]
    payloads: tuple[tuple[float, ...], ...]


def planned_survey(
    dossier: Dossier, fit: Fit, strips: Sequence[Strip], weather: Weather, asked: SurveyAsked | None = None
) -> Survey:
    """Cuts a survey into chunks.

    Parameters
    ----------
    dossier : Dossier
    fit : Fit
    strips : sequence of Strip
    weather : Weather
    asked : SurveyAsked, optional

    Raises
    ------
    InputError
        No strip; a load, configuration or technique that cannot be; no sample.
    """
    wanted = asked or SurveyAsked()
    if not strips:
        raise InputError(Problem("no strip of the table can be judged", "see why each was left out"))
    if not 1 <= wanted.samples <= len(fit.draws):
        raise InputError(
            Problem(f"{wanted.samples} samples cannot be drawn", f"ask for 1 to {len(fit.draws)}")
        )
    few = replace(fit, draws=fit.draws[:: len(fit.draws) // wanted.samples][: wanted.samples])
    names = wanted.configurations or (dossier.airplane.configurations[0].name,)
    described = (
        [strip.surface for strip in strips] if wanted.strips.surface is None else [wanted.strips.surface]
    )
    surfaces = tuple(dict.fromkeys((*described, HARD)))
    counted = hours_counted(weather, all_hours=wanted.strips.all_hours)
    every = []
    payloads = []
    for name in names:
        loads = [
            asked_load(dossier, name, replace(wanted.strips, payload=payload))
            for payload in wanted.payloads or (None,)
        ]
        masses = tuple(load.mass for load in loads)
        techniques = shortest_techniques(dossier, fit, name, masses[0], wanted.strips)
        every.append(field_runs(Asking(dossier.airplane, few, name, techniques), masses, surfaces))
        payloads.append(tuple(load.payload for load in loads))
    plan = SurveyPlan(
        counted,
        tuple(every),
        wanted.strips.practice,
        dossier.airplane.geometry.wing_height,
        wanted.strips.surface,
    )
    key = digest(
        software().encode(),
        stage_keys(dossier)["fit"].encode(),
        fingerprint(tuple(strips), tuple[Strip, ...]),
        fingerprint(counted, Weather),
        fingerprint(wanted, SurveyAsked),
    )
    return Survey(plan, tuple(strips), key, plan.chunks(len(strips)), tuple(payloads))


def dossier_survey(dossier: Dossier, fit: Fit) -> tuple[RunwayTable, Survey] | None:
    """The survey of the first table in the dossier's runways/, through its weather, as everybody flew it.

    None where there is no table; InputError as `read_runways` and `planned_survey`, and without weather.
    """
    path = runways_of(dossier.root)
    if path is None:
        return None
    table = read_runways(path)
    flown = [row.configuration for row in fit.flown if row.kind == "take-off"]
    asked = SurveyAsked(tuple(dict.fromkeys(flown)))
    return table, planned_survey(dossier, fit, table.strips, dossier_weather(dossier), asked)


def survey_file(root: Path, survey: Survey) -> Path | None:
    """The file of a survey's rows where it is done."""
    place = SurveyStore(root, survey.key).table
    return place if place.exists() else None


def with_time_left(progress: Progress) -> Progress:
    """A progress that is told in its stage how long the rest takes, at the pace so far."""
    begun: list[tuple[float, int]] = []

    def tell(stage: str, done: int, total: int, fresh: bool) -> None:  # noqa: ARG001 (the protocol's)
        now = monotonic()
        if not begun:
            begun.append((now, done))
        since, first = begun[0]
        words = "strips surveyed"
        if done > first:
            left = (now - since) / (done - first) * (total - done)
            words += (
                f", about {max(1, round(left / 60.0))} min left"
                if left >= 60.0
                else (f", about {max(1, round(left))} s left")
            )
        progress(words, done, total, fresh)

    return tell


def run_survey(
    root: Path,
    survey: Survey,
    progress: Progress = silent,
    *,
    scheduler: str | None = None,
    workers: int | None = None,
) -> Path:
    """Reckons what is not there yet, and puts all of it into one Parquet file.

    Parameters
    ----------
    root : Path
        The dossier's, for its results.
    survey : Survey
    progress : Progress
        Told of strips that are done.
    scheduler : str, optional
        The address of a Dask scheduler whose workers have this package; left out, the cores of this machine.
    workers : int, optional
        Threads on this machine; one a core where None.

    Returns
    -------
    Path
        The file of all rows.

    Raises
    ------
    InputError
        The scheduler cannot be reached, or the extra for clusters is not installed.

    Notes
    -----
    Each chunk is written whole when it is done; killed at any moment, the work goes on where it was. The rows
    are the same to the last bit wherever chunks are reckoned, on processors of one kind.
    """
    store = SurveyStore(root, survey.key)
    there = store.done()
    total = len(survey.strips)
    done = sum(_count(survey.chunks[number]) for number in there)
    progress(STAGE, done, total, fresh=False)
    wanting = [number for number in range(len(survey.chunks)) if number not in there]
    reckon = _on_cluster(survey, wanting, scheduler) if scheduler else _here(survey, wanting, workers)
    for number, rows in reckon:
        store.write(number, survey_columns(survey, number, rows))
        done += _count(survey.chunks[number])
        progress(STAGE, done, total, fresh=True)
    return store.combine() if wanting or not store.table.exists() else store.table


def _count(chunk: slice) -> int:
    return int(chunk.stop - chunk.start)


def _here(survey: Survey, wanting: Sequence[int], workers: int | None) -> Iterator[tuple[int, SurveyRows]]:
    """Chunks on the cores of this machine, as they are done; few wait at a time."""
    count = workers or _cores()
    left = iter(wanting)
    with ThreadPoolExecutor(count) as pool:
        running: dict[Future[SurveyRows], int] = {}

        def submit() -> None:
            for number in left:
                running[pool.submit(surveyed, survey.plan, survey.strips[survey.chunks[number]])] = number
                if len(running) >= _WAITING * count:
                    return

        submit()
        try:
            while running:
                finished, _ = wait(running, return_when=FIRST_COMPLETED)
                for future in finished:
                    number = running.pop(future)
                    submit()
                    yield number, future.result()
        finally:
            for future in running:
                future.cancel()


def _cores() -> int:
    """The cores that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _on_cluster(survey: Survey, wanting: Sequence[int], scheduler: str) -> Iterator[tuple[int, SurveyRows]]:
    """Chunks on the workers of a Dask cluster, as they are done."""
    try:
        distributed = import_module("distributed")
    except ImportError:
        raise InputError(
            Problem("no cluster can be asked: dask.distributed is not installed", "install wringout[cluster]")
        ) from None
    try:
        client = distributed.Client(scheduler, timeout=PATIENCE)
    except (OSError, TimeoutError, ValueError) as error:
        raise InputError(
            Problem(f"the scheduler '{scheduler}' does not answer ({error})", "check its address")
        ) from None
    with client:
        plan = client.scatter(survey.plan, broadcast=True)
        # The function is named, not sent: each worker imports the package.
        futures = {
            client.submit(surveyed, plan, survey.strips[survey.chunks[number]], pure=False): number
            for number in wanting
        }
        for future, rows in distributed.as_completed(futures, with_results=True):
            yield futures.pop(future), rows
            future.release()


def survey_columns(survey: Survey, number: int, rows: SurveyRows) -> dict[str, Any]:
    """A chunk's rows as columns whose names carry their units.

    Parameters
    ----------
    survey : Survey
    number : int
        Of the chunk.
    rows : SurveyRows
    """
    first = survey.chunks[number].start
    strips = [survey.strips[first + index] for index in rows.strip]
    runs = survey.plan.runs
    pick: Callable[[Callable[[Strip], Any]], list[Any]] = lambda get: [get(strip) for strip in strips]  # noqa: E731
    columns: dict[str, Any] = {
        "strip": pick(lambda strip: strip.name),
        "elevation_m": pick(lambda strip: strip.elevation),
        "length_m": pick(lambda strip: strip.length),
        "heading_rad": pick(lambda strip: strip.heading),
        "slope": pick(lambda strip: strip.slope),
        "surface": pick(lambda strip: survey.plan.surface or strip.surface),
        "configuration": [runs[index].asking.configuration for index in rows.configuration],
        "mass_kg": [
            runs[index].masses[loading]
            for index, loading in zip(rows.configuration, rows.loading, strict=True)
        ],
        "payload_kg": [
            survey.payloads[index][loading]
            for index, loading in zip(rows.configuration, rows.loading, strict=True)
        ],
        "usable_share": rows.share,
        "usable_share_low": rows.low,
        "usable_share_high": rows.high,
    }
    for place, reason in enumerate(REASONS):
        columns[f"stopped by {reason}"] = rows.reasons[:, place]
    columns |= {
        "landing_m": rows.landing,
        "landing_available_m": rows.landing_available,
        "take_off_m": rows.take_off,
        "take_off_available_m": rows.take_off_available,
        "usable_hours_by_month_and_hour": rows.usable,
    }
    return columns
