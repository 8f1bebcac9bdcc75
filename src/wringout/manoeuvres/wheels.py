"""The moments at which the wheels leave or meet the strip, and at which the airplane is 15.24 m above it."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np

from wringout.manoeuvres.ground import OBSTACLE
from wringout.manoeuvres.heights import Height
from wringout.manoeuvres.hinge import GRID, Hinge, likelihood_of
from wringout.manoeuvres.manoeuvre import Event
from wringout.manoeuvres.mark import TimedMark
from wringout.manoeuvres.motion import Motion
from wringout.manoeuvres.roll import Line
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.recordings.recording import FloatArray

LEAST_RATE = 0.3  # m/s above the strip by which a height's error at the obstacle is divided at least
SLOWEST_RATE = 0.5  # m/s of climb or sink by which a height's error is divided at least
FLARE = 2.0  # s before touchdown over which the flare's own deceleration is taken
BRAKES_STAND_OUT = 0.8  # m/s² by which braking exceeds the flare's deceleration to be told from it
BRAKING_DELAY = 1.5  # s from the wheels' touch to the brakes' bite, usually; common practice, no source
BRAKED_LATER = 15.0  # s after the searched span within which brakes are looked for
STRIP_SEEN = 15.0  # s of the roll beside the wheels' moment whose heights tell the strip's
MARKED_HIGH = 60.0  # s from the wheels' moment within which a mark of the obstacle's height is meant
MARK_REACH = 5.0  # s beyond the searched span within which an observer's mark is still meant


@dataclass(frozen=True, slots=True)
class StripLine:
    """The strip along the roll as one source of height shows it about the wheels' moment.

    Its `height` [m] with standard deviation at the distance `along` [m]; the slope with its own turns about
    the distance `pivot` [m], where the heights lie that tell the strip's.
    """

    along: float
    height: float
    height_sd: float
    slope: float
    slope_sd: float
    pivot: float

    def at(self, along: FloatArray | float) -> FloatArray | float:
        """Height of the strip at distances along the roll [m]."""
        return self.height + self.slope * (along - self.along)

    def sd_at(self, along: float) -> float:
        """Its standard deviation [m]."""
        return float(np.hypot(self.height_sd, self.slope_sd * (along - self.pivot)))


@dataclass(frozen=True, slots=True)
class Wheels:
    """Lift-off or touchdown, the height that gave it, and the strip in that height, its slope by itself."""

    event: Event
    source: Height
    strip: StripLine
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
    mark = motion.marked(name, start - MARK_REACH, end + MARK_REACH)
    fitted = []
    inside = motion.between(start, end)
    inside = slice(max(inside.start - 1, 0), inside.stop + 1)
    for source in sources:
        likelihood = likelihood_of(
            source, motion.time[inside], line.along(motion, inside), start, end, direction=direction
        )
        found = None if likelihood is None else likelihood.hinge()
        if likelihood is None or found is None:
            continue
        brakes = braking_onset(motion, found.time, end + BRAKED_LATER) if direction < 0 else None
        if brakes is not None:
            found = likelihood.hinge(_before(brakes)) or found
        held = found if mark is None else likelihood.hinge(_about(mark)) or found
        spread = _uncertainty(motion, source, found, direction=direction, start=start, end=end)
        fitted.append((spread, found, held, source))
    if not fitted:
        return None
    spread, fit, held, source = min(fitted, key=lambda each: each[0])
    event = Event(
        name,
        fit.time,
        fit.time_sd,
        f"{source.name} {'leaves' if direction > 0 else 'meets'} the strip, "
        f"{fit.residual:.2f} m rms about the fit",
    )
    notes = []
    for other_spread, other, _, other_source in fitted:
        apart = other.time - fit.time
        if other_source is not source and abs(apart) > 2 * np.hypot(spread, other_spread):
            notes.append(f"{other_source.name} puts {name} {apart:+.1f} s from {source.name}")
    if mark is not None:
        event = Event(name, mark.time, mark.time_sd, "observer's mark")
        apart = fit.time - mark.time
        if abs(apart) > 3 * np.hypot(fit.time_sd, mark.time_sd):
            notes.append(f"{source.name} puts {name} {apart:+.1f} s from the observer's mark")
    _, _, strip, strip_source = next((each for each in fitted if each[3] is sources[0]), fitted[0])
    return Wheels(
        event,
        source,
        _strip_line(motion, line, source, held, event=event, span=(start, end), direction=direction),
        Estimate(strip.height, strip.height_sd, Dimension.LENGTH, f"{strip_source.name} at {name}"),
        Estimate(held.slope, held.slope_sd, Dimension.SLOPE, f"{source.name} along the roll"),
        tuple(notes),
    )


def _about(mark: TimedMark) -> Callable[[FloatArray], FloatArray]:
    """What an observer's mark says of the moment."""
    # a moment of the grid is the nearest to the mark all the same
    sd = max(mark.time_sd, GRID / 2)

    def log_density(moment: FloatArray) -> FloatArray:
        density: FloatArray = -0.5 * ((moment - mark.time) / sd) ** 2
        return density

    return log_density


def _strip_line(
    motion: Motion,
    line: Line,
    source: Height,
    fit: Hinge,
    *,
    event: Event,
    span: tuple[float, float],
    direction: int,
) -> StripLine:
    """The strip about the wheels' moment: its height by the heights of the roll next to that moment.

    A source wanders: what it showed long before says less of what it shows now. With its random walk counted
    from the wheels' moment, the strip's height then is the generalised mean of the heights less the slope
    [derived]. Heights within the moment's own uncertainty may be the air's and are left out.
    """
    moment = event.time
    here = line.at(motion, moment)
    first, last = sorted((moment - direction * event.time_sd, moment - direction * STRIP_SEEN))
    low = np.searchsorted(source.time, max(first, span[0]))
    high = np.searchsorted(source.time, min(last, span[1]), side="right")
    time, values = source.time[low:high], source.values[low:high]
    if len(time) < 3:
        return StripLine(here, fit.height, fit.height_sd, fit.slope, fit.slope_sd, here)
    inside = motion.between(time[0], time[-1])
    inside = slice(max(inside.start - 1, 0), inside.stop + 1)
    rolled = np.interp(time, motion.time[inside], line.along(motion, inside)) - here
    away = np.abs(time - moment)
    covariance = source.wander**2 * np.minimum(away[:, None], away) + source.noise**2 * np.eye(len(time))
    weight = np.linalg.solve(covariance, np.ones(len(time)))
    variance = 1 / float(weight.sum())
    weight *= variance
    height = float(weight @ (values - fit.slope * rolled))
    return StripLine(
        here, height, float(np.sqrt(variance)), fit.slope, fit.slope_sd, here + float(weight @ rolled)
    )


def _uncertainty(
    motion: Motion, source: Height, fit: Hinge, *, direction: int, start: float, end: float
) -> float:
    """Standard deviation of the wheels' moment and of the obstacle together, as a source gives them [s]."""
    beyond = min(max(fit.time + direction * 5.0, start), end)
    rate = max(direction * motion.at(source.up_speed, beyond), SLOWEST_RATE)
    wandered = source.wander * np.sqrt(abs(beyond - fit.time))
    return float(np.hypot(fit.time_sd, np.hypot(wandered, motion.at(source.up_sd, beyond)) / rate))


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
    """Wheels touch before brakes bite, seldom at once, seldom long before.

    With r the delay over the usual one, the density is r/(1 + r³): a foot takes its time, and some let it
    roll. Within the onset's own uncertainty the delay cannot be told.
    """

    def log_density(moment: FloatArray) -> FloatArray:
        ahead = brakes.time - moment
        share = np.maximum(ahead, brakes.sd) / BRAKING_DELAY
        late = np.minimum(ahead - brakes.sd, 0.0) / brakes.sd
        density: FloatArray = np.log(share) - np.log1p(share**3) - 0.5 * late**2
        return density

    return log_density


@dataclass(frozen=True, slots=True)
class Obstacle:
    """The moment 15.24 m above the strip beneath the airplane.

    `air_distance_per_slope` is by how much the air distance grows with the slope that the strip beneath is
    taken to have; None where the moment does not hang on it.
    """

    event: Event
    air_distance_per_slope: Estimate | None


def obstacle(
    motion: Motion, line: Line, found: Wheels, limit: float, direction: Literal[1, -1]
) -> Obstacle | None:
    """The first moment after lift-off (1), the last before touchdown (−1), 15.24 m above the strip beneath.

    The strip goes on with its slope below the airplane. An observer's mark overrides the moment.
    """
    moment = found.event.time
    mark = motion.marked("obstacle", *sorted((moment, moment + direction * MARKED_HIGH)))
    if mark is not None:
        return Obstacle(Event("obstacle", mark.time, mark.time_sd, "observer's mark"), None)
    source, strip = found.source, found.strip
    # the moment itself is still on the strip
    if direction > 0:
        inside = motion.between(np.nextafter(moment, np.inf), limit)
    else:
        inside = motion.between(limit, np.nextafter(moment, -np.inf))
    # a sample more on the strip's side, to go between
    first, after = max(inside.start - (direction > 0), 0), inside.stop + (direction < 0)
    above = source.up[first:after] - strip.at(line.along(motion, slice(first, after))) - OBSTACLE
    beyond = inside.start + np.flatnonzero(above[inside.start - first :][: inside.stop - inside.start] > 0)
    if not len(beyond):
        return None
    high = int(beyond[::direction][0])
    low = high - direction
    if not first <= low < min(after, len(motion.time)):
        return None
    rise = float(above[high - first] - above[low - first])
    share = float(np.clip(-above[low - first] / rise, 0.0, 1.0)) if rise > 0 else 1.0
    at = float(motion.time[low] + share * (motion.time[high] - motion.time[low]))
    speed = motion.at(motion.ground_speed, at)
    rate = max(direction * (motion.at(source.up_speed, at) - strip.slope * speed), LEAST_RATE)
    place = line.at(motion, at)
    variance = (
        motion.at(source.up_sd, at) ** 2 + source.wander**2 * abs(at - moment) + strip.sd_at(place) ** 2
    )
    event = Event(
        "obstacle",
        max(at, moment) if direction > 0 else min(at, moment),
        float(np.sqrt(variance)) / rate,
        f"{source.name} 15.24 m above the strip beneath, {100 * strip.slope:+.1f} % along the roll",
    )
    # a strip that rises by so much more a metre is to be climbed away from at this rate, or come down to
    per_slope = (place - strip.pivot) * speed / rate
    return Obstacle(
        event,
        Estimate(
            per_slope,
            abs(per_slope) * motion.at(motion.path.up_speed_sd, at) / rate,
            Dimension.LENGTH,
            "distance from the roll over the path's gradient above the strip",
        ),
    )


def speed_at(motion: Motion, event: Event, source: str) -> Estimate:
    """The smoothed ground speed at an event."""
    sd = np.hypot(
        motion.at(motion.path.speed_sd, event.time),
        motion.at(motion.acceleration, event.time) * event.time_sd,
    )
    return Estimate(motion.at(motion.ground_speed, event.time), float(sd), Dimension.SPEED, source)
