"""The moving airplane of the simulator: a point mass in the air and on the ground, stepped through time."""

from dataclasses import dataclass, field
from math import cos, exp, radians, sin, sqrt

import numpy as np

from wringout.demo.air import STANDARD_DENSITY, STANDARD_GRAVITY, AirMass
from wringout.demo.engine import IDLE_MANIFOLD
from wringout.demo.machine import Gear, Machine

SAMPLE_STEP = 0.2  # s between recorded samples
FINE_STEP = 0.02
COARSE_STEP = 0.1

GUST_TIME = 6.0  # s, correlation of horizontal gusts
LIFT_TIME = 15.0  # s, correlation of vertical motion of the air
FLAP_RATE = 8.0  # degrees per second
SIDESLIP_TIME = 1.5  # s in which the airplane follows a lateral gust

COLUMNS = (
    "time", "east", "north", "height", "east_speed", "north_speed", "up_speed", "airspeed",
    "lift_coefficient", "flap", "engine_speed", "manifold", "fuel_flow", "pressure", "temperature", "density",
    "mass", "bank", "load_factor", "wheels",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Runway:
    """The strip as it truly is; heading [degrees], `rolling` friction and `grip` under brakes."""

    name: str
    east: float
    north: float
    elevation: float
    length: float
    heading: float
    slope: float
    surface: str
    rolling: float
    grip: float

    @property
    def direction(self) -> tuple[float, float]:
        """East and north of one metre along the strip."""
        angle = radians(self.heading)
        return sin(angle), cos(angle)

    def along(self, east: float, north: float) -> tuple[float, float]:
        """Distance along the strip from its threshold and to the right of its middle [m]."""
        x, y = self.direction
        de, dn = east - self.east, north - self.north
        return de * x + dn * y, de * y - dn * x

    def height(self, along: float) -> float:
        """Height of the ground [m] at a distance along the strip; level beyond its ends."""
        return self.plane(min(max(along, 0.0), self.length))

    def plane(self, along: float) -> float:
        """Height of the strip's own plane [m], above which the 50 ft count before its threshold too."""
        return self.elevation + self.slope * along


class Noise:
    """Normal numbers drawn in blocks, because one at a time is slow; silent when there is no generator."""

    def __init__(self, generator: np.random.Generator | None) -> None:
        self._generator = generator
        self._block: list[float] = []

    def __call__(self) -> float:
        """One standard normal number, or 0."""
        if self._generator is None:
            return 0.0
        if not self._block:
            self._block = self._generator.standard_normal(4096).tolist()
        return self._block.pop()


@dataclass(slots=True)
class Craft:
    """State of the airplane; positions in metres from the base strip's threshold, `height` of the wheels.

    `*_command` are what the pilot asks for; the rest follows with its own lag.
    """

    machine: Machine
    gear: Gear
    air: AirMass
    noise: Noise
    dry_mass: float  # all but fuel [kg]
    fuel: float  # [kg]
    cg: float
    ticks: int = 0  # of FINE_STEP since the air's reference
    east: float = 0.0
    north: float = 0.0
    height: float = 0.0
    airspeed: float = 0.0
    path: float = 0.0
    heading: float = 0.0
    sideslip: float = 0.0  # lateral speed through the air [m/s]
    bank: float = 0.0
    load_factor_command: float = 1.0
    bank_command: float = 0.0
    manifold_command: float = IDLE_MANIFOLD
    manifold: float = IDLE_MANIFOLD
    engine_speed: float = 16.0  # idling
    engine_speed_command: float = 16.0
    mixture: float = 1.0
    flap: float = 0.0
    flap_command: float = 0.0
    ground_height: float = 0.0
    wheels: float = 1.0  # 1 on the ground
    gust_east: float = 0.0
    gust_north: float = 0.0
    lift: float = 0.0  # vertical speed of the air
    wind_east: float = 0.0
    wind_north: float = 0.0
    excess: float = 0.0  # (thrust along − drag)/mass
    lift_coefficient: float = 0.0
    load_factor: float = 1.0
    indicated: float = 0.0  # equivalent airspeed with the position error, as the needle shows it
    entry_rate: float = 0.0  # kt/s, smoothed
    margin: float = 0.0  # lift coefficient asked for over the greatest
    stalled_for: float = -1.0  # s since the break, negative when flying
    thrust: float = 0.0
    pressure: float = 101325.0
    temperature: float = 288.15
    density: float = STANDARD_DENSITY
    flow: float = 0.0
    east_speed: float = 0.0
    north_speed: float = 0.0
    up_speed: float = 0.0
    rows: list[tuple[float, ...]] = field(default_factory=list)

    @property
    def time(self) -> float:
        """Seconds since the air's reference."""
        return self.ticks * FINE_STEP

    @property
    def mass(self) -> float:
        """Mass now [kg]."""
        return self.dry_mass + self.fuel

    @property
    def equivalent(self) -> float:
        """Equivalent airspeed now [m/s]."""
        return self.airspeed * sqrt(self.density / STANDARD_DENSITY)

    def sense(self, step: float) -> None:
        """The air around the airplane now, with its gusts, and what engine and propeller make of it."""
        self.pressure, self.temperature, self.density = self.air.at(self.height)
        above = max(self.height - self.ground_height, 0.0)
        if self.air.weather.gust_sd > 0.0:
            self._gust(step, above)
        east, north = self.air.mean_wind(self.air.base_height + above + self.machine.wing_height, self.time)
        self.wind_east, self.wind_north = east + self.gust_east, north + self.gust_north
        engine, propeller = self.machine.engine, self.machine.propeller
        full = engine.full_manifold(self.pressure, self.engine_speed, 0.5 * self.density * self.airspeed**2)
        self.manifold += (min(self.manifold_command, full) - self.manifold) * step / 0.5
        if propeller.governed:
            self.engine_speed += (self.engine_speed_command - self.engine_speed) * step
        power = engine.power(
            self.manifold, self.engine_speed, self.pressure, self.temperature, mixture=self.mixture
        )
        if not propeller.governed:
            turning = propeller.change_of_speed(power, self.airspeed, self.density, self.engine_speed)
            self.engine_speed += turning * step
        self.flow = engine.fuel_flow(power, self.mixture)
        self.fuel -= self.flow * step
        self.thrust = propeller.thrust(power, self.airspeed, self.density, self.engine_speed, self.manifold)
        if self.flap != self.flap_command:
            reach = FLAP_RATE * step
            self.flap += min(max(self.flap_command - self.flap, -reach), reach)

    def _gust(self, step: float, above: float) -> None:
        """Let the gusts wander on; they weaken in the last metres above the ground."""
        weather, noise = self.air.weather, self.noise
        kick = weather.gust_sd * (1.0 - 0.35 * exp(-above / 15.0)) * sqrt(2.0 * step / GUST_TIME)
        self.gust_east += kick * noise() - self.gust_east * step / GUST_TIME
        self.gust_north += kick * noise() - self.gust_north * step / GUST_TIME
        if self.wheels == 0.0:
            kick = weather.lift_sd * min(above / 60.0, 1.0) * sqrt(2.0 * step / LIFT_TIME)
            self.lift += kick * noise() - self.lift * step / LIFT_TIME

    def needle(self, step: float) -> None:
        """What the airspeed indicator shows, with its lag, and the rate at which it falls."""
        error = self.machine.static_error(self.lift_coefficient, self.flap)
        shown = self.airspeed * sqrt(self.density / STANDARD_DENSITY * max(1.0 + error, 0.0))
        before = self.indicated
        self.indicated += (shown - before) * step / 0.4
        rate = (before - self.indicated) / step * 1.943844
        self.entry_rate += (rate - self.entry_rate) * step / 2.0

    def fly(self, ticks: int) -> None:
        """One step in the air of `ticks` times FINE_STEP, or to the next multiple of it, as commanded."""
        ticks = self.aligned(ticks)
        step = ticks * FINE_STEP
        wind = self.wind_east, self.wind_north, self.lift
        self.sense(step)
        self._lift_and_drag(step)
        self._move(step, self.wind_east - wind[0], self.wind_north - wind[1], self.lift - wind[2])
        self.needle(step)
        self.wheels = 0.0
        self.tick(ticks)

    def _lift_and_drag(self, step: float) -> None:
        """The wing gives what the pilot asks for as long as it can; past that it drops."""
        machine = self.machine
        weight = (self.dry_mass + self.fuel) * STANDARD_GRAVITY
        area_pressure = 0.5 * self.density * self.airspeed * self.airspeed * machine.wing_area
        angle = machine.incidence(self.lift_coefficient, self.flap)
        pulled = self.thrust * sin(angle)
        wanted = (self.load_factor_command * weight - pulled) / area_pressure
        greatest = machine.greatest_lift(self.flap, self.cg, self.entry_rate, self.thrust / area_pressure)
        self.margin = wanted / greatest
        coefficient, buffet = min(wanted, greatest), 0.0
        if self.stalled_for >= 0.0:
            self.stalled_for += step
            coefficient = min(wanted, greatest * (1.0 - 0.20 * (1.0 - exp(-self.stalled_for / 0.30))))
            buffet = 0.05
        self.lift_coefficient += (coefficient - self.lift_coefficient) * min(step / 0.15, 1.0)
        wing_height = self.height - self.ground_height + machine.wing_height
        drag = (
            machine.drag_coefficient(self.gear, self.flap, self.lift_coefficient, greatest, wing_height)
            * area_pressure
            + buffet * area_pressure
        )
        self.excess = (self.thrust * cos(angle) - drag) * STANDARD_GRAVITY / weight
        self.load_factor = (self.lift_coefficient * area_pressure + pulled) / weight

    def _move(self, step: float, gust_east: float, gust_north: float, gust_up: float) -> None:
        """Point-mass motion; the inertia turns a change of the wind into airspeed and sideslip."""
        self.bank += (self.bank_command - self.bank) * step / 0.6
        speed = self.airspeed
        sin_path, cos_path = sin(self.path), cos(self.path)
        sin_heading, cos_heading = sin(self.heading), cos(self.heading)
        along = gust_east * sin_heading + gust_north * cos_heading
        self.airspeed += (self.excess - STANDARD_GRAVITY * sin_path) * step
        self.airspeed -= along * cos_path + gust_up * sin_path
        turn = STANDARD_GRAVITY / speed * step
        self.path += turn * (self.load_factor * cos(self.bank) - cos_path)
        self.heading += turn * self.load_factor * sin(self.bank) / cos_path
        self.sideslip -= gust_east * cos_heading - gust_north * sin_heading
        self.sideslip -= self.sideslip * step / SIDESLIP_TIME

        level = self.airspeed * cos(self.path)
        sin_heading, cos_heading = sin(self.heading), cos(self.heading)
        before = self.east_speed, self.north_speed, self.up_speed
        self.east_speed = level * sin_heading + self.sideslip * cos_heading + self.wind_east
        self.north_speed = level * cos_heading - self.sideslip * sin_heading + self.wind_north
        self.up_speed = self.airspeed * sin(self.path) + self.lift
        self.east += 0.5 * (before[0] + self.east_speed) * step
        self.north += 0.5 * (before[1] + self.north_speed) * step
        self.height += 0.5 * (before[2] + self.up_speed) * step

    def aligned(self, ticks: int) -> int:
        """Ticks to the next multiple of `ticks`, so that coarse steps meet the recorder's grid."""
        return ticks - self.ticks % ticks

    def tick(self, ticks: int) -> None:
        """Let time pass and keep a sample where the recorder's grid is met."""
        self.ticks += ticks
        if self.ticks % 10 == 0:
            self.rows.append(
                (
                    self.ticks * FINE_STEP, self.east, self.north, self.height,
                    self.east_speed, self.north_speed, self.up_speed, self.airspeed,
                    self.lift_coefficient, self.flap, self.engine_speed, self.manifold, self.flow,
                    self.pressure, self.temperature, self.density, self.dry_mass + self.fuel,
                    self.bank, self.load_factor, self.wheels,
                )
            )  # fmt: skip
