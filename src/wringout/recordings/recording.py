"""A recording: one table of time and channels, whatever the source."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from wringout.quantity.dimensions import Dimension

FloatArray = NDArray[np.float64]

CHANNELS: dict[str, Dimension] = {
    "latitude": Dimension.ANGLE,
    "longitude": Dimension.ANGLE,
    "height": Dimension.LENGTH,  # geometric
    "pressure_altitude": Dimension.LENGTH,
    "ground_speed": Dimension.SPEED,
    "track": Dimension.ANGLE,  # true
    "vertical_speed": Dimension.SPEED,
    "indicated_airspeed": Dimension.SPEED,
    "true_airspeed": Dimension.SPEED,
    "outside_air_temperature": Dimension.TEMPERATURE,
    "engine_speed": Dimension.ROTATION,
    "manifold_pressure": Dimension.PRESSURE,
    "fuel_flow": Dimension.VOLUME_FLOW,
    "pitch": Dimension.ANGLE,
    "roll": Dimension.ANGLE,
    "heading": Dimension.ANGLE,
    "longitudinal_acceleration": Dimension.ACCELERATION,
    "normal_acceleration": Dimension.ACCELERATION,
}


ExclusionKind = Literal["time", "gap", "jump", "repeated", "frozen", "unreadable", "range", "merge"]


@dataclass(frozen=True, slots=True)
class Exclusion:
    """A span of samples left out, and why; `channel` None where the whole sample went.

    A gap, where there were none to leave out, is one of no samples.
    """

    start: float
    end: float
    samples: int
    channel: str | None
    reason: str
    kind: ExclusionKind = "time"


@dataclass(frozen=True, slots=True)
class Recording:
    """Samples of one flight: `time` [s] rises strictly from `start` (UTC); a channel is NaN without a sample.

    `periods` has the own sampling period [s] of each channel that `merge` interpolated from a slower log:
    samples nearer than that are no independent witnesses. `notes` are sentences about the whole recording:
    what its heights count from, by how much a clock was moved.
    """

    name: str
    start: datetime
    time: FloatArray
    channels: Mapping[str, FloatArray]
    exclusions: tuple[Exclusion, ...]
    sources: tuple[tuple[str, str], ...]  # (file, sha-256)
    periods: Mapping[str, float] = field(default_factory=dict)
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RollNote:
    """A ground roll [s] whose motion comes from the accelerometer too, and what a reader must know of it."""

    start: float
    end: float
    note: str = ""


@dataclass(frozen=True, slots=True)
class Track:
    """The smoothed path, east, north and up [m] of `latitude`, `longitude` [rad], with standard deviations.

    All arrays share the shape of `time`. `speed_lag` [s] is by how much the log's ground speed was late, and
    moved. In `rolls`, whose motion an accelerometer told too, the horizontal deviations are those along them.
    """

    latitude: float
    longitude: float
    time: FloatArray
    east: FloatArray
    north: FloatArray
    up: FloatArray
    east_speed: FloatArray
    north_speed: FloatArray
    up_speed: FloatArray
    east_acceleration: FloatArray
    north_acceleration: FloatArray
    up_acceleration: FloatArray
    position_sd: FloatArray  # one horizontal axis
    height_sd: FloatArray
    speed_sd: FloatArray  # one horizontal axis
    up_speed_sd: FloatArray
    acceleration_sd: FloatArray
    speed_lag: float = 0.0
    rolls: tuple[RollNote, ...] = ()
