"""How much one manoeuvre differs from the next beyond what was measured: sizes set before any fit.

Two things keep a fit from believing its points too much. The pilot never flies a technique twice alike:
lift-off and touchdown speeds, rotation, descent angle and braking scatter from run to run. And the model is
not the airplane: in one manoeuvre each figure may miss by a discrepancy of its own. All sizes are one
standard deviation. The fit scales them together within each family of points, by the figures' own scatter
(`covariances.scatter_scales`).
"""

from collections.abc import Mapping

PRACTICE = "common practice, no source"

# The pilot's scatter from run to run within one technique, relative.
LIFT_OFF_SPEED = 0.035
OBSTACLE_SPEED = 0.04
ROTATION_LOAD_INCREMENT = 0.20
ROLLING_FRICTION = 0.15
APPROACH_SPEED = 0.03
APPROACH_ANGLE = 0.10
FLARE_LOAD_INCREMENT = 0.25
TOUCHDOWN_SPEED = 0.035
BRAKING_EFFORT = 0.12

# Of it, what a pilot keeps through one card: the share of the standard deviation that a whole day has in
# common, beside the scatter from run to run.
OF_THE_DAY = 0.4

# How far pilots' medians of one technique lie apart, relative.
BETWEEN_PILOTS: Mapping[str, float] = {
    "lift-off speed": 0.04,
    "obstacle speed": 0.05,
    "rotation": 0.25,
    "approach speed": 0.04,
    "approach angle": 0.20,
    "flare": 0.30,
    "touchdown speed": 0.04,
    "braking": 0.20,
}

# What the model may miss in one manoeuvre; relative unless a unit is given. Answers carry PERSISTENT times
# it: what would be there again in every run; the rest averages out over runs.
PERSISTENT = 0.6
STALL_SPEED = 0.006
LEVEL_POWER = 0.010
FULL_THROTTLE_SPEED = 0.005
CRUISE_SPEED = 0.004
FUEL_FLOW = 0.020
RATE_OF_CLIMB = 0.04  # m/s
SINK_RATE = 0.06  # m/s
GROUND_ROLL = 0.03
TAKE_OFF_AIR_DISTANCE = 0.06
LANDING_ROLL = 0.05
LANDING_AIR_DISTANCE = 0.04
GLIDE_RATIO = 0.02
TURN_RADIUS = 0.03
TURN_BANK = 0.02
BEST_SPEED = 0.02  # the top is flat: a small error of shape moves it far
