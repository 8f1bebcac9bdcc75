"""Slope, wind and airspeeds of a roll on the ground, as flown."""

from dataclasses import dataclass
from datetime import timedelta

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.dossier.dossier import Strip
from wringout.physics.atmosphere import wind_at_height
from wringout.physics.constants import OBSTACLE_HEIGHT
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.flown import Flown, clock
from wringout.reduction.points import LeftOut, MomentShare
from wringout.reduction.propagation import combine, propagate_scalar
from wringout.reduction.weather import weather_at

FloatArray = NDArray[np.float64]

# Common practice, no source.
STRIP_SLOPE_SD = 0.004  # of a strip's stated slope, which is rarely even
DIRECTION_SD = np.radians(10.0)  # of a wind read from a sock or a hand-held vane
LOG_LAW_SD = 0.3  # relative, of the change that the logarithmic law makes between mast and wing
ALONG_STRIP = np.radians(30.0)
# Roughness lengths [m] of what lies round a strip, by a word in its surface; from memory, after the WMO
# classes.
ROUGHNESS = {"grass": 0.03, "turf": 0.03, "snow": 0.005, "salt": 0.003, "asphalt": 0.01, "concrete": 0.01}
USUAL_ROUGHNESS = 0.02


@dataclass(frozen=True, slots=True)
class GroundWind:
    """Head wind [m/s] along a roll, at the wing while rolling and 15 m higher, and how much more that is."""

    rolling: Estimate
    obstacle: Estimate
    gain: Estimate


def missing(one: Flown, names: tuple[str, ...]) -> LeftOut | None:
    """Why a roll cannot be reduced for want of these measures; None where it has them all."""
    absent = [name.replace("_", " ") for name in names if one.measure(name) is None]
    if not absent:
        return None
    return LeftOut(
        one.flight.card.name,
        one.point.id,
        f"the {one.point.kind} of {one.span} has no plausible {' and no '.join(absent)}",
    )


def measured_or_unknown(one: Flown, name: str) -> Estimate:
    """A measure; NaN where the camera that alone shows the manoeuvre did not measure it."""
    found = one.measure(name)
    if found is not None:
        return found
    dimension = Dimension.SPEED if name.endswith("speed") else Dimension.LENGTH
    return Estimate(float("nan"), None, dimension, f"not measured: {one.span} does not show it")


def setting(one: Flown, airplane: Airplane, strip: Strip | None) -> tuple[Estimate, GroundWind] | LeftOut:
    """Slope and wind along the roll, or why they cannot be known."""
    card, point = one.flight.card.name, one.point.id
    if one.point.strip is not None and strip is None:
        return LeftOut(card, point, f"the strip '{one.point.strip}' is not among the dossier's strips")
    heading = one.manoeuvre.measures["roll_track"].value
    uphill = 1.0
    if strip is not None:
        turned = abs(float(np.angle(np.exp(1j * (heading - strip.heading)))))
        uphill = 1.0 if turned < ALONG_STRIP else -1.0
        if ALONG_STRIP <= turned <= np.pi - ALONG_STRIP:
            return LeftOut(
                card,
                point,
                f"the roll of {one.span} ran along {np.degrees(heading):.0f}° true but {strip.name} lies "
                f"along {np.degrees(strip.heading):.0f}°; correct the point's strip",
            )
    wind = _ground_wind(one, airplane, strip, heading)
    if wind is None:
        return LeftOut(card, point, "the card has no weather reading, so the wind along the strip is unknown")
    return _slope(one, strip, uphill), wind


def _slope(one: Flown, strip: Strip | None, uphill: float) -> Estimate:
    measured = one.measure("strip_slope")
    if strip is None:
        return measured or Estimate(0.0, 0.01, Dimension.SLOPE, "slope not known, taken as level")
    stated = Estimate(
        uphill * strip.slope, STRIP_SLOPE_SD, Dimension.SLOPE, f"{strip.name} as the dossier's strips say"
    )
    if measured is None or not measured.sd:
        return stated
    mean, sd, chi_squared = combine([stated.value, measured.value], [STRIP_SLOPE_SD, measured.sd])
    both = f"{100 * stated.value:.1f} % as stated for {strip.name}, {100 * measured.value:.1f} % as recorded"
    if chi_squared > 9.0:
        return Estimate(
            stated.value, STRIP_SLOPE_SD, Dimension.SLOPE, f"{both}: they disagree, as stated used"
        )
    return Estimate(mean, sd, Dimension.SLOPE, both)


def _ground_wind(one: Flown, airplane: Airplane, strip: Strip | None, heading: float) -> GroundWind | None:
    """Head wind at the wing while rolling and over the obstacle, by the logarithmic law from the mast."""
    weather = weather_at(one.flight.card.weather, one.flight.recording.start + timedelta(seconds=one.middle))
    if weather is None:
        return None
    surface = (strip.surface if strip is not None else "").lower()
    roughness = next((length for word, length in ROUGHNESS.items() if word in surface), USUAL_ROUGHNESS)
    along = np.array([np.sin(heading), np.cos(heading)])
    head = -float(weather.wind @ along)
    across = float(weather.wind @ np.array([along[1], -along[0]]))
    mast_sd = float(np.hypot(weather.wind_sd, DIRECTION_SD * across))

    def at(height: float, where: str) -> Estimate:
        share = float(wind_at_height(1.0, weather.wind_height, height, roughness))
        sd = float(np.hypot(share * mast_sd, LOG_LAW_SD * (share - 1.0) * head))
        return Estimate(
            share * head,
            sd,
            Dimension.SPEED,
            f"reading {weather.age / 60.0:.0f} min away from {clock(one.flight, one.middle)} UTC, along "
            f"{np.degrees(heading) % 360.0:.0f}° true, from {weather.wind_height:.0f} m mast to {where} "
            "by the logarithmic law",
        )

    wing = airplane.geometry.wing_height
    rolling, obstacle = at(wing, "the wing"), at(wing + OBSTACLE_HEIGHT, "15 m above the strip")
    gained = obstacle.value - rolling.value
    share = gained / head if head else 0.0
    gain_sd = float(np.hypot(share * mast_sd, LOG_LAW_SD * gained))
    source = f"{obstacle.source}, less that at the wing"
    return GroundWind(rolling, obstacle, Estimate(gained, gain_sd, Dimension.SPEED, source))


def air_distance(one: Flown, slope: Estimate) -> Estimate:
    """The air distance to 15.24 m above a strip of the slope found [m], NaN where nothing measured it.

    The finder takes the slope that the roll's own heights show; what the dossier says of the strip moves the
    obstacle with it and makes it surer [derived: d = d₀ + k (s − s₀), of which s₀'s error was a part].
    """
    found, before = measured_or_unknown(one, "air_distance"), one.measure("strip_slope")
    per_slope = one.manoeuvre.measures.get("air_distance_per_slope")
    if before is None or per_slope is None or one.measure("air_distance") is None:
        return found
    by_slope = slope.value - before.value
    variance = (
        sd_of(found) ** 2
        - (per_slope.value * sd_of(before)) ** 2
        + (per_slope.value * sd_of(slope)) ** 2
        + (sd_of(per_slope) * by_slope) ** 2
    )
    return Estimate(
        found.value + per_slope.value * by_slope,
        float(np.sqrt(max(variance, 0.0))),
        Dimension.LENGTH,
        f"{found.source}, the strip beneath at {100.0 * slope.value:+.1f} %",
    )


def moment_share(one: Flown, event: str, roll: Estimate, speed: Estimate) -> MomentShare:
    """The share of the event "lift-off" or "touchdown" in the uncertainty of its roll and ground speed."""
    found = next((each for each in one.manoeuvre.events if each.name == event), None)
    if found is None or one.by_camera_alone:
        return MomentShare(0.0, 0.0, 0.0)
    track = one.flight.track
    along = (track.east_speed * track.east_acceleration + track.north_speed * track.north_acceleration) / (
        np.maximum(np.hypot(track.east_speed, track.north_speed), 0.5)
    )
    rate = float(np.interp(found.time, track.time, along))
    sign = 1.0 if event == "lift-off" else -1.0

    def within(share: float, whole: float) -> float:
        # a camera's share in the figure may have made it surer than the moment
        return float(np.clip(share, -0.99 * whole, 0.99 * whole))

    return MomentShare(
        within(sign * speed.value * found.time_sd, sd_of(roll)),
        within(rate * found.time_sd, sd_of(speed)),
        rate,
    )


def airspeed(
    one: Flown,
    ground_speed: Estimate,
    head_wind: Estimate,
    up_speed: float,
    by_indicator: Estimate | None,
    *,
    shared: float = 0.0,
) -> Estimate:
    """True airspeed from ground speed and head wind, weighted with the indicator's where that agrees.

    `shared` [m/s] is the part of both uncertainties that comes from one cause, the moment at which both are
    read.
    """
    if np.isnan(ground_speed.value):
        return ground_speed
    value, sd = propagate_scalar(
        lambda x: np.hypot(x[0] + x[1], up_speed),
        [ground_speed.value, head_wind.value],
        [sd_of(ground_speed), sd_of(head_wind)],
    )
    source = f"ground speed of {one.span} and head wind"
    if by_indicator is not None and by_indicator.sd and sd > 0.0:
        common = min(abs(shared), 0.99 * sd, 0.99 * by_indicator.sd)
        own = [float(np.sqrt(each**2 - common**2)) for each in (sd, by_indicator.sd)]
        mean, together, chi_squared = combine([value, by_indicator.value], own)
        if chi_squared < 9.0:
            return Estimate(
                mean,
                float(np.hypot(together, common)),
                Dimension.SPEED,
                f"{source}, weighted with {by_indicator.value:.1f} m/s by {by_indicator.source}",
            )
        source = f"{source}; the indicator says {by_indicator.value:.1f} m/s, which disagrees and is not used"
    return Estimate(value, sd, Dimension.SPEED, source)


def up_speed(one: Flown, event: str) -> float:
    """Vertical speed of the track at an event [m/s]; zero where the finder names no such event."""
    for found in one.manoeuvre.events:
        if found.name == event:
            return float(np.interp(found.time, one.flight.track.time, one.flight.track.up_speed))
    return 0.0


def sd_of(estimate: Estimate) -> float:
    """Standard uncertainty of a measure, zero where none could be stated."""
    return estimate.sd or 0.0
