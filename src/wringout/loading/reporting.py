"""A loading tested on the ramp, at take-off, through the whole fuel burn, at landing and with no fuel."""

import math
from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane, Envelope
from wringout.airplane.lookups import configuration_envelope
from wringout.dossier.card import CardLoading
from wringout.loading.balance import chord_fraction
from wringout.loading.empty import EmptyMass, MassRow
from wringout.loading.envelope import ARM_ROUNDING, MASS_ROUNDING, Margins, margins
from wringout.loading.equipment import empty_mass
from wringout.loading.fuel import burn_breaks, fuel_arm
from wringout.loading.limits import LimitCheck, floor_notes, place_limits
from wringout.loading.loaded import BurnStates, burn_states, uncertainty
from wringout.loading.loading_report import (
    Binding,
    BurnPath,
    LoadingReport,
    LoadingState,
    StateName,
    maximum_mass,
)
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.quantity.showing import show

FloatArray = NDArray[np.float64]

_PATH_SAMPLES = 101


def loading_report(
    airplane: Airplane,
    configuration: str,
    loading: CardLoading,
    taxi_fuel: float = 0.0,
    landing_fuel: float | None = None,
) -> LoadingReport:
    """A loading tested against every limit from the ramp to the last usable drop.

    Parameters
    ----------
    airplane : Airplane
    configuration : str
        Name of one of its configurations.
    loading : CardLoading
        Masses [kg] by station and usable fuel [m³] by tank at start-up.
    taxi_fuel : float
        Burnt before take-off [m³].
    landing_fuel : float, optional
        Usable fuel aboard at landing [m³]; left out, what the loading says was left at shutdown.

    Returns
    -------
    LoadingReport

    Raises
    ------
    InputError
        As `mass_and_cg`, and where taxi or landing fuel is not aboard.

    Notes
    -----
    The path is followed to zero usable fuel whatever the landing fuel, so that a loading that goes out of
    limits late in the burn is found. Ramp mass is held to its own limit, or to the take-off limit where
    none is stated; landing likewise; zero fuel to its own, or to the take-off limit [FAA-H-8083-1, ch. 2].
    """
    empty = empty_mass(airplane, configuration)
    envelope = configuration_envelope(airplane, configuration)
    aboard = math.fsum(loading.fuel.values())
    left = _landing_fuel(loading, landing_fuel)
    _check_fuel(aboard, taxi_fuel, left)
    moments: list[tuple[StateName, float]] = [("ramp", 0.0), ("take-off", taxi_fuel)]
    if left is not None:
        moments.append(("landing", aboard - left))
    moments.append(("zero fuel", aboard))
    states = _states(airplane, empty, envelope, loading, moments)
    path = _path(airplane, empty, envelope, loading, taxi_fuel)
    limits = place_limits(airplane, loading)
    candidates = [
        *(_limit_binding(check) for check in limits),
        *(binding for state in states for binding in _bindings_of(state, envelope)),
        *_path_bindings(path, envelope),
    ]
    binding = _closest(candidates)
    within = (
        all(check.within for check in limits)
        and all(state.inside for state in states)
        and bool(np.all(path.inside))
    )
    notes = list(floor_notes(airplane))
    if left is None:
        notes.append("No landing fuel is stated: the landing mass is not examined.")
    return LoadingReport(
        configuration,
        envelope,
        empty,
        _rows(airplane, empty, loading),
        states,
        path,
        limits,
        binding,
        within,
        _probability_within(states, path),
        tuple(notes),
    )


def _rows(airplane: Airplane, empty: EmptyMass, loading: CardLoading) -> tuple[MassRow, ...]:
    burn = burn_states(airplane, empty, loading, np.zeros(1))
    fuel = tuple(
        MassRow(
            f"fuel, {tank.name}",
            loading.fuel[tank.name] * airplane.fuel.density,
            float(fuel_arm(tank, np.array([loading.fuel[tank.name]]))[0]),
        )
        for tank in airplane.tanks
        if loading.fuel.get(tank.name, 0.0) > 0.0
    )
    return (MassRow("empty", empty.mass.value, empty.arm.value), *burn.rows, *fuel)


def _states(
    airplane: Airplane,
    empty: EmptyMass,
    envelope: Envelope,
    loading: CardLoading,
    moments: list[tuple[StateName, float]],
) -> tuple[LoadingState, ...]:
    burnt = np.array([volume for _, volume in moments])
    burn = burn_states(airplane, empty, loading, burnt)
    mass_sd, cg_sd = uncertainty(airplane, empty, loading, burn)
    aboard = math.fsum(loading.fuel.values())
    chord, leading_edge = airplane.geometry.mean_chord, airplane.geometry.mean_chord_leading_edge
    states = []
    for index, (name, volume) in enumerate(moments):
        mass, cg = float(burn.mass[index]), float(burn.cg[index])
        highest = maximum_mass(envelope, name)
        found = margins(envelope, mass, cg, highest)
        source = f"{name}: {empty.mass.source} plus the loading"
        fraction = None if chord is None or leading_edge is None else chord_fraction(cg, chord, leading_edge)
        states.append(
            LoadingState(
                name,
                aboard - volume,
                Estimate(mass, float(mass_sd[index]), Dimension.MASS, source),
                Estimate(cg, float(cg_sd[index]), Dimension.LENGTH, source),
                float(found.forward_limit),
                float(found.aft_limit),
                float(found.forward),
                float(found.aft),
                highest,
                float(found.maximum),
                float(found.above),
                fraction,
                _closest(_state_bindings(name, found, envelope)).limit,
                bool(found.inside),
            )
        )
    return tuple(states)


def _path(
    airplane: Airplane, empty: EmptyMass, envelope: Envelope, loading: CardLoading, taxi_fuel: float
) -> BurnPath:
    aboard = math.fsum(loading.fuel.values())
    ramp = burn_states(airplane, empty, loading, np.zeros(1)).mass[0]
    at_corners = [(ramp - mass) / airplane.fuel.density for _, mass in envelope.vertices]
    burnt = np.concatenate(
        (
            np.linspace(taxi_fuel, aboard, _PATH_SAMPLES),
            burn_breaks(airplane.tanks, loading.fuel),
            np.array(at_corners),
        )
    )
    burnt = np.unique(burnt[(burnt >= taxi_fuel) & (burnt <= aboard)])
    burn: BurnStates = burn_states(airplane, empty, loading, burnt)
    mass_sd, cg_sd = uncertainty(airplane, empty, loading, burn)
    found = margins(envelope, burn.mass, burn.cg)
    return BurnPath(
        burnt,
        np.maximum(aboard - burnt, 0.0),
        burn.mass,
        burn.cg,
        mass_sd,
        cg_sd,
        found.forward,
        found.aft,
        found.inside,
    )


def _limit_binding(check: LimitCheck) -> Binding:
    names = {"station": "limit of", "floor": "floor limit of", "combined": "combined limit"}
    share = (
        check.margin / check.limit if check.limit > 0.0 else (-math.inf if check.found > 0.0 else math.inf)
    )
    return Binding(f"{names[check.kind]} {check.name}", "as loaded", check.margin, check.dimension, share)


def _state_bindings(name: StateName, found: Margins, envelope: Envelope) -> tuple[Binding, ...]:
    where = {"ramp": "on the ramp", "take-off": "at take-off", "landing": "at landing"}.get(
        name, "with no fuel"
    )
    kind = {"zero fuel": "zero-fuel"}.get(name, name)
    width = _width(envelope)
    span = maximum_mass(envelope, name) - min(mass for _, mass in envelope.vertices)
    edges = [
        ("forward limit", found.forward, Dimension.LENGTH, width),
        ("aft limit", found.aft, Dimension.LENGTH, width),
        (f"highest {kind} mass", found.maximum, Dimension.MASS, span),
    ]
    if float(found.minimum) < 0.0:  # where a polygon's foot is drawn is no limit to tell until it is crossed
        edges.append(("lowest mass of the envelope", found.minimum, Dimension.MASS, span))
    return tuple(
        Binding(edge, where, float(margin), dimension, float(margin) / scale)
        for edge, margin, dimension, scale in edges
    )


def _probability_within(states: tuple[LoadingState, ...], path: BurnPath) -> float:
    masses = [_probability(state.mass_margin, state.mass.sd or 0.0, MASS_ROUNDING) for state in states]
    edges = zip(np.minimum(path.forward, path.aft), path.cg_sd, strict=True)
    return min(*masses, *(_probability(float(margin), float(sd), ARM_ROUNDING) for margin, sd in edges))


def _probability(margin: float, sd: float, rounding: float) -> float:
    """That a normally distributed figure is inside its limit."""
    if sd <= 0.0:
        return 1.0 if margin >= -rounding else 0.0
    return 0.5 * math.erfc(-margin / (sd * math.sqrt(2.0)))


def _bindings_of(state: LoadingState, envelope: Envelope) -> tuple[Binding, ...]:
    found = margins(envelope, state.mass.value, state.cg.value, state.maximum_mass)
    return _state_bindings(state.name, found, envelope)


def _closest(bindings: Iterable[Binding]) -> Binding:
    return min(bindings, key=lambda binding: binding.share)


def _path_bindings(path: BurnPath, envelope: Envelope) -> tuple[Binding, ...]:
    width = _width(envelope)
    bindings = []
    sides: tuple[tuple[str, FloatArray], ...] = (("forward limit", path.forward), ("aft limit", path.aft))
    for name, margin in sides:
        worst = int(np.argmin(margin))
        if worst in (0, len(margin) - 1):  # the states at take-off and with no fuel tell of it
            continue
        where = f"with {show(float(path.fuel[worst]), 'L', digits=0)} of fuel left"
        bindings.append(
            Binding(name, where, float(margin[worst]), Dimension.LENGTH, float(margin[worst]) / width)
        )
    return tuple(bindings)


def _width(envelope: Envelope) -> float:
    cgs = [cg for cg, _ in envelope.vertices]
    return max(cgs) - min(cgs)


def _landing_fuel(loading: CardLoading, landing_fuel: float | None) -> float | None:
    if landing_fuel is not None:
        return landing_fuel
    return None if loading.fuel_at_shutdown is None else math.fsum(loading.fuel_at_shutdown.values())


def _check_fuel(aboard: float, taxi_fuel: float, landing_fuel: float | None) -> None:
    problems = []
    if not 0.0 <= taxi_fuel <= aboard:
        problems.append(
            Problem(
                f"the taxi takes {taxi_fuel * 1000:g} L and {aboard * 1000:g} L are aboard",
                "give taxi fuel that is aboard",
                field="taxi_fuel",
            )
        )
    elif landing_fuel is not None and not 0.0 <= landing_fuel <= aboard - taxi_fuel:
        problems.append(
            Problem(
                f"{landing_fuel * 1000:g} L at landing, {(aboard - taxi_fuel) * 1000:g} L at take-off",
                "give landing fuel that is aboard at take-off",
                field="landing_fuel",
            )
        )
    if problems:
        raise InputError(*problems)
