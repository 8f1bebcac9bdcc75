"""Airplanes drawn at random, from what is usual and beyond, with the weather and the people of two days.

Everything is the simulator's own truth; what the dossier says of an airplane is what its owner would know.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime
from math import sqrt

import numpy as np

from wringout.demo import steady
from wringout.demo.air import (
    KNOT,
    STANDARD_DENSITY,
    STANDARD_GRAVITY,
    UniformAir,
    Weather,
    standard_pressure,
    still_air,
)
from wringout.demo.craft import Runway
from wringout.demo.engine import IDLE_BLEND, IDLE_MANIFOLD, INCH_OF_MERCURY, PistonEngine
from wringout.demo.machine import Gear, Machine
from wringout.demo.pilot import Habits, LandingTechnique, TakeOffTechnique
from wringout.demo.propellers import ConstantSpeed, FixedPitch, TruePropeller
from wringout.demo.setup import (
    Asked,
    Circuits,
    ClimbAway,
    Levels,
    Loaded,
    Plan,
    Sawtooth,
    Setup,
    Stalls,
)

STATIONS = {"front": 1.0, "rear": 1.9}
TANK_ARM = 1.05
MIDDLE = 1.05  # m aft of the datum: the middle of the CG's range
FUEL_DENSITY = 720.0
SEATS = 170.0  # kg of the crew


@dataclass(frozen=True, slots=True)
class Drawn:
    """An airplane as it truly is and is flown, and the texts that its owner has of it."""

    setup: Setup
    airplane_toml: str
    seed: int


def draw(seed: int) -> Drawn:
    """One airplane and its evaluation; the same seed is the same airplane.

    Parameters
    ----------
    seed : int
        Of everything: the airplane, its weather, its strip and its people.

    Returns
    -------
    Drawn
    """
    chance = np.random.default_rng([seed, 77])
    machine = _machine(chance)
    # Drawn by itself: the other draws of a seed stay what they were.
    heat = _between(np.random.default_rng([seed, 79]), 0.5, 1.0)
    machine = replace(machine, engine=replace(machine.engine, heat=heat))
    setup = _evaluation(chance, machine)
    return Drawn(setup, _description(chance, setup), seed)


def _between(chance: np.random.Generator, low: float, high: float) -> float:
    return float(chance.uniform(low, high))


def _machine(chance: np.random.Generator) -> Machine:
    """From a two-seater of 550 kg to a four-seater of 1550 kg, fixed pitch below 135 kW or so."""
    mass = _between(chance, 550.0, 1550.0)
    area = mass / (_between(chance, 50.0, 70.0) * sqrt(mass / 1000.0))
    span = sqrt(_between(chance, 6.0, 8.2) * area)
    watts = _between(chance, 95.0, 150.0) * mass
    governed = watts > 90.0e3 and chance.random() < 0.3 + watts / 300.0e3
    charged = governed and watts > 120.0e3 and chance.random() < 0.3
    tail_wheel = chance.random() < 0.45
    flaps = (("up", "20", "40"), (0.0, 20.0, 40.0)) if chance.random() < 0.6 else (("up", "30"), (0.0, 30.0))
    engine = _engine(chance, watts, charged=charged)
    degrees = flaps[1]
    clean, gain = _between(chance, 1.35, 1.70), _between(chance, 0.35, 0.80)
    flap_drag = _between(chance, 0.6, 1.4) * 0.07
    return Machine(
        span=span,
        wing_area=area,
        wing_height=_between(chance, 0.9, 2.3),
        nose=2.0,
        tail=-5.0,
        maximum_mass=mass,
        fuel_density=FUEL_DENSITY,
        gears=(_gear(chance, tail_wheel=tail_wheel),),
        flap_names=flaps[0],
        flap_degrees=degrees,
        maximum_lift=tuple(clean + gain * (1.0 - (1.0 - each / 45.0) ** 1.6) for each in degrees),
        flap_drag=tuple(flap_drag * float(np.sin(np.radians(each))) ** 2 for each in degrees),
        flap_lift=tuple(0.33 + 0.015 * each for each in degrees),
        lift_slope=_between(chance, 4.3, 5.0),
        oswald=_between(chance, 0.70, 0.85),
        buffet_onset=_between(chance, 0.68, 0.80),
        buffet_drag=_between(chance, 0.2, 0.4),
        middle_cg=MIDDLE,
        cg_effect=_between(chance, 0.10, 0.30),
        entry_rate_effect=_between(chance, 0.010, 0.025),
        pressure_error=(
            0.03 * float(chance.standard_normal()),
            0.05 * float(chance.standard_normal()),
            0.0008 * float(chance.standard_normal()),
        ),
        engine=engine,
        propeller=_propeller(chance, engine, watts, governed=governed),
    )


def _gear(chance: np.random.Generator, *, tail_wheel: bool) -> Gear:
    drag = _between(chance, 0.026, 0.052)
    height = _between(chance, 0.9, 1.3)
    if tail_wheel:
        main = MIDDLE - _between(chance, 0.28, 0.45)
        return Gear("wheels", drag, _between(chance, 0.2, 0.5), 0.75, True, main, main + 4.7, height)
    main = MIDDLE + _between(chance, 0.22, 0.45)
    return Gear("wheels", drag, _between(chance, 0.2, 0.5), 0.45, False, main, main - 1.8, height)


def _engine(chance: np.random.Generator, watts: float, *, charged: bool) -> PistonEngine:
    return PistonEngine(
        rated_power=round(watts, -3),
        rated_speed=45.0,
        health=float(np.clip(0.97 + 0.025 * chance.standard_normal(), 0.90, 1.03)),
        friction_power=_between(chance, 0.08, 0.11) * watts,
        intake_loss=_between(chance, 0.4, 0.9) * INCH_OF_MERCURY,
        back_pressure=_between(chance, 0.09, 0.13),
        rich=_between(chance, 0.98, 0.995),
        specific_consumption=7.5e-8 * _between(chance, 0.97, 1.03),
        idle_power=0.045 * watts,
        boost_limit=35.0 * INCH_OF_MERCURY if charged else 0.0,
        boost_ratio=2.25 if charged else 1.0,
        intercooling=0.35 if charged else 0.0,
        exhaust_dam=0.6 if charged else 0.0,
    )


def _propeller(
    chance: np.random.Generator, engine: PistonEngine, watts: float, *, governed: bool
) -> TruePropeller:
    diameter = round(_between(chance, 0.97, 1.03) * (1.72 + 0.30 * watts / 150.0e3), 2)
    if governed:
        return ConstantSpeed(
            diameter,
            least_efficiency=_between(chance, 0.53, 0.62),
            gained_efficiency=_between(chance, 0.29, 0.345),
            advance_scale=_between(chance, 0.40, 0.50),
        )
    # Its pitch lets the engine reach rated speed at about the airplane's own level speed.
    advance = _between(chance, 0.78, 0.95)
    share = 0.66  # of the advance ratio of no thrust, flat out
    curve = 1.0 + 0.08 * share - 0.87 * share**2
    power = watts / (STANDARD_DENSITY * engine.rated_speed**3 * diameter**5 * curve)
    return FixedPitch(
        diameter,
        thrust_coefficient=power * _between(chance, 1.58, 1.72),
        power_coefficient=power,
        advance_of_no_thrust=advance,
        thrust_droop=_between(chance, 0.06, 0.16),
        power_rise=0.08,
        power_of_no_thrust=0.21,
        inertia=0.8 * watts / 60.0e3,
    )


def _weather(chance: np.random.Generator, day: int, elevation: float) -> Weather:
    temperature = 288.15 - 0.0065 * elevation + _between(chance, -12.0, 14.0)
    return Weather(
        reference=datetime(2025, 6, day, 6, 0, tzinfo=UTC),
        elevation=elevation,
        qnh=101325.0 + 900.0 * float(chance.standard_normal()),
        temperature=temperature,
        lapse=_between(chance, 0.0055, 0.0075),
        dew_point=temperature - _between(chance, 4.0, 12.0),
        wind_speed=_between(chance, 0.5, 4.5),
        wind_from=_between(chance, 0.0, 360.0),
        roughness=0.03,
        shear=_between(chance, 0.0, 4.0),
        veer=_between(chance, -5.0, 20.0),
        veer_per_hour=_between(chance, -4.0, 4.0),
        rise_per_hour=_between(chance, -0.1, 0.2),
        gust_sd=_between(chance, 0.15, 0.5),
        lift_sd=_between(chance, 0.05, 0.2),
    )


def _evaluation(chance: np.random.Generator, machine: Machine) -> Setup:
    """Three short flights: speeds with climbs and glides, stalls, strip work."""
    elevation = _between(chance, 0.0, 700.0)
    strip = Runway(
        "Strip", 0.0, 0.0, elevation, 1600.0, _between(chance, 0.0, 360.0), _between(chance, -0.015, 0.015),
        "dry grass", _between(chance, 0.040, 0.065), _between(chance, 0.36, 0.46),
    )  # fmt: skip
    first, second = _weather(chance, 17, elevation), _weather(chance, 18, elevation)
    first = replace(first, wind_from=strip.heading + _between(chance, -60.0, 60.0))
    second = replace(second, wind_from=strip.heading + _between(chance, -50.0, 50.0))
    stall = _stall(machine, machine.maximum_mass) / KNOT
    empty = machine.maximum_mass * _between(chance, 0.58, 0.66)
    tank = machine.maximum_mass * _between(chance, 0.10, 0.13) / FUEL_DENSITY * 1e3  # L
    low, high = elevation + 700.0, elevation + 1150.0
    course = float(np.radians(strip.heading))
    away = ClimbAway(high, 1.45 * stall, course)
    into, across = strip.heading, strip.heading + 90.0
    crew = min(SEATS, 0.85 * (machine.maximum_mass - empty - 0.5 * tank * 0.72))
    rear = max(machine.maximum_mass * 0.95 - empty - crew - 0.7 * tank * 0.72, 0.0)

    def loaded(share: float, behind: float) -> Loaded:
        return Loaded({"front": crew, "rear": behind}, {}, {"tank": share * tank})

    def runs(*ratios: float) -> Sawtooth:
        return Sawtooth(low, low + 260.0, tuple(each * stall for each in ratios), (into, into + 180.0))

    limit = (machine.engine.boost_limit or 101325.0) / INCH_OF_MERCURY
    at_height = standard_pressure(high) / INCH_OF_MERCURY if not machine.engine.boost_limit else limit
    settings = tuple((round(share * at_height, 1), 2300.0) for share in (0.90, 0.80, 0.71))
    plans = (
        Plan(
            "one", "Speeds, climbs, glides", "1", "wheels", first, 3600.0, loaded(0.9, 0.5 * rear),
            climb=away,
            levels=Levels(high, (into, across, into + 180.0), ((0.0, 2700.0), *settings)),
            climbs=runs(1.2, 1.4, 1.65),
            glides=runs(1.25, 1.55),
        ),
        Plan(
            "two", "Stalls", "2", "wheels", first, 14400.0, loaded(0.6, rear),
            climb=ClimbAway(low, 1.45 * stall, course),
            stalls=Stalls(low, machine.flap_degrees, (1.0, 1.6), (into, into + 180.0)),
        ),
        Plan(
            "three", "Strip work", "3", "wheels", second, 3600.0, loaded(0.7, 0.8 * rear),
            circuits=Circuits(
                ("short field", "normal", "short field", "normal", "short field"),
                ("short field", "normal", "short field", "normal"),
                1,
            ),
        ),
    )  # fmt: skip
    return Setup(
        name="random",
        machine=machine,
        strip=strip,
        empty={"wheels": (empty, MIDDLE - 0.02)},
        station_arms=STATIONS,
        fuel_arm=TANK_ARM,
        take_offs=_take_offs(chance, machine),
        landings=_landings(chance, machine),
        habits=_habits(machine, stall),
        plans=plans,
        asked=Asked(0.8 * machine.maximum_mass, machine.maximum_mass, (), 0.0, 0.0, 0.0),
    )


def _stall(machine: Machine, mass: float) -> float:
    """Equivalent stall speed flap up [m/s]."""
    return sqrt(
        2.0 * mass * STANDARD_GRAVITY / (STANDARD_DENSITY * machine.wing_area * machine.maximum_lift[0])
    )


def _take_offs(chance: np.random.Generator, machine: Machine) -> dict[str, TakeOffTechnique]:
    some = machine.flap_degrees[1]
    short = TakeOffTechnique(
        "short field", some, _between(chance, 1.0, 1.08), _between(chance, 1.18, 1.28),
        _between(chance, 0.7, 1.1), True,
    )  # fmt: skip
    usual = TakeOffTechnique(
        "normal", float(chance.choice([0.0, some])), _between(chance, 1.08, 1.18),
        _between(chance, 1.30, 1.45), _between(chance, 0.5, 0.9), False,
    )  # fmt: skip
    return {"short field": short, "normal": usual}


def _landings(chance: np.random.Generator, machine: Machine) -> dict[str, LandingTechnique]:
    most, some = machine.flap_degrees[-1], machine.flap_degrees[1]
    short = LandingTechnique(
        "short field", most, _between(chance, 1.18, 1.27), _between(chance, 1.05, 1.12),
        _between(chance, 3.8, 5.2), _between(chance, 3.5, 6.0), bool(chance.random() < 0.7),
        _between(chance, 0.6, 1.4), _between(chance, 0.65, 0.9),
    )  # fmt: skip
    usual = LandingTechnique(
        "normal", some, _between(chance, 1.28, 1.40), _between(chance, 1.10, 1.20),
        _between(chance, 3.0, 4.2), _between(chance, 4.5, 7.5), bool(chance.random() < 0.7),
        _between(chance, 1.0, 2.5), _between(chance, 0.4, 0.7),
    )  # fmt: skip
    return {each.name: _with_drag_enough(machine, each) for each in (short, usual)}


def _with_drag_enough(machine: Machine, technique: LandingTechnique) -> LandingTechnique:
    """No steeper than the airplane comes down at idle and its approach speed, less half a degree."""
    air = UniformAir(still_air(0.0, 288.15, 101325.0, datetime(2025, 6, 17, tzinfo=UTC)), 0.0, 0.0)
    condition = steady.Condition(
        machine, machine.gears[0], 0.85 * machine.maximum_mass, technique.flap, MIDDLE, air, 0.0
    )
    greatest = machine.greatest_lift(technique.flap, MIDDLE, 1.0, 0.0)
    stall = sqrt(2.0 * condition.mass * STANDARD_GRAVITY / (STANDARD_DENSITY * machine.wing_area * greatest))
    drag = -steady.excess(condition, steady.idle(machine), technique.approach * stall) / STANDARD_GRAVITY
    return replace(technique, approach_angle=min(technique.approach_angle, float(np.degrees(drag)) - 0.5))


def _habits(machine: Machine, stall: float) -> Habits:
    return Habits(
        climb_out=1.40 * stall,
        crosswind=1.6 * stall,
        downwind=1.6 * stall,
        base=1.40 * stall,
        base_flap=machine.flap_degrees[1],
        arrival=2.0 * stall,
        join=1.75 * stall,
        between=1.45 * stall,
        recovery=1.3 * stall,
        after_stall=1.45 * stall,
        crosswind_manifold=24.0,
        descent_rpm=2300.0,
        join_rpm=2400.0,
    )


def _description(chance: np.random.Generator, setup: Setup) -> str:
    """What the owner has: geometry, a weighing, limits, the engine's and the propeller's papers."""
    machine, gear = setup.machine, setup.machine.gears[0]
    engine, empty = machine.engine, setup.empty["wheels"]
    third = empty[0] * (empty[1] - gear.main_arm) / (gear.third_arm - gear.main_arm)
    scales = [0.5 * (empty[0] - third)] * 2 + [third]
    wheels = ("left main", "right main", "tail" if gear.tail_wheel else "nose")
    readings = "".join(
        f'[[weighing.reading]]\nwheel = "{wheel}"\n'
        f'reading = "{mass + 0.4 * chance.standard_normal():.2f} kg"\n'
        f'tare = "0 kg"\narm = "{arm:.4f} m"\n\n'
        for wheel, mass, arm in zip(
            wheels, scales, (gear.main_arm, gear.main_arm, gear.third_arm), strict=True
        )
    )
    flaps = "".join(
        f'[[flap]]\nname = "{name}"\ndeflection = "{degrees:g} °"\n\n'
        for name, degrees in zip(machine.flap_names, machine.flap_degrees, strict=True)
    )
    most = machine.maximum_mass
    kind = "tail wheel" if gear.tail_wheel else "nose wheel"
    charged = 'kind = "turbocharged"\ncritical_altitude = "5000 m"' if engine.boost_limit else (
        'kind = "naturally aspirated"'
    )  # fmt: skip
    chart = _chart(engine) if machine.propeller.governed else ""
    # Brochures know consumption to a few per cent.
    specific = engine.specific_consumption * 1.07 * (1.0 + 0.03 * chance.standard_normal())
    return f"""# Drawn at random: nothing of it stands for a real airplane.
name = "Random"
maker = "nobody (invented)"
invented = true
occupant_mass = "86 kg"

[geometry]
span = "{machine.span:.3f} m"
wing_area = "{machine.wing_area:.3f} m²"
wing_height = "{machine.wing_height:.2f} m"

[[station]]
name = "front"
arm = "{STATIONS["front"]} m"
holds = "people"
seats = 2

[[station]]
name = "rear"
arm = "{STATIONS["rear"]} m"
holds = "either"
seats = 2

[fuel]
name = "avgas 100LL"
density = "{FUEL_DENSITY:g} kg/m³"

[[tank]]
name = "tank"
usable = "400 L"
unusable = "0 L"
arm = "{TANK_ARM} m"

[[envelope]]
name = "all"
vertices = [
  ["0.70 m", "{0.4 * most:.1f} kg"],
  ["0.70 m", "{most:.1f} kg"],
  ["1.45 m", "{most:.1f} kg"],
  ["1.45 m", "{0.4 * most:.1f} kg"],
]
maximum_takeoff_mass = "{most:.1f} kg"

[weighing]
day = 2025-06-16
configuration = "wheels"
reading_sd = "0.4 kg"

{readings}[[configuration]]
name = "wheels"
envelope = "all"

[configuration.undercarriage]
kind = "{kind}"
main_arm = "{gear.main_arm:.4f} m"
third_arm = "{gear.third_arm:.4f} m"
track = "2.1 m"
cg_height = "{gear.cg_height:.3f} m"

{flaps}[propeller]
kind = "{"constant speed" if machine.propeller.governed else "fixed pitch"}"
diameter = "{machine.propeller.diameter:.2f} m"

[engine]
{charged}
rated_power = "{engine.rated_power / 1e3:g} kW"
rated_speed = "{engine.rated_speed * 60.0:g} rpm"
specific_consumption = "{specific * 3.6e9:.1f} g/kW/h"
specific_consumption_full = "{specific * 1.14 * 3.6e9:.1f} g/kW/h"
{chart}"""


def _chart(engine: PistonEngine) -> str:
    """The maker's part-power table of the healthy engine."""
    rows = []
    for altitude in (0.0, 1500.0, 3000.0):
        pressure, temperature = standard_pressure(altitude), 288.15 - 0.0065 * altitude
        for rpm in (2200.0, 2400.0, 2700.0):
            full = engine.full_manifold(pressure, rpm / 60.0, 0.0)
            for manifold in np.linspace(1.02 * (IDLE_MANIFOLD + IDLE_BLEND), full, 4):
                power = engine.power(
                    float(manifold), rpm / 60.0, pressure, temperature, mixture=1.0, health=1.0
                )
                rows.append(
                    f'{{ engine_speed = "{rpm:g} rpm", manifold_pressure = "{manifold / 100.0:.1f} hPa", '
                    f'pressure_altitude = "{altitude:g} m", power = "{power / 1e3:.1f} kW" }}'
                )
    return "chart = [\n" + ",\n".join(rows) + ",\n]\n"
