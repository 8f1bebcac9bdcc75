"""Failures played through time."""

import math
from dataclasses import replace

import numpy as np
import pytest

from wringout.airplane.airplane import Battery, Electrical, ElectricalLoad
from wringout.airplane.machine import Bus, Generator
from wringout.electrical import (
    Failure,
    at_age,
    battery_endurance,
    battery_endurance_estimate,
    play,
    play_estimate,
    reach_on_battery,
    sources_of,
    usual_failures,
    worst_leg,
)
from wringout.problems import InputError
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

HOUR, WARM = 3600.0, 298.15
MAIN = Battery("main", 24.0 * HOUR, 20.0 * HOUR, 1.15, 12.0)
BACK_UP = Battery("back-up", 4.0 * HOUR, 20.0 * HOUR, 1.1, 12.0, charge_lost_per_kelvin=0.01)
SYSTEM = Electrical(
    60.0,
    (MAIN, BACK_UP),
    (
        ElectricalLoad("ignition A", 2.0, ("alternator", "main"), essential=True, ignition=True),
        ElectricalLoad("ignition B", 2.0, ("alternator", "main", "back-up"), essential=True, ignition=True),
        ElectricalLoad("radio", 4.0, ("alternator", "main"), essential=True, duty=0.25),
        ElectricalLoad("lights", 10.0, ("alternator", "main"), essential=False),
        ElectricalLoad("pitot heat", 8.0, ("alternator",), essential=False),
    ),
)


def test_essential_loads_on_the_main_battery() -> None:
    """Shed at once, 2 + 2 + 1 A last t(5 A); then ignition B and the engine go on with the back-up."""
    found = play(SYSTEM, WARM)
    main = battery_endurance(MAIN, 5.0, WARM)
    last = main + battery_endurance(BACK_UP, 2.0, WARM)
    assert found.kept == ("ignition A", "ignition B", "radio")
    assert found.endurance == pytest.approx(main)
    assert found.first_dark == ("ignition A", "radio")
    assert dict(found.dark)["ignition B"] == pytest.approx(last)
    assert found.engine == pytest.approx(last)
    assert found.meets_thirty_minutes
    second = next(load for load in found.loads if load.name == "ignition B")
    assert [spell.source for spell in second.spells] == ["main", "back-up"]
    assert second.spells[0].end == second.spells[1].start == pytest.approx(main)


def test_recognition_costs_charge() -> None:
    """Ten minutes with the lights on take their share of the battery: 600 s of t(15 A), the rest at 5 A."""
    found = play(SYSTEM, WARM, recognition_time=600.0)
    share = 600.0 / battery_endurance(MAIN, 15.0, WARM)
    assert found.endurance == pytest.approx(600.0 + (1.0 - share) * battery_endurance(MAIN, 5.0, WARM))
    shed = [(event.name, event.time) for event in found.events if event.what == "shed"]
    assert shed == [("lights", 600.0)]


def test_switches_go_in_their_order() -> None:
    """With an order and 30 s a switch the lights go second, half a minute after the heater."""
    loads = (
        ElectricalLoad("lights", 10.0, ("alternator", "main"), essential=False, shed_order=2),
        ElectricalLoad("heater", 5.0, ("alternator", "main"), essential=False, shed_order=1),
        ElectricalLoad("radio", 1.0, ("alternator", "main"), essential=True),
    )
    found = play(replace(SYSTEM, loads=loads), WARM, recognition_time=60.0, shed_interval=30.0)
    assert [(event.name, event.time) for event in found.events if event.what == "shed"] == [
        ("heater", 60.0),
        ("lights", 90.0),
    ]
    used = 60.0 / battery_endurance(MAIN, 16.0, WARM) + 30.0 / battery_endurance(MAIN, 11.0, WARM)
    assert found.endurance == pytest.approx(90.0 + (1.0 - used) * battery_endurance(MAIN, 1.0, WARM))


def test_nothing_shed_and_all_but_the_engine_shed() -> None:
    """Keeping everything takes 15 A off the battery; keeping the ignitions alone 4 A."""
    everything = play(SYSTEM, WARM, shedding="nothing")
    lights = next(load for load in everything.loads if load.name == "lights")
    assert lights.end == pytest.approx(battery_endurance(MAIN, 15.0, WARM))
    engine = play(SYSTEM, WARM, shedding="to the engine")
    assert engine.kept == ("ignition A", "ignition B")
    assert engine.endurance == pytest.approx(battery_endurance(MAIN, 4.0, WARM))


def test_what_only_the_alternator_feeds_goes_at_once() -> None:
    """Pitot heat kept on a bus that only the alternator feeds is dark from the start."""
    found = play(SYSTEM, WARM, kept=("ignition A", "pitot heat"))
    assert found.endurance == 0.0
    assert found.first_dark == ("pitot heat",)
    assert not found.meets_thirty_minutes


def test_the_belt_takes_every_generator_that_it_turns() -> None:
    """Of two generators the one on the engine's gear gives on, and carries what fits into its 5 A."""
    system = replace(
        SYSTEM,
        alternator_driven_by="belt",
        generators=(Generator("standby", 5.0, "engine gear"),),
        loads=tuple(
            replace(load, fed_by=("alternator", "standby", *load.fed_by[1:])) for load in SYSTEM.loads
        ),
    )
    found = play(system, WARM, (Failure(0.0, "belt"),))
    assert math.isinf(found.endurance)
    assert math.isinf(found.engine or 0.0)
    both = play(system, WARM, (Failure(0.0, "belt"), Failure(900.0, "engine gear")))
    assert both.endurance == pytest.approx(900.0 + battery_endurance(MAIN, 5.0, WARM))


def test_what_a_generator_cannot_give_comes_from_the_battery() -> None:
    """18 A kept on a generator of 10 A draw 8 A from the battery."""
    load = ElectricalLoad("heater", 18.0, ("alternator", "main"), essential=True)
    small = Electrical(10.0, (MAIN,), (load,))
    found = play(small, WARM, ())
    assert found.endurance == pytest.approx(battery_endurance(MAIN, 8.0, WARM))


def test_a_bus_that_fails_takes_its_loads() -> None:
    """What the failed bus alone fed is dark; what has another way lives on."""
    system = replace(
        SYSTEM,
        buses=(Bus("main bus", ("alternator", "main")), Bus("avionics", ("main bus",))),
        loads=(
            ElectricalLoad("radio", 1.0, ("avionics",), essential=True),
            ElectricalLoad("ignition", 2.0, ("main bus", "back-up"), essential=True, ignition=True),
        ),
    )
    assert sources_of(system, system.loads[0]) == ["alternator", "main"]
    assert sources_of(system, system.loads[1]) == ["alternator", "main", "back-up"]
    found = play(system, WARM, (Failure(60.0, "main bus"),))
    assert found.dark[0] == ("radio", 60.0)
    assert found.engine == pytest.approx(60.0 + battery_endurance(BACK_UP, 2.0, WARM))


def test_an_alternator_may_need_its_battery() -> None:
    """With the main battery gone such an alternator drops off line, and only the back-up is left."""
    stays = play(SYSTEM, WARM, (Failure(0.0, "main"),))
    assert math.isinf(stays.engine or 0.0)
    drops = play(replace(SYSTEM, alternator_needs_battery=True), WARM, (Failure(0.0, "main"),))
    assert drops.engine == pytest.approx(battery_endurance(BACK_UP, 2.0, WARM))
    assert "off line" in {event.what for event in drops.events}


def test_one_ignition_fails_and_the_other_carries_the_engine() -> None:
    """The engine runs on; what fails is told as failed, not as dark."""
    found = play(SYSTEM, WARM, (Failure(0.0, "ignition A"),))
    assert math.isinf(found.engine or 0.0)
    first = next(load for load in found.loads if load.name == "ignition A")
    assert (first.ending, first.end) == ("failed", 0.0)
    assert found.dark == ()


def test_the_usual_failures_are_those_that_the_system_can_have() -> None:
    """Alternator, belt, battery, ignition, and two at once; without belt and ignitions the fewer."""
    asked = usual_failures(replace(SYSTEM, alternator_driven_by="belt"))
    assert list(asked) == [
        "the alternator stops",
        "the belt breaks",
        "the main fails",
        "the ignition A fails",
        "the alternator stops and the main fails",
    ]
    for failures in asked.values():
        play(
            SYSTEM if "belt" not in failures[0].name else replace(SYSTEM, alternator_driven_by="belt"),
            WARM,
            failures,
        )
    assert list(usual_failures(Electrical(20.0, (MAIN,), SYSTEM.loads[3:]))) == [
        "the alternator stops",
        "the main fails",
    ]


def test_cold_shortens_the_back_up() -> None:
    """With one ignition on its back-up alone, cold takes off what its rating says."""
    alone = Electrical(
        60.0, (BACK_UP,), (ElectricalLoad("ignition B", 2.0, ("alternator", "back-up"), essential=True),)
    )
    warm = play(alone, WARM).endurance
    cold = play(alone, 263.15).endurance
    assert cold / warm == pytest.approx((1.0 - 0.01 * 35.0) ** 1.1)


def test_age_shortens_every_battery() -> None:
    """At 80 % the endurance is 0.8^k of the new one's; an age beyond all is refused."""
    worn = play(at_age(SYSTEM, 0.8), WARM).endurance
    assert worn / play(SYSTEM, WARM).endurance == pytest.approx(0.8**1.15)
    assert at_age(SYSTEM, None) is SYSTEM
    with pytest.raises(ValueError, match=r"between 0 and 1, found 1\.2"):
        at_age(SYSTEM, 1.2)


def test_common_practice_for_a_light_two_seater() -> None:
    """About an hour for ignition and avionics on 24 Ah with 11 A; 30 to 45 min on a small back-up.

    Common practice, no source: a main battery at four fifths of its charge, of which four fifths come out
    before things quit; a back-up of 2.9 Ah for one ignition of 2.2 A, at 10 °C.
    """
    worn = replace(MAIN, aged_fraction=0.8, usable_fraction=0.8)
    small = Battery("back-up", 2.9 * HOUR, 20.0 * HOUR, 1.15, 12.0, 0.01, 0.9)
    loads = (
        ElectricalLoad("ignition", 2.2, ("alternator", "main", "back-up"), essential=True, ignition=True),
        ElectricalLoad("avionics", 8.8, ("alternator", "main"), essential=True),
    )
    found = play(Electrical(60.0, (worn, small), loads), 283.15)
    assert 50.0 < found.endurance / 60.0 < 70.0
    assert found.engine is not None
    assert 30.0 < (found.engine - found.endurance) / 60.0 < 45.0


def test_nothing_kept_never_goes_dark() -> None:
    """With every load shed there is nothing to go dark."""
    found = play(SYSTEM, WARM, kept=())
    assert math.isinf(found.endurance)
    assert found.dark == ()


def test_unknown_names_are_refused() -> None:
    """A load to keep, a source, or a part that fails and is not described is refused by its name."""
    with pytest.raises(InputError, match="no load 'Radio'"):
        play(SYSTEM, WARM, kept=("Radio",))
    with pytest.raises(InputError, match="no part of the electrical system 'belt'"):
        play(SYSTEM, WARM, (Failure(0.0, "belt"),))
    wrong = Electrical(60.0, (MAIN,), (ElectricalLoad("radio", 4.0, ("bus 2",), essential=True),))
    with pytest.raises(InputError, match="no source 'bus 2'"):
        play(wrong, WARM)
    with pytest.raises(ValueError, match="no negative time"):
        play(SYSTEM, WARM, recognition_time=-1.0)


def test_a_single_battery_s_uncertainty_is_the_claim_s() -> None:
    """Played through, one battery and one load give the value and the spread that claims are judged with."""
    alone = Electrical(60.0, (BACK_UP,), (ElectricalLoad("radio", 2.0, ("back-up",), essential=True),))
    cold = Estimate(268.15, 3.0, Dimension.TEMPERATURE, "stated")
    ours = play_estimate(alone, cold).endurance
    theirs = battery_endurance_estimate(BACK_UP, Estimate(2.0, 0.1, Dimension.CURRENT, "stated"), cold)
    assert ours is not None
    assert ours.value == pytest.approx(theirs.value)
    assert ours.sd == pytest.approx(theirs.sd, rel=1e-3)


def test_stated_uncertainty_is_that_of_draws() -> None:
    """Drawing charges, exponents, currents and temperature, the engine's time scatters as stated."""
    rng = np.random.default_rng(5)
    cold = Estimate(268.15, 3.0, Dimension.TEMPERATURE, "thermometer")
    stated = play_estimate(SYSTEM, cold, recognition_time=300.0).engine
    assert stated is not None
    times = []
    for _ in range(1500):
        batteries = tuple(
            replace(
                battery,
                charge=battery.charge * (1 + 0.10 * rng.standard_normal()),
                peukert_exponent=max(battery.peukert_exponent + 0.03 * rng.standard_normal(), 1.0),
            )
            for battery in SYSTEM.batteries
        )
        factor = 1 + 0.05 * rng.standard_normal()
        loads = tuple(replace(load, current=load.current * factor) for load in SYSTEM.loads)
        drawn = replace(SYSTEM, batteries=batteries, loads=loads)
        engine = play(drawn, 268.15 + 3.0 * rng.standard_normal(), recognition_time=300.0).engine
        assert engine is not None
        times.append(engine)
    assert stated.sd is not None
    assert 0.93 < np.std(times) / stated.sd < 1.07


def test_both_ends_of_a_trip_are_equally_far_in_time() -> None:
    """Derived: 40 km on against 10 m/s at 50 m/s is as long as 60 km back with it; no wind, half the way."""
    left, time = worst_leg(100_000.0, 50.0, 10.0)
    assert left / (50.0 - 10.0) == pytest.approx((100_000.0 - left) / (50.0 + 10.0))
    assert time == pytest.approx(left / 40.0)
    assert worst_leg(100_000.0, 50.0) == (50_000.0, 1000.0)
    with pytest.raises(ValueError, match="faster than the wind"):
        worst_leg(1000.0, 10.0, 12.0)


def test_reach_adds_the_glide() -> None:
    """Derived: half an hour at 50 m/s and 1 000 m at 9 to 1 are 90 and 9 km; spreads add in quadrature."""
    half_hour = Estimate(1800.0, 180.0, Dimension.TIME, "played")
    speed = Estimate(50.0, 1.0, Dimension.SPEED, "fitted")
    glide = Estimate(9.0, 0.5, Dimension.RATIO, "fitted")
    found = reach_on_battery(half_hour, speed, 1000.0, glide)
    assert found.value == pytest.approx(99_000.0)
    assert found.sd == pytest.approx(math.sqrt(9000.0**2 + 1800.0**2 + 500.0**2))
