"""Take-offs: start of roll, lift-off, 15.24 m above the strip."""

import numpy as np

from wringout.manoeuvres.ground import OBSTACLE, SLOW_FLYING, Contact, flew
from wringout.manoeuvres.heights import Height
from wringout.manoeuvres.manoeuvre import Event, Manoeuvre
from wringout.manoeuvres.motion import Motion
from wringout.manoeuvres.roll import distance_sd, roll_line
from wringout.manoeuvres.scene import Scene
from wringout.manoeuvres.start_of_roll import run_begins, start_of_roll
from wringout.manoeuvres.wheels import obstacle, speed_at, wheels
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.recordings.recording import FloatArray

LONGEST_CLIMB = 60.0  # s from the roll to well above the obstacle


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
    run = run_begins(motion, contact)
    ground = motion.at(sources[0].up, contact.end)
    high = _time_above(
        motion, sources[0], contact.end, min(until, contact.end + LONGEST_CLIMB), ground + 1.3 * OBSTACLE
    )
    if high is None or motion.at(motion.ground_speed, high) < SLOW_FLYING * motion.stall_speed:
        return None
    line = roll_line(motion, run.time, high)
    found = wheels(motion, sources, line, run.time, high, name="lift-off")
    if found is None:
        return None
    lift_off = found.event
    high_enough = obstacle(motion, line, found, until, 1)
    if high_enough is None:
        return None
    above = high_enough.event
    along = line.at(motion, lift_off.time)
    measures = {
        "air_distance": Estimate(
            line.at(motion, above.time) - along,
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
    if high_enough.air_distance_per_slope is not None:
        measures["air_distance_per_slope"] = high_enough.air_distance_per_slope
    events = [lift_off, above]
    notes = found.notes + motion.roll_notes(contact.end)
    first = min(contact.end, lift_off.time)
    if contact.stopped:
        start = start_of_roll(motion, line, contact, run, lift_off.time)
        if start is not None:
            spread = motion.at(motion.ground_speed, lift_off.time) * lift_off.time_sd
            position_sd = motion.at(motion.path.position_sd, lift_off.time)
            measures["ground_roll"] = Estimate(
                along - start.along,
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


def _time_above(motion: Motion, source: Height, start: float, end: float, level: float) -> float | None:
    inside = motion.between(start, end)
    high = np.flatnonzero(source.up[inside] > level)
    return float(motion.time[inside][high[0]]) if len(high) else None


def _airspeed(motion: Motion, airspeed: FloatArray, lift_off: Event) -> dict[str, Estimate]:
    reach = max(3.0, 2 * lift_off.time_sd)
    inside = motion.between(lift_off.time - reach, lift_off.time + reach)
    near = inside.start + np.flatnonzero(np.isfinite(airspeed[inside]))
    if len(near) < 3:
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
