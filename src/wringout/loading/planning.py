"""What to load so that a flight takes off with the CG and mass that it is flown for."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from wringout.airplane import lookups
from wringout.airplane.airplane import Airplane, Station
from wringout.dossier.card import CardLoading
from wringout.loading.balance import ballast_mass
from wringout.loading.loading_report import LoadingReport, LoadingState
from wringout.loading.reporting import loading_report
from wringout.quantity.showing import arm_digits, show

_MOST = 2000.0  # kg tried at a station without a limit
_TRIALS = 80
_GRAM = 1e-3


@dataclass(frozen=True, slots=True)
class Reach:
    """What ballast at the station can do with every limit kept: its mass [kg], and CG [m] and mass then."""

    least: float
    most: float
    cg: tuple[float, float]
    mass: tuple[float, float]


@dataclass(frozen=True, slots=True)
class PlannedLoading:
    """The loading to fly, ballast included, and what it comes to.

    `ballast` [kg] lies at `arm` [m] of `station`; it is None where what is wanted cannot be reached, and the
    loading is then that without ballast. `reach` is None where no station is named, or where no ballast
    keeps every limit. `reason` says it in a sentence or two.
    """

    wanted_cg: float | None
    wanted_mass: float | None
    station: str | None
    ballast: float | None
    arm: float | None
    loading: CardLoading
    report: LoadingReport
    reach: Reach | None
    reason: str


def planned_loading(
    airplane: Airplane,
    configuration: str,
    loading: CardLoading,
    *,
    wanted_cg: float | None = None,
    wanted_mass: float | None = None,
    station: str | None = None,
    taxi_fuel: float = 0.0,
    landing_fuel: float | None = None,
    mass_unit: str = "kg",
    arm_unit: str = "mm",
) -> PlannedLoading:
    """Ballast at one station that brings a loading to the CG and mass wanted at take-off.

    Parameters
    ----------
    airplane : Airplane
    configuration : str
    loading : CardLoading
        Crew, fuel and what else is aboard anyhow.
    wanted_cg, wanted_mass : float, optional
        At take-off, after the taxi [m], [kg]. Where both are wanted the CG decides, unless the ballast may
        lie anywhere along its station: then both are met.
    station : str, optional
        Where the ballast goes: at the arm that the loading gives for it; where it gives none, at the end of
        the station that asks for less, or where both wishes are met.
    taxi_fuel, landing_fuel : float
        Burnt before take-off, and left at landing [m³].
    mass_unit, arm_unit : str
        For the sentences.

    Returns
    -------
    PlannedLoading
        A loading with ballast keeps every limit of mass, CG and place from the ramp to the last drop.

    Raises
    ------
    InputError
        As `loading_report`, or the station is unknown.

    Notes
    -----
    b = W (x' − x)/(a − x') for a CG x' wanted of mass W at x with ballast at a [FAA-H-8083-1, ch. 5;
    AC43.13-1B, ch. 10]; b = W' − W for a mass W', and then a = (W' x' − W x)/b [derive]. A CG that is
    already there within its own standard uncertainty asks for no ballast.
    """
    before = loading_report(airplane, configuration, loading, taxi_fuel, landing_fuel)
    plan = PlannedLoading(wanted_cg, wanted_mass, station, None, None, loading, before, None, "")
    if wanted_cg is None and wanted_mass is None:
        return replace(plan, reason=before.sentence(mass_unit, arm_unit))
    if station is None:
        words = _state_words(before.state("take-off"), mass_unit, arm_unit)
        return replace(plan, reason=f"{words}; no station for ballast is named.")
    ballasting = _Ballasting(
        airplane, configuration, loading, lookups.station(airplane, station), taxi_fuel, landing_fuel
    )
    state = before.state("take-off")
    arm = ballasting.arm(state, wanted_cg, wanted_mass)
    reach = ballasting.reach(arm, before)
    mass = _mass(state, wanted_cg, wanted_mass, arm, free=ballasting.free)
    after = None if mass is None else ballasting.tried(mass, arm)
    if mass is None or after is None or not after[1].within:
        reason = _not_reached(plan, before, reach, arm, (mass_unit, arm_unit))
        return replace(plan, arm=arm, reach=reach, reason=reason)
    reason = _reached(plan, mass, arm, after[1], (mass_unit, arm_unit))
    return replace(plan, ballast=mass, arm=arm, loading=after[0], report=after[1], reach=reach, reason=reason)


@dataclass(frozen=True, slots=True)
class _Ballasting:
    """The airplane, its loading without ballast, and where the ballast goes."""

    airplane: Airplane
    configuration: str
    loading: CardLoading
    station: Station
    taxi_fuel: float
    landing_fuel: float | None

    @property
    def free(self) -> bool:
        """Whether the ballast may lie anywhere along its station."""
        return self.station.arm_aft > self.station.arm and self.station.name not in self.loading.station_arms

    def arm(self, state: LoadingState, wanted_cg: float | None, wanted_mass: float | None) -> float:
        """Where the ballast lies [m]."""
        given = self.loading.station_arms.get(self.station.name)
        ends = (self.station.arm, self.station.arm_aft)
        if given is not None or wanted_cg is None or not self.free:
            return ends[0] if given is None else given
        ballast = 0.0 if wanted_mass is None else wanted_mass - state.mass.value
        if ballast > 0.0:
            moment = (state.mass.value + ballast) * wanted_cg - state.mass.value * state.cg.value
            return float(np.clip(moment / ballast, *ends))
        return ends[1] if wanted_cg > state.cg.value else ends[0]

    def tried(self, mass: float, arm: float) -> tuple[CardLoading, LoadingReport]:
        """The loading with ballast, and its report."""
        name = self.station.name
        stations = {**self.loading.stations, name: self.loading.stations.get(name, 0.0) + mass}
        arms = dict(self.loading.station_arms)
        if self.free:
            arms[name] = arm
        loading = replace(self.loading, stations=stations, station_arms=arms)
        report = loading_report(self.airplane, self.configuration, loading, self.taxi_fuel, self.landing_fuel)
        return loading, report

    def reach(self, arm: float, before: LoadingReport) -> Reach | None:
        """The ballast at this arm that keeps every limit, from least to most."""
        limit = self.station.mass_limit
        room = math.inf if limit is None else limit - self.loading.stations.get(self.station.name, 0.0)
        most = max(min(_MOST, room, *(state.mass_margin for state in before.states)), 0.0)

        def inside(mass: float) -> bool:
            return self.tried(mass, arm)[1].within

        masses = [float(mass) for mass in np.linspace(0.0, most, _TRIALS + 1)] if most > 0.0 else [0.0]
        kept = [index for index, mass in enumerate(masses) if inside(mass)]
        if not kept:
            return None
        least, greatest = masses[kept[0]], masses[kept[-1]]
        if kept[0] > 0:
            least = _edge(inside, least, masses[kept[0] - 1])
        if kept[-1] < len(masses) - 1:
            greatest = _edge(inside, greatest, masses[kept[-1] + 1])
        ends = [self.tried(mass, arm)[1].state("take-off") for mass in (least, greatest)]
        first, last = sorted(state.cg.value for state in ends)
        return Reach(least, greatest, (first, last), (ends[0].mass.value, ends[1].mass.value))


def _mass(
    state: LoadingState, wanted_cg: float | None, wanted_mass: float | None, arm: float, *, free: bool
) -> float | None:
    """Ballast [kg] that meets the wish; None where none at this arm can."""
    mass, cg = state.mass.value, state.cg.value
    if wanted_cg is None or (free and wanted_mass is not None):
        ballast = (mass if wanted_mass is None else wanted_mass) - mass
        if wanted_cg is not None and ballast > 0.0:
            met = abs((mass * cg + ballast * arm) / (mass + ballast) - wanted_cg) <= _there(state)
            return ballast if met else None
        if wanted_cg is not None and abs(cg - wanted_cg) > _there(state):
            return None
        return max(ballast, 0.0) if ballast >= -(state.mass.sd or 0.0) else None
    if abs(wanted_cg - cg) <= _there(state):
        return 0.0
    try:
        return ballast_mass(mass, cg, wanted_cg, arm)
    except ValueError:
        return None


def _there(state: LoadingState) -> float:
    """How near a CG is as good as there [m]: what scales, people and fuel leave uncertain of it."""
    return max(state.cg.sd or 0.0, 1e-6)


def _edge(inside: Callable[[float], bool], kept: float, lost: float) -> float:
    """The last mass [kg] that keeps every limit between one that does and one that does not."""
    while abs(lost - kept) > _GRAM:
        middle = 0.5 * (kept + lost)
        kept, lost = (middle, lost) if inside(middle) else (kept, middle)
    return kept


def _state_words(state: LoadingState, mass_unit: str, arm_unit: str) -> str:
    mass, cg = (
        show(state.mass.value, mass_unit, digits=0),
        show(state.cg.value, arm_unit, digits=arm_digits(arm_unit)),
    )
    return f"{mass} with the CG at {cg} at take-off"


def _reached(
    plan: PlannedLoading, mass: float, arm: float, report: LoadingReport, units: tuple[str, str]
) -> str:
    words = _state_words(report.state("take-off"), *units)
    if mass <= 0.0:
        return f"No ballast is needed: {words}."
    at = show(arm, units[1], digits=arm_digits(units[1]))
    place = f"{show(mass, units[0], digits=1)} of ballast at {plan.station}, {at}"
    said = f"{place}: {words}."
    missing = 0.0 if plan.wanted_mass is None else plan.wanted_mass - report.state("take-off").mass.value
    if abs(missing) > max(report.state("take-off").mass.sd or 0.0, _GRAM):
        side = "below" if missing > 0.0 else "above"
        wish = f"{show(abs(missing), units[0], digits=0)} {side} the mass wanted"
        said += f" That is {wish}: fuel or a load near the CG makes it up."
    return said


def _not_reached(
    plan: PlannedLoading,
    before: LoadingReport,
    reach: Reach | None,
    arm: float,
    units: tuple[str, str],
) -> str:
    wishes = []
    if plan.wanted_cg is not None:
        wishes.append(f"a CG of {show(plan.wanted_cg, units[1], digits=arm_digits(units[1]))}")
    if plan.wanted_mass is not None:
        wishes.append(show(plan.wanted_mass, units[0], digits=0))
    where = f"ballast at {plan.station}, {show(arm, units[1], digits=arm_digits(units[1]))}"
    said = f"{' and '.join(wishes)} at take-off cannot be reached with {where}"
    said = said[:1].upper() + said[1:]
    if reach is None:
        return f"{said}: none of it keeps every limit. {before.sentence(*units)}"
    span = [show(cg, units[1], digits=arm_digits(units[1])) for cg in reach.cg]
    masses = f"{show(reach.least, units[0], digits=1)} to {show(reach.most, units[0], digits=1)}"
    return f"{said}: {masses} there keep every limit and give {span[0]} to {span[1]}."
