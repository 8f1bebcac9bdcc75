"""Soft ground, steps, turns, legs and skis."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from tests.loading.airplanes import NOSE, TAIL
from tests.undercarriage.printed import example
from wringout.airplane.airplane import Geometry, Undercarriage
from wringout.airplane.machine import TrailingArm
from wringout.physics.constants import GRAVITY
from wringout.undercarriage import (
    BEARABLE,
    SOILS,
    bearing_ratio,
    climbed_steps,
    contact_area,
    door_width,
    extremes,
    motion_ratio,
    rolling_in,
    ski_sinkage,
    spring_load,
    step_pull,
    swept_circle,
    thrust_to_nose_over,
    turn_radius,
    tyre_area,
    wheel_path,
)

INCH, POUND = 0.0254, 0.45359237
PSI = POUND * GRAVITY / INCH**2


@pytest.mark.parametrize("case", ["LG-06a", "LG-06b", "LG-06c"])
def test_contact_area_from_the_tyre_s_size(case: str) -> None:
    """Raymer's formula on three catalogue tyres, to the last printed digit."""
    inputs, printed, unit = example(case)
    area = tyre_area(inputs["width"] * INCH, inputs["diameter"] * INCH, inputs["radius"] * INCH)
    assert area / INCH**2 == pytest.approx(printed, abs=unit)


def test_catalogue_loads_are_somewhat_below_pressure_times_area() -> None:
    """A 7.00-8 at 46 psi is rated 2 400 lb, 86 % of what its area carries [catalogue, second-hand]."""
    inputs, _, _ = example("LG-06a")
    area = tyre_area(inputs["width"] * INCH, inputs["diameter"] * INCH, inputs["radius"] * INCH)
    assert 2400 * POUND * GRAVITY / (46 * PSI * area) == pytest.approx(0.86, abs=0.01)


def test_contact_area_by_pressure() -> None:
    """1 080 lb on 30 psi rest on 36.0 in²."""
    inputs, printed, unit = example("LG-09")
    area = contact_area(inputs["load"] * POUND * GRAVITY, inputs["pressure"] * PSI)
    assert area / INCH**2 == pytest.approx(printed, abs=unit)
    with pytest.raises(ValueError, match="must be positive"):
        contact_area(0.0, 1e5)
    with pytest.raises(ValueError, match="half the diameter"):
        tyre_area(0.2, 0.5, 0.3)


@pytest.mark.parametrize("case", ["LG-10a", "LG-10b"])
def test_bearing_ratio(case: str) -> None:
    """25 and 50 psi need a bearing ratio of 9.70 and 19.39 % at the surface."""
    inputs, printed, unit = example(case)
    assert bearing_ratio(inputs["pressure"] * PSI) == pytest.approx(printed, abs=unit)


def test_softer_surfaces_bear_less() -> None:
    """The table's bounds stand in order, and none bears more than good tarmac."""
    assert all(low < high for low, high in BEARABLE.values())
    assert BEARABLE["soft sand"][0] / PSI == pytest.approx(25.0)
    assert max(high for _, high in BEARABLE.values()) == BEARABLE["good tarmac"][1]


@pytest.mark.parametrize("name", sorted(SOILS))
def test_a_round_wheel_carries_what_the_ground_presses_on_its_rim(name: str) -> None:
    """Brute force: the pressure integrated along the sunk arc is the load."""
    soil, width, diameter, load = SOILS[name], 0.20, 0.44, 3500.0
    found = rolling_in(soil, load, width, diameter, 1e7)
    assert found.tyre == "round"
    k, n, z = soil.stiffness(width), soil.exponent, found.sinkage
    half = math.sqrt(diameter * z)
    carried = width * k * quad(lambda x: (z - x * x / diameter) ** n, 0.0, half)[0]
    assert carried == pytest.approx(load, rel=1e-4)


@pytest.mark.parametrize("name", ["dry sand", "sandy loam, firm"])
def test_the_textbook_s_short_form_says_nearly_the_same(name: str) -> None:
    """z = (3 N/((3 − n) b k √D))^(2/(2n + 1)) [Bekker, from memory] is within 3 % for n near one."""
    soil, width, diameter, load = SOILS[name], 0.20, 0.44, 3500.0
    n, k = soil.exponent, soil.stiffness(width)
    short = (3.0 * load / ((3.0 - n) * width * k * math.sqrt(diameter))) ** (2.0 / (2.0 * n + 1.0))
    assert rolling_in(soil, load, width, diameter, 1e7).sinkage == pytest.approx(short, rel=0.03)


def test_soft_tyre_by_hand() -> None:
    """k = 990/0.28 + 1 528 430 = 1 531 966; z = (90 000/k)^(1/1.1); R = 0.28 k z^2.1/2.1."""
    k = 990.0 / 0.28 + 1_528_430.0
    z = (90_000.0 / k) ** (1.0 / 1.1)
    found = rolling_in(SOILS["dry sand"], 4900.0, 0.28, 0.74, 90e3)
    assert found.tyre == "flattened"
    assert found.sinkage == pytest.approx(z)
    assert found.resistance == pytest.approx(0.28 * k * z**2.1 / 2.1 / 4900.0)
    with pytest.raises(ValueError, match="must be positive"):
        rolling_in(SOILS["dry sand"], 4900.0, 0.0, 0.74, 90e3)


@given(st.sampled_from(sorted(SOILS)), st.floats(1000.0, 8000.0), st.floats(0.1, 0.35), st.floats(4e4, 4e5))
def test_more_air_never_rolls_easier_in_soft_ground(
    name: str, load: float, width: float, pressure: float
) -> None:
    """In ground that gives, a softer tyre sinks no deeper and rolls no harder."""
    hard = rolling_in(SOILS[name], load, width, 0.6, pressure)
    soft = rolling_in(SOILS[name], load, width, 0.6, 0.7 * pressure)
    assert soft.sinkage <= hard.sinkage * (1 + 1e-12)
    assert soft.resistance <= hard.resistance * (1 + 1e-12)


def test_skis_by_hand() -> None:
    """1 000 kg on 1.3 m² press 7 544 Pa; in snow of k = 4 370/0.34 + 196 720 that is (7 544/k)^(1/1.6)."""
    k = 4370.0 / 0.34 + 196_720.0
    assert ski_sinkage(SOILS["snow"], 1000.0, 1.3, 0.34) == pytest.approx(
        (1000 * GRAVITY / 1.3 / k) ** (1 / 1.6)
    )
    with pytest.raises(ValueError, match="must be positive"):
        ski_sinkage(SOILS["snow"], 1000.0, 0.0, 0.34)


def test_steps_at_a_thrust_are_those_whose_pull_it_is() -> None:
    """Nose wheel 1/6 of 1 080 kg: the step climbed needs the thrust back; both mains less than one alone."""
    gear = replace(NOSE, main_wheel_radius=0.25, third_wheel_radius=0.20)
    steps = dict(climbed_steps(gear, 1080.0, 2.05, 2500.0))
    share = (2.35 - 2.05) / 1.80
    back = float(step_pull(0.20, steps["nose wheel"])) * 1080.0 * GRAVITY * share
    assert back == pytest.approx(2500.0)
    both = float(step_pull(0.25, steps["both main wheels"])) * 1080.0 * GRAVITY * (1.0 - share)
    assert both == pytest.approx(2500.0)
    assert steps["one main wheel"] > steps["both main wheels"]
    assert climbed_steps(NOSE, 1080.0, 2.05, 2500.0) == ()


def test_thrust_lifts_the_tail_before_the_wheels_climb() -> None:
    """W x/h_T: 1 000 kg, 0.4 m and 1.6 m are 2 451.7 N; no more pulls at the main wheels."""
    gear = replace(TAIL, thrust_line_height=1.6, main_wheel_radius=0.3)
    limit = thrust_to_nose_over(gear, 1000.0, 2.0)
    assert limit == pytest.approx(1000.0 * GRAVITY * 0.25)
    assert limit is not None
    assert dict(climbed_steps(gear, 1000.0, 2.0, 9000.0)) == dict(climbed_steps(gear, 1000.0, 2.0, limit))
    assert thrust_to_nose_over(NOSE, 1000.0, 2.0) is None
    with pytest.raises(ValueError, match="behind its main wheels"):
        thrust_to_nose_over(gear, 1000.0, 1.5)


GEOMETRY = Geometry(10.0, 15.0, 2.0, 1.5, 0.5, 7.0, 2.4, nose_arm=-1.7, tail_span=3.0)


def test_swept_circle_by_hand() -> None:
    """Pivoting about one main wheel, 1.1 m off the middle: tip (1.1 + 5.0, 0.5) and tail (1.1 + 1.5, 4.3)."""
    gear = Undercarriage("nose wheel", 1.0, -0.9, 2.2, 1.1)
    circle = swept_circle(gear, GEOMETRY)
    points = dict(circle.points)
    assert circle.radius == pytest.approx(1.1)
    assert points["wing tip"] == pytest.approx(math.hypot(6.1, 1.0))
    assert points["nose"] == pytest.approx(math.hypot(1.1, 2.7))
    assert points["tail"] == pytest.approx(math.hypot(2.6, 4.3))
    assert circle.farthest == "wing tip"
    assert circle.diameter == pytest.approx(2.0 * math.hypot(6.1, 1.0))
    tight = swept_circle(gear, GEOMETRY, math.radians(20.0))
    assert tight.radius == pytest.approx(turn_radius(gear, math.radians(20.0)))
    bare = swept_circle(gear, Geometry(10.0, 15.0, 2.0))
    assert dict(bare.points) == {"wing tip": pytest.approx(6.1)}
    assert len(extremes(GEOMETRY)) == 4


def test_hangar_door() -> None:
    """10.0 m of wing and half a metre at each tip need 11 m."""
    assert door_width(GEOMETRY) == pytest.approx(11.0)
    with pytest.raises(ValueError, match="not negative"):
        door_width(GEOMETRY, -0.1)


LEG = TrailingArm(0.5, math.radians(30.0), 0.125, 0.05)


def test_wheel_path_by_hand() -> None:
    """50 mm at 125 mm turn the arm by 0.4 rad: from 30° below level to 7.08°, 188 mm up and 63 mm aft."""
    path = wheel_path(LEG)
    after = math.radians(30.0) - 0.4
    assert path.up == pytest.approx(0.5 * (0.5 - math.sin(after)))
    assert path.up == pytest.approx(0.1884, abs=1e-4)
    assert path.aft == pytest.approx(0.5 * (math.cos(after) - math.cos(math.radians(30.0))))
    assert path.aft == pytest.approx(0.0632, abs=1e-4)


def test_the_spring_does_the_wheel_s_work() -> None:
    """Virtual work: what a small travel takes from wheel forces goes into the spring."""
    vertical, rearward, turn = 3000.0, 800.0, 1e-6
    up = 0.5 * (math.sin(LEG.slope) - math.sin(LEG.slope - turn))
    aft = 0.5 * (math.cos(LEG.slope - turn) - math.cos(LEG.slope))
    spring = float(spring_load(LEG, vertical, rearward))
    assert spring * LEG.spring_arm * turn == pytest.approx(vertical * up + rearward * aft, rel=1e-5)
    assert motion_ratio(LEG) == pytest.approx(float(spring_load(LEG, 1.0)))
