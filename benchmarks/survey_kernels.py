"""The survey's compiled take-offs and landings against the same in C, in one run on the same cases.

Run: PYTHONPATH=. .venv/bin/python benchmarks/survey_kernels.py [conditions] [rounds]
Goals: ground run at least 0.95 × the C twin's speed, whole take-off and landing 0.9 ×; the ground run 3000 ×
scipy's quad case by case; within 1e-6 of scipy's solve_ivp held to 1e-11.
The twin is survey_twin.c, built by gcc -O3 -march=native -ffast-math -fopenmp with the constants and nodes of
the loops. Both run on all cores, one after the other, round after round. Times are the processor's, of all
threads together, the best of the rounds; beside their ratio the median of the ratios within rounds, and the
ratio by the clock, which says something on an idle machine only.
"""

from __future__ import annotations

import ctypes
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from math import cos, pi, sin
from pathlib import Path

import numpy as np
from numpy.random import Generator, default_rng
from scipy.integrate import quad
from tests.physics.flown_paths import landing_flown, one, take_off_flown

from wringout.physics import field_kernels, field_steps, field_takeoff_loop
from wringout.physics.aerodynamics import drag_coefficient, ground_effect_factor, induced_drag_factor
from wringout.physics.arrays import Array
from wringout.physics.constants import GRAVITY, SEA_LEVEL_DENSITY
from wringout.physics.field_arrays import Conditions, LandingRows, TakeOffRows
from wringout.physics.field_kernels import FieldDistances, landings, room_for, take_offs
from wringout.physics.field_loops import ground_run_loop, landing_loop, take_off_loop
from wringout.physics.field_rows import condition_columns, landing_rows, take_off_rows
from wringout.physics.ground import nose_wheel_braking
from wringout.physics.propulsion import LEVEL_ADVANCE, ConstantSpeedPropeller, NaturallyAspiratedEngine
from wringout.physics.vehicle import Air, Vehicle, full_power

ROWS, FLOWN, QUADS = 20, 24, 400
TWIN = Path(__file__).with_name("survey_twin.c")
THREADS = len(os.sched_getaffinity(0))
Address = ctypes.c_void_p


def build(folder: Path) -> ctypes.CDLL:
    """The twin, with the constants of the compiled loops."""
    tables = {
        "ROLL_NODES": field_steps.ROLL[0].tolist(),
        "ROLL_SHARES": field_steps.ROLL[1].tolist(),
        "HARD_NODES": field_steps.HARD_ROLL[0].tolist(),
        "HARD_SHARES": field_steps.HARD_ROLL[1].tolist(),
        "FLOAT_NODES": field_steps.FLOAT_NODES,
        "FLOAT_SHARES": field_steps.FLOAT_SHARES,
        "CORRECTIONS": field_takeoff_loop.CORRECTIONS,
        "ARC_STEPS": (field_takeoff_loop.ARC_STEPS,),
        "STRAIGHT_STEPS": (field_takeoff_loop.STRAIGHT_STEPS,),
        "SETTLED": (field_takeoff_loop.SETTLED,),
        "SETTLING": (field_takeoff_loop.SETTLING,),
        "MOST_STEEPER": (field_takeoff_loop.MOST_STEEPER,),
        "HARD": (field_steps.HARD,),
        "GRAVITY": (GRAVITY,),
        "SEA_LEVEL_DENSITY": (SEA_LEVEL_DENSITY,),
    }
    defined = [f"-D{name}={','.join(repr(value) for value in values)}" for name, values in tables.items()]
    object_file, library = folder / "twin.o", folder / "twin.so"
    flags = ["-O3", "-march=native", "-ffast-math", "-fopenmp", "-fPIC", "-c"]
    subprocess.run(["gcc", *flags, *defined, str(TWIN), "-o", str(object_file)], check=True)
    # Linked without -ffast-math, which would round subnormal numbers to nothing in the whole process.
    subprocess.run(["gcc", "-shared", "-fopenmp", str(object_file), "-o", str(library), "-lm"], check=True)
    return ctypes.CDLL(str(library))


def invented(generator: Generator) -> tuple[TakeOffRows, LandingRows]:
    """Posterior samples of an invented bush airplane on a nose wheel, on two surfaces."""

    def scattered(value: float, share: float) -> Array:
        return value * (1 + share * generator.normal(size=ROWS))

    span, area = 10.9, 17.6
    taking_off = Vehicle(
        mass=scattered(1090.0, 0.05),
        wing_area=area,
        span=span,
        wing_height=2.1,
        zero_lift_drag=scattered(0.045, 0.05),
        induced_factor=induced_drag_factor(span, area, scattered(0.8, 0.05)),
        lift_at_minimum_drag=scattered(0.1, 0.2),
        maximum_lift_coefficient=scattered(1.9, 0.03),
        propeller=ConstantSpeedPropeller(2.03, scattered(0.75, 0.03), scattered(0.88, 0.02)),
        engine=NaturallyAspiratedEngine(scattered(149e3, 0.02)),
    )
    rolling = np.stack([scattered(0.05, 0.1), scattered(0.08, 0.1)], axis=1)
    braked = nose_wheel_braking(np.stack([scattered(0.4, 0.1), scattered(0.2, 0.1)], axis=1), 1.8, 1.2, 1.5)
    return (
        TakeOffRows(taking_off, scattered(25.0, 0.03), scattered(28.0, 0.03), rolling, scattered(1.2, 0.02)),
        LandingRows(
            taking_off,
            scattered(28.0, 0.03),
            scattered(22.0, 0.03),
            braked,
            rolling,
            approach_angle=scattered(0.07, 0.1),
            ground_lift_coefficient=scattered(0.5, 0.1),
            propeller_drag_area=scattered(0.15, 0.1),
            aims=1.0,
            flare_height=5.0,
            slowest_touchdown=17.0,
        ),
    )


def hours(generator: Generator, count: int) -> Conditions:
    """Hours on strips from sea level to 2500 m, up to 25 K warmer than standard."""
    air = Air.standard(generator.uniform(0, 2500, count), generator.uniform(-15, 25, count))
    return Conditions(
        air,
        head_wind=generator.uniform(-2, 6, count),
        slope=generator.uniform(-0.03, 0.03, count),
        surface=generator.integers(0, 2, count),
    )


def at(array: np.ndarray) -> Address:
    """Where an array's numbers begin."""
    return Address(array.ctypes.data)


Taken = dict[str, list[tuple[float, float]]]


def interleaved(calls: dict[str, Callable[[], None]], rounds: int) -> Taken:
    """Seconds of the processor and of the clock, of each call in each round."""
    taken: Taken = {name: [] for name in calls}
    for _ in range(rounds):
        for name, call in calls.items():
            clock, start = time.perf_counter(), time.process_time()
            call()
            taken[name].append((time.process_time() - start, time.perf_counter() - clock))
    return taken


def best(taken: list[tuple[float, float]], which: int = 0) -> float:
    """The least of the rounds, of the processor's time or of the clock's."""
    return min(seconds[which] for seconds in taken)


def difference(ours: Array, theirs: Array) -> float:
    """Greatest relative difference where both are finite; infinite where only one is."""
    finite = np.isfinite(ours)
    if np.any(finite != (np.abs(theirs) < 1e250)):
        return float("inf")
    return float(np.max(np.abs(ours[finite] / theirs[finite] - 1)))


def run_by_quad(row: TakeOffRows, hour: Conditions) -> float:
    """One ground run through scipy's quad, the integrand in plain floats."""
    vehicle, air = row.vehicle, hour.air
    propeller = vehicle.propeller
    assert isinstance(propeller, ConstantSpeedPropeller)
    mass, area, density = float(vehicle.mass), float(vehicle.wing_area), float(air.density)
    effect = ground_effect_factor(np.divide(vehicle.wing_height, vehicle.span))
    lift, polar = (
        float(row.ground_lift_coefficient),
        (vehicle.zero_lift_drag, vehicle.induced_factor, vehicle.lift_at_minimum_drag),
    )
    held = 0.5 * density * area * float(drag_coefficient(lift, *polar, effect))
    lifting, disk = 0.5 * density * area * lift, density * pi / 2 * float(propeller.diameter) ** 2
    power, friction = float(full_power(vehicle, air)), float(row.rolling_friction[int(hour.surface)])
    tilt, burden = np.arctan(hour.slope), mass * GRAVITY
    normal, along = burden * cos(tilt), burden * sin(tilt)
    lift_off = float(row.lift_off_speed) * (SEA_LEVEL_DENSITY / density) ** 0.5
    wind, static, cruise = float(hour.head_wind), propeller.static_efficiency, propeller.cruise_efficiency
    best_from = LEVEL_ADVANCE * float(propeller.rated_speed) * float(propeller.diameter)

    def integrand(speed: float) -> float:
        short = 1 - min(speed / best_from, 1.0)
        useful = (cruise - (cruise - static) * short * short) * power
        constant = useful / disk
        through = max(speed, 0.0) + constant ** (1 / 3)
        for _ in range(5):
            through = (through * through * (2 * through - speed) + constant) / (
                through * (3 * through - 2 * speed)
            )
        pressure = speed * abs(speed)
        wheels = max(normal - lifting * abs(pressure), 0.0)
        force = useful / through - held * pressure - friction * wheels - along
        return float((speed - wind) * mass / force)

    return float(quad(integrand, wind, lift_off)[0])


def main(count: int, rounds: int) -> None:
    """Print the ratios and the differences."""
    generator = default_rng(6)
    (taking_off, landing), conditions = invented(generator), hours(generator, count)
    packed, friction = take_off_rows(taking_off)
    landed, rolling, braking = landing_rows(landing)
    columns, surface = condition_columns(conditions, breathes=True)
    ours, theirs, down, twin_down = (room_for(ROWS, count) for _ in range(4))

    def pair(room: FieldDistances) -> tuple[Array, Array]:
        return room.roll, room.distance

    air, kinds = (columns, surface), friction.shape[1]
    os.environ.setdefault("OMP_WAIT_POLICY", "passive")  # waiting threads are not work
    with tempfile.TemporaryDirectory() as folder:
        twin = build(Path(folder))
        wide = ctypes.c_int64
        shared = (at(columns), at(surface), wide(count))
        up = (at(packed), wide(ROWS), at(friction), wide(kinds), *shared)
        back = (at(landed), wide(ROWS), at(rolling), at(braking), wide(kinds), *shared)
        calls: dict[str, Callable[[], None]] = {
            "ground run": lambda: field_kernels._in_portions(
                lambda span: ground_run_loop(packed, friction, air, pair(ours), span), count, THREADS
            ),
            "ground run, C": lambda: twin.twin_ground_run(*up, at(theirs.roll), THREADS),
            "take-off": lambda: field_kernels._in_portions(
                lambda span: take_off_loop(packed, friction, air, pair(ours), span), count, THREADS
            ),
            "take-off, C": lambda: twin.twin_take_off(*up, at(theirs.roll), at(theirs.distance), THREADS),
            "landing": lambda: field_kernels._in_portions(
                lambda span: landing_loop(landed, (rolling, braking), air, pair(down), span), count, THREADS
            ),
            "landing, C": lambda: twin.twin_landing(
                *back, at(twin_down.roll), at(twin_down.distance), THREADS
            ),
        }
        for call in calls.values():
            call()
        taken = interleaved(calls, rounds)
    cases = ROWS * count
    print(f"{cases:,} cases on {THREADS} threads, {rounds} rounds; load {os.getloadavg()[0]:.1f}")
    for end in ("", ", C"):
        pairs = zip(taken["take-off" + end], taken["landing" + end], strict=True)
        taken["whole" + end] = [(up[0] + down[0], up[1] + down[1]) for up, down in pairs]
    print(f"{'':12} {'ns a case':>10} {'C':>8} {'speed/C':>8} {'median':>7} {'by the clock':>13}")
    for name in ("ground run", "take-off", "landing", "whole"):
        mine, other = taken[name], taken[f"{name}, C"]
        median = statistics.median(b[0] / a[0] for a, b in zip(mine, other, strict=True))
        print(
            f"{name:12} {1e9 * best(mine) / cases:10.1f} {1e9 * best(other) / cases:8.1f} "
            f"{best(other) / best(mine):8.2f} {median:7.2f} {best(other, 1) / best(mine, 1):13.2f}"
        )
    apart = [(ours.roll, theirs.roll), (ours.distance, theirs.distance), (down.distance, twin_down.distance)]
    print("from C: roll {:.1e}, take-off {:.1e}, landing {:.1e}".format(*(difference(*two) for two in apart)))
    single = [(one(taking_off, n % ROWS), one(conditions, n)) for n in range(QUADS)]
    start = time.process_time()
    by_quad = [run_by_quad(row, hour) for row, hour in single]
    each = (time.process_time() - start) / QUADS
    same_runs = np.array([ours.roll[index % ROWS, index] for index in range(QUADS)])
    ratio = each * cases / best(taken["ground run"])
    print(
        f"quad: {1e6 * each:.0f} µs a ground run, {ratio:.0f} × ours on one thread, "
        f"{THREADS * ratio:.0f} × on all; difference {np.max(np.abs(same_runs / by_quad - 1)):.1e}"
    )
    flown = [(one(taking_off, n % ROWS), one(landing, n % ROWS), one(conditions, n)) for n in range(FLOWN)]
    start = time.perf_counter()
    ups = np.array([take_off_flown(row, hour) for row, _, hour in flown])
    downs = np.array([landing_flown(row, hour) for _, row, hour in flown])
    each = (time.perf_counter() - start) / FLOWN
    pick = np.arange(FLOWN) % ROWS, np.arange(FLOWN)
    print(
        f"solve_ivp held to 1e-11: {1e3 * each:.0f} ms a take-off and landing; greatest relative differences:"
    )
    for name, found, reference in (
        ("ground run", ours.roll, ups[:, 0]),
        ("take-off", ours.distance, ups[:, 1]),
        ("landing roll", down.roll, downs[:, 0]),
        ("landing", down.distance, downs[:, 1]),
    ):
        print(f"  {name:13} {np.max(np.abs(found[pick] / reference - 1)):.1e}")
    same = take_offs(taking_off, conditions), landings(landing, conditions)
    assert np.array_equal(same[0].distance, ours.distance)
    assert np.array_equal(same[1].distance, down.distance)


if __name__ == "__main__":
    main(*(int(argument) for argument in [*sys.argv[1:], "60000", "7"][:2]))
