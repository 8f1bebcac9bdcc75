"""The table of a test card that says what is wanted of the flight, and what keeps it from being wanted."""

from __future__ import annotations

import math
from collections.abc import Iterator

from wringout.airplane.airplane import Airplane
from wringout.airplane.lookups import configuration_envelope
from wringout.dossier.card import Card, CardPoint
from wringout.dossier.fields import Fault, Height, Length, Name, PositiveMass, Speed, Table, Volume
from wringout.dossier.lines import Path
from wringout.dossier.plan import MAXIMUM_CROSSWIND, MAXIMUM_WIND, MINIMUM_STALL_HEIGHT, FlightPlan
from wringout.dossier.toml import Document
from wringout.problems import InputError, Problem
from wringout.quantity.showing import show

_SLACK = 1e-9


class PlanTable(Table):
    wanted_cg: Length | None = None
    wanted_mass: PositiveMass | None = None
    ballast_station: Name | None = None
    taxi_fuel: Volume = 0.0
    landing_fuel: Volume | None = None
    minimum_stall_height: Height = MINIMUM_STALL_HEIGHT
    maximum_wind: Speed = MAXIMUM_WIND
    maximum_crosswind: Speed = MAXIMUM_CROSSWIND

    def faults(self) -> tuple[Fault, ...]:
        if self.ballast_station is not None and self.wanted_cg is None and self.wanted_mass is None:
            mend = 'add what it is for, like wanted_cg = "1.02 m"'
            return ((("ballast_station",), Problem("nothing is wanted of the ballast", mend)),)
        return ()

    def made(self) -> FlightPlan:
        return FlightPlan(
            self.wanted_cg,
            self.wanted_mass,
            self.ballast_station,
            self.taxi_fuel,
            self.landing_fuel,
            self.minimum_stall_height,
            self.maximum_wind,
            self.maximum_crosswind,
        )


def plan_problems(document: Document, card: Card, airplane: Airplane) -> Iterator[Problem]:
    """What is wanted can be had: inside the envelope, with fuel that is aboard, below limiting speeds."""
    for path, problem in (*_wanted(card, airplane), *_fuel(card), *_speeds(card, airplane), *_stalls(card)):
        yield document.problem(path, problem)


def _wanted(card: Card, airplane: Airplane) -> Iterator[tuple[Path, Problem]]:
    plan = card.plan
    try:
        envelope = configuration_envelope(airplane, card.configuration)
    except InputError:  # an unknown configuration is told where it is named
        return
    low, high = min(cg for cg, _ in envelope.vertices), max(cg for cg, _ in envelope.vertices)
    if plan.wanted_cg is not None and not low - _SLACK <= plan.wanted_cg <= high + _SLACK:
        what = f"{plan.wanted_cg:g} m lies outside the envelope, which reaches from {low:g} to {high:g} m"
        yield ("plan", "wanted_cg"), Problem(what, "want a CG that the airplane is allowed to have")
    if plan.wanted_mass is not None and plan.wanted_mass > envelope.maximum_takeoff_mass + _SLACK:
        what = (
            f"{plan.wanted_mass:.1f} kg is above the maximum take-off mass, "
            f"{envelope.maximum_takeoff_mass:g} kg"
        )
        yield ("plan", "wanted_mass"), Problem(what, "want a mass that the airplane is allowed to have")
    if (plan.wanted_cg, plan.wanted_mass) != (None, None) and plan.ballast_station is None:
        key = "wanted_mass" if plan.wanted_cg is None else "wanted_cg"
        mend = "name a station that can take ballast, like ballast_station = "
        station = airplane.stations[-1].name if airplane.stations else "cargo bay"
        problem = Problem("no place for ballast is named", f'{mend}"{station}"', severity="warning")
        yield ("plan", key), problem


def _fuel(card: Card) -> Iterator[tuple[Path, Problem]]:
    plan = card.plan
    aboard = math.fsum(card.loading.fuel.values())
    if plan.taxi_fuel > aboard + _SLACK:
        what = f"the taxi takes {plan.taxi_fuel * 1000:g} L and {aboard * 1000:g} L are aboard"
        yield ("plan", "taxi_fuel"), Problem(what, "plan more fuel, or a shorter taxi")
    elif plan.landing_fuel is not None and plan.landing_fuel > aboard - plan.taxi_fuel + _SLACK:
        left = (aboard - plan.taxi_fuel) * 1000
        what = f"{plan.landing_fuel * 1000:g} L at landing, but only {left:g} L at take-off"
        yield ("plan", "landing_fuel"), Problem(what, "plan more fuel, or less at landing")


def _speeds(card: Card, airplane: Airplane) -> Iterator[tuple[Path, Problem]]:
    limits = {flap.name: flap.limit_speed for flap in airplane.flaps}
    for index, point in enumerate(card.points):
        limit = limits.get(point.flap)
        if limit is None or (airplane.never_exceed_speed or math.inf) < limit:
            limit = airplane.never_exceed_speed
        if limit is not None and _fastest(point) > limit + _SLACK:
            what = (
                f"{show(_fastest(point), 'kt', digits=0)} is above the limit of {show(limit, 'kt', digits=0)}"
            )
            problem = Problem(f"{what} with flaps {point.flap}", "plan it slower", severity="warning")
            yield ("point", index, "target_speed"), problem


def _stalls(card: Card) -> Iterator[tuple[Path, Problem]]:
    """Stalls planned lower than the flight's own limit; the ground is that of the first weather reading."""
    ground = card.weather[0].elevation if card.weather else 0.0
    lowest = card.plan.minimum_stall_height
    for index, point in enumerate(card.points):
        if point.kind == "stall" and point.height_band is not None:
            above = point.height_band[0] - ground
            if above < lowest - _SLACK:
                what = f"{show(above, 'ft', digits=0)} above ground is lower than the plan's limit for stalls"
                mend = f"plan it from {show(ground + lowest, 'ft', digits=0)} up, with room to recover"
                yield ("point", index, "height_band"), Problem(what, mend, severity="warning")


def _fastest(point: CardPoint) -> float:
    return 0.0 if point.target_speed is None else point.target_speed
