"""Level legs: constant speed, track and height for twenty seconds and more."""

import numpy as np

from wringout.manoeuvres.manoeuvre import Event, Manoeuvre
from wringout.manoeuvres.motion import BoolArray, Motion
from wringout.manoeuvres.scene import Scene
from wringout.manoeuvres.steady import channel_means, smoothed_mean
from wringout.manoeuvres.windows import hysteresis, moving_mean, within_tolerance
from wringout.quantity.dimensions import Dimension

SHORTEST = 20  # s
SLOWEST = 0.9  # of the stall speed over the ground
# Rates that end a leg, over seven seconds; a leg must somewhere hold two thirds of them
CLIMB_RATE = 0.025  # of the stall speed: 0.6 m/s at 25 m/s
TURN_RATE = np.radians(1.0)  # 1/s
ACCELERATION = 0.012  # of the stall speed, per s: 0.3 m/s²
# Ranges within a leg
SPEED_RANGE = 0.12  # of the stall speed: gusts and corrections …
DRIFT_RANGE = 0.06  # … and what is left of them over fifteen seconds: a speed that still settles
COURSE_RANGE = np.radians(10.0)
HEIGHT_RANGE = 20.0  # m
TIGHT = 2 / 3
END_SD = 2.0  # s


class LevelLegFinder:
    """Level legs, none overlapping another."""

    def find(self, scene: Scene) -> list[Manoeuvre]:
        """All level legs, in order of time."""
        motion = scene.motion
        seconds = scene.seconds
        unit = motion.stall_speed
        climb = np.abs(moving_mean(seconds.up_speed, 7))
        acceleration = np.abs(moving_mean(seconds.acceleration, 7))
        turn = np.abs(seconds.turn_rate)

        def quiet(share: float) -> BoolArray:
            within: BoolArray = (
                (climb < share * CLIMB_RATE * unit)
                & (acceleration < share * ACCELERATION * unit)
                & (turn < share * TURN_RATE)
                & seconds.known
                & (seconds.ground_speed > SLOWEST * unit)
                & scene.airborne
            )
            return within

        ranges = [
            (seconds.ground_speed, SPEED_RANGE * unit),
            (moving_mean(seconds.ground_speed, 15), DRIFT_RANGE * unit),
            (seconds.course, COURSE_RANGE),
            (seconds.up, HEIGHT_RANGE),
        ]
        found = []
        for first, after in hysteresis(quiet(TIGHT), quiet(1.0)):
            for start, end in within_tolerance(ranges, first, after, SHORTEST):
                leg = measured(motion, float(seconds.time[start]), float(seconds.time[end - 1]))
                if leg is not None:
                    found.append(leg)
        return found


def measured(motion: Motion, start: float, end: float) -> Manoeuvre | None:
    """The level leg between two moments [s]; None where its means cannot be told."""
    measures = {}
    for name, values, dimension, what in (
        ("east_speed", motion.path.east_speed, Dimension.SPEED, "smoothed ground velocity, east"),
        ("north_speed", motion.path.north_speed, Dimension.SPEED, "smoothed ground velocity, north"),
        ("height", motion.path.up, Dimension.LENGTH, "smoothed height"),
    ):
        mean = smoothed_mean(motion, values, start, end, dimension=dimension, what=what)
        if mean is None:
            if name == "height":
                continue
            return None
        measures[name] = mean
    measures |= channel_means(motion, start, end)
    events = (
        Event("start", start, END_SD, "speed, track and height within tolerance from here"),
        Event("end", end, END_SD, "speed, track or height leave their tolerance"),
    )
    return Manoeuvre("level leg", start, end, events, measures)
