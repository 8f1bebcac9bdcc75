"""Take-off, landing and taxi of the simulator: wheels and strip, and the true distances of each run."""

from dataclasses import dataclass
from math import asin, pi, radians, sin, tan

from wringout.demo.air import STANDARD_DENSITY, STANDARD_GRAVITY
from wringout.demo.craft import FINE_STEP, Craft, Runway
from wringout.demo.engine import IDLE_MANIFOLD
from wringout.demo.pilot import (
    LandingTechnique,
    TakeOffTechnique,
    angle_between,
    ask_path,
    follow_line,
    hold_speed_with_power,
    shown_speed,
    stall_speed,
)

OBSTACLE = 15.24  # m
INERTIA = 1.012  # wheels and propeller that must be spun up
OPENED = 92.0e3  # manifold pressure [Pa] beyond idling that no throttle without a charger reaches


@dataclass(frozen=True, slots=True)
class TakeOffFlown:
    """The true take-off: times [s], distances along the strip [m], airspeeds and mean head wind [m/s]."""

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
    """The true landing: times [s], distances along the strip [m], airspeeds and mean head wind [m/s]."""

    obstacle: float
    touchdown: float
    stop: float
    air_distance: float
    ground_roll: float
    obstacle_speed: float
    touchdown_speed: float
    head_wind: float
    mass: float


class _WindMean:
    """Mean of the head wind over the steps of a run."""

    def __init__(self) -> None:
        self.total, self.steps = 0.0, 0

    def add(self, craft: Craft, runway: Runway) -> None:
        self.total += _head_wind(craft, runway)
        self.steps += 1

    @property
    def value(self) -> float:
        return self.total / self.steps


def take_off(craft: Craft, runway: Runway, technique: TakeOffTechnique) -> TakeOffFlown:
    """From standing at the start to 50 ft above the strip."""
    craft.mixture = craft.machine.engine.rich
    craft.engine_speed_command = craft.machine.engine.rated_speed
    # Flap and stick were set while standing.
    craft.flap = craft.flap_command = technique.flap
    craft.lift_coefficient = 0.0
    wind = _WindMean()
    start, begin_along, speed = _ground_run(craft, runway, technique, wind)
    mass, lift_off, lift_off_speed = craft.mass, craft.time, craft.airspeed
    lift_off_along, _ = runway.along(craft.east, craft.north)
    _leave_ground(craft, runway, speed)
    climb_out = shown_speed(technique.climb_out * stall_speed(craft, technique.flap), craft, technique.flap)
    while craft.height - craft.ground_height < OBSTACLE:
        _climb_out(craft, runway, climb_out)
        wind.add(craft, runway)
    along, _ = runway.along(craft.east, craft.north)
    return TakeOffFlown(
        start=start,
        lift_off=lift_off,
        obstacle=craft.time,
        ground_roll=lift_off_along - begin_along,
        air_distance=along - lift_off_along,
        lift_off_speed=lift_off_speed,
        obstacle_speed=craft.airspeed,
        head_wind=wind.value,
        mass=mass,
    )


def _ground_run(
    craft: Craft, runway: Runway, technique: TakeOffTechnique, wind: _WindMean
) -> tuple[float, float, float]:
    """Roll until the wings carry: time and place of the start of roll, ground speed at lift-off."""
    along, right = runway.along(craft.east, craft.north)
    rotation = _Rotation(technique.rotation * stall_speed(craft, technique.flap), technique.rotation_rate)
    begin_ticks = craft.ticks
    opened = max(OPENED, craft.machine.engine.boost_limit)
    start, begin_along, speed, lifted = 0.0, along, 0.0, 0.0
    while speed <= 5.0 or lifted < 1.0:
        held = craft.time - begin_ticks * FINE_STEP
        # The throttle is opened over some two seconds, against the brakes if the technique says so.
        craft.manifold_command = IDLE_MANIFOLD + min(held / 2.2, 1.0) * opened
        rolling = not technique.against_brakes or held > 3.5
        speed, lifted = _roll(craft, runway, speed, brakes=0.0 if rolling else 1.0, rotation=rotation)
        if speed > 0.0 and start == 0.0:
            start, begin_along = craft.time, along
        along += speed * FINE_STEP
        right += _wander(craft, right) * FINE_STEP if speed > 2.0 else 0.0
        _place(craft, runway, along, right, speed=speed)
        if start > 0.0:
            wind.add(craft, runway)
        if held > 90.0:
            raise ValueError("the take-off run does not end: not enough thrust on this strip")
    return start, begin_along, speed


def approach_and_land(craft: Craft, runway: Runway, technique: LandingTechnique, aim: float) -> LandingFlown:
    """From a long final to the full stop; the approach path meets the strip `aim` [m] from its threshold."""
    craft.flap_command = technique.flap
    craft.engine_speed_command = craft.machine.engine.rated_speed
    craft.mixture = craft.machine.engine.rich
    wind = _WindMean()
    obstacle, obstacle_along, obstacle_speed = _descend(craft, runway, technique, aim, wind)
    touchdown, touchdown_speed, mass = craft.time, craft.airspeed, craft.mass
    touch_along, right = runway.along(craft.east, craft.north)
    x, y = runway.direction
    speed = craft.east_speed * x + craft.north_speed * y
    along = touch_along
    while speed > 0.05:
        free = craft.time - touchdown < technique.free_roll
        speed, _ = _roll(craft, runway, speed, brakes=0.0 if free else technique.effort, rotation=None)
        along += speed * FINE_STEP
        right += _wander(craft, right) * FINE_STEP if speed > 3.0 else 0.0
        _place(craft, runway, along, right, speed=speed)
        wind.add(craft, runway)
    return LandingFlown(
        obstacle=obstacle,
        touchdown=touchdown,
        stop=craft.time,
        air_distance=touch_along - obstacle_along,
        ground_roll=along - touch_along,
        obstacle_speed=obstacle_speed,
        touchdown_speed=touchdown_speed,
        head_wind=wind.value,
        mass=mass,
    )


def _descend(
    craft: Craft, runway: Runway, technique: LandingTechnique, aim: float, wind: _WindMean
) -> tuple[float, float, float]:
    """Final, flare and float to the touchdown: time, place and airspeed at 50 ft."""
    float_speed = technique.touchdown * stall_speed(craft, technique.flap)
    obstacle = obstacle_along = obstacle_speed = 0.0
    flaring = False
    while craft.height > craft.ground_height:
        along, _ = runway.along(craft.east, craft.north)
        craft.ground_height = runway.height(along)
        above = craft.height - craft.ground_height
        ticks = 5 if above > 30.0 else 1
        follow_line(craft, runway.east, runway.north, radians(runway.heading))
        if flaring:
            craft.manifold_command = IDLE_MANIFOLD
            slow = craft.airspeed * (craft.density / STANDARD_DENSITY) ** 0.5 <= float_speed
            _flare(craft, runway, above, hold_off=technique.hold_off, slow=slow)
            craft.bank_command = 0.0
        else:
            _hold_final(craft, runway, technique, aim - along, ticks)
            flaring = above < technique.flare_height
        high = craft.height - runway.plane(along)
        craft.fly(ticks)
        along, _ = runway.along(craft.east, craft.north)
        if high > OBSTACLE >= craft.height - runway.plane(along):
            obstacle, obstacle_speed, obstacle_along = craft.time, craft.airspeed, along
        if obstacle > 0.0:
            wind.add(craft, runway)
    return obstacle, obstacle_along, obstacle_speed


def _hold_final(
    craft: Craft, runway: Runway, technique: LandingTechnique, distance: float, ticks: int
) -> None:
    """Hold the approach path with pitch and the approach speed with power, `distance` short of the aim."""
    wanted_speed = technique.approach * stall_speed(craft, technique.flap)
    hold_speed_with_power(craft, shown_speed(wanted_speed, craft, technique.flap), ticks)
    gradient = tan(radians(technique.approach_angle))
    wanted = craft.ground_height + distance * gradient
    sink = -(craft.airspeed - _head_wind(craft, runway)) * gradient + 0.25 * (wanted - craft.height)
    ask_path(craft, asin(min(max(sink / craft.airspeed, -0.2), 0.05)), 1.0)


def taxi(craft: Craft, runway: Runway, target: float, heading: float) -> None:
    """Turn round, taxi along the strip to a distance from the threshold, turn to a heading [rad] and stop."""
    along, right = runway.along(craft.east, craft.north)
    craft.manifold_command = IDLE_MANIFOLD
    craft.engine_speed_command = 18.0
    craft.flap_command = 0.0
    way = 1.0 if target > along else -1.0
    course = radians(runway.heading) + (0.0 if way > 0.0 else pi)
    _turn_on_the_spot(craft, runway, along, right, course)
    speed = 0.0
    while abs(target - along) > 0.3:
        wanted = min(6.5, 0.45 * abs(target - along) + 0.4)
        speed += min(max(wanted - speed, -0.12), 0.08)
        along += way * speed * 0.1
        right += -0.02 * right * 0.1 * speed
        craft.sense(0.1)
        _place(craft, runway, along, right, speed=way * speed, ticks=5)
    _turn_on_the_spot(craft, runway, along, right, heading)


def stand(craft: Craft, runway: Runway, seconds: float) -> None:
    """Stand still with the engine idling."""
    craft.manifold_command = IDLE_MANIFOLD
    craft.engine_speed_command = 16.0
    along, right = runway.along(craft.east, craft.north)
    for _ in range(round(seconds / 0.1)):
        craft.sense(0.1)
        _place(craft, runway, along, right, speed=0.0, ticks=5)


def _turn_on_the_spot(craft: Craft, runway: Runway, along: float, right: float, heading: float) -> None:
    turn = angle_between(craft.heading, heading)
    steps = max(round(abs(turn) / radians(25.0) / 0.1), 1)
    for _ in range(steps):
        craft.heading += turn / steps
        craft.sense(0.1)
        _place(craft, runway, along, right, speed=0.0, ticks=5)
    craft.heading = heading


@dataclass(frozen=True, slots=True)
class _Rotation:
    """When and how the pilot pulls: equivalent airspeed [m/s] and lift coefficient per second."""

    speed: float
    rate: float


def _roll(
    craft: Craft, runway: Runway, speed: float, *, brakes: float, rotation: _Rotation | None
) -> tuple[float, float]:
    """One fine step on the ground: the new ground speed, and lift over weight; no rotation after landing."""
    craft.sense(FINE_STEP)
    machine = craft.machine
    weight = craft.mass * STANDARD_GRAVITY
    craft.airspeed = max(speed + _head_wind(craft, runway), 0.0)
    area_pressure = 0.5 * craft.density * craft.airspeed**2 * machine.wing_area
    thrust_coefficient = craft.thrust / area_pressure if area_pressure > 500.0 else 0.0
    greatest = machine.greatest_lift(craft.flap, craft.cg, 0.0, thrust_coefficient)
    coefficient = craft.lift_coefficient = _lift_on_ground(craft, rotation, greatest)
    drag = area_pressure * machine.drag_coefficient(
        craft.gear, craft.flap, coefficient, greatest, machine.wing_height
    )
    lifted = coefficient * area_pressure + craft.thrust * sin(machine.incidence(coefficient, craft.flap))
    load = max(weight - lifted, 0.0)
    resisting = runway.rolling * (1.0 + 0.012 * speed) * load
    resisting += _braking(craft, runway, load, area_pressure) * brakes
    force = craft.thrust - drag - weight * runway.slope
    craft.load_factor = lifted / weight
    if speed <= 0.0 and abs(force) <= resisting:
        return 0.0, lifted / weight
    craft.needle(FINE_STEP)
    return max(speed + (force - resisting) / (craft.mass * INERTIA) * FINE_STEP, 0.0), lifted / weight


def _lift_on_ground(craft: Craft, rotation: _Rotation | None, greatest: float) -> float:
    """Lift coefficient of the attitude on the ground."""
    flap_lift = craft.machine.level_lift(craft.flap) - craft.machine.level_lift(0.0)
    if rotation is None:
        # After touchdown the attitude, and with it the lift, comes down within a second.
        settled = craft.gear.stop_lift + 0.36 * flap_lift
        return craft.lift_coefficient + (settled - craft.lift_coefficient) * FINE_STEP / 0.6
    rolling = craft.gear.roll_lift + 0.72 * flap_lift
    if craft.equivalent >= rotation.speed or craft.lift_coefficient > rolling + 0.02:
        return min(craft.lift_coefficient + rotation.rate * FINE_STEP, 0.94 * greatest)
    return rolling


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


def _place(craft: Craft, runway: Runway, along: float, right: float, *, speed: float, ticks: int = 1) -> None:
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
    craft.tick(craft.aligned(ticks))


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


def _flare(craft: Craft, runway: Runway, above: float, *, hold_off: bool, slow: bool) -> None:
    """One step of the flare; the eye measures sink and height against the strip, level or not."""
    if hold_off and not slow:
        sink = -0.45 * (above - 0.30)
    elif hold_off:
        sink = -0.45 * above - 0.45
    else:
        sink = -0.50 * above - 0.65
    rising = runway.slope * (craft.airspeed - _head_wind(craft, runway))
    ask_path(craft, asin(min(max((sink + rising) / craft.airspeed, -0.2), 0.08)), 0.45, 0.6, 1.35)


def _head_wind(craft: Craft, runway: Runway) -> float:
    x, y = runway.direction
    return -(craft.wind_east * x + craft.wind_north * y)


def _wander(craft: Craft, right: float) -> float:
    """Sideways speed [m/s] of a run that is not quite straight."""
    return 0.12 * craft.gust_north - 0.15 * right
