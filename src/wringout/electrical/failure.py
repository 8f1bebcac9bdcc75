"""The alternator fails: what the batteries carry, and when each thing goes dark."""

import math
from collections.abc import Collection
from dataclasses import dataclass
from typing import Literal

from wringout.airplane.airplane import Electrical
from wringout.airplane.lookups import unknown_name
from wringout.electrical.battery import battery_endurance
from wringout.problems import InputError

ALTERNATOR = "alternator"
ESSENTIAL_TIME = 1800.0  # s that essential loads must last [CFR23, 23.1353(h), from memory]


@dataclass(frozen=True, slots=True)
class Event:
    """At a time [s] after the failure something is shed, empty or dark."""

    time: float
    what: Literal["shed", "battery empty", "dark"]
    name: str


@dataclass(frozen=True, slots=True)
class AlternatorFailure:
    """The failure played through: `endurance` [s] until the first load kept goes dark, inf where none.

    `dark` holds (load, time [s]) for every load kept, in the order in which they go; `events` all that
    happens.
    """

    temperature: float
    kept: tuple[str, ...]
    endurance: float
    first_dark: tuple[str, ...]
    dark: tuple[tuple[str, float], ...]
    events: tuple[Event, ...]
    meets_thirty_minutes: bool
    sentence: str


def endurance_after_alternator_failure(
    electrical: Electrical,
    temperature: float,
    kept: Collection[str] | None = None,
    recognition_time: float = 0.0,
) -> AlternatorFailure:
    """Plays an alternator failure through time until every load is dark.

    Parameters
    ----------
    electrical : Electrical
        Loads draw current × duty from the first source of their `fed_by` that still has charge; one that only
        the alternator feeds goes dark at once.
    temperature : float
        Of the batteries [K].
    kept : collection of str, optional
        Names of loads not shed; left out, the essential ones.
    recognition_time : float
        How long everything stays on before the rest is shed [s].

    Returns
    -------
    AlternatorFailure

    Raises
    ------
    InputError
        A load kept, or a source, is not described.
    ValueError
        A negative recognition time; as `battery_endurance`.

    Notes
    -----
    At a current I a battery loses the share dt/t(I) of what it holds, t(I) by Peukert's law at its age and
    temperature, so that a changing current is played piece by piece [Peukert1897, from memory; piecewise
    use: common practice, no source]. Batteries start full. The rule of 30 minutes counts recognition and
    shedding in [CFR23, 23.1353(h), from memory].
    """
    if recognition_time < 0.0:
        raise ValueError(f"recognition takes no negative time, found {recognition_time:g} s")
    names = _kept(electrical, kept)
    _check_sources(electrical)
    play = _Play(electrical, temperature)
    play.until(recognition_time)
    play.shed(names)
    play.until(math.inf)
    return _told(temperature, names, play)


class _Play:
    """The failure as time goes on: charge left as a share, loads still alight, what has happened."""

    def __init__(self, electrical: Electrical, temperature: float) -> None:
        self.temperature = temperature
        self.batteries = {battery.name: battery for battery in electrical.batteries}
        self.left = dict.fromkeys(self.batteries, 1.0)
        self.alight = {load.name: load for load in electrical.loads if load.current * load.duty > 0.0}
        self.now = 0.0
        self.events: list[Event] = []
        self.dark: dict[str, float] = {}

    def until(self, end: float) -> None:
        """Plays on to a time, or until everything is dark."""
        while True:
            currents = self._currents()
            if not currents or self.now >= end:
                return
            times = {
                name: battery_endurance(self.batteries[name], current, self.temperature)
                for name, current in currents.items()
            }
            step = min(end - self.now, *(self.left[name] * time for name, time in times.items()))
            self.now += step
            for name, time in times.items():
                self.left[name] -= step / time if time > 0.0 else 1.0
                if self.left[name] <= 1e-12:
                    self.left[name] = 0.0
                    self.events.append(Event(self.now, "battery empty", name))

    def shed(self, kept: tuple[str, ...]) -> None:
        """Everything that is not kept goes off."""
        for name in [name for name in self.alight if name not in kept]:
            self.events.append(Event(self.now, "shed", name))
            del self.alight[name]

    def _currents(self) -> dict[str, float]:
        """Current from each battery [A]; loads that no battery feeds any more go dark."""
        currents: dict[str, float] = {}
        for name, load in list(self.alight.items()):
            source = next((source for source in load.fed_by if self.left.get(source, 0.0) > 0.0), None)
            if source is None:
                self.events.append(Event(self.now, "dark", name))
                self.dark[name] = self.now
                del self.alight[name]
            else:
                currents[source] = currents.get(source, 0.0) + load.current * load.duty
        return currents


def _kept(electrical: Electrical, kept: Collection[str] | None) -> tuple[str, ...]:
    if kept is None:
        return tuple(load.name for load in electrical.loads if load.essential)
    known = [load.name for load in electrical.loads]
    problems = [
        unknown_name("load", name, known).at(field="electrical.loads") for name in kept if name not in known
    ]
    if problems:
        raise InputError(*problems)
    return tuple(name for name in known if name in kept)


def _check_sources(electrical: Electrical) -> None:
    known = [ALTERNATOR, *(battery.name for battery in electrical.batteries)]
    problems = [
        unknown_name("source", source, known).at(field=f"electrical.loads, {load.name}")
        for load in electrical.loads
        for source in load.fed_by
        if source not in known
    ]
    if problems:
        raise InputError(*problems)


def _told(temperature: float, names: tuple[str, ...], play: _Play) -> AlternatorFailure:
    dark = tuple((name, time) for name, time in play.dark.items() if name in names)
    endurance = min((time for _, time in dark), default=math.inf)
    first = tuple(name for name, time in dark if time <= endurance)
    if first:
        by_time: dict[float, list[str]] = {}
        for name, time in dark:
            by_time.setdefault(time, []).append(name)
        parts = [f"{_listed(gone)} after {time / 60.0:.0f} min" for time, gone in by_time.items()]
        sentence = (
            f"With the alternator gone at {temperature - 273.15:.0f} °C these go dark: {'; '.join(parts)}."
        )
    else:
        sentence = "With the alternator gone nothing that is kept draws current."
    return AlternatorFailure(
        temperature,
        names,
        endurance,
        first,
        dark,
        tuple(play.events),
        endurance >= ESSENTIAL_TIME,
        sentence,
    )


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
