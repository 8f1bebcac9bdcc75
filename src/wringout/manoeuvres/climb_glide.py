"""Steady climbs and descents at constant airspeed."""

import numpy as np

from wringout.manoeuvres.manoeuvre import Event, Manoeuvre
from wringout.manoeuvres.motion import BoolArray, Motion
from wringout.manoeuvres.scene import Scene
from wringout.manoeuvres.steady import channel_means, smoothed_mean, steady_mean
from wringout.manoeuvres.windows import hysteresis, moving_mean, within_tolerance
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.recordings.recording import FloatArray

SHORTEST = 30  # s
SLOWEST = 0.9  # of the stall speed
LEAST_RATE = 0.03  # of the stall speed: 0.75 m/s at 25 m/s
TURN_RATE = np.radians(1.5)  # 1/s
ACCELERATION = 0.012  # of the stall speed, per s
SPEED_RANGE = 0.16  # of the stall speed
COURSE_RANGE = np.radians(20.0)
RATE_RANGE = 0.05  # of the stall speed …
RATE_SHARE = 0.5  # … or of the rate itself, whichever is more
SMOOTHED = 15  # s over which the rate is watched
TIGHT = 2 / 3
END_SD = 3.0  # s


class ClimbGlideFinder:
    """Steady climbs (kind 'climb') and descents (kind 'glide'), none overlapping another.

    Whether a descent was flown at idle the path cannot say; where the log has engine channels their means
    stand beside.
    """

    def find(self, scene: Scene) -> list[Manoeuvre]:
        """All steady climbs and descents, in order of time."""
        motion = scene.motion
        seconds = scene.seconds
        unit = motion.stall_speed
        rate = moving_mean(seconds.up_speed, SMOOTHED)
        speed = seconds.ground_speed if seconds.airspeed is None else seconds.airspeed
        calm_speed = moving_mean(speed, 5)
        acceleration = np.abs(moving_mean(np.gradient(calm_speed), 9))
        found = []
        for sign in (1, -1):

            def steady(share: float, sign: int = sign) -> BoolArray:
                within: BoolArray = (
                    (sign * rate > LEAST_RATE * unit / share)
                    & (acceleration < share * ACCELERATION * unit)
                    & (np.abs(seconds.turn_rate) < share * TURN_RATE)
                    & seconds.known
                    & np.isfinite(speed)
                    & (speed > SLOWEST * unit)
                    & scene.airborne
                )
                return within

            for first, after in hysteresis(steady(TIGHT), steady(1.0)):
                tolerance = max(RATE_RANGE * unit, RATE_SHARE * float(np.median(np.abs(rate[first:after]))))
                ranges = [
                    (calm_speed, SPEED_RANGE * unit),
                    (seconds.course, COURSE_RANGE),
                    (rate, tolerance),
                ]
                for start, end in within_tolerance(ranges, first, after, SHORTEST):
                    one = measured(motion, sign, float(seconds.time[start]), float(seconds.time[end - 1]))
                    if one is not None:
                        found.append(one)
        return sorted(found, key=lambda each: each.start)


def measured(motion: Motion, sign: int, start: float, end: float) -> Manoeuvre | None:
    """The climb (sign 1) or glide (−1) between two moments [s]; None where its rate cannot be told."""
    path = motion.path
    rate = _rate(motion, path.up, start, end, what="smoothed height")
    speed = smoothed_mean(
        motion, motion.ground_speed, start, end, dimension=Dimension.SPEED, what="smoothed ground speed"
    )
    course = smoothed_mean(
        motion, motion.course, start, end, dimension=Dimension.ANGLE, what="smoothed track, true"
    )
    if rate is None or speed is None or course is None:
        return None
    middle = (start + end) / 2
    measures = {
        "rate_of_climb": rate,
        "height": Estimate(
            motion.at(path.up, middle),
            motion.at(path.height_sd, middle),
            Dimension.LENGTH,
            "smoothed height, middle",
        ),
        "ground_speed": speed,
        "track": Estimate(course.value % (2 * np.pi), course.sd, Dimension.ANGLE, course.source),
    }
    pressure = motion.channel("pressure_altitude")
    if pressure is not None:
        pressure_rate = _rate(motion, pressure, start, end, what="log's pressure altitude")
        if pressure_rate is not None:
            measures["pressure_altitude_rate"] = pressure_rate
    airspeed = motion.channel("indicated_airspeed")
    if airspeed is not None:
        airspeed_rate = _rate(
            motion,
            airspeed,
            start,
            end,
            what="log's indicated airspeed",
            dimension=Dimension.ACCELERATION,
        )
        if airspeed_rate is not None:
            measures["airspeed_rate"] = airspeed_rate
    measures |= channel_means(motion, start, end)
    notes: tuple[str, ...] = ()
    if sign < 0 and not {"manifold_pressure", "engine_speed", "fuel_flow"} & set(measures):
        notes = ("no engine channel: whether the engine idled the record cannot say",)
    events = (
        Event("start", start, END_SD, "airspeed, track and rate of climb within tolerance from here"),
        Event("end", end, END_SD, "airspeed, track or rate of climb leave their tolerance"),
    )
    return Manoeuvre("climb" if sign > 0 else "glide", start, end, events, measures, notes)


def _rate(
    motion: Motion,
    values: FloatArray,
    start: float,
    end: float,
    *,
    what: str,
    dimension: Dimension = Dimension.SPEED,
) -> Estimate | None:
    """The slope of a line through the samples; its standard error from the slopes over blocks of the span."""
    inside = motion.between(start, end)
    valid = np.isfinite(values[inside])
    if np.count_nonzero(valid) < 6:
        return None
    at, sample = motion.time[inside][valid], values[inside][valid]
    slope = float(np.polyfit(at - at[0], sample, 1)[0])
    middles, slopes = [], []
    for part in np.array_split(np.arange(len(at)), int(np.clip((end - start) / 7.5, 4, 10))):
        if len(part) >= 2 and at[part[-1]] > at[part[0]]:
            middles.append(float(at[part].mean()))
            slopes.append(float((sample[part[-1]] - sample[part[0]]) / (at[part[-1]] - at[part[0]])))
    if len(slopes) < 4:
        return None
    spread = steady_mean(np.linspace(0.0, 5.0 * len(slopes), len(slopes)), np.array(slopes))
    if spread is None:
        return None
    return Estimate(
        slope, spread.sd, dimension, f"{what}, line over {end - start:.0f} s, sd from slopes of its parts"
    )
