"""Thousands of strips × hours × configurations × loadings × samples: one chunk of strips at a time.

A chunk's answer depends on the plan and its strips alone, so that chunks can be reckoned anywhere, in any
order, and put together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from wringout.dossier.dossier import Strip
from wringout.dossier.weather import Weather
from wringout.missions.hour_judging import REASONS, USABLE, JudgedHours, along, judge_hours
from wringout.missions.leaflet import PUBLISHED, condition_factor
from wringout.missions.practice import CROSS_WIND_SHARE, Practice, Run, runs_of
from wringout.missions.runs import FieldRuns, distances
from wringout.missions.strip_hours import StripHours, hours_at
from wringout.missions.suitability import HARD
from wringout.model.surfaces import table_name
from wringout.physics.constants import SEA_LEVEL_DENSITY
from wringout.physics.field_arrays import Conditions
from wringout.physics.field_kernels import FieldDistances, room_for

FloatArray = NDArray[np.float64]

CASES_PER_CHUNK = 4_000_000  # one to three seconds of one core
CELLS = 288  # months × hours of the day


@dataclass(frozen=True, slots=True)
class SurveyPlan:
    """What is asked of every strip.

    `runs` hold one configuration each, their masses the loadings and their draws the posterior samples;
    `weather` the hours that count, `wing_height` [m]; `surface` stands for what the table says, where given.
    """

    weather: Weather
    runs: tuple[FieldRuns, ...]
    practice: Practice
    wing_height: float
    surface: str | None = None

    @property
    def cases_per_strip(self) -> int:
        """Take-offs and landings that are reckoned for a strip that is used both ways."""
        rows = sum(runs.draws * len(runs.masses) for runs in self.runs)
        return 4 * rows * len(self.weather.month)

    def chunks(self, count: int) -> tuple[slice, ...]:
        """So many strips cut into pieces of work."""
        each = max(1, CASES_PER_CHUNK // max(self.cases_per_strip, 1))
        return tuple(slice(start, min(start + each, count)) for start in range(0, count, each))


@dataclass(frozen=True, slots=True)
class SurveyRows:
    """A row for each strip × configuration × loading; arrays of one length n, SI.

    `strip` counts from the chunk's first, `configuration` and `loading` from the plan's first. `share` of the
    hours is usable, `low` to `high` its central 90 % over the samples; `reasons`, shape (n, 5), the share of
    hours that each of REASONS stops; `landing` and `take_off` the median over hours and samples of the
    distance asked for, margin included, in the better direction, each with what is available. `usable`, shape
    (n, 288), counts usable hours by month and hour of the day.
    """

    strip: NDArray[np.int64]
    configuration: NDArray[np.int64]
    loading: NDArray[np.int64]
    share: FloatArray
    low: FloatArray
    high: FloatArray
    reasons: FloatArray
    landing: FloatArray
    landing_available: FloatArray
    take_off: FloatArray
    take_off_available: FloatArray
    usable: NDArray[np.uint16]


def surveyed(plan: SurveyPlan, strips: Sequence[Strip]) -> SurveyRows:
    """The rows of one chunk of strips.

    Parameters
    ----------
    plan : SurveyPlan
        Of its runs each knows the surface of every strip.
    strips : sequence of Strip

    Returns
    -------
    SurveyRows
        Without the strips for whose surface published factors have none.

    Notes
    -----
    Every hour is reckoned for itself by the kernels, on one core: the caller keeps the cores busy with
    chunks. Hours are judged as in `suitability`.
    """
    rows: list[tuple[object, ...]] = []
    rooms = [room_for(runs.draws * len(runs.masses), len(plan.weather.month)) for runs in plan.runs]
    for number, described in enumerate(strips):
        strip = described if plan.surface is None else replace(described, surface=plan.surface)
        published = PUBLISHED.get(plan.practice.method)
        if published is not None and table_name(strip.surface) not in published.surfaces:
            continue
        hours = hours_at(strip, plan.weather, plan.wing_height)
        place = ((hours.month - 1) * 24 + hours.hour).astype(np.int64)
        for configuration, (runs, room) in enumerate(zip(plan.runs, rooms, strict=True)):
            for loading, found in enumerate(_loadings(plan, strip, hours, runs, room)):
                rows.append((number, configuration, loading, *_figures(found, place)))
    return _columns(rows)


@dataclass(frozen=True, slots=True)
class _Found:
    """One loading: its hours, and of landing and take-off distance and what is available."""

    judged: JudgedHours
    landing: tuple[float, float]
    take_off: tuple[float, float]


def _loadings(
    plan: SurveyPlan, strip: Strip, hours: StripHours, runs: FieldRuns, room: FieldDistances
) -> list[_Found]:
    ways = runs_of(strip)
    count, k = len(runs.masses), runs.draws
    enough: list[NDArray[np.bool_]] = []
    medians: list[FloatArray] = []
    missed = {
        movement: runs.discrepancy(movement, strip.elevation)
        for movement in dict.fromkeys(way.movement for way in ways)
    }
    for way in ways:
        needed = _needed(plan, (strip, hours), way, runs, room, missed[way.movement])
        with np.errstate(invalid="ignore"):
            enough.append(needed <= way.available)
        medians.append(_medians(needed.reshape(count, -1)))
    limit = plan.practice.cross_wind
    cross = CROSS_WIND_SHARE * runs.stall_speed if limit is None else limit
    found = []
    for loading in range(count):
        part = [item[loading * k : (loading + 1) * k] for item in enough]
        found.append(
            _Found(
                judge_hours(ways, part, hours, plan.practice, cross),
                _better(ways, medians, "landing", loading),
                _better(ways, medians, "take-off", loading),
            )
        )
    return found


def _needed(  # noqa: PLR0917 - where, when, who, how: they read best in this order
    plan: SurveyPlan,
    hours: tuple[Strip, StripHours],
    way: Run,
    runs: FieldRuns,
    room: FieldDistances,
    missed: tuple[FloatArray, FloatArray],
) -> FloatArray:
    """Distance asked for in every hour, margin included [m], shape (loadings × samples, hours)."""
    (strip, at), practice = hours, plan.practice
    published = PUBLISHED.get(practice.method)
    head = practice.counted(along(way, at))
    surface = strip.surface if published is None else HARD
    conditions = Conditions(
        at.air,
        head,
        way.slope if published is None else 0.0,
        np.full(len(head), runs.surfaces.index(surface)),
        head * at.gain,
    )
    needed = distances(runs, way, conditions, strip.elevation, into=room, threads=1, missed=missed)
    off = way.movement == "take-off"
    needed *= practice.take_off_factor if off else practice.landing_factor
    if published is not None:
        speeds = runs.lift_off_speed if off else runs.touchdown_speed
        true = speeds[0] * np.sqrt(SEA_LEVEL_DENSITY / np.asarray(at.air.density))
        tail = -along(way, at) / true
        needed *= condition_factor(published, way.movement, strip.surface, way.slope, tail)
    return needed


def _medians(needed: FloatArray) -> FloatArray:
    """Median of each row, what cannot be done counted as infinite."""
    counted = np.where(np.isnan(needed), np.inf, needed)
    middle = counted.shape[1] // 2
    return np.asarray(np.partition(counted, middle, axis=1)[:, middle])


def _better(
    ways: Sequence[Run], medians: Sequence[FloatArray], movement: str, loading: int
) -> tuple[float, float]:
    pairs = [
        (float(part[loading]), way.available)
        for way, part in zip(ways, medians, strict=True)
        if way.movement == movement
    ]
    return min(pairs, key=lambda pair: pair[0] / pair[1] if pair[1] > 0.0 else float("inf"))


def _figures(found: _Found, place: NDArray[np.int64]) -> tuple[object, ...]:
    code = found.judged.code
    low, high = np.quantile(found.judged.by_draw, [0.05, 0.95])
    stopped = np.bincount(code, minlength=len(REASONS) + 1)[1:] / len(code)
    usable = np.bincount(place[code == USABLE], minlength=CELLS).astype(np.uint16)
    return (
        found.judged.share, float(low), float(high), stopped, *found.landing, *found.take_off, usable,
    )  # fmt: skip


def _columns(rows: Sequence[tuple[object, ...]]) -> SurveyRows:
    columns = [list(column) for column in zip(*rows, strict=True)] if rows else [[] for _ in range(12)]
    strip, configuration, loading = (np.array(column, dtype=np.int64) for column in columns[:3])
    share, low, high = (np.array(column, dtype=np.float64) for column in columns[3:6])
    landing, landing_there, off, off_there = (np.array(column, dtype=np.float64) for column in columns[7:11])
    return SurveyRows(
        strip,
        configuration,
        loading,
        share,
        low,
        high,
        np.array(columns[6], dtype=np.float64).reshape(-1, len(REASONS)),
        landing,
        landing_there,
        off,
        off_there,
        np.array(columns[11], dtype=np.uint16).reshape(-1, CELLS),
    )
