"""Reduced test points: what each manoeuvre measured, in its own test conditions, with uncertainties."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from wringout.quantity.estimate import Estimate


@dataclass(frozen=True, slots=True)
class Origin:
    """Down to the span of the recording: card, point, and seconds from the recording's start.

    `notes` are what a reader must know of the manoeuvre, and of how it came to belong to the point.
    """

    card: str
    point: str
    recording: str
    start: float
    end: float
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Conditions:
    """In what state and air a manoeuvre was flown; `cg` [m aft of datum]."""

    configuration: str
    flap: str
    mass: Estimate
    cg: float
    pressure: Estimate
    temperature: Estimate
    density: Estimate


@dataclass(frozen=True, slots=True)
class StallPoint:
    """Calibrated stall speed at the standard entry rate of 1 kt/s, at the test mass."""

    origin: Origin
    conditions: Conditions
    stall_speed: Estimate
    entry_rate: Estimate
    warning_speed: Estimate | None
    power: Literal["idle", "full"] = "idle"


@dataclass(frozen=True, slots=True)
class LevelPoint:
    """Level flight on a group of GPS legs: true and calibrated airspeed.

    Shaft power and fuel flow where the engine's log gives them.
    """

    origin: Origin
    conditions: Conditions
    true_airspeed: Estimate
    calibrated_airspeed: Estimate
    engine_speed: Estimate | None
    power: Estimate | None
    fuel_flow: Estimate | None
    full_throttle: bool = False
    power_by_fuel: bool = False  # the power is what the fuel flow says, and says nothing beside it


@dataclass(frozen=True, slots=True)
class ClimbPoint:
    """A climb at full power or glide at idle, brought to steady flight in uniform wind.

    The rate is geometric and negative in a glide; the true airspeed is along the flight path.
    """

    origin: Origin
    conditions: Conditions
    power: Literal["full", "idle"]
    true_airspeed: Estimate
    rate_of_climb: Estimate


@dataclass(frozen=True, slots=True)
class MomentShare:
    """What the wheels' uncertain moment alone makes of a roll's uncertainty [m] and of a speed's [m/s].

    Signed: a later moment lengthens a take-off roll and raises its speed, shortens a landing roll and lowers
    its speed, so that the two errors go together. `rate` [m/s²] is that of the ground speed at that moment.
    """

    roll: float
    speed: float
    rate: float

    def covariance(self, roll: Estimate, speed: Estimate, *others: Estimate) -> NDArray[np.float64]:
        """Covariance of roll, ground speed and other figures that are independent of both."""
        matrix = np.diag([(each.sd or 0.0) ** 2 for each in (roll, speed, *others)])
        matrix[0, 1] = matrix[1, 0] = self.roll * self.speed
        return matrix


@dataclass(frozen=True, slots=True)
class TakeoffPoint:
    """A take-off as flown: distances along the strip from start of roll, speeds true airspeeds.

    Slope is positive uphill; head wind is that at the wing's height during the roll. Of a take-off that only
    a camera shows, what it did not measure is NaN.
    """

    origin: Origin
    conditions: Conditions
    technique: str
    pilot: str
    surface: str
    slope: Estimate
    head_wind: Estimate
    ground_roll: Estimate
    air_distance: Estimate
    lift_off_speed: Estimate
    obstacle_speed: Estimate
    standard_ground_roll: Estimate | None  # classical: still air, level, standard mass and density
    wind_gain: Estimate | None = None  # head wind 15 m higher less that at the wing on the ground
    moment: MomentShare | None = None  # of the lift-off; None: unknown


@dataclass(frozen=True, slots=True)
class TouchdownPlace:
    """Where a landing touched: latitude and longitude [rad], on which strip, rolling along which track [rad].

    `line` is the place of the line at which it aimed, likewise, where the card gives one. `sd` [m] along the
    track: the moment's at the touchdown speed, and what a receiver keeps over minutes.
    """

    strip: str
    latitude: float
    longitude: float
    track: float
    sd: float
    line: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class LandingPoint:
    """A landing as flown, from 15.2 m to the full stop; NaN what the only camera did not measure."""

    origin: Origin
    conditions: Conditions
    technique: str
    pilot: str
    surface: str
    slope: Estimate
    head_wind: Estimate
    approach_speed: Estimate
    touchdown_speed: Estimate
    air_distance: Estimate
    ground_roll: Estimate
    mean_braking: Estimate  # mean deceleration on the ground over g, slope and wind taken out where known
    standard_ground_roll: Estimate | None
    place: TouchdownPlace | None = None  # None: strip unnamed, or no recording shows where
    wind_gain: Estimate | None = None  # as of a take-off
    moment: MomentShare | None = None  # of the touchdown


Point = StallPoint | LevelPoint | ClimbPoint | TakeoffPoint | LandingPoint


@dataclass(frozen=True, slots=True)
class PositionErrorCurve:
    """Calibrated minus indicated airspeed as a polynomial in indicated airspeed, with covariance.

    Measured between `low` and `high` [m/s] (NaN where never); beyond them the uncertainty grows.
    """

    flap: str
    coefficients: tuple[float, ...]  # of powers 0, 1, … of (V_i − reference)/reference
    covariance: tuple[tuple[float, ...], ...]
    reference: float
    low: float
    high: float
    points: tuple[tuple[float, float, float], ...]  # (indicated, calibrated − indicated, sd)


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A manoeuvre or planned point that gave no reduced point, and why."""

    card: str
    point: str
    reason: str


@dataclass(frozen=True, slots=True)
class ClassicalResult:
    """A figure that the classical hand reduction of several points gives, beside the fitted model's."""

    name: str
    configuration: str
    flap: str
    figure: Estimate
    origins: tuple[Origin, ...]


CameraUse = Literal["weighted", "preferred", "alone"]


@dataclass(frozen=True, slots=True)
class CameraEvidence:
    """What a camera beside the strip measured of a point, and what became of it.

    `measures` by the names that manoeuvres give them, `recorded` what the recording says of the same. `use`:
    weighted with it, preferred to it (they disagree), or alone. `refused`: what the frames do not determine.
    """

    card: str
    point: str
    source: str
    measures: Mapping[str, Estimate]
    recorded: Mapping[str, Estimate]
    use: Mapping[str, CameraUse]
    refused: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Points:
    """All reduced points of a dossier."""

    stalls: tuple[StallPoint, ...]
    levels: tuple[LevelPoint, ...]
    climbs: tuple[ClimbPoint, ...]
    takeoffs: tuple[TakeoffPoint, ...]
    landings: tuple[LandingPoint, ...]
    position_error: tuple[PositionErrorCurve, ...]
    winds: tuple[tuple[str, Estimate, Estimate], ...]  # (card and point, from direction [rad], speed)
    left_out: tuple[LeftOut, ...]
    classical: tuple[ClassicalResult, ...] = ()
    cameras: tuple[CameraEvidence, ...] = ()
