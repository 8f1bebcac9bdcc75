"""A dossier in memory: everything that the folder says, parsed and checked."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from wringout.airplane.airplane import Airplane
from wringout.dossier.card import Card
from wringout.dossier.claim import Claim
from wringout.dossier.costs import Costs


@dataclass(frozen=True, slots=True)
class Strip:
    """A landing strip; slope is uphill along `heading`, true [rad]; obstacles stand above its ends [m].

    The near end is where the heading begins. A one-way strip is landed on uphill and left downhill; on level
    ground it is landed on along its heading. Landings may begin only beyond a displaced threshold [m]. Where
    it lies, geodetic on WGS 84 [rad], is needed by trips alone.
    """

    name: str
    elevation: float
    length: float
    heading: float
    slope: float
    surface: str
    obstacle_near: float = 0.0
    obstacle_far: float = 0.0
    one_way: bool = False
    note: str = ""
    displaced_near: float = 0.0
    displaced_far: float = 0.0
    latitude: float | None = None
    longitude: float | None = None


@dataclass(frozen=True, slots=True)
class Load:
    """A person or thing that a mission carries; `stations` are those that can take it, best first.

    `mass` [kg] is that of one of `count` pieces; `value` what one piece is worth where not all can go, its
    mass in kilograms where nothing is said. On a mission with a route it may be `taken_on` at one strip and
    `put_off` at another; where neither is said it is aboard throughout.
    """

    name: str
    mass: float
    stations: tuple[str, ...]
    must: bool = True
    count: int = 1
    value: float | None = None
    taken_on: str | None = None
    put_off: str | None = None


@dataclass(frozen=True, slots=True)
class Mission:
    """A question of the readers: these loads, this far, out of and into this strip, or along a route.

    `distance` [m] is flown on the fuel of the start; on a `route`, a strip after the other, it is that of all
    legs in the order given. There is fuel at the first strip of a route and at those of `fuel_at`;
    `any_order` lets the strips between the first and the last be flown in the order that takes least fuel.
    `head_wind` [m/s] meets every leg; on a route the wind aloft may blow from `wind_from` [rad, true] with
    `wind_speed` [m/s] instead. `cruise_power` is of rated power; `fuel` [m³] what is filled at the start,
    None for what the trip takes.
    """

    name: str
    question: str
    configuration: str
    loads: tuple[Load, ...]
    distance: float
    head_wind: float
    cruise_altitude: float
    reserve: float  # [s]
    strip: str | None = None
    temperature: float | None = None  # at the strip
    route: tuple[str, ...] = ()
    fuel_at: tuple[str, ...] = ()
    any_order: bool = False
    wind_from: float | None = None
    wind_speed: float = 0.0
    cruise_power: float | None = None
    fuel: float | None = None


@dataclass(frozen=True, slots=True)
class Units:
    """The units in which people want to see figures, by kind of figure; symbols that `quantity` knows."""

    speed: str = "kt"
    vertical_speed: str = "ft/min"
    height: str = "ft"
    distance: str = "m"  # field lengths
    range: str = "nm"
    mass: str = "kg"
    arm: str = "mm"
    fuel: str = "L"
    fuel_flow: str = "L/h"
    temperature: str = "°C"
    pressure: str = "hPa"
    power: str = "kW"


@dataclass(frozen=True, slots=True)
class Dossier:
    """One evaluation of one airplane."""

    root: Path
    title: str
    evaluator: str
    place: str
    day: date
    invented: bool
    units: Units
    airplane: Airplane
    claims: tuple[Claim, ...]
    cards: tuple[Card, ...]
    strips: tuple[Strip, ...]
    missions: tuple[Mission, ...]
    files: tuple[
        tuple[str, str], ...
    ]  # (path in the dossier, sha-256) of every file read, recordings included
    costs: Costs | None = None
    compared_with: tuple[str, ...] = ()  # dossiers that stand beside this one, by the names of their folders
