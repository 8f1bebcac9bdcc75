"""Take-offs and landings of the parameterised airplane, with the pilot's technique and its scatter."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane, Undercarriage
from wringout.airplane.lookups import configuration
from wringout.model import scatter
from wringout.model.surfaces import surface_prior
from wringout.model.vehicles import Theta, vehicle
from wringout.physics.constants import OBSTACLE_HEIGHT
from wringout.physics.ground import nose_wheel_braking, tail_wheel_braking
from wringout.physics.landing import Landing, landing
from wringout.physics.takeoff import TakeOff, take_off
from wringout.physics.vehicle import Air, true_stall_speed
from wringout.physics.wind import LogarithmicGain

FloatArray = NDArray[np.float64]
Deviations = Mapping[str, FloatArray | float]  # kind → size applied, in units of its sd; broadcasts to (k, n)

TAKE_OFF_SCATTER: Mapping[str, float] = {
    "lift-off speed": scatter.LIFT_OFF_SPEED,
    "obstacle speed": scatter.OBSTACLE_SPEED,
    "rotation": scatter.ROTATION_LOAD_INCREMENT,
    "rolling friction": scatter.ROLLING_FRICTION,
}
LANDING_SCATTER: Mapping[str, float] = {
    "approach speed": scatter.APPROACH_SPEED,
    "touchdown speed": scatter.TOUCHDOWN_SPEED,
    "approach angle": scatter.APPROACH_ANGLE,
    "flare": scatter.FLARE_LOAD_INCREMENT,
    "braking": scatter.BRAKING_EFFORT,
}
FREE_ROLL_TIME = 1.0  # s from touchdown to brakes; what it misses goes into the braking effort
NOSE_OVER_SHARE = 0.85  # of the braking that lifts the tail: nobody goes nearer (common practice, no source)
# Lift on the landing roll over C_Lmax of the flap: three points down, or nose lowered (common practice, no
# source).
ROLLING_LIFT = {"nose wheel": 0.25, "tail wheel": 0.40, "skis": 0.40}
FLARE_HEIGHT = 5.0  # m of the wheels, below which nobody holds the speed with power any more; common practice
GAIN_KEPT = 0.5  # of a head wind that grows on the way to the obstacle, as airspeed there; common practice
# Of the head wind that fades below the obstacle height: what faded in the seconds above it, for power lags
# (common practice).
APPROACH_LAG = 0.2
SLOWEST = 0.8  # of the stall speed: nobody flies below, whatever a wild draw of a ratio says
LEAST_ARC = 0.01  # load increment of an arc that still curves


@dataclass(frozen=True, slots=True)
class FieldCases:
    """n take-offs or landings: how each is flown and where; CG [m], mass [kg], head wind [m/s], slope.

    `wind_gain` [m/s]: how much more of the head wind blows 15.2 m higher.
    """

    configurations: Sequence[str]
    flaps: Sequence[str]
    techniques: Sequence[str]
    surfaces: Sequence[str]
    pilots: Sequence[str | None]  # None: as the technique's pilots fly on average
    centres: FloatArray  # (n,)
    mass: FloatArray  # this and the following broadcast to (k, n)
    air: Air
    head_wind: FloatArray
    slope: FloatArray
    wind_gain: FloatArray | float = 0.0


def fly_take_off(airplane: Airplane, theta: Theta, cases: FieldCases, deviations: Deviations) -> TakeOff:
    """Take-offs of k parameter vectors in n cases, each with its deviations from the technique's median.

    Parameters
    ----------
    airplane : Airplane
    theta : mapping
        Parameter name → natural values, shape (k, 1).
    cases : FieldCases
    deviations : mapping
        Kinds of TAKE_OFF_SCATTER, as they are, `of_the_day` and `of_the_pilot` → deviation in standard
        deviations, broadcastable to (k, n); none is the median.

    Returns
    -------
    TakeOff
        Fields of shape (k, n).
    """
    made = vehicle(airplane, theta, cases.configurations, cases.flaps, cases.mass)
    stall = true_stall_speed(made, cases.air)

    def technique(stem: str, names: Sequence[str], kind: str) -> FloatArray:
        median = named(theta, stem, names) * _habit(theta, kind, cases.pilots)
        return _scattered(median, TAKE_OFF_SCATTER, kind, deviations)

    return take_off(
        made,
        cases.air,
        lift_off_speed=np.maximum(
            technique("lift-off speed ratio", cases.techniques, "lift-off speed"), SLOWEST
        )
        * stall,
        obstacle_speed=np.maximum(
            technique("obstacle speed ratio", cases.techniques, "obstacle speed"), SLOWEST
        )
        * stall
        + GAIN_KEPT * np.asarray(cases.wind_gain),
        rolling_friction=np.maximum(technique("rolling friction", cases.surfaces, "rolling friction"), 0.0),
        head_wind=cases.head_wind,
        wind_gain=cases.wind_gain,
        slope=cases.slope,
        load_factor=1.0
        + np.maximum(technique("rotation load increment", cases.techniques, "rotation"), LEAST_ARC),
    )


def fly_landing(
    airplane: Airplane, theta: Theta, cases: FieldCases, deviations: Deviations
) -> tuple[FloatArray, Landing]:
    """Approach speeds [m/s] and landings of k parameter vectors in n cases; arguments as `fly_take_off`."""
    made = vehicle(airplane, theta, cases.configurations, cases.flaps, cases.mass)
    stall = true_stall_speed(made, cases.air)

    def technique(stem: str, kind: str) -> FloatArray:
        median = named(theta, stem, cases.techniques) * _habit(theta, kind, cases.pilots)
        return _scattered(median, LANDING_SCATTER, kind, deviations)

    approach = np.maximum(technique("approach speed ratio", "approach speed"), SLOWEST) * stall
    approach = approach - APPROACH_LAG * np.asarray(cases.wind_gain)
    # A pilot aims at a point: the angle over the ground is his, and head wind makes it flatter in the air.
    closing = 1.0 - np.clip((cases.head_wind + cases.wind_gain) / approach, -0.5, 0.5)
    path = technique("approach angle", "approach angle") * closing
    # The head wind that is lost below the flare is lost at touchdown too.
    gain = LogarithmicGain(cases.wind_gain, airplane.geometry.wing_height, OBSTACLE_HEIGHT)
    touchdown = technique("touchdown speed ratio", "touchdown speed") * stall - gain.at(FLARE_HEIGHT)
    rolling = named(theta, "rolling friction", cases.surfaces)
    found = landing(
        made,
        cases.air,
        approach_speed=approach,
        touchdown_speed=np.maximum(touchdown, SLOWEST * stall),
        braking=braking(
            airplane, theta, cases, effort=technique("braking effort", "braking"), rolling=rolling
        ),
        approach_angle=np.clip(path, 0.01, 0.5),
        head_wind=cases.head_wind,
        wind_gain=cases.wind_gain,
        slope=cases.slope,
        load_factor=1.0 + np.maximum(technique("flare load increment", "flare"), LEAST_ARC),
        free_roll_time=FREE_ROLL_TIME,
        rolling_friction=rolling,
        ground_lift_coefficient=np.asarray(made.maximum_lift_coefficient)
        * np.array(
            [ROLLING_LIFT[configuration(airplane, name).undercarriage.kind] for name in cases.configurations]
        ),
        propeller_drag_area=theta["idle propeller drag area"],
    )
    return np.broadcast_to(approach, found.ground_roll.shape), found


def named(theta: Theta, stem: str, names: Sequence[str]) -> FloatArray:
    """Values of one parameter a surface or technique, side by side, shape (k, n)."""
    return np.concatenate([theta[f"{stem}: {name}"] for name in names], axis=1)


def braking(
    airplane: Airplane, theta: Theta, cases: FieldCases, *, effort: FloatArray, rolling: FloatArray
) -> FloatArray:
    """Braking force over the load on all wheels, shape (k, n).

    The effort is the pilot's share of what surface and undercarriage together allow: the surface's friction
    on the braked wheels, or with a tail wheel what keeps the tail down with a margin, if that is less. An
    airplane without brakes only rolls.
    """
    found = np.empty(np.broadcast_shapes(effort.shape, rolling.shape))
    reference = airplane.configurations[0].name
    for case, (name, surface, cg) in enumerate(
        zip(cases.configurations, cases.surfaces, cases.centres, strict=True)
    ):
        gear = configuration(airplane, name).undercarriage
        if not gear.braking:
            found[:, case] = rolling[:, case]
            continue
        change = 1.0 if name == reference else theta[f"braking change: {name}"][:, 0]
        grip = on_wheels(gear, change * surface_prior(surface).braking + 0.0 * effort[:, case], float(cg))
        over = nose_over(gear, float(cg))
        found[:, case] = np.minimum(effort[:, case] * np.minimum(grip, NOSE_OVER_SHARE * over), over)
    return np.maximum(found, rolling)


def on_wheels(gear: Undercarriage, friction: FloatArray, cg: float) -> FloatArray:
    """Braking force over the load on all wheels from friction at the braked ones; CG at an arm [m]."""
    wheelbase = abs(gear.third_arm - gear.main_arm)
    if gear.kind == "nose wheel":
        behind = np.clip(cg - gear.third_arm, 0.05 * wheelbase, wheelbase)
        return nose_wheel_braking(friction, wheelbase, gear.cg_height, behind)
    return tail_wheel_braking(friction, wheelbase, gear.cg_height, _behind_main(gear, cg))


def nose_over(gear: Undercarriage, cg: float) -> float:
    """Braking force over the load on all wheels at which the tail lifts, x/h; infinite with a nose wheel."""
    return float("inf") if gear.kind == "nose wheel" else _behind_main(gear, cg) / gear.cg_height


def _behind_main(gear: Undercarriage, cg: float) -> float:
    wheelbase = abs(gear.third_arm - gear.main_arm)
    return float(np.clip(cg - gear.main_arm, 0.01 * wheelbase, wheelbase))


def of_the_day(kind: str) -> str:
    """The name of a deviation that all runs of a card share."""
    return f"{kind} of the day"


def of_the_pilot(kind: str) -> str:
    """The name of a pilot's deviation from an average one."""
    return f"{kind} of the pilot"


def _habit(theta: Theta, kind: str, pilots: Sequence[str | None]) -> FloatArray:
    """What the pilots multiply a technique's median with, shape (k, n); 1 where no habit is known."""
    average = np.ones_like(theta["zero-lift drag area"])
    return np.concatenate([theta.get(f"{kind} habit: {pilot}", average) for pilot in pilots], axis=1)


def _scattered(
    median: FloatArray, sizes: Mapping[str, float], kind: str, deviations: Deviations
) -> FloatArray:
    """The median with what one run, its day and its pilot deviate from it."""

    def moved(name: str, size: float) -> FloatArray:
        return 1.0 + size * np.asarray(deviations.get(name, 0.0))

    run, day = moved(kind, sizes[kind]), moved(of_the_day(kind), scatter.OF_THE_DAY * sizes[kind])
    pilot = moved(of_the_pilot(kind), scatter.BETWEEN_PILOTS.get(kind, 0.0))
    return np.asarray(median * run * day * pilot)
