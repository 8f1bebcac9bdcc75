"""What each configuration costs: by the hour and the year, by what it carries, and on each mission."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane, ExchangeKit
from wringout.airplane.lookups import configuration as configuration_of
from wringout.airplane.lookups import kit as kit_named
from wringout.dossier.costs import Costs
from wringout.dossier.dossier import Dossier, Strip
from wringout.evaluation.trips import TAXI_TIME, AskedCruise, asked_cruise, mission_performance
from wringout.evaluation.usual import CRUISE_POWER, usual_heights
from wringout.loading import capacity
from wringout.missions import DAY_RESERVE, MissionAnswer, trip_fuel
from wringout.missions.flying import Performance, fly
from wringout.missions.legs import legs_of
from wringout.model.fit import Fit
from wringout.ownership import BreakEven, Reckoned, break_even, reckon
from wringout.problems import InputError, Problem
from wringout.quantity.showing import show

FloatArray = NDArray[np.float64]
Order = NDArray[np.intp]

CAUTION = (
    "A sum of assumptions, not an offer: prices, insurance and taxes are those of the place and the day. "
    "What is due under the approved maintenance programme governs the reserves."
)
_LEAST_SPEED = 1.0  # m/s over the ground: a draw that the wind stops takes as long as this


@dataclass(frozen=True, slots=True)
class Spread:
    """Median and the central 90 % of draws, in the currency for each SI unit of what it is for."""

    median: float
    low: float
    high: float

    @staticmethod
    def of(samples: FloatArray) -> Spread:
        """That of the draws; what cannot be counts as worst."""
        low, median, high = np.quantile(samples, [0.05, 0.5, 0.95], method="inverted_cdf")
        return Spread(float(median), float(low), float(high))


@dataclass(frozen=True, slots=True)
class TripCost:
    """A trip's time [s] and fuel burnt [m³] from start-up to shutdown, and what it costs.

    `one_more` is what one such trip beyond those of the year takes. `carried` [kg] are people and things.
    """

    name: str
    time: Spread
    fuel: Spread
    cost: Spread
    one_more: Spread
    carried: float
    distance: float


@dataclass(frozen=True, slots=True)
class CarryingCost:
    """What carrying costs over the usual leg: payload [kg] that goes with its fuel, cost a kg and a metre."""

    leg: TripCost
    cost: Spread


@dataclass(frozen=True, slots=True)
class ConfigurationCost:
    """One configuration's cost; `missions` those that it was asked of, None where it is no such trip."""

    configuration: str
    reckoned: Reckoned
    speed: FloatArray  # true, in cruise [m/s], a draw each
    carrying: CarryingCost | None
    missions: tuple[TripCost, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Meeting:
    """Where two configurations cost the same in a year, for the same hours and for the same distance."""

    first: str
    second: str
    by_hour: BreakEven
    by_distance: BreakEven


@dataclass(frozen=True, slots=True)
class Costing:
    """The dossier's costs; the first configuration is the one that the sentences are about."""

    currency: str
    configurations: tuple[ConfigurationCost, ...]
    meetings: tuple[Meeting, ...]  # of the first with each other
    caution: str = CAUTION


@dataclass(slots=True)
class Book:
    """What costs ask of a fitted airplane, asked once: no assumption of costs.toml changes any of it."""

    airplane: Airplane
    fit: Fit
    _cruises: dict[tuple[str, float, float], AskedCruise] = field(default_factory=dict)
    _payloads: dict[tuple[str, float], float] = field(default_factory=dict)
    _trips: dict[tuple[str, str], tuple[FloatArray, FloatArray]] = field(default_factory=dict)

    def cruise(self, configuration: str, altitude: float, start: float) -> AskedCruise:
        """As `asked_cruise`."""
        key = (configuration, altitude, start)
        if key not in self._cruises:
            self._cruises[key] = asked_cruise(self.airplane, self.fit, configuration, altitude, start)
        return self._cruises[key]

    def trip(self, item: MissionAnswer, strips: Mapping[str, Strip]) -> tuple[FloatArray, FloatArray]:
        """Time [s] and fuel burnt [m³] of a mission as it was answered, a draw each."""
        mission = item.mission
        key = (mission.name, mission.configuration)
        if key not in self._trips:
            performance = mission_performance(self.airplane, self.fit, mission, strips)
            self._trips[key] = flown(item, performance, strips)
        return self._trips[key]

    def payload(self, configuration: str, fuel: float) -> float:
        """The most that goes with a fuel [m³]; NaN where nothing does."""
        key = (configuration, fuel)
        if key not in self._payloads:
            self._payloads[key] = float(capacity(self.airplane, configuration, fuel).payload[0])
        return self._payloads[key]


def costs_of(
    dossier: Dossier,
    fit: Fit,
    configurations: Sequence[str],
    *,
    costs: Costs | None = None,
    answered: Sequence[MissionAnswer] = (),
    book: Book | None = None,
) -> Costing:
    """What configurations of a fitted airplane cost.

    Parameters
    ----------
    dossier : Dossier
    fit : Fit
    configurations : sequence of str
        The first is the one that the others are held against.
    costs : Costs, optional
        Instead of those of the dossier: assumptions that are tried.
    answered : sequence of MissionAnswer
        Whose trips are costed, each with the configuration that it was answered for.
    book : Book, optional
        Of the same airplane and fit, where the same is asked again and again.

    Raises
    ------
    InputError
        The dossier says nothing of costs, or of a configuration that there is not.
    """
    assumed = costs or dossier.costs
    if assumed is None:
        raise InputError(
            Problem(
                "the dossier says nothing of what the airplane costs",
                "describe it in costs.toml; the file that 'wringout new' makes explains each key",
            )
        )
    asked = book or Book(dossier.airplane, fit)
    found = [_of_configuration(dossier, asked, name, assumed, answered) for name in configurations]
    first = found[0]
    meetings = tuple(
        Meeting(
            first.configuration,
            other.configuration,
            break_even(first.reckoned, other.reckoned),
            break_even(first.reckoned, other.reckoned, first.speed / other.speed),
        )
        for other in found[1:]
    )
    return Costing(assumed.currency, tuple(found), meetings)


def reckoned_of(
    dossier: Dossier,
    book: Book,
    configuration: str,
    costs: Costs,
    *,
    world: str | None = None,
    order: Order | None = None,
) -> tuple[Reckoned, AskedCruise]:
    """One configuration's cost by the hour, from its fuel flow in cruise, and that cruise.

    `book` is of its airplane and fit. Draws of the dossier's own figures carry its name; those of prices and
    rates `world`, its own unless told. Draws of the fit stand in `order`, as they are unless told.
    """
    units, height = dossier.units, usual_heights(dossier.units).cruise
    cruise = reordered(book.cruise(configuration, height, 0.0), order)
    owner = dossier.root.name
    reckoned = reckon(
        costs,
        configuration,
        kit_of(dossier.airplane, configuration),
        cruise.fuel_flow.estimate,
        flow_samples=_positive(cruise.fuel_flow.samples),
        owner=owner,
        world=owner if world is None else world,
        fuel=units.fuel,
        fuel_flow_unit=units.fuel_flow,
    )
    return reckoned, cruise


def reordered(cruise: AskedCruise, order: Order | None) -> AskedCruise:
    """A cruise whose draws stand in another order."""
    if order is None:
        return cruise
    speed, flow = (
        replace(item, samples=item.samples[order]) for item in (cruise.true_airspeed, cruise.fuel_flow)
    )
    return AskedCruise(cruise.cruise, speed, flow)


def kit_of(airplane: Airplane, configuration: str) -> ExchangeKit | None:
    """The kit that a configuration has on; InputError where there is no such configuration."""
    name = configuration_of(airplane, configuration).kit
    return None if name is None else kit_named(airplane, name)


def trip_cost(
    name: str, reckoned: Reckoned, trip: tuple[FloatArray, FloatArray], carried: float, distance: float
) -> tuple[TripCost, FloatArray]:
    """What a trip costs in a configuration, and the draws of its cost.

    Parameters
    ----------
    name : str
        Of the trip.
    reckoned : Reckoned
        The configuration's cost.
    trip : pair of ndarray, shape (draws,)
        Time from start-up to shutdown [s] and fuel burnt [m³].
    carried : float
        People and things aboard [kg].
    distance : float
        Over the ground [m].
    """
    time, burnt = trip
    cost = reckoned.trip(time, burnt)
    marginal = (reckoned.draws.running + reckoned.draws.reserves) * time
    one_more = marginal + reckoned.values["fuel_price"] * burnt
    told = [Spread.of(samples) for samples in (time, burnt, cost, one_more)]
    return TripCost(name, told[0], told[1], told[2], told[3], carried, distance), cost


def flown(
    item: MissionAnswer, performance: Performance, strips: Mapping[str, Strip]
) -> tuple[FloatArray, FloatArray]:
    """Time [s] and fuel burnt [m³] of a mission's legs from start-up to shutdown, a draw each."""
    legs = tuple(each.leg for each in item.legs) or legs_of(item.mission, strips)
    parts = [fly(leg, performance) for leg in legs]
    time = TAXI_TIME * len(parts) + np.sum([part.time for part in parts], axis=0)
    return time, np.asarray(np.sum([part.fuel for part in parts], axis=0))


def _straight(cruise: AskedCruise, distance: float) -> tuple[FloatArray, FloatArray]:
    """The same of one leg in still air from sea level."""
    flow, allowances = _positive(cruise.fuel_flow.samples), cruise.cruise.allowances
    speed = np.maximum(cruise.true_airspeed.samples, _LEAST_SPEED)
    fuel = trip_fuel(distance, flow, speed, 0.0, allowances=allowances)
    return TAXI_TIME + allowances.climb_time + fuel.cruise / flow, fuel.total


def _positive(samples: FloatArray) -> FloatArray:
    """Draws in which it cannot be done stand at the least that can be reckoned with."""
    return np.maximum(np.nan_to_num(samples, nan=0.0, posinf=0.0, neginf=0.0), 1e-9)


def _of_configuration(
    dossier: Dossier, book: Book, name: str, costs: Costs, answered: Sequence[MissionAnswer]
) -> ConfigurationCost:
    reckoned, cruise = reckoned_of(dossier, book, name, costs)
    strips = {strip.name: strip for strip in dossier.strips}
    missions = [
        trip_cost(
            item.mission.name,
            reckoned,
            book.trip(item, strips),
            item.placement.mass if item.placement else 0.0,
            sum(leg.leg.distance for leg in item.legs) or item.mission.distance or 0.0,
        )[0]
        for item in answered
        if item.mission.configuration == name
    ]
    height = show(usual_heights(dossier.units).cruise, dossier.units.height, digits=0)
    source = cruise.fuel_flow.estimate.source
    notes = (
        f"Fuel: {CRUISE_POWER:.0%} power at {height}, {source}; an hour is one of cruise.",
        *reckoned.notes,
    )
    carrying = _carrying(dossier, book, reckoned, cruise, costs.leg)
    return ConfigurationCost(
        name, reckoned, _positive(cruise.true_airspeed.samples), carrying, tuple(missions), notes
    )


def _carrying(
    dossier: Dossier, book: Book, reckoned: Reckoned, cruise: AskedCruise, leg: float
) -> CarryingCost | None:
    """The leg flown with all that goes with its fuel; None where nothing does."""
    name = reckoned.configuration
    flow, speed, allowances = cruise.cruise.fuel_flow, cruise.cruise.true_airspeed, cruise.cruise.allowances
    fuel = float(trip_fuel(leg, flow.value, speed.value, DAY_RESERVE, allowances=allowances).total)
    if fuel > sum(tank.usable for tank in dossier.airplane.tanks):
        return None
    payload = book.payload(name, fuel)
    if not payload > 0.0:
        return None
    called = show(leg, dossier.units.range, digits=0)
    trip, cost = trip_cost(called, reckoned, _straight(cruise, leg), payload, leg)
    return CarryingCost(trip, Spread.of(cost / (payload * leg)))
