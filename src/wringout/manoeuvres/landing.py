"""Landings: 15.24 m above the strip, touchdown, full stop."""

import numpy as np

from wringout.manoeuvres.ground import OBSTACLE, SLOW_FLYING, Contact, flew
from wringout.manoeuvres.heights import Height
from wringout.manoeuvres.manoeuvre import Event, Manoeuvre
from wringout.manoeuvres.motion import IntArray, Motion
from wringout.manoeuvres.roll import Line, distance_sd, roll_line
from wringout.manoeuvres.scene import Scene
from wringout.manoeuvres.wheels import obstacle, speed_at, wheels
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

STANDING = 1.0  # m/s over the ground
LONGEST_APPROACH = 90.0  # s from twice the obstacle height to rolling
LONGEST_ROLL = 90.0  # s
TAXIED = 3.0  # s of rolling without braking that end the landing roll
STILL_BRAKING = 0.25  # m/s²; below it the airplane is taken to taxi
APPROACH = 8.0  # s before the obstacle over which the approach angle is taken


class LandingFinder:
    """One landing before each time on the ground that follows a flight."""

    def find(self, scene: Scene) -> list[Manoeuvre]:
        """All landings, in order of time."""
        motion, grounds = scene.motion, scene.grounds
        found: list[Manoeuvre] = []
        if not scene.heights:
            return found
        for number, contact in enumerate(grounds):
            since = grounds[number - 1].end if number else float(motion.time[0])
            ground = motion.at(scene.heights[0].up, contact.start)
            if flew(motion, scene.heights[0], since, contact.start, ground=ground):
                landing = _measure(motion, scene.heights, contact, since)
                if landing is not None:
                    found.append(landing)
        return found


def _measure(motion: Motion, sources: tuple[Height, ...], contact: Contact, since: float) -> Manoeuvre | None:
    ground = motion.at(sources[0].up, contact.start)
    approach = motion.between(max(since, contact.start - LONGEST_APPROACH), contact.start)
    higher = approach.start + np.flatnonzero(sources[0].up[approach] > ground + 2 * OBSTACLE)
    if not len(higher):
        return None
    high = float(motion.time[higher[-1]])
    if motion.at(motion.ground_speed, high) < SLOW_FLYING * motion.stall_speed:
        return None
    rolling = contact.start if contact.stopped else contact.end
    line = roll_line(motion, high, rolling)
    found = wheels(motion, sources, line, high, rolling, name="touchdown")
    if found is None:
        return None
    touchdown = found.event
    high_enough = obstacle(motion, line, found, since, -1)
    if high_enough is None:
        return None
    above = high_enough.event
    measures = {
        "air_distance": Estimate(
            line.at(motion, touchdown.time) - line.at(motion, above.time),
            distance_sd(motion, above.time, above.time_sd, touchdown.time, touchdown.time_sd),
            Dimension.LENGTH,
            f"smoothed positions along the roll, obstacle and touchdown by {found.source.name}",
        ),
        "obstacle_ground_speed": speed_at(motion, above, "smoothed ground speed at 15.24 m"),
        "touchdown_ground_speed": speed_at(motion, touchdown, "smoothed ground speed at touchdown"),
        "descent_angle": _descent_angle(motion, found.source, above.time),
        "roll_track": Estimate(
            line.track, line.track_sd, Dimension.ANGLE, "direction of the roll's fast part, true"
        ),
        "strip_slope": found.strip_slope,
        "strip_height": found.strip_height,
    }
    if high_enough.air_distance_per_slope is not None:
        measures["air_distance_per_slope"] = high_enough.air_distance_per_slope
    notes = found.notes + motion.roll_notes(contact.start)
    events = [above, touchdown]
    end = contact.end
    if contact.stopped:
        stop, more, told = _roll_out(motion, line, contact, touchdown)
        events.append(stop)
        measures |= more
        notes += told
        end = stop.time
    else:
        notes += ("touch-and-go: no ground roll",)
    return Manoeuvre("landing", above.time, end, tuple(events), measures, notes)


def _roll_out(
    motion: Motion, line: Line, contact: Contact, touchdown: Event
) -> tuple[Event, dict[str, Estimate], tuple[str, ...]]:
    end = min(contact.end, touchdown.time + LONGEST_ROLL)
    rolling = motion.known_between(np.nextafter(touchdown.time, np.inf), end)
    speed = motion.ground_speed
    touch_speed = motion.at(speed, touchdown.time)
    mark = motion.marked("full stop", touchdown.time, end + 30.0)
    notes: tuple[str, ...] = ()
    if mark is not None:
        stop = Event("full stop", mark.time, mark.time_sd, "observer's mark")
        rest, rest_sd = 0.0, 0.0
    else:
        stop, rest, rest_sd, notes = _stop(motion, rolling, touchdown, touch_speed)
    roll = line.at(motion, stop.time) - line.at(motion, touchdown.time) + rest
    sd = float(np.hypot(distance_sd(motion, touchdown.time, touchdown.time_sd, stop.time, 0.0), rest_sd))
    deceleration = touch_speed**2 / (2 * max(roll, 1.0))
    # a touch later than found shortens the roll and slows the touch: the two errors are one, and not linear
    # where the brakes begin to bite
    apart = 0.0
    for moment in touchdown.time + touchdown.time_sd * np.array([-1.0, 1.0]):
        shorter = max(line.at(motion, stop.time) - line.at(motion, float(moment)) + rest, 1.0)
        slowed = motion.at(speed, float(moment)) ** 2 / (2 * shorter)
        apart = max(apart, abs(slowed - deceleration))
    own_sd = np.hypot(distance_sd(motion, touchdown.time, 0.0, stop.time, 0.0), rest_sd)
    own = np.hypot(
        2 * motion.at(motion.path.speed_sd, touchdown.time) / max(touch_speed, 1.0), own_sd / max(roll, 1.0)
    )
    inside = rolling[motion.time[rolling] <= stop.time]
    measures = {
        "ground_roll": Estimate(roll, sd, Dimension.LENGTH, "smoothed positions from touchdown to full stop"),
        "mean_deceleration": Estimate(
            deceleration,
            float(np.hypot(deceleration * own, apart)),
            Dimension.ACCELERATION,
            "squared touchdown speed over twice the ground roll",
        ),
    }
    if len(inside):
        hardest = int(inside[np.argmin(motion.acceleration[inside])])
        measures["peak_deceleration"] = Estimate(
            float(-motion.acceleration[hardest]),
            float(motion.path.acceleration_sd[hardest]),
            Dimension.ACCELERATION,
            "smoothed acceleration along the track",
        )
    return stop, measures, notes


def _stop(
    motion: Motion, rolling: IntArray, touchdown: Event, touch_speed: float
) -> tuple[Event, float, float, tuple[str, ...]]:
    """The full stop, or where braking ends, with the distance that braking on would have added and its sd."""
    speed = motion.ground_speed
    standing = rolling[speed[rolling] < STANDING]
    taxi = _taxi_begins(motion, rolling, 0.5 * touch_speed)
    if len(standing) and (taxi is None or motion.time[standing[0]] <= motion.time[taxi] + TAXIED):
        index = int(standing[0])
        braking = max(-float(motion.acceleration[max(index - 1, 0)]), STILL_BRAKING)
        moment = float(motion.time[index] + speed[index] / braking)
        return Event("full stop", moment, 0.5, "ground speed falls to zero"), 0.0, 0.0, ()
    slowed = taxi is not None
    index = taxi if taxi is not None else int(rolling[-1] if len(rolling) else motion.index(touchdown.time))
    left = float(speed[index])
    span = max(float(motion.time[index]) - touchdown.time, 1.0)
    braking = max((touch_speed - left) / span, STILL_BRAKING)
    rest = left**2 / (2 * braking)
    what = "rolls on into taxi" if slowed else "the record ends while rolling"
    note = f"{what} at {left / 0.514444:.0f} kt: {rest:.0f} m to a stop at the mean deceleration are added"
    return (
        Event("full stop", float(motion.time[index]), 1.0, f"braking ends at {left:.1f} m/s, {what}"),
        rest,
        0.5 * rest,
        (note,),
    )


def _taxi_begins(motion: Motion, rolling: IntArray, below: float) -> int | None:
    """The first sample slower than `below` [m/s] from which on the airplane brakes no more for a while."""
    if not len(rolling):
        return None
    begin = int(rolling[0])
    flags = np.zeros(int(rolling[-1]) + 1 - begin, dtype=np.bool_)
    calm = motion.acceleration[rolling] > -STILL_BRAKING
    flags[rolling - begin] = calm & (motion.ground_speed[rolling] < below)
    for first, after in motion.runs(flags, begin):
        if motion.time[after - 1] - motion.time[first] >= TAXIED:
            return first
    return None


def _descent_angle(motion: Motion, source: Height, moment: float) -> Estimate:
    inside = motion.between(moment - APPROACH, moment)
    if inside.stop > inside.start:
        sink = -float(np.mean(source.up_speed[inside]))
        speed = float(np.mean(motion.ground_speed[inside]))
    else:
        sink, speed = -motion.at(source.up_speed, moment), motion.at(motion.ground_speed, moment)
    # the angle of the mean path: height lost over distance covered
    sd = np.sqrt(2) * motion.at(source.up_sd, moment) / max(speed * APPROACH, 1.0)
    return Estimate(
        float(np.arctan2(sink, speed)),
        float(sd),
        Dimension.ANGLE,
        f"{source.name} over the {APPROACH:.0f} s before 15.24 m",
    )
