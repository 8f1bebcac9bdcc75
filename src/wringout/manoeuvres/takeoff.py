"""Take-offs: start of roll, lift-off, 15.24 m above the strip."""

from dataclasses import dataclass

import numpy as np

from wringout.manoeuvres.ground import OBSTACLE, SLOW_FLYING, Contact, flew
from wringout.manoeuvres.heights import Height
from wringout.manoeuvres.hinge import Hinge, hinge
from wringout.manoeuvres.manoeuvre import Event, Manoeuvre
from wringout.manoeuvres.motion import Motion
from wringout.manoeuvres.roll import Line, distance_sd, roll_line
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.recordings.recording import FloatArray

STANDING = 1.0  # m/s over the ground; a receiver at rest shows less
LONGEST_ROLL = 90.0  # s
LONGEST_CLIMB = 60.0  # s from the roll to well above the obstacle
EXTRAPOLATED = (
    0.12,
    0.75,
)  # shares of the speed at lift-off between which the roll is extrapolated back to standstill
EXTRAPOLATION_SD = 0.15  # of the distance before the first sample; the throttle's opening is not known


@dataclass(frozen=True, slots=True)
class _Start:
    """The start of the roll: its moment and distance along the line, each with a standard deviation."""

    time: float
    time_sd: float
    along: float
    along_sd: float
    reason: str
    notes: tuple[str, ...]


class TakeOffFinder:
    """One take-off after each time on the ground that a flight follows."""

    def find(
        self, motion: Motion, sources: tuple[Height, ...], grounds: tuple[Contact, ...]
    ) -> list[Manoeuvre]:
        """All take-offs, in order of time."""
        found = []
        for number, contact in enumerate(grounds):
            until = grounds[number + 1].start if number + 1 < len(grounds) else float(motion.time[-1])
            if not sources:
                break
            ground = motion.at(sources[0].up, contact.end)
            if flew(motion, sources[0], contact.end, until, ground):
                takeoff = _measure(motion, sources, contact, until)
                if takeoff is not None:
                    found.append(takeoff)
        return found


def _measure(motion: Motion, sources: tuple[Height, ...], contact: Contact, until: float) -> Manoeuvre | None:
    roll_from, standing = _roll_begins(motion, contact)
    ground = motion.at(sources[0].up, contact.end)
    high = _time_above(
        motion, sources[0], contact.end, min(until, contact.end + LONGEST_CLIMB), ground + 2 * OBSTACLE
    )
    if high is None or motion.at(motion.ground_speed, high) < SLOW_FLYING * motion.stall_speed:
        return None
    line = roll_line(motion, roll_from, high)
    lift_off, hinged, source, notes = _lift_off(motion, sources, line, roll_from, high)
    if lift_off is None or source is None:
        return None
    ground_height, ground_sd = (hinged.height, hinged.height_sd)
    obstacle = _obstacle(motion, source, lift_off.time, until, ground_height, ground_sd)
    if obstacle is None:
        return None
    start = _start(motion, line, contact, roll_from, lift_off.time, standing)
    lift_speed = motion.at(motion.ground_speed, lift_off.time)
    along = np.interp([lift_off.time, obstacle.time], motion.time, line.along)
    measures = {
        "air_distance": Estimate(
            float(along[1] - along[0]),
            distance_sd(motion, lift_off.time, lift_off.time_sd, obstacle.time, obstacle.time_sd),
            Dimension.LENGTH,
            f"smoothed positions along the roll, lift-off and obstacle by {source.name}",
        ),
        "lift_off_ground_speed": _speed(motion, lift_off, "smoothed ground speed at lift-off"),
        "obstacle_ground_speed": _speed(motion, obstacle, "smoothed ground speed at 15.24 m"),
        "roll_track": Estimate(
            line.track, line.track_sd, Dimension.ANGLE, "direction of the roll's fast part, true"
        ),
        "strip_slope": Estimate(
            hinged.slope, hinged.slope_sd, Dimension.SLOPE, f"{source.name} along the roll"
        ),
        "strip_height": Estimate(ground_height, ground_sd, Dimension.LENGTH, f"{source.name} at lift-off"),
    }
    events = [lift_off, obstacle]
    first = lift_off.time
    if contact.stopped and start is not None:
        spread = float(np.hypot(lift_speed * lift_off.time_sd, start.along_sd))
        measures["ground_roll"] = Estimate(
            float(along[0]) - start.along,
            float(np.hypot(spread, motion.at(motion.path.position_sd, lift_off.time))),
            Dimension.LENGTH,
            f"smoothed positions from start of roll to lift-off by {source.name}",
        )
        events.insert(0, Event("start of roll", start.time, start.time_sd, start.reason))
        notes += start.notes
        first = start.time
    elif not contact.stopped:
        notes += ("touch-and-go: no start of roll",)
        first = contact.end
    airspeed = motion.channel("indicated_airspeed")
    if airspeed is not None:
        measures |= _airspeed(motion, airspeed, lift_off)
    return Manoeuvre("take-off", first, obstacle.time, tuple(events), measures, notes)


def _roll_begins(motion: Motion, contact: Contact) -> tuple[float, bool]:
    """The last moment on the ground before the run, and whether the airplane stood then."""
    inside = (motion.time >= contact.start) & (motion.time <= contact.end)
    standing = np.flatnonzero(inside & (motion.ground_speed < STANDING) & motion.known)
    if len(standing):
        return float(motion.time[standing[-1]]), True
    slowest = np.flatnonzero(inside)
    recent = slowest[motion.time[slowest] > contact.end - LONGEST_ROLL]
    return float(motion.time[recent[np.argmin(motion.ground_speed[recent])]]), False


def _time_above(motion: Motion, source: Height, start: float, end: float, level: float) -> float | None:
    inside = np.flatnonzero((motion.time >= start) & (motion.time <= end) & (source.up > level))
    return float(motion.time[inside[0]]) if len(inside) else None


def _lift_off(
    motion: Motion, sources: tuple[Height, ...], line: Line, start: float, end: float
) -> tuple[Event | None, Hinge, Height | None, tuple[str, ...]]:
    fitted = []
    for source in sources:
        found = hinge(source, motion.time, line.along, start, end, 1)
        if found is not None:
            speed = motion.at(motion.ground_speed, found.time)
            climb = max(motion.at(source.up_speed, min(found.time + 5.0, end)), 0.5)
            fitted.append((float(np.hypot(found.time_sd, source.bias(speed) / climb)), found, source))
    if not fitted:
        return None, Hinge(0, 0, 0, 0, 0, 0, 0), None, ()
    spread, found, source = min(fitted, key=lambda each: each[0])
    notes: tuple[str, ...] = ()
    if len(fitted) > 1:
        other = max(fitted, key=lambda each: each[0])
        apart = other[1].time - found.time
        if abs(apart) > 2 * np.hypot(spread, other[0]):
            notes = (f"{other[2].name} puts lift-off {apart:+.1f} s from {source.name}",)
    mark = motion.marked("lift-off", start, end + 5.0)
    if mark is not None:
        return Event("lift-off", mark.time, mark.time_sd, "observer's mark"), found, source, notes
    event = Event(
        "lift-off",
        found.time,
        spread,
        f"{source.name} leaves the strip ({found.residual:.2f} m rms about the fit)",
    )
    return event, found, source, notes


def _obstacle(
    motion: Motion, source: Height, lift_off: float, until: float, ground: float, ground_sd: float
) -> Event | None:
    above = source.up - ground - OBSTACLE
    later = np.flatnonzero((motion.time > lift_off) & (motion.time <= until) & (above > 0))
    if not len(later) or later[0] == 0:
        return None
    last = later[0]
    low, high = above[last - 1], above[last]
    share = -low / (high - low) if high > low and low < 0 else 1.0
    moment = float(motion.time[last - 1] + share * (motion.time[last] - motion.time[last - 1]))
    climb = max(motion.at(source.up_speed, moment), 0.3)
    bias = (
        source.bias(motion.at(motion.ground_speed, moment)) / 2
    )  # of the lower and the higher, the error's greater part is shared
    height_sd = float(np.sqrt(motion.at(source.up_sd, moment) ** 2 + ground_sd**2 + bias**2))
    return Event(
        "obstacle",
        max(moment, lift_off),
        height_sd / climb,
        f"{source.name} 15.24 m above the strip at lift-off",
    )


def _start(
    motion: Motion, line: Line, contact: Contact, roll_from: float, lift_off: float, standing: bool
) -> _Start | None:
    mark = motion.marked("start of roll", contact.start - 5.0, lift_off)
    along = line.along
    speed = motion.ground_speed
    if mark is not None:
        at = motion.at(along, mark.time)
        sd = float(
            np.hypot(
                motion.at(speed, mark.time) * mark.time_sd, motion.at(motion.path.position_sd, mark.time)
            )
        )
        return _Start(mark.time, mark.time_sd, at, sd, "observer's mark", ())
    lift_speed = motion.at(speed, lift_off)
    low, high = (share * lift_speed for share in EXTRAPOLATED)
    run = (
        (motion.time >= roll_from)
        & (motion.time <= lift_off)
        & motion.known
        & (speed >= low)
        & (speed <= high)
    )
    if np.count_nonzero(run) < 3:
        run = (
            (motion.time >= roll_from)
            & (motion.time <= lift_off)
            & motion.known
            & (speed <= 0.95 * lift_speed)
        )
    if np.count_nonzero(run) < 2:
        return None
    coefficients, time_sd = _time_of_speed(motion.time[run], speed[run], motion.path.speed_sd[run])
    slope, bend = coefficients[1], coefficients[2]
    # the first fitted sample carries the line back: dx = V dt with t = t₀ + slope V + bend V³
    first = int(np.flatnonzero(run)[0])
    v = float(speed[first])
    before = slope * v**2 / 2 + 3 * bend * v**4 / 4
    zero = float(coefficients[0])
    position_sd = float(motion.path.position_sd[first])
    if standing:
        # the airplane is seen at rest: the record itself has the distance, the extrapolation only the moment
        at = motion.at(along, roll_from)
        return _Start(
            max(zero, roll_from),
            max(time_sd, 0.3),
            at,
            float(np.hypot(position_sd, 0.5)),
            "speed extrapolated back to zero through the acceleration; the record shows the airplane at rest before",
            (),
        )
    least = float(speed[(motion.time >= roll_from) & (motion.time <= lift_off)].min())
    knots = least / 0.514444
    slept = bool(
        abs(motion.time[motion.index(roll_from)] - roll_from) < 1e-6 and _begins_here(motion, roll_from)
    )
    note = (
        f"the record of the roll begins at {knots:.0f} kt: {before:.0f} m before it are extrapolated"
        if slept
        else f"rolling start: the airplane never went slower than {knots:.0f} kt; the roll is counted from the standstill that its "
        f"acceleration leads back to"
    )
    return _Start(
        zero,
        max(time_sd, 0.5),
        float(along[first]) - before,
        float(np.hypot(position_sd, EXTRAPOLATION_SD * before)),
        "speed extrapolated back to zero through the acceleration",
        (note,),
    )


def _begins_here(motion: Motion, moment: float) -> bool:
    index = motion.index(moment)
    return index < 2 or bool(motion.time[index] - motion.time[index - 2] > 6.0)


def _time_of_speed(time: FloatArray, speed: FloatArray, speed_sd: FloatArray) -> tuple[FloatArray, float]:
    """t = t₀ + c₁ V + c₂ V³, the roll of a thrust that falls and a drag that grows with V²; and the sd of t₀."""
    if len(time) < 4:
        slope = (time[-1] - time[0]) / max(speed[-1] - speed[0], 0.1)
        return np.array([time[0] - slope * speed[0], slope, 0.0]), 1.0
    columns = np.stack((np.ones_like(speed), speed, speed**3), axis=1)
    solution = np.linalg.lstsq(columns, time, rcond=None)[0]
    if solution[2] < 0 or solution[1] <= 0:  # acceleration that grows: the throttle was still opening
        columns = columns[:, :2]
        solution = np.append(np.linalg.lstsq(columns, time, rcond=None)[0], 0.0)
    left = time - columns @ solution[: columns.shape[1]]
    noise = np.hypot(np.std(left), float(np.median(speed_sd)) * abs(solution[1]))
    covariance = np.linalg.inv(columns.T @ columns) * noise**2
    return solution, float(np.sqrt(covariance[0, 0] * 2))


def _speed(motion: Motion, event: Event, source: str) -> Estimate:
    sd = np.hypot(
        motion.at(motion.path.speed_sd, event.time),
        motion.at(motion.acceleration, event.time) * event.time_sd,
    )
    return Estimate(motion.at(motion.ground_speed, event.time), float(sd), Dimension.SPEED, source)


def _airspeed(motion: Motion, airspeed: FloatArray, lift_off: Event) -> dict[str, Estimate]:
    near = np.isfinite(airspeed) & (np.abs(motion.time - lift_off.time) < max(3.0, 2 * lift_off.time_sd))
    if np.count_nonzero(near) < 3:
        return {}
    shift = motion.time[near] - lift_off.time
    slope, value = np.polyfit(shift, airspeed[near], 1)
    left = airspeed[near] - value - slope * shift
    sd = np.hypot(np.std(left) / np.sqrt(max(len(shift) - 2, 1)), slope * lift_off.time_sd)
    return {
        "indicated_airspeed": Estimate(
            float(value),
            float(sd),
            Dimension.SPEED,
            "log's indicated airspeed, line through the samples about lift-off",
        )
    }
