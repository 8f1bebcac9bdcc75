"""Something fails: what still gives, what the pilot sheds, and when each thing goes dark."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Literal, get_args

from wringout.airplane.airplane import Electrical
from wringout.airplane.lookups import unknown_name
from wringout.electrical.battery import battery_endurance
from wringout.electrical.network import ALTERNATOR, Failure, generators, sources_of, taken_with
from wringout.problems import InputError

ESSENTIAL_TIME = 1800.0  # s that essential loads must last [CFR23, 23.1353(h); the minutes from memory]
Shedding = Literal["nothing", "to the essential", "to the engine"]
SHEDDINGS: tuple[Shedding, ...] = get_args(Shedding)
Ending = Literal["runs on", "dark", "shed", "failed"]

THE_ALTERNATOR = (Failure(0.0, ALTERNATOR),)
_NOTHING_LEFT = 1e-12


@dataclass(frozen=True, slots=True)
class Event:
    """At a time [s] after the first failure something fails, is shed, empty or dark."""

    time: float
    what: Literal["failed", "shed", "battery empty", "off line", "dark"]
    name: str


@dataclass(frozen=True, slots=True)
class Spell:
    """From `start` to `end` [s] a load lives on one source."""

    source: str
    start: float
    end: float


@dataclass(frozen=True, slots=True)
class LoadStory:
    """How a load fares: `end` [s], inf where it runs on, and why it ends."""

    name: str
    essential: bool
    ignition: bool
    spells: tuple[Spell, ...]
    end: float
    ending: Ending


@dataclass(frozen=True, slots=True)
class Played:
    """Failures played through.

    `endurance` [s] until the first load kept goes dark, inf where none; `engine` [s] until no ignition is
    alive, inf where the engine runs on, None where it needs no electricity. `dark` holds (load, time [s]) for
    every load kept, in the order in which they go; `events` all that happens.
    """

    temperature: float
    failures: tuple[Failure, ...]
    kept: tuple[str, ...]
    loads: tuple[LoadStory, ...]
    endurance: float
    first_dark: tuple[str, ...]
    engine: float | None
    dark: tuple[tuple[str, float], ...]
    events: tuple[Event, ...]
    meets_thirty_minutes: bool


def play(
    electrical: Electrical,
    temperature: float,
    failures: Sequence[Failure] = THE_ALTERNATOR,
    *,
    kept: Collection[str] | None = None,
    shedding: Shedding = "to the essential",
    recognition_time: float = 0.0,
    shed_interval: float = 0.0,
) -> Played:
    """Plays failures through time until nothing changes any more.

    Parameters
    ----------
    electrical : Electrical
        Loads draw current × duty from the first of their sources that still gives; what a generator cannot
        give comes from the next source.
    temperature : float
        Of the batteries [K].
    failures : sequence of Failure
        What fails and when; the alternator at once where left out.
    kept : collection of str, optional
        Names of loads not shed, instead of what `shedding` says.
    shedding : {'nothing', 'to the essential', 'to the engine'}
        What the pilot leaves on once a generator has failed.
    recognition_time : float
        How long everything stays on before shedding begins [s].
    shed_interval : float
        Between one switch and the next, in the loads' order of shedding [s].

    Returns
    -------
    Played

    Raises
    ------
    InputError
        A load kept, a source, or what fails is not described.
    ValueError
        A negative time; as `battery_endurance`.

    Notes
    -----
    At a current I a battery loses the share dt/t(I) of what it holds, t(I) by Peukert's law at its age and
    temperature, so that a changing current is played piece by piece [Peukert1897, from memory; piecewise
    use: common practice, no source]. Batteries start full and gain nothing. The rule of 30 minutes counts
    recognition and shedding in [CFR23, 23.1353(h); the minutes from memory].
    """
    if min(recognition_time, shed_interval, *(item.time for item in failures)) < 0.0:
        raise ValueError("recognition, shedding and failures take no negative time")
    names = _kept(electrical, kept, shedding)
    story = _Play(electrical, temperature)
    first = min((item.time for item in failures), default=0.0)
    plan: list[tuple[float, int, str]] = [(item.time, 0, item.name) for item in failures]
    alive = {part.name for part in generators(electrical)}
    if any(alive & taken_with(electrical, item.name) for item in failures):
        order = [load for load in electrical.loads if load.name not in names]
        order.sort(key=lambda load: math.inf if load.shed_order is None else load.shed_order)
        plan += [
            (first + recognition_time + number * shed_interval, 1, load.name)
            for number, load in enumerate(order)
        ]
    for time, what, name in sorted(plan, key=lambda item: item[:2]):
        story.until(time)
        if what == 0:
            story.fail(name)
        else:
            story.shed(name)
    story.until(math.inf)
    return _told(electrical, temperature, tuple(failures), names, story)


class _Play:
    """The system as time goes on: charge left as a share, what still gives, what lives on what."""

    def __init__(self, electrical: Electrical, temperature: float) -> None:
        self.electrical = electrical
        self.temperature = temperature
        self.batteries = {battery.name: battery for battery in electrical.batteries}
        self.left = dict.fromkeys(self.batteries, 1.0)
        self.gives = {part.name: part.current for part in generators(electrical)}
        self.alight = {load.name: load for load in electrical.loads if load.current * load.duty > 0.0}
        self.dead: frozenset[str] = frozenset()
        self.now = 0.0
        self.events: list[Event] = []
        self.spells: dict[str, list[Spell]] = {load.name: [] for load in electrical.loads}
        self.ended: dict[str, tuple[float, Ending]] = {}

    def until(self, end: float) -> None:
        """Plays on to a time, or until nothing changes any more."""
        while self.now < end:
            currents, fed = self._currents()
            times = {
                name: battery_endurance(self.batteries[name], current, self.temperature)
                for name, current in currents.items()
            }
            step = min([end - self.now, *(self.left[name] * time for name, time in times.items())])
            for name, source in fed.items():
                self._live(name, source, self.now + step)
            if math.isinf(step):
                self.now = end
                return
            self.now += step
            for name, time in times.items():
                self.left[name] -= step / time if time > 0.0 else 1.0
                if self.left[name] <= _NOTHING_LEFT:
                    self.left[name] = 0.0
                    self.events.append(Event(self.now, "battery empty", name))
                    self._battery_gone(name)
        self._currents()  # whatever goes dark at this very moment

    def fail(self, name: str) -> None:
        """This, and what goes with it, gives nothing any more."""
        for part in taken_with(self.electrical, name):
            self.events.append(Event(self.now, "failed", part))
            self.dead |= {part}
            self.gives.pop(part, None)
            if part in self.left:
                self.left[part] = 0.0
                self._battery_gone(part)
            if part in self.alight:
                self._end(part, "failed")

    def shed(self, name: str) -> None:
        """A load is switched off, if it is alight."""
        if name in self.alight:
            self.events.append(Event(self.now, "shed", name))
            self._end(name, "shed")

    def _battery_gone(self, name: str) -> None:
        first = next(iter(self.batteries), None)
        if self.electrical.alternator_needs_battery and name == first and ALTERNATOR in self.gives:
            self.gives.pop(ALTERNATOR)
            self.events.append(Event(self.now, "off line", ALTERNATOR))

    def _currents(self) -> tuple[dict[str, float], dict[str, str]]:
        """Current from each battery [A], and on what each load lives; one that nothing feeds goes dark."""
        currents: dict[str, float] = {}
        fed: dict[str, str] = {}
        spare = dict(self.gives)
        for name, load in list(self.alight.items()):
            wanted = load.current * load.duty
            taken: dict[str, float] = {}
            for source in sources_of(self.electrical, load, self.dead):
                rest = wanted - sum(taken.values())
                if source in spare:
                    taken[source] = min(rest, spare[source])
                elif self.left.get(source, 0.0) > 0.0:
                    taken[source] = rest
            if sum(taken.values()) < wanted * (1.0 - 1e-9):
                self.events.append(Event(self.now, "dark", name))
                self._end(name, "dark")
                continue
            for source, current in taken.items():
                if source in spare:
                    spare[source] -= current
                elif current > 0.0:
                    currents[source] = currents.get(source, 0.0) + current
            fed[name] = max(taken, key=lambda source: taken[source])
        return currents, fed

    def _live(self, name: str, source: str, end: float) -> None:
        spells = self.spells[name]
        if end <= self.now:
            return
        if spells and spells[-1].source == source and spells[-1].end == self.now:
            spells[-1] = Spell(source, spells[-1].start, end)
        else:
            spells.append(Spell(source, self.now, end))

    def _end(self, name: str, ending: Ending) -> None:
        del self.alight[name]
        self.ended[name] = (self.now, ending)


def _kept(electrical: Electrical, kept: Collection[str] | None, shedding: Shedding) -> tuple[str, ...]:
    loads = electrical.loads
    if kept is not None:
        known = [load.name for load in loads]
        problems = [
            unknown_name("load", name, known).at(field="electrical.loads")
            for name in kept
            if name not in known
        ]
        if problems:
            raise InputError(*problems)
        return tuple(name for name in known if name in kept)
    if shedding == "nothing":
        return tuple(load.name for load in loads)
    if shedding == "to the engine" and any(load.ignition for load in loads):
        return tuple(load.name for load in loads if load.ignition)
    return tuple(load.name for load in loads if load.essential)


def _told(
    electrical: Electrical,
    temperature: float,
    failures: tuple[Failure, ...],
    names: tuple[str, ...],
    story: _Play,
) -> Played:
    ends = {load.name: story.ended.get(load.name, (math.inf, "runs on")) for load in electrical.loads}
    dark = [
        (name, time) for name, (time, ending) in story.ended.items() if name in names and ending == "dark"
    ]
    dark.sort(key=lambda item: item[1])
    endurance = min((time for _, time in dark), default=math.inf)
    ignitions = [ends[load.name][0] for load in electrical.loads if load.ignition]
    loads = tuple(
        LoadStory(
            load.name,
            load.essential,
            load.ignition,
            tuple(story.spells[load.name]),
            *ends[load.name],
        )
        for load in electrical.loads
    )
    return Played(
        temperature,
        failures,
        names,
        loads,
        endurance,
        tuple(name for name, time in dark if time <= endurance),
        max(ignitions) if ignitions else None,
        tuple(dark),
        tuple(story.events),
        endurance >= ESSENTIAL_TIME,
    )
