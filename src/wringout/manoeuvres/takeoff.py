"""Take-offs: start of roll, lift-off, 15.24 m above the strip."""

from dataclasses import dataclass

import numpy as np

from wringout.manoeuvres.ground import OBSTACLE, SLOW_FLYING, Contact, flew
from wringout.manoeuvres.heights import Height
from wringout.manoeuvres.manoeuvre import Event, Manoeuvre
from wringout.manoeuvres.motion import Motion
from wringout.manoeuvres.roll import Line, distance_sd, roll_line
from wringout.manoeuvres.scene import Scene
from wringout.manoeuvres.wheels import obstacle, speed_at, wheels
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.recordings.recording import FloatArray

STANDING = 0.3  # m/s over the ground; a receiver at rest shows less, …
STILL_DEVIATIONS = 4.0  # … or else not more than this many standard deviations
LONGEST_ROLL = 90.0  # s
LONGEST_CLIMB = 60.0  # s from the roll to well above the obstacle
EXTRAPOLATED = (
    0.12,
    0.75,
)  # shares of the speed at lift-off between which the roll is extrapolated back to standstill
STANDING_SD = 0.7  # s; an airplane creeps before it runs
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

    def find(self, scene: Scene) -> list[Manoeuvre]:
        """All take-offs, in order of time."""
        motion, grounds = scene.motion, scene.grounds
        found: list[Manoeuvre] = []
        if not scene.heights:
            return found
        for number, contact in enumerate(grounds):
            until = grounds[number + 1].start if number + 1 < len(grounds) else float(motion.time[-1])
            ground = motion.at(scene.heights[0].up, contact.end)
            if flew(motion, scene.heights[0], contact.end, until, ground=ground):
                takeoff = _measure(motion, scene.heights, contact, until)
                if takeoff is not None:
                    found.append(takeoff)
        return found


def _measure(motion: Motion, sources: tuple[Height, ...], contact: Contact, until: float) -> Manoeuvre | None:
    roll_from, standing = _roll_begins(motion, contact)
    ground = motion.at(sources[0].up, contact.end)
    high = _time_above(
        motion, sources[0], contact.end, min(until, contact.end + LONGEST_CLIMB), ground + 1.3 * OBSTACLE
    )
    if high is None or motion.at(motion.ground_speed, high) < SLOW_FLYING * motion.stall_speed:
        return None
    line = roll_line(motion, roll_from, high)
    found = wheels(motion, sources, line, roll_from, high, name="lift-off")
    if found is None:
        return None
    lift_off = found.event
    above = obstacle(motion, found, until, 1)
    if above is None:
        return None
    along = np.interp([lift_off.time, above.time], motion.time, line.along)
    measures = {
        "air_distance": Estimate(
            float(along[1] - along[0]),
            distance_sd(motion, lift_off.time, lift_off.time_sd, above.time, above.time_sd),
            Dimension.LENGTH,
            f"smoothed positions along the roll, lift-off and obstacle by {found.source.name}",
        ),
        "lift_off_ground_speed": speed_at(motion, lift_off, "smoothed ground speed at lift-off"),
        "obstacle_ground_speed": speed_at(motion, above, "smoothed ground speed at 15.24 m"),
        "roll_track": Estimate(
            line.track, line.track_sd, Dimension.ANGLE, "direction of the roll's fast part, true"
        ),
        "strip_slope": found.strip_slope,
        "strip_height": found.strip_height,
    }
    events = [lift_off, above]
    notes = found.notes
    first = min(contact.end, lift_off.time)
    if contact.stopped:
        start = _start(motion, line, contact, roll_from=roll_from, lift_off=lift_off.time, standing=standing)
        if start is not None:
            spread = motion.at(motion.ground_speed, lift_off.time) * lift_off.time_sd
            position_sd = motion.at(motion.path.position_sd, lift_off.time)
            measures["ground_roll"] = Estimate(
                float(along[0]) - start.along,
                float(np.sqrt(spread**2 + start.along_sd**2 + position_sd**2)),
                Dimension.LENGTH,
                f"smoothed positions from start of roll to lift-off by {found.source.name}",
            )
            events.insert(0, Event("start of roll", start.time, start.time_sd, start.reason))
            notes += start.notes
            first = start.time
    else:
        notes += ("touch-and-go: no start of roll",)
    airspeed = motion.channel("indicated_airspeed")
    if airspeed is not None:
        measures |= _airspeed(motion, airspeed, lift_off)
    return Manoeuvre("take-off", first, above.time, tuple(events), measures, notes)


def _roll_begins(motion: Motion, contact: Contact) -> tuple[float, bool]:
    """The last moment on the ground before the run, and whether the airplane stood then."""
    inside = (motion.time >= contact.start) & (motion.time <= contact.end)
    awake = np.flatnonzero(motion.slept & inside)
    if len(awake):  # nothing is known of the sleep, nor of where the airplane went meanwhile
        inside &= motion.time >= motion.time[awake[-1]]
    still = max(STANDING, STILL_DEVIATIONS * float(np.median(motion.path.speed_sd[inside])))
    standing = np.flatnonzero(inside & (motion.ground_speed < still) & motion.known)
    if len(standing):
        return float(motion.time[standing[-1]]), True
    slowest = np.flatnonzero(inside)
    recent = slowest[motion.time[slowest] > contact.end - LONGEST_ROLL]
    return float(motion.time[recent[np.argmin(motion.ground_speed[recent])]]), False


def _time_above(motion: Motion, source: Height, start: float, end: float, level: float) -> float | None:
    inside = np.flatnonzero((motion.time >= start) & (motion.time <= end) & (source.up > level))
    return float(motion.time[inside[0]]) if len(inside) else None


def _start(
    motion: Motion, line: Line, contact: Contact, *, roll_from: float, lift_off: float, standing: bool
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
        # the record itself shows the airplane at rest and what followed
        return _Start(
            roll_from,
            STANDING_SD,
            motion.at(along, roll_from),
            position_sd,
            "last moment at rest before the run",
            (),
        )
    least = float(speed[(motion.time >= roll_from) & (motion.time <= lift_off)].min())
    knots = least / 0.514444
    slept = bool(motion.slept[motion.index(roll_from)])
    note = (
        f"the record of the roll begins at {knots:.0f} kt: {before:.0f} m before it are extrapolated"
        if slept
        else f"rolling start: never slower than {knots:.0f} kt; the roll is counted from the standstill that "
        "the acceleration leads back to"
    )
    return _Start(
        zero,
        max(time_sd, 0.5),
        float(along[first]) - before,
        float(np.hypot(position_sd, EXTRAPOLATION_SD * before)),
        "speed extrapolated back to zero through the acceleration",
        (note,),
    )


def _time_of_speed(time: FloatArray, speed: FloatArray, speed_sd: FloatArray) -> tuple[FloatArray, float]:
    """t = t₀ + c₁ V + c₂ V³, as thrust falls and drag grows with V² in a roll; and the sd of t₀."""
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
    return solution.astype(np.float64), float(np.sqrt(covariance[0, 0] * 2))


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
