"""Trips along strips: tracks and winds, short legs, the best order, fuel on the way, loads on and off."""

import math
from dataclasses import replace
from itertools import pairwise, permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.loading.airplanes import hauler
from tests.missions.questions import LOADS, MISSION, PERFORMANCE
from wringout.dossier.dossier import Load, Mission, Strip
from wringout.missions import Leg, answer, best_order, fly, legs_of
from wringout.problems import InputError

KNOT, MILE = 1852.0 / 3600.0, 1852.0
AIRPLANE = hauler()


def strip(name: str, north: float, east: float, elevation: float = 300.0) -> Strip:
    """A strip some nautical miles north and east of 50° N, 0° E."""
    latitude = math.radians(50.0 + north / 60.0)
    longitude = math.radians(east / 60.0) / math.cos(latitude)
    return Strip(name, elevation, 900.0, 1.0, 0.0, "dry grass", latitude=latitude, longitude=longitude)


STRIPS = {
    item.name: item
    for item in (
        strip("home", 0.0, 0.0),
        strip("north", 40.0, 0.0, 800.0),
        strip("near", 6.0, 0.0, 500.0),
        strip("east", 0.0, 60.0),
        strip("west", 5.0, -50.0),
    )
}
OUT_AND_BACK = replace(MISSION, strip=None, distance=0.0, head_wind=0.0, route=("home", "north", "home"))


def leg(distance: float, head: float = 0.0, cross: float = 0.0, up: float = 0.0, down: float = 0.0) -> Leg:
    """A leg of so many metres."""
    return Leg("a", "b", distance, 0.0, head, cross, up, down)


def test_distance_and_track_on_the_earth() -> None:
    """Forty minutes of latitude are 40 nm within the ellipsoid's third of a per cent; due north is 000."""
    (there, back) = legs_of(OUT_AND_BACK, STRIPS)
    assert there.distance / MILE == pytest.approx(40.0, rel=4e-3)
    assert there.track == pytest.approx(0.0, abs=1e-6)
    assert back.track == pytest.approx(math.pi, abs=1e-6)
    assert (there.start_elevation, there.end_elevation) == (300.0, 800.0)


def test_wind_components_of_the_handbook() -> None:
    """FAA-H-8083-25, sample problem 10, as printed: 140°/25 kt on runway 17: 22 kt ahead, 13 kt across."""
    mission = replace(
        OUT_AND_BACK, wind_from=math.radians(140.0 - 170.0) % (2 * math.pi), wind_speed=25 * KNOT
    )
    there, back = legs_of(mission, STRIPS)
    assert there.head_wind / KNOT == pytest.approx(22.0, abs=0.5)
    assert abs(there.cross_wind) / KNOT == pytest.approx(13.0, abs=0.51)
    assert back.head_wind == pytest.approx(-there.head_wind, abs=1e-6)


def test_a_cross_wind_costs_ground_speed() -> None:
    """Across at 3/5 of the airspeed the airplane makes 4/5 of it good: the wind triangle of 3, 4 and 5."""
    level = replace(PERFORMANCE, altitude=0.0, true_airspeed=np.array([50.0]), fuel_flow=np.array([1e-5]))
    assert float(fly(leg(400e3, cross=30.0), level).cruise_time[0]) == pytest.approx(400e3 / 40.0)
    with pytest.raises(ValueError, match="cannot hold its track"):
        fly(leg(1e5, cross=60.0), PERFORMANCE)
    with pytest.raises(ValueError, match="never arrives"):
        fly(leg(1e5, head=60.0), PERFORMANCE)


def test_a_climb_of_a_straight_falling_rate() -> None:
    """From 4 m/s to 2 m/s over 1 500 m: ∫dh/r = 1500 ln 2 / 2 s, by hand; as its thousandth steps add up."""
    found = fly(leg(300e3), PERFORMANCE)
    assert float(found.climb_time[0]) == pytest.approx(750.0 * math.log(2.0))
    heights = np.linspace(0.0, 1500.0, 100_001)
    steps = np.trapezoid(1.0 / (4.0 - heights / 750.0), heights)
    assert float(found.climb_time[0]) == pytest.approx(float(steps), rel=1e-6)
    assert float(found.descent_time[0]) == pytest.approx(600.0)


def test_a_leg_too_short_for_its_altitude() -> None:
    """It is flown where climb and descent meet: no cruise is left, and the distance is covered."""
    typical = PERFORMANCE.typical
    found = fly(leg(30e3), typical)
    assert found.top < 1500.0
    covered = 41.0 * found.climb_time + typical.true_airspeed * found.descent_time
    assert float(covered[0]) == pytest.approx(30e3, rel=1e-6)
    assert float(found.cruise_time[0]) == pytest.approx(0.0, abs=1e-3)
    assert fly(leg(300e3), typical).top == 1500.0


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.integers(0, 6), st.integers(0, 2**31), st.booleans())
def test_no_order_is_cheaper(count: int, seed: int, ruled: bool) -> None:
    """The best order costs as little as the best of all, of those that keep what comes first."""
    rng = np.random.default_rng(seed)
    cost = rng.uniform(1.0, 9.0, (count + 2, count + 2)).tolist()
    before = [(0, 1), (2, 1)] if ruled and count > 2 else []
    order, found = best_order(cost, before)
    kept = [
        stops
        for stops in permutations(range(count))
        if all(stops.index(first) < stops.index(second) for first, second in before)
    ]
    totals = []
    for stops in kept:
        places = (count, *stops, count + 1)
        totals.append(sum(cost[one][other] for one, other in pairwise(places)))
    assert found == pytest.approx(min(totals))
    assert order in kept


def test_nine_strips_in_any_order() -> None:
    """Nine stops on a circle are flown around it, one way or the other."""
    around = [strip(f"s{n}", 30 * math.cos(n * 0.628), 30 * math.sin(n * 0.628)) for n in range(10)]
    strips = {item.name: item for item in around}
    shuffled = ("s0", "s4", "s8", "s1", "s6", "s2", "s9", "s3", "s7", "s5", "s0")
    mission = replace(OUT_AND_BACK, route=shuffled, any_order=True)
    found = answer(mission, AIRPLANE, PERFORMANCE, strips=strips)
    stops = [int(str(item.leg.start)[1:]) for item in found.legs]
    assert stops in ([0, *range(1, 10)], [0, *range(9, 0, -1)])
    assert any(note.startswith("In the order that takes least fuel: s0,") for note in found.notes)


def test_out_and_back_without_fuel_there() -> None:
    """All of the fuel is aboard at the start; with fuel at the far strip only what each way takes."""
    dry = answer(OUT_AND_BACK, AIRPLANE, PERFORMANCE, strips=STRIPS)
    wet = answer(replace(OUT_AND_BACK, fuel_at=("north",)), AIRPLANE, PERFORMANCE, strips=STRIPS)
    assert [leg.filled > 0.0 for leg in dry.legs] == [True, False]
    assert [leg.filled > 0.0 for leg in wet.legs] == [True, True]
    burnt = sum(leg.burnt.value for leg in dry.legs)
    reserve = dry.fuel_rows[-1].volume
    assert dry.legs[0].fuel_at_start == pytest.approx(burnt + reserve, rel=2e-3)
    assert wet.legs[0].fuel_at_start == pytest.approx(wet.legs[0].burnt.value + reserve, rel=2e-3)
    assert dry.legs[-1].fuel_at_end.value == pytest.approx(reserve, rel=5e-3)
    assert wet.legs[-1].fuel_at_end.value == pytest.approx(reserve, rel=5e-3)


def test_what_is_filled_must_be_enough() -> None:
    """Less than the trip takes is a no, more is carried along and left at the end."""
    little = answer(replace(OUT_AND_BACK, fuel=0.030), AIRPLANE, PERFORMANCE, strips=STRIPS)
    assert little.outcome == "no"
    assert "filled are 30 L" in little.reasons[0]
    plenty = answer(replace(OUT_AND_BACK, fuel=0.150), AIRPLANE, PERFORMANCE, strips=STRIPS)
    assert plenty.legs[0].fuel_at_start == 0.150
    assert plenty.legs[-1].fuel_at_end.value > 0.080


def test_loads_come_and_go() -> None:
    """A dog taken on at the far strip is aboard on the way home alone, sacks put off there on the way out."""
    dog = Load("dog", 53.0, ("bay",), taken_on="north")
    sacks = Load("sacks", 25.0, ("bay",), must=False, count=4, put_off="north")
    mission = replace(OUT_AND_BACK, loads=(*LOADS[:2], dog, sacks))
    found = answer(mission, AIRPLANE, PERFORMANCE, strips=STRIPS)
    aboard = [{item.load.name for item in leg.stowage.placed} for leg in found.legs]
    assert aboard == [{"vet", "nurse", "sacks"}, {"vet", "nurse", "dog"}]
    assert "Vet, nurse" in found.sentence
    wrong = replace(dog, taken_on="north", put_off="home")
    backwards = replace(
        mission, route=("north", "home"), loads=(*LOADS[:2], replace(wrong, taken_on="home", put_off="north"))
    )
    with pytest.raises(InputError, match="before it is taken on"):
        answer(backwards, AIRPLANE, PERFORMANCE, strips=STRIPS)


def test_what_does_not_go_on_one_leg_goes_on_none() -> None:
    """Beside the engine taken on under way there is no room for all the sacks: they stay from the start."""
    engine = Load("engine", 120.0, ("bay",), taken_on="north")
    sacks = Load("sacks", 25.0, ("bay",), must=False, count=4)
    found = answer(
        replace(OUT_AND_BACK, loads=(*LOADS[:2], engine, sacks)), AIRPLANE, PERFORMANCE, strips=STRIPS
    )
    for item in found.legs:
        carried = sum(placed.count for placed in item.stowage.placed if placed.load.name == "sacks")
        assert carried == 2
        assert item.stowage.report.within
    assert found.placement is not None
    assert [(item.load.name, item.count) for item in found.placement.left] == [("sacks", 2)]
    assert "two of four sacks" in found.sentence
    assert "the other two stay: the limit of bay" in found.sentence


def test_a_strip_without_its_place() -> None:
    """A route over a strip that does not say where it lies is refused, so is one that is not described."""
    lost = {**STRIPS, "north": replace(STRIPS["north"], latitude=None)}
    with pytest.raises(InputError, match="where 'north' lies is not known"):
        legs_of(OUT_AND_BACK, lost)
    with pytest.raises(InputError, match="the strip 'north', which is not given"):
        legs_of(OUT_AND_BACK, {"home": STRIPS["home"]})


def test_the_mission_of_a_distance_is_one_leg() -> None:
    """With its head wind, from and to the height of its strip."""
    mission: Mission = replace(MISSION, strip="near", distance=1e5)
    (only,) = legs_of(mission, STRIPS)
    assert (only.distance, only.head_wind, only.start_elevation, only.end_elevation) == (
        1e5,
        5.0,
        500.0,
        500.0,
    )
