"""Take-off, landing and taxi of the simulator: what happens between wheels and strip, and the true distances of each."""

from dataclasses import dataclass
from math import asin, cos, degrees, radians, sin

from wringout.demo import machine
from wringout.demo.air import KNOT, STANDARD_DENSITY, STANDARD_GRAVITY
from wringout.demo.craft import FINE_STEP, Craft, Runway
from wringout.demo.pilot import (
    LandingTechnique,
    TakeOffTechnique,
    ask_path,
    follow_line,
    hold_speed_with_power,
    shown_speed,
    stall_speed,
)

OBSTACLE = 15.24  # m
INERTIA = 1.012  # wheels and propeller that must be spun up


@dataclass(frozen=True, slots=True)
class TakeOffFlown:
    """The true take-off: times [s], distances along the strip [m], true airspeeds [m/s], mean head wind [m/s]."""

    start: float
    lift_off: float
    obstacle: float
    ground_roll: float
    air_distance: float
    lift_off_speed: float
    obstacle_speed: float
    head_wind: float
    mass: float


@dataclass(frozen=True, slots=True)
class LandingFlown:
    """The true landing: times [s], distances along the strip [m], true airspeeds [m/s], mean head wind [m/s]."""

    obstacle: float
    touchdown: float
    stop: float
    air_distance: float
    ground_roll: float
    obstacle_speed: float
    touchdown_speed: float
    head_wind: float
    mass: float


def take_off(craft: Craft, runway: Runway, technique: TakeOffTechnique) -> TakeOffFlown:
    """From standing at the start to 50 ft above the strip."""
    craft.mixture = machine.RICH
    craft.engine_speed_command = machine.RATED_SPEED
    # Flap and stick were set while standing.
    craft.flap = craft.flap_command = technique.flap
    craft.lift_coefficient = 0.0
    along, right = runway.along(craft.east, craft.north)
    begin_along = along
    rotation_speed = technique.rotation * stall_speed(craft, technique.flap)
    begin_ticks = craft.ticks
    speed, lift, wind, steps, start = 0.0, 0.0, 0.0, 0, 0.0
    while True:
        held = craft.time - begin_ticks * FINE_STEP
        # The throttle is opened over some two seconds, against the brakes if the technique says so.
        craft.manifold_command = machine.IDLE_MANIFOLD + min(held / 2.2, 1.0) * 92.0e3
        rolling = not technique.against_brakes or held > 3.5
        speed, lift = _roll(craft, runway, speed, lift, 0.0 if rolling else 1.0, rotation_speed, technique)
        if speed > 0.0 and start == 0.0:
            start, begin_along = craft.time, along
        along += speed * FINE_STEP
        right += _wander(craft, right) * FINE_STEP if speed > 2.0 else 0.0
        _place(craft, runway, along, right, speed)
        if start > 0.0:
            wind += _head_wind(craft, runway)
            steps += 1
        if speed > 5.0 and lift >= 1.0:
            break
        if held > 90.0:
            raise ValueError("the take-off run does not end: not enough thrust on this strip")
    mass = craft.mass
    lift_off, lift_off_along = craft.time, along
    lift_off_speed = craft.airspeed
    _leave_ground(craft, runway, speed)
    climb_out = shown_speed(technique.climb_out * stall_speed(craft, technique.flap), craft, technique.flap)
    while craft.height - craft.ground_height < OBSTACLE:
        _climb_out(craft, runway, climb_out)
        wind += _head_wind(craft, runway)
        steps += 1
    along, _ = runway.along(craft.east, craft.north)
    return TakeOffFlown(
        start=start,
        lift_off=lift_off,
        obstacle=craft.time,
        ground_roll=lift_off_along - begin_along,
        air_distance=along - lift_off_along,
        lift_off_speed=lift_off_speed,
        obstacle_speed=craft.airspeed,
        head_wind=wind / steps,
        mass=mass,
    )


def approach_and_land(craft: Craft, runway: Runway, technique: LandingTechnique, aim: float) -> LandingFlown:
    """From a long final to the full stop; `aim` is where the approach path meets the strip [m from the threshold]."""
    craft.flap_command = technique.flap
    craft.engine_speed_command = machine.RATED_SPEED
    craft.mixture = machine.RICH
    course = radians(runway.heading)
    slope = radians(technique.approach_angle)
    threshold = float_speed(technique, craft)
    obstacle = obstacle_along = obstacle_speed = wind = 0.0
    steps = 0
    flaring = False
    while craft.height > craft.ground_height:
        along, _ = runway.along(craft.east, craft.north)
        craft.ground_height = runway.height(along)
        above = craft.height - craft.ground_height
        ticks = 5 if above > 30.0 else 1
        follow_line(craft, runway.east, runway.north, course)
        if above > 3.0 * technique.flare_height or not flaring:
            approach = shown_speed(
                technique.approach * stall_speed(craft, technique.flap), craft, technique.flap
            )
            hold_speed_with_power(craft, approach, ticks)
            wanted = runway.height(aim) + (aim - along) * sin(slope) / cos(slope)
            ground_speed = craft.airspeed - _head_wind(craft, runway)
            sink = -ground_speed * sin(slope) / cos(slope) + 0.25 * (wanted - craft.height)
            ask_path(craft, asin(min(max(sink / craft.airspeed, -0.2), 0.05)), 1.0)
            flaring = above < technique.flare_height
        else:
            craft.manifold_command = machine.IDLE_MANIFOLD
            slow = craft.airspeed * (craft.density / STANDARD_DENSITY) ** 0.5 <= threshold
            _flare(craft, above, technique.hold_off, slow)
            craft.bank_command = 0.0
        craft.fly(ticks)
        if above > OBSTACLE >= craft.height - craft.ground_height:
            obstacle, obstacle_speed = craft.time, craft.airspeed
            obstacle_along, _ = runway.along(craft.east, craft.north)
        if obstacle > 0.0:
            wind += _head_wind(craft, runway)
            steps += 1
    touchdown, mass = craft.time, craft.mass
    touchdown_speed = craft.airspeed
    touch_along, right = runway.along(craft.east, craft.north)
    direction = runway.direction
    speed = craft.east_speed * direction[0] + craft.north_speed * direction[1]
    along = touch_along
    factor = 0.5
    while speed > 0.05:
        free = craft.time - touchdown < technique.free_roll
        speed, factor = _roll(craft, runway, speed, factor, 0.0 if free else technique.effort, None, None)
        along += speed * FINE_STEP
        right += _wander(craft, right) * FINE_STEP if speed > 3.0 else 0.0
        _place(craft, runway, along, right, speed)
        wind += _head_wind(craft, runway)
        steps += 1
    return LandingFlown(
        obstacle=obstacle,
        touchdown=touchdown,
        stop=craft.time,
        air_distance=touch_along - obstacle_along,
        ground_roll=along - touch_along,
        obstacle_speed=obstacle_speed,
        touchdown_speed=touchdown_speed,
        head_wind=wind / steps,
        mass=mass,
    )


def float_speed(technique: LandingTechnique, craft: Craft) -> float:
    """Equivalent airspeed [m/s] to which the pilot lets the airplane float before it may sink on."""
    return technique.touchdown * stall_speed(craft, technique.flap)


def taxi(craft: Craft, runway: Runway, target: float, heading: float) -> None:
    """Turn round, taxi along the strip to a distance from the threshold, turn to a heading [rad] and stop."""
    along, right = runway.along(craft.east, craft.north)
    craft.manifold_command = machine.IDLE_MANIFOLD
    craft.engine_speed_command = 18.0
    craft.flap_command = 0.0
    way = 1.0 if target > along else -1.0
    course = radians(runway.heading) + (0.0 if way > 0.0 else 3.141592653589793)
    _turn_on_the_spot(craft, runway, along, right, course)
    speed = 0.0
    while abs(target - along) > 0.3:
        wanted = min(6.5, 0.45 * abs(target - along) + 0.4)
        speed += min(max(wanted - speed, -0.12), 0.08)
        along += way * speed * 0.1
        right += -0.02 * right * 0.1 * speed
        craft.sense(0.1)
        _place(craft, runway, along, right, way * speed, 5)
    _turn_on_the_spot(craft, runway, along, right, heading)


def stand(craft: Craft, runway: Runway, seconds: float) -> None:
    """Stand still with the engine idling."""
    craft.manifold_command = machine.IDLE_MANIFOLD
    craft.engine_speed_command = 16.0
    along, right = runway.along(craft.east, craft.north)
    for _ in range(round(seconds / 0.1)):
        craft.sense(0.1)
        _place(craft, runway, along, right, 0.0, 5)


def _turn_on_the_spot(craft: Craft, runway: Runway, along: float, right: float, heading: float) -> None:
    turn = (heading - craft.heading + 3.141592653589793) % 6.283185307179586 - 3.141592653589793
    steps = max(round(abs(turn) / radians(25.0) / 0.1), 1)
    for _ in range(steps):
        craft.heading += turn / steps
        craft.sense(0.1)
        _place(craft, runway, along, right, 0.0, 5)
    craft.heading = heading


def _roll(
    craft: Craft,
    runway: Runway,
    speed: float,
    lift: float,
    brakes: float,
    rotation_speed: float | None,
    technique: TakeOffTechnique | None,
) -> tuple[float, float]:
    """One fine step on the ground: new ground speed and, in a take-off, lift over weight."""
    craft.sense(FINE_STEP)
    gear, mass = craft.gear, craft.mass
    weight = mass * STANDARD_GRAVITY
    airspeed = max(speed + _head_wind(craft, runway), 0.0)
    craft.airspeed = airspeed
    area_pressure = 0.5 * craft.density * airspeed**2 * machine.WING_AREA
    flap_lift = 0.72 * (machine.between(machine.FLAP_LIFT, craft.flap) - machine.FLAP_LIFT[0])
    greatest = machine.maximum_lift(
        craft.flap, craft.cg, 0.0, craft.thrust / area_pressure if area_pressure > 500.0 else 0.0
    )
    if technique is not None and rotation_speed is not None:
        rolling = gear.roll_lift + flap_lift
        equivalent = airspeed * (craft.density / STANDARD_DENSITY) ** 0.5
        if equivalent >= rotation_speed or craft.lift_coefficient > rolling + 0.02:
            coefficient = min(craft.lift_coefficient + technique.rotation_rate * FINE_STEP, 0.94 * greatest)
        else:
            coefficient = rolling
    else:
        # After touchdown the attitude, and with it the lift, comes down within a second.
        coefficient = (
            craft.lift_coefficient
            + (gear.stop_lift + 0.5 * flap_lift - craft.lift_coefficient) * FINE_STEP / 0.6
        )
    craft.lift_coefficient = coefficient
    drag = area_pressure * machine.drag_coefficient(
        gear, craft.flap, coefficient, greatest, machine.WING_HEIGHT
    )
    lifted = coefficient * area_pressure + craft.thrust * sin(machine.incidence(coefficient, craft.flap))
    load = max(weight - lifted, 0.0)
    friction = runway.rolling * (1.0 + 0.012 * speed) * load
    braking = _braking(craft, runway, load, area_pressure) * brakes
    force = craft.thrust - drag - weight * runway.slope
    resisting = friction + braking
    if speed <= 0.0 and abs(force) <= resisting:
        return 0.0, lifted / weight
    craft.load_factor = lifted / weight
    craft.needle(FINE_STEP)
    return max(speed + (force - resisting) / (mass * INERTIA) * FINE_STEP, 0.0), lifted / weight


def _braking(craft: Craft, runway: Runway, load: float, area_pressure: float) -> float:
    """Brake force [N] at full grip: what the main wheels can give, and what keeps the tail down."""
    gear = craft.gear
    base = abs(gear.third_arm - gear.main_arm)
    lever = abs(craft.cg - gear.main_arm)
    if gear.tail_wheel:
        main = load * (1.0 - lever / base) / (1.0 - runway.grip * gear.cg_height / base)
        # The pilot's stick is back: the tail's download grows with dynamic pressure.
        nose_over = load * lever / gear.cg_height + 0.035 * area_pressure
        return min(runway.grip * min(main, load), 0.85 * nose_over)
    main = load * (1.0 - lever / base) / (1.0 + runway.grip * gear.cg_height / base)
    return runway.grip * main


def _place(craft: Craft, runway: Runway, along: float, right: float, speed: float, ticks: int = 1) -> None:
    """Put the airplane on the strip and let the time pass."""
    x, y = runway.direction
    craft.east = runway.east + along * x + right * y
    craft.north = runway.north + along * y - right * x
    craft.east_speed, craft.north_speed = speed * x, speed * y
    craft.ground_height = craft.height = runway.height(along)
    craft.up_speed = speed * runway.slope
    craft.wheels = 1.0
    if abs(speed) < 8.0:
        craft.airspeed = max(speed + _head_wind(craft, runway), 0.0)
    if ticks > 1:
        craft.needle(ticks * FINE_STEP)
    craft.tick(ticks)


def _leave_ground(craft: Craft, runway: Runway, speed: float) -> None:
    craft.heading = radians(runway.heading)
    craft.path = runway.slope * speed / max(craft.airspeed, 1.0)
    x, y = runway.direction
    craft.sideslip = -(craft.wind_east * y - craft.wind_north * x)
    craft.bank = 0.0
    craft.lift = 0.0
    craft.height += 1e-3


def _climb_out(craft: Craft, runway: Runway, shown: float) -> None:
    """One fine step of the climb to the obstacle: some of the excess goes into speed until it is reached."""
    along, _ = runway.along(craft.east, craft.north)
    craft.ground_height = runway.height(along)
    acceleration = min(max(0.25 * (shown - craft.indicated), -0.8), 1.2)
    sine = min(max((craft.excess - acceleration) / STANDARD_GRAVITY, 0.01), 0.35)
    ask_path(craft, asin(sine), 1.0, 0.9, 1.17)
    follow_line(craft, runway.east, runway.north, radians(runway.heading))
    craft.fly(1)


def _flare(craft: Craft, above: float, hold_off: bool, slow: bool) -> None:
    if hold_off and not slow:
        sink = -0.45 * (above - 0.30)
    elif hold_off:
        sink = -0.45 * above - 0.45
    else:
        sink = -0.50 * above - 0.65
    ask_path(craft, asin(min(max(sink / craft.airspeed, -0.2), 0.05)), 0.45, 0.6, 1.35)


def _head_wind(craft: Craft, runway: Runway) -> float:
    x, y = runway.direction
    return -(craft.wind_east * x + craft.wind_north * y)


def _wander(craft: Craft, right: float) -> float:
    """Sideways speed [m/s] of a run that is not quite straight."""
    return 0.12 * craft.gust_across - 0.15 * right


def describe(flown: TakeOffFlown | LandingFlown) -> str:
    """One line for a person who looks at the simulator."""
    if isinstance(flown, TakeOffFlown):
        return (
            f"take-off: roll {flown.ground_roll:.0f} m, air {flown.air_distance:.0f} m, lift-off {flown.lift_off_speed / KNOT:.1f} kt, "
            f"50 ft {flown.obstacle_speed / KNOT:.1f} kt, head wind {flown.head_wind / KNOT:.1f} kt, {flown.mass:.0f} kg"
        )
    fall = degrees(asin(min(OBSTACLE / max(flown.air_distance, OBSTACLE), 1.0)))
    return (
        f"landing: air {flown.air_distance:.0f} m ({fall:.1f}°), roll {flown.ground_roll:.0f} m, 50 ft {flown.obstacle_speed / KNOT:.1f} kt, "
        f"touchdown {flown.touchdown_speed / KNOT:.1f} kt, head wind {flown.head_wind / KNOT:.1f} kt, {flown.mass:.0f} kg"
    )
