"""What may lie where, as the columns and rows of a linear programme: all limits but those of the envelope."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Station
from wringout.dossier.dossier import Load
from wringout.loading.burn_limits import BurnLimits

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Wish:
    """How many pieces of a load go, from least to most; `extra` are stations that are not the load's own."""

    load: Load
    least: int
    most: int
    extra: tuple[str, ...] = ()

    @property
    def stations(self) -> tuple[str, ...]:
        """Where it may lie, the load's own stations first."""
        return (*self.load.stations, *(name for name in self.extra if name not in self.load.stations))


@dataclass(frozen=True, slots=True)
class Column:
    """One unknown: pieces of a wish at a station, or kilograms of ballast there (`wish` None)."""

    wish: int | None
    station: int
    mass: float
    most: float


@dataclass(frozen=True, slots=True)
class StowageProblem:
    """Wishes under limits; ballast [kg] may lie at the stations named.

    `part` is the index of a wish of which one more piece goes, cut to fit.
    """

    limits: BurnLimits
    wishes: tuple[Wish, ...]
    ballast: tuple[str, ...] = ()
    part: int | None = None

    @property
    def stations(self) -> tuple[Station, ...]:
        """Those of the airplane."""
        return self.limits.airplane.stations

    @property
    def columns(self) -> tuple[Column, ...]:
        """The unknowns that are counted or weighed, first among those of the programme."""
        places = {station.name: index for index, station in enumerate(self.stations)}
        found = [
            Column(index, places[name], wish.load.mass, float(wish.most))
            for index, wish in enumerate(self.wishes)
            for name in wish.stations
        ]
        room = max(self.limits.most_payload, 0.0)
        return (*found, *(Column(None, places[name], 1.0, room) for name in self.ballast))

    def gain(self, worth: Sequence[float]) -> list[float]:
        """The gain of each column, and then of each wish, where a piece of each wish is worth so much."""
        return [*(0.0 for _ in self.columns), *worth]


@dataclass(frozen=True, slots=True)
class Rows:
    """The programme without the envelope.

    The problem's columns come first, then one for each wish, how much of it goes: mass and worth stand on
    these, so that the solver sees one choice and not one for each station. `part` are the columns of
    kilograms cut to fit.
    """

    columns: tuple[Column, ...]
    part: tuple[int, ...]
    part_stations: tuple[int, ...]
    integer: NDArray[np.int_]
    lower: FloatArray
    upper: FloatArray
    matrix: FloatArray
    low: FloatArray
    high: FloatArray
    mass: FloatArray  # coefficients of the payload [kg]
    moment: FloatArray  # coefficients of its moment [kg·m]


def is_person(load: Load, stations: Sequence[Station]) -> bool:
    """Whether a load takes a seat of its own: every station that can take it has seats."""
    seats = {station.name for station in stations if has_seats(station)}
    return bool(load.stations) and all(name in seats for name in load.stations)


def has_seats(station: Station) -> bool:
    """Whether people can sit at a station."""
    return station.seats > 0 and station.holds != "things"


def pilot_seat(stations: Sequence[Station]) -> str | None:
    """The first station with a seat: somebody must sit there."""
    return next((station.name for station in stations if has_seats(station)), None)


def rows_of(problem: StowageProblem) -> Rows:
    """The programme of a problem."""
    made = _Making(problem)
    made.wishes()
    made.part()
    made.places()
    made.seats()
    made.moments()
    return made.rows()


@dataclass(slots=True)
class _Making:
    """Fills the rows one limit after the other."""

    problem: StowageProblem
    columns: tuple[Column, ...] = field(init=False)
    part_columns: list[int] = field(default_factory=list)
    part_stations: list[int] = field(default_factory=list)
    shared: dict[int, int] = field(default_factory=dict)
    reach: dict[int, int] = field(default_factory=dict)
    size: int = field(init=False)
    _found: list[tuple[dict[int, float], float, float]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.columns = self.problem.columns
        stations = self.problem.stations
        places = {station.name: index for index, station in enumerate(stations)}
        size = len(self.columns) + len(self.problem.wishes)
        if self.problem.part is not None:
            self.part_stations = [places[name] for name in self.problem.wishes[self.problem.part].stations]
            self.part_columns = [size + 2 * n for n in range(len(self.part_stations))]
            size += 2 * len(self.part_stations)
        for index, station in enumerate(stations):
            if has_seats(station) and station.holds == "either":
                self.shared[index] = size
                size += 1
            if station.arm_aft != station.arm:
                self.reach[index] = size
                size += 1
        self.size = size

    def row(self, coefficients: Mapping[int, float], low: float, high: float) -> None:
        """One row from its coefficients by column."""
        self._found.append((dict(coefficients), low, high))

    def mass_at(self, station: int) -> dict[int, float]:
        """Kilograms at a station, by column."""
        own = {n: column.mass for n, column in enumerate(self.columns) if column.station == station}
        return own | {
            n: 1.0 for n, at in zip(self.part_columns, self.part_stations, strict=True) if at == station
        }

    def wishes(self) -> None:
        """Each wish between its least and its most, and somebody in the pilot's seat."""
        for index, wish in enumerate(self.problem.wishes):
            own = {n: 1.0 for n, column in enumerate(self.columns) if column.wish == index}
            goes = len(self.columns) + index
            self.row(own | {goes: -1.0}, 0.0, 0.0)
            self.row({goes: 1.0}, float(wish.least), float(wish.most))
        seat = pilot_seat(self.problem.stations)
        there = {
            n: 1.0
            for n, column in enumerate(self.columns)
            if column.wish is not None and self.problem.stations[column.station].name == seat
        }
        if there:
            self.row(there, 1.0, np.inf)

    def part(self) -> None:
        """The piece that is cut to fit lies at one station, no heavier than it is."""
        if self.problem.part is None:
            return
        whole = self.problem.wishes[self.problem.part].load.mass
        for column in self.part_columns:
            self.row({column: 1.0, column + 1: -whole}, -np.inf, 0.0)
        self.row({column + 1: 1.0 for column in self.part_columns}, 1.0, 1.0)

    def places(self) -> None:
        """Every station, floor and combined limit."""
        airplane = self.problem.limits.airplane
        names = [station.name for station in airplane.stations]
        for index, station in enumerate(airplane.stations):
            if station.mass_limit is not None:
                self.row(self.mass_at(index), -np.inf, station.mass_limit)
            if station.floor_load_limit is not None and station.floor_area:
                self.row(self.mass_at(index), -np.inf, station.floor_load_limit * station.floor_area)
        for combined in airplane.combined_limits:
            together: dict[int, float] = {}
            for name in combined.stations:
                together |= self.mass_at(names.index(name))
            self.row(together, -np.inf, combined.mass_limit)

    def seats(self) -> None:
        """A person a seat; what lies on a seat takes it, and only where people and things may both go."""
        stations = self.problem.stations
        people = [is_person(wish.load, stations) for wish in self.problem.wishes]
        for index, station in enumerate(stations):
            if not has_seats(station):
                continue
            sitting: dict[int, float] = {}
            lying: dict[int, float] = {}
            for n, wish, at in self._pieces():
                if at == index:
                    (sitting if people[wish] or station.holds == "people" else lying)[n] = 1.0
            if index in self.shared:
                sitting[self.shared[index]] = 1.0
                most = sum(self._most(n) for n in lying)
                self.row(lying | {self.shared[index]: -most}, -np.inf, 0.0)
            self.row(sitting, -np.inf, float(station.seats))

    def moments(self) -> None:
        """What lies in a station with a range of arms lies between its ends."""
        for index, column in self.reach.items():
            station = self.problem.stations[index]
            near, far = sorted((station.arm, station.arm_aft))
            masses = self.mass_at(index)
            self.row({column: 1.0} | {n: -near * mass for n, mass in masses.items()}, 0.0, np.inf)
            self.row({column: 1.0} | {n: -far * mass for n, mass in masses.items()}, -np.inf, 0.0)

    def rows(self) -> Rows:
        """All of it as arrays."""
        matrix = np.zeros((len(self._found), self.size))
        for n, (coefficients, _, _) in enumerate(self._found):
            for column, value in coefficients.items():
                matrix[n, column] = value
        lower, upper = np.zeros(self.size), np.ones(self.size)
        integer = np.ones(self.size, dtype=np.int_)
        mass, moment = np.zeros(self.size), np.zeros(self.size)
        for n, item in enumerate(self.columns):
            upper[n], integer[n] = item.most, item.wish is not None
        for n, wish in enumerate(self.problem.wishes, start=len(self.columns)):
            upper[n], mass[n] = float(wish.most), wish.load.mass
        for n in self.part_columns:
            upper[n], integer[n] = np.inf, 0
        for n in self.reach.values():
            lower[n], upper[n], integer[n] = -np.inf, np.inf, 0
        for index, station in enumerate(self.problem.stations):
            for n, kilograms in self.mass_at(index).items():
                if n >= len(self.columns) or self.columns[n].wish is None:
                    mass[n] = kilograms
                if index not in self.reach:
                    moment[n] = kilograms * station.arm
            if index in self.reach:
                moment[self.reach[index]] = 1.0
        return Rows(
            self.columns,
            tuple(self.part_columns),
            tuple(self.part_stations),
            integer,
            lower,
            upper,
            matrix,
            np.array([low for _, low, _ in self._found]),
            np.array([high for _, _, high in self._found]),
            mass,
            moment,
        )

    def _pieces(self) -> list[tuple[int, int, int]]:
        """Columns of whole pieces: their number, wish and station; of a piece cut to fit its choice."""
        whole = [(n, item.wish, item.station) for n, item in enumerate(self.columns) if item.wish is not None]
        part = self.problem.part
        if part is None:
            return whole
        return whole + [
            (n + 1, part, at) for n, at in zip(self.part_columns, self.part_stations, strict=True)
        ]

    def _most(self, column: int) -> float:
        return self.columns[column].most if column < len(self.columns) else 1.0
