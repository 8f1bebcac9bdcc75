"""The moments at which the wheels leave or meet the strip, and at which the airplane is 15.24 m above it."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np

from wringout.manoeuvres.ground import OBSTACLE
from wringout.manoeuvres.heights import Height
from wringout.manoeuvres.hinge import Hinge, likelihood_of
from wringout.manoeuvres.manoeuvre import Event
from wringout.manoeuvres.motion import Motion
from wringout.manoeuvres.roll import Line
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.recordings.recording import FloatArray

SLOWEST_RATE = 0.5  # m/s of climb or sink by which a height's error is divided at least
FLARE = 2.0  # s before touchdown over which the flare's own deceleration is taken
BRAKES_STAND_OUT = 0.8  # m/s² by which braking exceeds the flare's deceleration to be told from it
BRAKING_DELAY = 1.5  # s from the wheels' touch to the brakes' bite, usually; common practice, no source
BRAKED_LATER = 15.0  # s after the searched span within which brakes are looked for
MARKED_HIGH = 60.0  # s from the wheels' moment within which a mark of the obstacle's height is meant
MARK_REACH = 5.0  # s beyond the searched span within which an observer's mark is still meant


@dataclass(frozen=True, slots=True)
class Wheels:
    """Lift-off or touchdown, the fit and height that gave it, and the strip's height and slope there."""

    event: Event
    fit: Hinge
    source: Height
    strip_height: Estimate
    strip_slope: Estimate
    notes: tuple[str, ...]


def wheels(
    motion: Motion,
    sources: tuple[Height, ...],
    line: Line,
    start: float,
    end: float,
    *,
    name: Literal["lift-off", "touchdown"],
) -> Wheels | None:
    """Lift-off or touchdown between two moments, by the height that knows it best; None where none does.

    An observer's mark overrides the moment; strip height and slope come from the heights all the same. A
    source that contradicts the chosen one is told in the notes.
    """
    direction = 1 if name == "lift-off" else -1
    fitted = []
    inside = motion.between(start, end)
    inside = slice(max(inside.start - 1, 0), inside.stop + 1)
    for source in sources:
        likelihood = likelihood_of(
            source, motion.time[inside], line.along(motion, inside), start, end, direction=direction
        )
        found = None if likelihood is None else likelihood.hinge()
        if likelihood is not None and found is not None and direction < 0:
            brakes = braking_onset(motion, found.time, end + BRAKED_LATER)
            if brakes is not None:
                found = likelihood.hinge(_before(brakes))
        if found is not None:
            fitted.append(
                (
                    _uncertainty(motion, source, found, direction=direction, start=start, end=end),
                    found,
                    source,
                )
            )
    if not fitted:
        return None
    spread, fit, source = min(fitted, key=lambda each: each[0])
    event = Event(
        name,
        fit.time,
        float(np.hypot(fit.time_sd, source.bias(motion.at(motion.ground_speed, fit.time)) / 10)),
        f"{source.name} {'leaves' if direction > 0 else 'meets'} the strip, "
        f"{fit.residual:.2f} m rms about the fit",
    )
    notes = []
    for other_spread, other, other_source in fitted:
        apart = other.time - fit.time
        if other_source is not source and abs(apart) > 2 * np.hypot(spread, other_spread):
            notes.append(f"{other_source.name} puts {name} {apart:+.1f} s from {source.name}")
    mark = motion.marked(name, start - MARK_REACH, end + MARK_REACH)
    if mark is not None:
        event = Event(name, mark.time, mark.time_sd, "observer's mark")
        apart = fit.time - mark.time
        if abs(apart) > 3 * np.hypot(fit.time_sd, mark.time_sd):
            notes.append(f"{source.name} puts {name} {apart:+.1f} s from the observer's mark")
    _, strip, strip_source = next((each for each in fitted if each[2] is sources[0]), fitted[0])
    return Wheels(
        event,
        fit,
        source,
        Estimate(strip.height, strip.height_sd, Dimension.LENGTH, f"{strip_source.name} at {name}"),
        Estimate(fit.slope, fit.slope_sd, Dimension.SLOPE, f"{source.name} along the roll"),
        tuple(notes),
    )


def _uncertainty(
    motion: Motion, source: Height, fit: Hinge, *, direction: int, start: float, end: float
) -> float:
    """Standard deviation of the wheels' moment and of the obstacle together, as a source gives them [s]."""
    beyond = min(max(fit.time + direction * 5.0, start), end)
    rate = max(direction * motion.at(source.up_speed, beyond), SLOWEST_RATE)
    bias = source.bias(motion.at(motion.ground_speed, fit.time))
    wandered = source.wander * np.sqrt(abs(beyond - fit.time))
    spread = np.hypot(wandered, motion.at(source.up_sd, beyond)) + bias
    return float(np.hypot(fit.time_sd, spread / rate))


@dataclass(frozen=True, slots=True)
class Onset:
    """When the brakes began to bite [s], and over what time that can be told [s]."""

    time: float
    sd: float


def braking_onset(motion: Motion, touchdown: float, end: float) -> Onset | None:
    """When the deceleration is half-way from the flare's to its peak; None where that does not stand out."""
    flare = motion.known_between(touchdown - FLARE, touchdown)
    rolling = motion.known_between(touchdown - FLARE, end)
    if not len(flare) or len(rolling) < 3:
        return None
    slowing = -motion.acceleration[rolling]
    before, peak = float(np.median(-motion.acceleration[flare])), float(slowing.max())
    if peak - before < BRAKES_STAND_OUT:
        return None
    over = rolling[slowing > (before + peak) / 2]
    step = float(np.median(np.diff(motion.time[rolling])))
    return Onset(float(motion.time[over[0]]), float(np.hypot(0.3, step)))


def _before(brakes: Onset) -> Callable[[FloatArray], FloatArray]:
    """Wheels touch before brakes bite, seldom long before: half of a Cauchy density, as some let it roll."""

    def log_density(moment: FloatArray) -> FloatArray:
        ahead = brakes.time - moment
        early = -np.log1p((np.maximum(ahead, 0.0) / BRAKING_DELAY) ** 2)
        density: FloatArray = early - 0.5 * (np.minimum(ahead, 0.0) / brakes.sd) ** 2
        return density

    return log_density


def obstacle(motion: Motion, found: Wheels, limit: float, direction: Literal[1, -1]) -> Event | None:
    """The first moment after lift-off (1), the last before touchdown (−1), 15.24 m above the strip there.

    An observer's mark overrides it.
    """
    mark = motion.marked("obstacle", *sorted((found.event.time, found.event.time + direction * MARKED_HIGH)))
    if mark is not None:
        return Event("obstacle", mark.time, mark.time_sd, "observer's mark")
    source = found.source
    level = found.fit.height + OBSTACLE
    moment = found.event.time
    # the moment itself is still on the strip
    if direction > 0:
        inside = motion.between(np.nextafter(moment, np.inf), limit)
    else:
        inside = motion.between(limit, np.nextafter(moment, -np.inf))
    beyond = inside.start + np.flatnonzero(source.up[inside] > level)[::direction]
    if not len(beyond):
        return None
    high = int(beyond[0])
    low = high - direction
    if not 0 <= low < len(motion.time):
        return None
    rise = float(source.up[high] - source.up[low])
    share = float(np.clip((level - source.up[low]) / rise, 0.0, 1.0)) if rise > 0 else 1.0
    at = float(motion.time[low] + share * (motion.time[high] - motion.time[low]))
    rate = max(abs(motion.at(source.up_speed, at)), 0.3)
    # of the static port's error most is the same at the wheels' moment and above
    bias = source.bias(motion.at(motion.ground_speed, at)) / 2
    wandered = source.wander * np.sqrt(abs(at - found.fit.time))
    height_sd = np.sqrt(motion.at(source.up_sd, at) ** 2 + wandered**2 + found.fit.height_sd**2 + bias**2)
    where = "lift-off" if direction > 0 else "touchdown"
    at = max(at, moment) if direction > 0 else min(at, moment)
    return Event(
        "obstacle", at, float(height_sd / rate), f"{source.name} 15.24 m above the strip's height at {where}"
    )


def speed_at(motion: Motion, event: Event, source: str) -> Estimate:
    """The smoothed ground speed at an event."""
    sd = np.hypot(
        motion.at(motion.path.speed_sd, event.time),
        motion.at(motion.acceleration, event.time) * event.time_sd,
    )
    return Estimate(motion.at(motion.ground_speed, event.time), float(sd), Dimension.SPEED, source)
