"""How many cases a second the vectorised physics answers, against a loop over scipy's quadrature.

Run: .venv/bin/python benchmarks/physics_vectors.py
Every uncertain field of the airplane is an array of draws. Processor time, the best of several runs.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from math import atan, cos, sin

import numpy as np
from numpy.random import default_rng
from scipy.integrate import quad
from scipy.optimize import brentq

from wringout.physics.aerodynamics import ground_effect_factor
from wringout.physics.climb import best_rate, ceiling, rate_of_climb
from wringout.physics.constants import GRAVITY
from wringout.physics.cruise import level_speed
from wringout.physics.landing import landing
from wringout.physics.propulsion import ConstantSpeedPropeller, NaturallyAspiratedEngine
from wringout.physics.takeoff import ground_roll, take_off
from wringout.physics.vehicle import Air, Vehicle

DRAWS = 1000
SPEED, FRICTION, SLOPE, WIND, LIFT = 25.0, 0.05, 0.02, 3.0, 0.3


def airplane(draws: int) -> Vehicle:
    """An invented airplane with every uncertain field scattered."""
    generator = default_rng(2)

    def scattered(value: float, share: float) -> np.ndarray:
        return value * (1 + share * generator.normal(size=draws))

    return Vehicle(
        mass=scattered(1090.0, 0.01),
        wing_area=17.6,
        span=10.9,
        wing_height=2.1,
        zero_lift_drag=scattered(0.045, 0.05),
        induced_factor=scattered(0.055, 0.05),
        lift_at_minimum_drag=scattered(0.1, 0.2),
        maximum_lift_coefficient=scattered(1.9, 0.03),
        propeller=ConstantSpeedPropeller(2.03, scattered(0.75, 0.03), scattered(0.88, 0.02)),
        engine=NaturallyAspiratedEngine(scattered(149e3, 0.02)),
    )


def roll_by_quadrature(case: tuple[float, ...], density: float, ratio: float) -> float:
    """One ground run by scipy's quad with a bracketed root for the propeller, in plain floats."""
    mass, zero_lift, induced, offset, static, cruise, power = case
    shaft = power * (ratio - 0.117) / 0.883
    effect = float(ground_effect_factor(2.1 / 10.9))
    drag_area = 17.6 * (zero_lift + effect * induced * (LIFT - offset) ** 2)
    disk = 2 * density * np.pi / 4 * 2.03**2
    tilt = atan(SLOPE)

    def slowness(speed: float) -> float:
        useful = (static + (cruise - static) * speed / 70.0) * shaft
        c = useful / disk
        through = brentq(lambda w: w * w * (w - speed) - c, speed, speed + c ** (1 / 3) + 1e-9)
        pressure = 0.5 * density * speed * speed
        wheels = mass * GRAVITY * cos(tilt) - LIFT * 17.6 * pressure
        force = useful / through - drag_area * pressure - FRICTION * wheels - mass * GRAVITY * sin(tilt)
        return float((speed - WIND) * mass / force)

    return float(quad(slowness, WIND, SPEED, epsabs=1e-9, epsrel=1e-9)[0])


def best_time(call: Callable[[], object], repeats: int = 15) -> float:
    """Least processor time of a call. [s]"""
    call()
    times = []
    for _ in range(repeats):
        start = time.process_time()
        call()
        times.append(time.process_time() - start)
    return min(times)


def main() -> None:
    vehicle, air = airplane(DRAWS), Air.standard(800.0)
    propeller, engine = vehicle.propeller, vehicle.engine
    assert isinstance(propeller, ConstantSpeedPropeller)
    assert isinstance(engine, NaturallyAspiratedEngine)
    speed = np.full(DRAWS, SPEED)

    def roll() -> np.ndarray:
        return ground_roll(
            vehicle, air, lift_off_speed=speed, rolling_friction=FRICTION, head_wind=WIND, slope=SLOPE
        )[0]

    columns = zip(
        *(
            np.asarray(field, dtype=float).tolist()
            for field in (
                vehicle.mass,
                vehicle.zero_lift_drag,
                vehicle.induced_factor,
                vehicle.lift_at_minimum_drag,
                propeller.static_efficiency,
                propeller.cruise_efficiency,
                engine.rated_power,
            )
        ),
        strict=True,
    )
    cases = list(columns)[:100]
    density = float(air.density)
    ratio = float(air.pressure) / 101_325.0 * 288.15 / float(air.temperature)

    def loop() -> list[float]:
        return [roll_by_quadrature(case, density, ratio) for case in cases]

    looped, answers = best_time(loop, 3) / len(cases), roll()
    worst = float(np.max(np.abs(answers[: len(cases)] / np.array(loop()) - 1)))
    print(f"ground run, loop over scipy.quad    {1 / looped:10,.0f} cases/s")
    rows: list[tuple[str, Callable[[], object]]] = [
        ("ground run", roll),
        (
            "take-off to 15.24 m",
            lambda: take_off(
                vehicle, air, lift_off_speed=speed, obstacle_speed=1.08 * speed, head_wind=WIND, slope=SLOPE
            ),
        ),
        (
            "landing from 15.24 m",
            lambda: landing(
                vehicle, air, approach_speed=1.2 * speed, touchdown_speed=speed, braking=0.3, head_wind=WIND
            ),
        ),
        ("rate of climb at a speed", lambda: rate_of_climb(vehicle, air, 1.4 * speed)),
        ("best rate of climb", lambda: best_rate(vehicle, air)),
        ("service ceiling", lambda: ceiling(vehicle)),
        ("level speed", lambda: level_speed(vehicle, air, 100e3)),
    ]
    for name, call in rows:
        took = best_time(call)
        ratio_text = (
            f"   {looped * DRAWS / took:6.0f} × the loop, worst difference {worst:.0e}"
            if call is roll
            else ""
        )
        print(f"{name:<36}{DRAWS / took:10,.0f} cases/s   {1e3 * took:7.2f} ms for {DRAWS}{ratio_text}")


if __name__ == "__main__":
    main()
