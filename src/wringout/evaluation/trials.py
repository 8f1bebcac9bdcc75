"""A loading tried on a page: from a card or a mission, tested against every limit, place by place."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from wringout.airplane.airplane import Airplane, Station
from wringout.airplane.lookups import configuration_envelope
from wringout.dossier.card import Card, CardLoading
from wringout.dossier.dossier import Dossier, Load, Mission, Units
from wringout.dossier.trial import Thing, Trial, plain
from wringout.loading import (
    LoadingReport,
    LoadingState,
    Stowage,
    empty_mass,
    fuel_in_tanks,
    loading_report,
    place_limits,
    stow,
    usual_pilot,
)
from wringout.loading.envelope import MASS_ROUNDING
from wringout.problems import InputError
from wringout.quantity.showing import arm_digits, show


@dataclass(frozen=True, slots=True)
class PlaceUse:
    """A station as loaded: mass [kg] and its mean arm [m]; `room` [kg] is what it may still take.

    `room` is the least that its own limit, its floor and the combined limits leave, None where nothing
    limits it; negative beyond a limit.
    """

    station: Station
    mass: float
    arm: float
    room: float | None


@dataclass(frozen=True, slots=True)
class Tried:
    """What a trial comes to."""

    trial: Trial
    loading: CardLoading
    report: LoadingReport
    places: tuple[PlaceUse, ...]

    def lead(self, units: Units) -> str:
        """Mass and CG at take-off, with what is left to the mass limit, in a sentence."""
        state = self.report.state("take-off")
        mass, cg = (
            show(state.mass.value, units.mass, digits=0),
            show(state.cg.value, units.arm, digits=arm_digits(units.arm)),
        )
        left = show(abs(state.mass_margin), units.mass, digits=0)
        side = "below" if state.mass_margin >= -MASS_ROUNDING else "above"
        return f"At take-off {mass}, {left} {side} the limit, CG at {cg}, {_between(state, units)}."


def _between(state: LoadingState, units: Units) -> str:
    """Where the CG lies between its limits, by the nearer one."""
    digits = arm_digits(units.arm)
    forward = state.forward <= state.aft
    margin = show(abs(min(state.forward, state.aft)), units.arm, digits=digits)
    if min(state.forward, state.aft) < 0.0:
        return f"{margin} {'ahead of the forward' if forward else 'behind the aft'} limit"
    return f"{margin} {'behind the forward' if forward else 'ahead of the aft'} limit"


def tried(airplane: Airplane, trial: Trial) -> Tried:
    """A trial tested from the ramp to the last drop; InputError as `loading_report`."""
    loading = summed(airplane, trial)
    report = loading_report(airplane, trial.configuration, loading, trial.taxi_fuel, trial.landing_fuel)
    return Tried(trial, loading, report, _places(airplane, loading))


def summed(airplane: Airplane, trial: Trial) -> CardLoading:
    """The trial by station: masses added up, arms their mean weighted by mass, so that moments are kept."""
    aboard: dict[str, list[Thing]] = {}
    for thing in trial.things:
        if thing.station is not None:
            aboard.setdefault(thing.station, []).append(thing)
    known = {station.name: station for station in airplane.stations}
    stations = {name: math.fsum(thing.mass for thing in things) for name, things in aboard.items()}
    arms = {}
    for name, things in aboard.items():
        station = known.get(name)
        if station is not None and station.arm_aft != station.arm and stations[name] > 0.0:
            arms[name] = math.fsum(thing.mass * arm_of(station, thing) for thing in things) / stations[name]
    return CardLoading(stations, arms, trial.fuel, trial.mass_sd, trial.fuel_sd)


def arm_of(station: Station, thing: Thing) -> float:
    """Where a thing lies in its station [m]: inside its range, in the middle where nothing is said."""
    low, high = sorted((station.arm, station.arm_aft))
    return 0.5 * (low + high) if thing.arm is None else min(max(thing.arm, low), high)


def trial_of_card(card: Card, airplane: Airplane, units: Units) -> Trial:
    """A card's loading as a trial: what is at a station is one thing, called after it."""
    loading = card.loading
    things = tuple(
        Thing(
            f"{'person' if station.holds == 'people' else 'load'}, {station.name}",
            loading.stations[station.name],
            station.name,
            loading.station_arms.get(station.name),
            text=plain(loading.stations[station.name], units.mass, 1),
        )
        for station in airplane.stations
        if loading.stations.get(station.name, 0.0) > 0.0
    )
    landing = card.plan.landing_fuel
    if landing is None and loading.fuel_at_shutdown is not None:
        landing = math.fsum(loading.fuel_at_shutdown.values())
    fuel = {tank.name: loading.fuel.get(tank.name, 0.0) for tank in airplane.tanks}
    return Trial(
        card.configuration,
        things,
        fuel,
        card.plan.taxi_fuel,
        landing,
        loading.mass_sd,
        loading.fuel_sd,
        {name: plain(volume, units.fuel, 1) for name, volume in fuel.items()},
    )


def trial_of_mission(mission: Mission, airplane: Airplane, units: Units) -> Trial:
    """A mission's loads, stowed as its answer stows them, with as much fuel as the mass then allows.

    A load of several pieces is as many things.
    """
    fuel = {tank.name: 0.0 for tank in airplane.tanks}
    stowage = stow(airplane, mission.configuration, mission.loads, fuel)
    things = stowed_things(mission.loads, stowage, units)
    return _fuelled(Trial(mission.configuration, things, fuel), airplane, units)


def stowed_things(loads: Sequence[Load], stowage: Stowage, units: Units) -> tuple[Thing, ...]:
    """Every piece of the loads where a stowage has it, those that stay at no station."""
    things = []
    for load in loads:
        places = [item.station for item in stowage.placed for _ in range(item.count) if item.load is load]
        for piece in range(load.count):
            station = places[piece] if piece < len(places) else None
            things.append(
                Thing(
                    load.name if load.count == 1 else f"{load.name} {piece + 1}",
                    load.mass,
                    station,
                    stowage.loading.station_arms.get(station or ""),
                    load.must,
                    plain(load.mass, units.mass, 1),
                )
            )
    return tuple(things)


def usual_trial(airplane: Airplane, units: Units) -> Trial:
    """The pilot alone, with as much fuel as the tanks hold and the mass allows."""
    things: tuple[Thing, ...] = ()
    try:
        pilot = usual_pilot(airplane)
        things = (Thing("pilot", pilot.mass, pilot.station, text=plain(pilot.mass, units.mass, 1)),)
    except InputError:
        pass  # an airplane without a seat is loaded from nothing
    trial = Trial(airplane.configurations[0].name, things, {tank.name: 0.0 for tank in airplane.tanks})
    return _fuelled(trial, airplane, units)


def first_trial(dossier: Dossier, source: str) -> Trial:
    """Where a page begins: 'card NAME', 'mission NAME', or the usual pilot alone for any other source."""
    kind, _, name = source.partition(" ")
    airplane, units = dossier.airplane, dossier.units
    card = next((item for item in dossier.cards if kind == "card" and item.name == name), None)
    if card is not None:
        return trial_of_card(card, airplane, units)
    mission = next((item for item in dossier.missions if kind == "mission" and item.name == name), None)
    if mission is not None:
        return trial_of_mission(mission, airplane, units)
    return usual_trial(airplane, units)


def _fuelled(trial: Trial, airplane: Airplane, units: Units) -> Trial:
    """The trial with full tanks, or with what the highest mass leaves for fuel."""
    envelope = configuration_envelope(airplane, trial.configuration)
    empty = empty_mass(airplane, trial.configuration).mass.value
    load = math.fsum(thing.mass for thing in trial.things if thing.station is not None)
    room = max(envelope.maximum_takeoff_mass - empty - load, 0.0) / airplane.fuel.density
    capacity = math.fsum(tank.usable for tank in airplane.tanks)
    litre = 1e-3
    total = capacity if room >= capacity else math.floor(room / litre) * litre
    fuel = fuel_in_tanks(airplane.tanks, total)
    text = {name: plain(volume, units.fuel, 1) for name, volume in fuel.items()}
    return replace(trial, fuel=fuel, fuel_text=text)


def _places(airplane: Airplane, loading: CardLoading) -> tuple[PlaceUse, ...]:
    checks = place_limits(airplane, loading)
    uses = []
    for station in airplane.stations:
        mass = loading.stations.get(station.name, 0.0)
        rooms = [
            check.margin * (station.floor_area or 1.0) if check.kind == "floor" else check.margin
            for check in checks
            if check.name == station.name and check.kind != "combined"
        ]
        groups = {item.name for item in airplane.combined_limits if station.name in item.stations}
        rooms += [check.margin for check in checks if check.kind == "combined" and check.name in groups]
        arm = loading.station_arms.get(station.name, 0.5 * (station.arm + station.arm_aft))
        uses.append(PlaceUse(station, mass, arm, min(rooms, default=None)))
    return tuple(uses)
