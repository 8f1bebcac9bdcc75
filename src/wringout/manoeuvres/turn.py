"""Steady circling, which shows the wind."""

import numpy as np

from wringout.manoeuvres.manoeuvre import Event, Manoeuvre
from wringout.manoeuvres.motion import Motion
from wringout.manoeuvres.scene import Scene
from wringout.manoeuvres.steady import channel_means
from wringout.manoeuvres.windows import hysteresis
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

TURN_RATE = np.radians(2.0)  # 1/s
FULL_CIRCLE = 2 * np.pi
SLOWEST = 0.6  # of the stall speed over the ground; the wind takes its share
TIGHT = 1.25
ROUNDNESS = 0.1  # of the airspeed, rms; above it the speed was not steady


class TurnFinder:
    """Full circles one way."""

    def find(self, scene: Scene) -> list[Manoeuvre]:
        """All steady turns of a full circle and more, in order of time."""
        motion = scene.motion
        seconds = scene.seconds
        flying = seconds.known & (seconds.ground_speed > SLOWEST * motion.stall_speed) & scene.airborne
        found = []
        for sign in (1, -1):
            rate = sign * seconds.turn_rate
            for first, after in hysteresis((rate > TIGHT * TURN_RATE) & flying, (rate > TURN_RATE) & flying):
                turn = measured(motion, float(seconds.time[first]), float(seconds.time[after - 1]))
                if turn is not None:
                    found.append(turn)
        return sorted(found, key=lambda each: each.start)


def measured(motion: Motion, start: float, end: float) -> Manoeuvre | None:
    """The steady turn between two moments [s]; None where it is no full circle, or none at a steady speed."""
    turned = motion.at(motion.course, end) - motion.at(motion.course, start)
    if abs(turned) < FULL_CIRCLE:
        return None
    inside = motion.known_between(start, end)
    east, north = motion.path.east_speed[inside], motion.path.north_speed[inside]
    if len(east) < 8:
        return None
    # |g − w| = V squared is linear in w and V² − |w|²: 2 g·w + (V² − |w|²) = |g|²
    columns = np.stack((2 * east, 2 * north, np.ones_like(east)), axis=1)
    solution = np.linalg.lstsq(columns, east**2 + north**2, rcond=None)[0]
    wind = solution[:2]
    airspeed = float(np.sqrt(max(solution[2] + wind @ wind, 0.0)))
    left = np.hypot(east - wind[0], north - wind[1]) - airspeed
    rms = float(np.std(left))
    if airspeed < 1.0 or rms > ROUNDNESS * airspeed:
        return None
    # the misfit waves slowly: independent witnesses are the sixths of a circle, not the samples
    witnesses = max(abs(turned) / (np.pi / 3), 6.0)
    sd = rms * np.sqrt(2 / witnesses)
    source = "circle through the smoothed ground velocities of the turn"
    measures = {
        "ground_speed_mean": Estimate(
            float(np.mean(np.hypot(east, north))), float(sd), Dimension.SPEED, "smoothed ground speed"
        ),
        "turn_rate": Estimate(
            turned / (end - start),
            float(np.radians(5.0) / (end - start)),
            Dimension.ROTATION,
            "change of track over time [rad/s], positive to the right",
        ),
        "wind_east": Estimate(float(wind[0]), float(sd), Dimension.SPEED, source + ", towards the east"),
        "wind_north": Estimate(float(wind[1]), float(sd), Dimension.SPEED, source + ", towards the north"),
        "true_airspeed_of_circle": Estimate(airspeed, float(sd), Dimension.SPEED, source),
    }
    measures |= channel_means(motion, start, end)
    events = (
        Event("start", start, 2.0, "the track begins to turn steadily"),
        Event("end", end, 2.0, "the steady turn ends"),
    )
    notes = (f"{abs(turned) / FULL_CIRCLE:.1f} circles, {rms:.2f} m/s rms about a steady airspeed",)
    return Manoeuvre("turn", start, end, events, measures, notes)
