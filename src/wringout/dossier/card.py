"""A test card: what was planned, the loading as flown, the weather, and the observer's marks."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Literal

from wringout.dossier.camera import Camera
from wringout.dossier.handling import HandlingNotes
from wringout.dossier.plan import FlightPlan
from wringout.recordings.mapping import ColumnMapping

PointKind = Literal["level", "climb", "glide", "stall", "take-off", "landing"]
MarkKind = Literal[
    "start of roll",
    "lift-off",
    "obstacle",
    "touchdown",
    "full stop",
    "stall break",
    "stall warning",
    "exclude from",
    "exclude to",
]
NamedKind = Literal["level leg", "climb", "glide", "turn", "none"]


@dataclass(frozen=True, slots=True)
class RecordingRef:
    """A raw log named by a card; `mapping` for a table; `clock_offset` [s] is added to its times.

    Where the card says none it is None, and what the logs share may tell it.
    """

    path: str
    mapping: ColumnMapping | None = None
    clock_offset: float | None = None


@dataclass(frozen=True, slots=True)
class CardLoading:
    """As flown at start-up: masses [kg] by station, fuel [m³] by tank, each with one standard uncertainty."""

    stations: Mapping[str, float]
    station_arms: Mapping[str, float]  # only where the station allows a range
    fuel: Mapping[str, float]
    mass_sd: float
    fuel_sd: float
    fuel_at_shutdown: Mapping[str, float] | None = None


@dataclass(frozen=True, slots=True)
class WeatherReading:
    """A reading on the ground; wind from `wind_direction`, true [rad], at `wind_height` [m]."""

    time: datetime
    elevation: float
    qnh: float
    temperature: float
    dew_point: float | None
    wind_direction: float
    wind_speed: float
    wind_speed_sd: float
    wind_height: float


@dataclass(frozen=True, slots=True)
class FlightTimes:
    """Clock times of the flight as written down."""

    start_up: datetime | None = None
    take_off: datetime | None = None
    landing: datetime | None = None
    shut_down: datetime | None = None


@dataclass(frozen=True, slots=True)
class HandReadings:
    """What was read and written down at a point, SI as read; evidence beside the recording, in no figure.

    Airspeeds are indicated; `distance` is over 15.2 m; `wing` the one that dropped; `charge` a share of full.
    """

    indicated_airspeed: float | None = None
    engine_speed: float | None = None
    manifold_pressure: float | None = None
    fuel_flow: float | None = None
    power: float | None = None
    charge: float | None = None
    from_height: float | None = None
    to_height: float | None = None
    outside_air_temperature: float | None = None
    warning_speed: float | None = None
    break_speed: float | None = None
    height_lost: float | None = None
    wing: Literal["left", "right", "none"] | None = None
    wind_direction: float | None = None
    wind_speed: float | None = None
    ground_roll: float | None = None
    distance: float | None = None


@dataclass(frozen=True, slots=True)
class CardPoint:
    """One planned point; as-flown `start` and `end` tie the manoeuvres found between them to it.

    One that was planned and not `flown` takes nothing.

    What a plan leaves out has its default in `build_up.py`; `height_band` is pressure altitude, low and high
    [m]; points of a lower `order` are flown before those of a higher, and before those without.
    """

    id: str
    kind: PointKind
    flap: str
    power: Literal["full", "idle", "part"]
    target_speed: float | None = None  # calibrated
    technique: str | None = None
    strip: str | None = None
    start: datetime | None = None
    end: datetime | None = None
    note: str = ""
    order: int | None = None
    speed_tolerance: float | None = None
    height_tolerance: float | None = None
    height_band: tuple[float, float] | None = None
    entry_rate: float | None = None  # of a stall: speed lost each second [m/s²]
    flown: bool = True
    rating: int | None = None  # on the ten-point scale
    read: HandReadings | None = None


@dataclass(frozen=True, slots=True)
class Mark:
    """The observer's mark: at this moment this happened; overrides the finder."""

    time: datetime
    kind: MarkKind
    point: str | None = None
    time_sd: float = 0.5
    note: str = ""


@dataclass(frozen=True, slots=True)
class NamedManoeuvre:
    """What was flown from `start` to `end` by the evaluator's word, or 'none'; overrides the finder."""

    start: datetime
    end: datetime
    kind: NamedKind
    point: str | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class AimLine:
    """The line across the strip at which a card's landings aim: the place of its middle, geodetic [rad]."""

    latitude: float
    longitude: float


@dataclass(frozen=True, slots=True)
class Rating:
    """A pilot's rating on the ten-point scale, or a note without a number."""

    task: str
    rating: int | None
    note: str


@dataclass(frozen=True, slots=True)
class Card:
    """One flight's card."""

    name: str
    title: str
    day: date
    pilot: str
    configuration: str
    recordings: tuple[RecordingRef, ...]
    loading: CardLoading
    weather: tuple[WeatherReading, ...]
    points: tuple[CardPoint, ...]
    marks: tuple[Mark, ...] = ()
    ratings: tuple[Rating, ...] = ()
    notes: str = ""
    height_reference: Literal["mean sea level", "ellipsoid", "unknown"] = "unknown"
    cameras: tuple[Camera, ...] = ()
    plan: FlightPlan = field(default_factory=FlightPlan)
    manoeuvres: tuple[NamedManoeuvre, ...] = ()
    times: FlightTimes = field(default_factory=FlightTimes)
    handling: HandlingNotes = field(default_factory=HandlingNotes)
    aim: AimLine | None = None
