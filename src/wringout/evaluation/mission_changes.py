"""What would let a load go that a mission leaves behind: single changes, each tried, the cheapest first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from wringout.airplane.airplane import Airplane, Option
from wringout.airplane.lookups import kit as kit_named
from wringout.dossier.dossier import Dossier, Load, Mission, Strip, Units
from wringout.evaluation.trips import asked_performance, cruise_power, lowest
from wringout.loading import Change, changes, fuel_in_tanks, stow
from wringout.missions import LegAnswer, MissionAnswer, Performance, answer
from wringout.missions.legs import aboard
from wringout.model.fit import Fit
from wringout.outfitting import build, fitted_options
from wringout.problems import InputError
from wringout.quantity.showing import show

Kind = Literal["move", "fuel", "fuel there", "slower", "option", "ballast", "configuration"]

ECONOMICAL = (0.65, 0.55)  # of rated power, what a cruise is slowed to [common practice, no source]
_MOST = 6


@dataclass(frozen=True, slots=True)
class MissionChange:
    """A change in words that lets a load go, the mission with it, and its answer, strips not asked.

    `option` is equipment put on, or left out where it `leaves`: then the airplane is another build.
    """

    kind: Kind
    load: str
    words: str
    mission: Mission
    answer: MissionAnswer
    option: str | None = None
    leaves: bool = False


def mission_changes(
    airplane: Airplane,
    fit: Fit,
    mission: Mission,
    strips: Mapping[str, Strip],
    found: MissionAnswer,
    *,
    units: Units,
) -> tuple[MissionChange, ...]:
    """What would let the first load go that stays behind: what must go first, then the most valuable.

    Parameters
    ----------
    airplane : Airplane
    fit : Fit
    mission : Mission
    strips : mapping
        The strips by name.
    found : MissionAnswer
        The mission's answer.
    units : Units
        For the words.

    Returns
    -------
    tuple of MissionChange
        At most six, in the order of what they cost: a thing laid elsewhere, less fuel, a slower cruise, fuel
        on the way, an option, ballast, another configuration. Everything that goes now goes in each.
    """
    if found.placement is None or not found.placement.left:
        return ()
    stays = min(found.placement.left, key=lambda item: (not item.load.must, -_worth(item.load)))
    trying = _Trying(airplane, fit, mission, strips, found, stays.load, units)
    every = (*trying.moves(), *trying.fuels(), *trying.options(), *trying.rest())
    return tuple(every[:_MOST])


def _worth(load: Load) -> float:
    return load.mass if load.value is None else load.value


@dataclass(frozen=True, slots=True)
class _Trying:
    airplane: Airplane
    fit: Fit
    mission: Mission
    strips: Mapping[str, Strip]
    found: MissionAnswer
    load: Load
    units: Units
    known: dict[tuple[str, float], Performance] = field(default_factory=dict)

    def moves(self) -> Iterator[MissionChange]:
        """Things at stations that they do not name."""
        for change in self._changes():
            if change.kind != "move":
                continue
            moved: dict[str, list[str]] = {}
            for move in change.moves:
                moved.setdefault(move.load, []).append(move.station)
            loads = tuple(
                replace(item, stations=(*item.stations, *moved[item.name])) if item.name in moved else item
                for item in self.mission.loads
            )
            said = "; ".join(f"{name} in the {' and '.join(places)}" for name, places in moved.items())
            yield from self._tried("move", f"Lay {said}", replace(self.mission, loads=loads))

    def fuels(self) -> Iterator[MissionChange]:
        """Only the fuel that the trip takes; a slower cruise; fuel on the way."""
        if self.mission.fuel is not None and self.mission.fuel > self.found.fuel.value:
            words = f"Fill only what the trip takes, {show(self.found.fuel.value, self.units.fuel, digits=0)}"
            yield from self._tried("fuel", words, replace(self.mission, fuel=None))
        for power in ECONOMICAL:
            if power < cruise_power(self.mission) - 0.01:
                mission = replace(self.mission, cruise_power=power, fuel=None)
                slower = list(self._tried("slower", f"Cruise at {power:.0%} of power", mission))
                yield from slower
                if slower:
                    break
        stops = tuple(name for name in dict.fromkeys(self.mission.route[1:-1]))
        for name in stops:
            if name not in self.mission.fuel_at and name != self.mission.route[0]:
                mission = replace(self.mission, fuel_at=(*self.mission.fuel_at, name), fuel=None)
                yield from self._tried("fuel there", f"Have fuel at {name}", mission)

    def options(self) -> Iterator[MissionChange]:
        """One option more, or one that is fitted less."""
        fitted = fitted_options(self.airplane)
        for option in self.airplane.options:
            if option.fitted and self._sat_on(option):
                continue
            wanted = (
                tuple(name for name in fitted if name != option.name)
                if option.fitted
                else (*fitted, *option.needs, option.name)
            )
            try:
                built = build(self.airplane, self.mission.configuration, tuple(dict.fromkeys(wanted)))
            except InputError:
                continue
            words = f"{'Leave out' if option.fitted else 'Fit'} the {option.name}{_price(option)}"
            mission = self._opened(option)
            if not self._lies(mission, built.airplane):
                continue
            for change in self._tried("option", words, mission, built.airplane):
                yield replace(change, option=option.name, leaves=option.fitted)

    def rest(self) -> Iterator[MissionChange]:
        """Ballast, and another configuration."""
        for change in self._changes():
            if change.kind == "ballast" and change.ballast:
                loads = tuple(
                    Load(f"ballast in the {name}", mass, (name,)) for name, mass in change.ballast.items()
                )
                said = " and ".join(
                    f"{show(mass, self.units.mass, digits=1)} in the {name}"
                    for name, mass in change.ballast.items()
                )
                mission = replace(self.mission, loads=(*self.mission.loads, *loads))
                yield from self._tried("ballast", f"Take ballast, {said}", mission)
            if change.kind == "configuration" and change.configuration is not None:
                words = f"Fly it in the {change.configuration} configuration"
                mission = replace(self.mission, configuration=change.configuration)
                yield from self._tried("configuration", words + self._work(change.configuration), mission)

    def _changes(self) -> tuple[Change, ...]:
        """What the loading says of the first leg on which the load stays."""
        leg, here = self._leg()
        if leg is None:
            return ()
        airplane, name = self.airplane, self.mission.configuration
        fuel, end = fuel_in_tanks(airplane.tanks, leg.fuel_at_start), leg.fuel_at_end.value
        now = stow(airplane, name, here, fuel, landing_fuel=end)
        if all(item.load is not self.load for item in now.left):
            return ()
        return changes(
            airplane,
            name,
            here,
            fuel,
            stowage=now,
            load=self.load.name,
            landing_fuel=end,
            least_fuel=leg.fuel_at_start,
        )

    def _leg(self) -> tuple[LegAnswer | None, tuple[Load, ...]]:
        """The first leg on which the load would be aboard, with all that would be."""
        route = self._route()
        for number, leg in enumerate(self.found.legs):
            here = tuple(self.mission.loads[index] for index in aboard(self.mission.loads, route, number))
            if self.load in here:
                return leg, here
        return None, ()

    def _lies(self, mission: Mission, airplane: Airplane) -> bool:
        """Whether the load goes on its first leg in another build, before all of the trip is asked."""
        leg, here = self._leg()
        if leg is None:
            return False
        names = {load.name for load in here}
        loads = tuple(load for load in mission.loads if load.name in names)
        tanks = airplane.tanks
        fuel = fuel_in_tanks(tanks, min(leg.fuel_at_start, sum(tank.usable for tank in tanks)))
        found = stow(airplane, mission.configuration, loads, fuel)
        return all(item.load.name != self.load.name for item in found.left)

    def _route(self) -> tuple[str, ...]:
        legs = self.found.legs
        if not self.mission.route:
            return ()
        return (*(str(item.leg.start) for item in legs), str(legs[-1].leg.end))

    def _sat_on(self, option: Option) -> bool:
        """Whether somebody sits on what would be left out."""
        placement = self.found.placement
        return placement is not None and any(item.station == option.name for item in placement.placed)

    def _opened(self, option: Option) -> Mission:
        """Things may lie in new places that an option brings."""
        known = {station.name for station in self.airplane.stations}
        new = tuple(item.name for item in option.stations if item.name not in known and item.seats == 0)
        if option.fitted or not new:
            return self.mission
        loads = tuple(
            item
            if set(item.stations) <= {place.name for place in self.airplane.stations if place.seats > 0}
            else replace(item, stations=(*item.stations, *new))
            for item in self.mission.loads
        )
        return replace(self.mission, loads=loads)

    def _work(self, configuration: str) -> str:
        name = next(item.kit for item in self.airplane.configurations if item.name == configuration)
        hours = kit_named(self.airplane, name).hours if name is not None else None
        return "" if hours is None else f", {hours / 3600.0:.0f} h of work"

    def _tried(
        self, kind: Kind, words: str, mission: Mission, airplane: Airplane | None = None
    ) -> Iterator[MissionChange]:
        """The change, where it lets the load go and everything else that goes now."""
        plane = airplane or self.airplane
        try:
            found = answer(
                mission,
                plane,
                self._performance(mission),
                strips=self.strips,
                units=self.units,
                inverse=False,
            )
        except InputError:
            return
        if found.placement is None or not _more(found, self.found, self.load.name):
            return
        yield MissionChange(
            kind, self.load.name, f"{words}: {self.load.name} {_goes(self.load)}.", mission, found
        )

    def _performance(self, mission: Mission) -> Performance:
        key = (mission.configuration, cruise_power(mission))
        if key not in self.known:
            self.known[key] = asked_performance(
                self.airplane,
                self.fit,
                mission.configuration,
                mission.cruise_altitude,
                start=lowest(mission, self.strips),
                power=cruise_power(mission),
            )[1]
        return self.known[key]


def _more(found: MissionAnswer, now: MissionAnswer, load: str) -> bool:
    """Whether a load goes altogether, and nothing that went before stays."""
    before = {item.load.name: item.count for item in now.placement.left} if now.placement else {}
    after = {item.load.name: item.count for item in found.placement.left} if found.placement else {}
    tanks = not any("the tanks hold" in reason for reason in found.reasons)
    return tanks and load not in after and all(before.get(name, 0) >= count for name, count in after.items())


def _goes(load: Load) -> str:
    return "goes" if load.count == 1 else "all go"


def _price(option: Option) -> str:
    said = [] if option.hours is None else [f"{option.hours / 3600.0:.0f} h of work"]
    said += [] if option.price is None or option.fitted else [option.price]
    return f" ({', '.join(said)})" if said else ""


def words_of_changes(
    dossier: Dossier, fit: Fit, answers: Sequence[MissionAnswer]
) -> tuple[tuple[str, ...], ...]:
    """For each mission's answer what would let go what stays, in words, cheapest first."""
    strips = {strip.name: strip for strip in dossier.strips}
    return tuple(
        tuple(
            change.words
            for change in mission_changes(
                dossier.airplane, fit, found.mission, strips, found, units=dossier.units
            )
        )
        for found in answers
    )
