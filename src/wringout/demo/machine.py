"""The Shepherd as it truly is: forces and power of the invented airplane, which the evaluation must find out.

Every form here is chosen to differ from the fitted model's: the drag rises beyond the parabola near the
greatest lift, ground effect follows an exponential, the blade efficiency bends with advance ratio, the engine
is an indicated power less its friction, the lift at the stall depends on entry rate, CG and slipstream, and
the airspeed system reads wrong.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import exp, pi

from wringout.demo.air import STANDARD_PRESSURE, STANDARD_TEMPERATURE

INCH_OF_MERCURY = 3386.389
SPAN = 10.9
WING_AREA = 17.6
WING_HEIGHT = 2.05
PROPELLER_DIAMETER = 2.03
PROPELLER_AREA = 0.25 * pi * PROPELLER_DIAMETER**2
MAXIMUM_MASS = 1090.0
FUEL_DENSITY = 720.0  # kg/m³

FLAP_DEGREES = (0.0, 15.0, 30.0, 45.0)
FLAP_NAMES = ("up", "15", "30", "45")
MAXIMUM_LIFT = (1.60, 1.87, 2.12, 2.28)  # at 1 kt/s, idle, CG in the middle
FLAP_DRAG = (0.0, 0.0085, 0.0250, 0.0500)
FLAP_LIFT = (0.34, 0.60, 0.83, 0.98)  # at zero incidence of the body
LIFT_SLOPE = 4.65  # per radian
INDUCED = 1.0 / (pi * SPAN**2 / WING_AREA * 0.79)
BUFFET_ONSET = 0.74  # of the greatest lift coefficient: beyond it the drag leaves the parabola
BUFFET_DRAG = 0.30
MIDDLE_CG = 1.02  # m aft of datum
CG_EFFECT = 0.22  # fraction of the greatest lift per metre of CG travel
ENTRY_RATE_EFFECT = 0.019  # fraction of the greatest lift per kt/s beyond 1 kt/s

RATED_POWER = 149.0e3
RATED_SPEED = 45.0  # 2700 rpm in 1/s
HEALTH = 0.975  # a little below rated
FRICTION_POWER = 14.0e3  # at rated speed
INTAKE_LOSS = 0.55 * INCH_OF_MERCURY
IDLE_MANIFOLD = 10.0 * INCH_OF_MERCURY
IDLE_BLEND = 5.0 * INCH_OF_MERCURY
BACK_PRESSURE = 0.11  # of ambient pressure that the exhaust takes from the charge
RICH = 0.987  # power full rich against the best mixture


@dataclass(frozen=True, slots=True)
class Gear:
    """A landing gear as it truly is: its drag, its braking and its attitude on the ground."""

    name: str
    drag: float  # C_D0 with this gear, flap up
    roll_lift: float  # lift coefficient while rolling at take-off, flap up
    stop_lift: float  # the same after touchdown with the stick back
    tail_wheel: bool
    main_arm: float
    third_arm: float
    cg_height: float
    main_radius: float


TAIL_WHEEL = Gear("tail wheel", 0.0392, 0.34, 0.75, True, 0.50, 5.35, 1.22, 0.368)
NOSE_WHEEL = Gear("nose wheel", 0.0366, 0.40, 0.45, False, 1.42, -0.38, 1.12, 0.222)


@lru_cache(maxsize=1024)  # flaps stand still nearly always
def between(table: tuple[float, ...], flap: float) -> float:
    """Linear in flap angle [degrees] between the settings."""
    place = min(max(flap / 15.0, 0.0), 3.0)
    lower = min(int(place), 2)
    return table[lower] + (table[lower + 1] - table[lower]) * (place - lower)


def maximum_lift(flap: float, cg: float, entry_rate: float, thrust_coefficient: float) -> float:
    """Greatest lift coefficient; `entry_rate` in kt/s of deceleration, `thrust_coefficient` T/(q S)."""
    rate = min(max(entry_rate, 0.0), 4.0)
    return (
        between(MAXIMUM_LIFT, flap)
        * (1.0 + ENTRY_RATE_EFFECT * (rate - 1.0))
        * (1.0 + CG_EFFECT * (cg - MIDDLE_CG))
        * (1.0 + 0.10 * min(max(thrust_coefficient, 0.0), 0.6))
    )


def drag_coefficient(
    gear: Gear, flap: float, lift_coefficient: float, greatest_lift: float, wing_height: float
) -> float:
    """Drag coefficient; `wing_height` above the ground [m]. Ground effect: Wieselsberger, from memory."""
    near_ground = exp(-2.48 * (2.0 * wing_height / SPAN) ** 0.768)
    excess = lift_coefficient / greatest_lift - BUFFET_ONSET
    rise = BUFFET_DRAG * excess * excess if excess > 0.0 else 0.0
    # Flaps change the span loading, so that the least drag moves to a higher lift.
    least = 0.04 + 0.004 * flap
    induced = INDUCED * (1.0 - near_ground) * (lift_coefficient - least) ** 2
    return gear.drag + between(FLAP_DRAG, flap) + induced + 0.0016 * (lift_coefficient - least) ** 4 + rise


def incidence(lift_coefficient: float, flap: float) -> float:
    """Incidence of the body and the thrust line [rad]."""
    return (lift_coefficient - between(FLAP_LIFT, flap)) / LIFT_SLOPE


def full_manifold_pressure(pressure: float, engine_speed: float, dynamic_pressure: float) -> float:
    """Manifold pressure [Pa] with the throttle open: ambient, less what the intake loses, and some ram."""
    loss = INTAKE_LOSS * (engine_speed / RATED_SPEED) ** 2 * pressure / STANDARD_PRESSURE
    return pressure - loss + 0.45 * dynamic_pressure


def engine_power(
    manifold: float,
    engine_speed: float,
    pressure: float,
    temperature: float,
    *,
    mixture: float,
    health: float = HEALTH,
) -> float:
    """Shaft power [W]: the charge's indicated power less friction; `mixture` 1 is best power, or RICH."""
    standard_manifold = STANDARD_PRESSURE - INTAKE_LOSS
    charge = (manifold - BACK_PRESSURE * pressure) / (standard_manifold - BACK_PRESSURE * STANDARD_PRESSURE)
    relative_speed = engine_speed / RATED_SPEED
    coolness = float((STANDARD_TEMPERATURE / temperature) ** 0.75)
    indicated = (RATED_POWER + FRICTION_POWER) * charge * relative_speed * coolness
    blend = min(max((manifold - IDLE_MANIFOLD) / IDLE_BLEND, 0.0), 1.0)
    friction = FRICTION_POWER * float(relative_speed**1.8)
    return max(health * mixture * (indicated - friction), 0.0) * blend


def fuel_flow(power: float, mixture: float) -> float:
    """Fuel flow [kg/s]: for the power and for the engine's own friction; rich takes an eighth more."""
    specific = 7.45e-8 * (1.0 + 9.5 * (1.0 - mixture))
    return specific * (power + 6500.0)


def blade_efficiency(advance_ratio: float) -> float:
    """Share of the shaft power that reaches the air as momentum, beside the ideal loss."""
    bent = 0.58 + 0.335 * (1.0 - exp(-((advance_ratio / 0.45) ** 1.3)))
    over = advance_ratio - 0.80
    return bent - (0.6 * over * over if over > 0.0 else 0.0)


def thrust(power: float, airspeed: float, density: float, engine_speed: float, manifold: float) -> float:
    """Propeller thrust [N] by the momentum of its stream, and the small thrust or drag of it idling."""
    idle_share = 1.0 - min(max((manifold - IDLE_MANIFOLD) / IDLE_BLEND, 0.0), 1.0)
    idle = 120.0 - 5.5 * airspeed if idle_share > 0.0 else 0.0
    if power <= 0.0:
        return idle * idle_share
    useful = blade_efficiency(airspeed / (engine_speed * PROPELLER_DIAMETER)) * power
    stream = 2.0 * density * PROPELLER_AREA
    # useful = T (V + v), T = stream·(V + v)·v with v the induced speed at the disk: Newton in v.
    induced = float((useful / stream) ** (1.0 / 3.0))
    if airspeed > 1.0:
        induced = min(induced, useful / (stream * airspeed * airspeed))
    for _ in range(6):
        speed = airspeed + induced
        change = (stream * speed * speed * induced - useful) / (stream * speed * (speed + 2.0 * induced))
        induced -= change
        if abs(change) < 1e-4:
            break
    return useful / (airspeed + induced) + idle * idle_share


def pressure_error(lift_coefficient: float, flap: float) -> float:
    """Static-port error over dynamic pressure: what the airspeed system adds to the true q, over q.

    Negative: the airspeed reads low and the calibrated airspeed is the greater.
    """
    return 0.046 - 0.094 * lift_coefficient - 0.0011 * flap
