"""Distances and winds of every hour → which hours are usable, how surely, and what stops the others."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.missions.practice import Practice, Run
from wringout.missions.strip_hours import StripHours

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

REASONS = ("wind across", "wind on the tail", "the landing", "the take-off", "the take-off after the landing")
USABLE, ACROSS, TAIL, LANDING, TAKE_OFF, BOTH = range(6)  # codes of an hour: 0, or 1 + the place in REASONS


@dataclass(frozen=True, slots=True)
class JudgedHours:
    """What every hour comes to at one loading; k draws, h hours.

    `code` is 0 where usable, else 1 + the place in REASONS of what stops it; `by_draw` the share of hours in
    which each draw's airplane, flown by the choice of direction made here, has room enough, shape (k,);
    `probability` that it has, hour by hour.
    """

    code: NDArray[np.int8]
    probability: FloatArray
    by_draw: FloatArray

    @property
    def share(self) -> float:
        """Share of hours that are usable."""
        return float(np.mean(self.code == USABLE))


def judge_hours(
    runs: Sequence[Run],
    enough: Sequence[BoolArray],
    hours: StripHours,
    practice: Practice,
    cross_wind: float,
) -> JudgedHours:
    """Joins landing and take-off, each in its better direction.

    Parameters
    ----------
    runs : sequence of Run
    enough : sequence of ndarray, shape (k, h)
        Of each run: whether the factored distance of each draw fits in each hour.
    hours : StripHours
    practice : Practice
    cross_wind : float
        The limit [m/s].

    Notes
    -----
    For each movement the pilot takes the direction with the greater probability, of equals that against the
    wind. An hour is usable where cross wind and tail wind are inside their limits, and the strip is long
    enough for landing and take-off with the probability asked for. What stops an hour: the wind before the
    ground, then whichever movement is the less probable.
    """
    across = hours.across > cross_wind
    chances: dict[str, FloatArray] = {}
    chosen: dict[str, BoolArray] = {}
    tailed: dict[str, BoolArray] = {}
    for movement in ("landing", "take-off"):
        group = [number for number, run in enumerate(runs) if run.movement == movement]
        head = np.stack([along(runs[number], hours) for number in group])
        allowed = head >= -practice.tail_wind
        chance = np.stack([enough[number].mean(axis=0) for number in group])
        score = np.where(allowed, chance + 1e-6 * np.tanh(0.1 * head), -1.0 + 1e-3 * chance)
        best = np.argmax(score, axis=0)
        columns = np.arange(score.shape[1])
        chances[movement] = chance[best, columns]
        tailed[movement] = ~allowed[best, columns]
        fits = (
            enough[group[0]] if len(group) == 1 else np.where(best == 0, enough[group[0]], enough[group[1]])
        )
        chosen[movement] = fits & ~tailed[movement]
    both = chosen["landing"] & chosen["take-off"] & ~across
    probability = both.mean(axis=0)
    code = np.zeros(len(across), dtype=np.int8)
    short = probability < practice.sure
    code[short] = BOTH
    landing_short, off_short = (chances[name] < practice.sure for name in ("landing", "take-off"))
    less = chances["landing"] < chances["take-off"]
    code[short & landing_short & (less | ~off_short)] = LANDING
    code[short & off_short & (~less | ~landing_short)] = TAKE_OFF
    code[tailed["landing"] | tailed["take-off"]] = TAIL
    code[across] = ACROSS
    return JudgedHours(code, probability, both.mean(axis=1))


def along(run: Run, hours: StripHours) -> FloatArray:
    """Head wind of a run at wing height [m/s]; a wind without direction blows from behind."""
    return np.where(np.isnan(hours.along), -hours.speed, run.sign * hours.along)


def month_by_hour(hours: StripHours, marked: BoolArray) -> FloatArray:
    """Share of marked hours by month and hour of the day, shape (12, 24), NaN where there is no hour."""
    place = (hours.month - 1) * 24 + hours.hour
    every = np.bincount(place, minlength=288).astype(np.float64)
    some = np.bincount(place, weights=marked.astype(np.float64), minlength=288)
    with np.errstate(invalid="ignore"):
        return (some / np.where(every > 0, every, np.nan)).reshape(12, 24)
