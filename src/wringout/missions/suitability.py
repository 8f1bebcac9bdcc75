"""Into and out of a strip: in what share of a year's hours, what stops the others, and with what payload."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.dossier.dossier import Strip
from wringout.dossier.weather import Weather
from wringout.missions.hour_judging import (
    REASONS,
    USABLE,
    JudgedHours,
    along,
    judge_hours,
    month_by_hour,
)
from wringout.missions.leaflet import PUBLISHED, condition_factor
from wringout.missions.practice import CROSS_WIND_SHARE, Practice, Run, runs_of
from wringout.missions.runs import FieldRuns, distances
from wringout.missions.strip_hours import StripHours, hours_at
from wringout.physics.constants import GAS_CONSTANT_AIR, SEA_LEVEL_DENSITY
from wringout.physics.field_arrays import Conditions
from wringout.physics.vehicle import Air

FloatArray = NDArray[np.float64]

DENSITY_NODES = 5
WIND_STEP = 1.0  # m/s between nodes
KEPT_SHARE = 0.9  # of the hours, that the payload is asked to keep
HARD = "dry concrete"  # what published factors are put on
_SEASONS = {"winter": (12, 1, 2), "spring": (3, 4, 5), "summer": (6, 7, 8), "autumn": (9, 10, 11)}
_SEASON_EXCESS = 1.4  # over the rate of the whole year, from which a season is worth a word


@dataclass(frozen=True, slots=True)
class StripAnswer:
    """One strip through the hours, landing and take-off again.

    `share` of the hours is usable, with its central 90 % over what the flights leave open in `low` to `high`;
    `heat` the same by month and hour, shape (12, 24), NaN where no hour counts; `reasons` the share of hours
    that each reason stops. `landing` and `take_off` are the distances asked for in the middling hour [m],
    factor included, at `mass` [kg], each with what is available. `kept_mass` [kg] keeps nine hours in ten,
    None where no mass asked about does; `shares` are those of `masses`.
    """

    strip: Strip
    configuration: str
    mass: float
    share: float
    low: float
    high: float
    heat: FloatArray
    reasons: Mapping[str, float]
    season: str
    landing: tuple[float, float]
    take_off: tuple[float, float]
    density_altitude: tuple[float, float]  # lowest and highest of the hours [m]
    cross_wind: float
    masses: FloatArray
    shares: FloatArray
    kept_mass: float | None
    hours: int
    notes: tuple[str, ...]

    @property
    def binding(self) -> str | None:
        """What stops most of the hours that are lost, None where none is."""
        lost = {name: share for name, share in self.reasons.items() if share > 0.0}
        return max(lost, key=lambda name: lost[name]) if lost else None


def strip_answer(
    strip: Strip, weather: Weather, runs: FieldRuns, practice: Practice, wing_height: float
) -> StripAnswer:
    """How often a strip can be used, at the first of the masses, and at the others.

    Parameters
    ----------
    strip : Strip
        Its surface is one of the runs'; with published factors 'dry concrete' is too.
    weather : Weather
        The hours that count.
    runs : FieldRuns
        The first mass is the one asked about; the others, in any order, tell which mass keeps nine hours in
        ten.
    practice : Practice
    wing_height : float
        [m]

    Raises
    ------
    InputError
        A published set of factors has none for this surface.

    Notes
    -----
    Distances are reckoned by the kernels at nodes of density and wind and interpolated between as their
    inverse, which goes to nothing where it cannot be done; hours are judged by `judge_hours`.
    """
    hours = hours_at(strip, weather, wing_height)
    ways = runs_of(strip)
    cross = CROSS_WIND_SHARE * runs.stall_speed if practice.cross_wind is None else practice.cross_wind
    k, m = runs.draws, len(runs.masses)
    inverse = [_inverse_needed(strip, run, hours, runs, practice) for run in ways]
    judged = []
    for number in range(m):
        rows = slice(number * k, (number + 1) * k)
        enough = [part[rows] * run.available >= 1.0 for part, run in zip(inverse, ways, strict=True)]
        judged.append(judge_hours(ways, enough, hours, practice, cross))
    first = judged[0]
    low, high = np.quantile(first.by_draw, [0.05, 0.95])
    order = np.argsort(runs.masses)
    masses = np.array(runs.masses)[order]
    shares = np.array([item.share for item in judged])[order]
    altitudes = hours.density_altitude
    return StripAnswer(
        strip,
        runs.asking.configuration,
        runs.masses[0],
        first.share,
        float(low),
        float(high),
        month_by_hour(hours, first.code == USABLE),
        {name: float(np.mean(first.code == code)) for code, name in enumerate(REASONS, start=1)},
        _season(hours, first, south=(weather.site.latitude or 0.0) < 0.0),
        _middling(ways, inverse, "landing", k),
        _middling(ways, inverse, "take-off", k),
        (float(altitudes.min()), float(altitudes.max())),
        cross,
        masses,
        shares,
        _kept(masses, shares),
        len(hours.month),
        _notes(strip, weather),
    )


def _inverse_needed(
    strip: Strip, run: Run, hours: StripHours, runs: FieldRuns, practice: Practice
) -> FloatArray:
    """One over the factored distance of every row in every hour [1/m], shape (m·k, hours)."""
    head = practice.counted(along(run, hours))
    density = np.asarray(hours.air.density)
    densities = np.linspace(density.min(), max(density.max(), density.min() + 1e-4), DENSITY_NODES)
    winds = _nodes(head)
    pressure = float(np.mean(hours.air.pressure))
    node_density, node_wind = (part.reshape(-1) for part in np.meshgrid(densities, winds, indexing="ij"))
    air = Air(
        np.full_like(node_density, pressure), pressure / (GAS_CONSTANT_AIR * node_density), node_density
    )
    published = PUBLISHED.get(practice.method)
    surface = strip.surface if published is None else HARD
    conditions = Conditions(
        air,
        node_wind,
        run.slope if published is None else 0.0,
        np.full(len(node_density), runs.surfaces.index(surface)),
        node_wind * hours.gain,
    )
    found = distances(runs, run, conditions, strip.elevation)
    margin = practice.take_off_factor if run.movement == "take-off" else practice.landing_factor
    with np.errstate(divide="ignore", invalid="ignore"):
        needed = np.nan_to_num(1.0 / (margin * found), nan=0.0, posinf=0.0)
    between = _between(densities, winds, density, head, needed)
    if published is not None:
        speeds = runs.lift_off_speed if run.movement == "take-off" else runs.touchdown_speed
        true = speeds[0] * np.sqrt(SEA_LEVEL_DENSITY / density)
        tail = -along(run, hours) / true
        between /= condition_factor(published, run.movement, strip.surface, run.slope, tail)
    return between


def _nodes(head: FloatArray) -> FloatArray:
    low, high = float(head.min()), float(head.max())
    count = max(int(np.ceil((high - low) / WIND_STEP)) + 1, 2)
    return np.linspace(low, max(high, low + 1e-3), count)


def _between(
    densities: FloatArray, winds: FloatArray, density: FloatArray, head: FloatArray, nodes: FloatArray
) -> FloatArray:
    """Node values (rows, densities × winds) at the hours: linear in density and wind."""
    from scipy.sparse import csr_array

    i, u = _place(densities, density)
    j, v = _place(winds, head)
    count, wide = len(density), len(winds)
    rows = np.repeat(np.arange(count), 4)
    columns = np.stack([i * wide + j, i * wide + j + 1, (i + 1) * wide + j, (i + 1) * wide + j + 1], axis=1)
    weights = np.stack([(1 - u) * (1 - v), (1 - u) * v, u * (1 - v), u * v], axis=1)
    table = csr_array((weights.reshape(-1), (rows, columns.reshape(-1))), shape=(count, nodes.shape[1]))
    return np.asarray((table @ nodes.T).T)


def _place(nodes: FloatArray, values: FloatArray) -> tuple[NDArray[np.int64], FloatArray]:
    """Node below each value, and how far on to the next it lies."""
    step = nodes[1] - nodes[0]
    along_nodes = np.clip((values - nodes[0]) / step, 0.0, len(nodes) - 1.0)
    below = np.minimum(along_nodes.astype(np.int64), len(nodes) - 2)
    return below, along_nodes - below


def _middling(
    ways: Sequence[Run], inverse: Sequence[FloatArray], movement: str, draws: int
) -> tuple[float, float]:
    """Median over hours and draws of the factored distance, in the better direction, and what it has."""
    found = []
    for run, part in zip(ways, inverse, strict=True):
        if run.movement == movement:
            middle = float(np.median(part[:draws]))
            found.append((1.0 / middle if middle > 0.0 else float("inf"), run.available))
    return min(found, key=lambda pair: pair[0] / pair[1] if pair[1] > 0.0 else float("inf"))


def _kept(masses: FloatArray, shares: FloatArray) -> float | None:
    """The greatest mass that keeps nine hours in ten, linear between those asked about."""
    keeps = shares >= KEPT_SHARE
    if not keeps.any():
        return None
    last = int(np.nonzero(keeps)[0].max())
    if last == len(masses) - 1:
        return float(masses[-1])
    drop = shares[last] - shares[last + 1]
    return float(masses[last] + (masses[last + 1] - masses[last]) * (shares[last] - KEPT_SHARE) / drop)


def _season(hours: StripHours, judged: JudgedHours, *, south: bool) -> str:
    """The season whose hours are lost far oftener than the year's to what stops most, or ''."""
    codes = judged.code[judged.code != USABLE]
    if not len(codes):
        return ""
    lost = judged.code == np.bincount(codes).argmax()
    rates = {
        name: float(lost[among].mean()) if (among := np.isin(hours.month, which)).any() else 0.0
        for name, which in _SEASONS.items()
    }
    name = max(rates, key=lambda season: rates[season])
    if rates[name] < _SEASON_EXCESS * float(lost.mean()):
        return ""
    turned = {"winter": "summer", "summer": "winter", "spring": "autumn", "autumn": "spring"}
    return turned[name] if south else name


def _notes(strip: Strip, weather: Weather) -> tuple[str, ...]:
    notes = list(weather.site.notes)
    if weather.site.latitude is None:
        notes.append("The weather file does not say where it was measured: every hour of the day counts.")
    if strip.one_way:
        notes.append("One way: landed on uphill, left downhill, whatever the wind.")
    if np.isnan(weather.dew_point).all():
        notes.append("The weather file has no dew point: the air counts as dry.")
    return tuple(notes)
