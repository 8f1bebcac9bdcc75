"""A wrong airplane cannot be built, and its parts are found by name."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from tests.airplane.shepherd import NOSE_WHEEL, TAIL_WHEEL, shepherd
from wringout.airplane import (
    Battery,
    CombinedLimit,
    Configuration,
    Electrical,
    ElectricalLoad,
    Engine,
    Envelope,
    FlapSetting,
    Fuel,
    Item,
    Station,
    Tank,
    Weighing,
    WheelReading,
    battery,
    configuration,
    configuration_envelope,
    envelope,
    flap,
    kit,
    reference,
    station,
    tank,
)
from wringout.problems import InputError
from wringout.quantity import Dimension, Estimate


def _faults(**changes: Any) -> dict[str, str]:
    """Field and sentence of each fault of the airplane with these parts changed."""
    with pytest.raises(InputError) as caught:
        replace(shepherd(), **changes)
    return {problem.field or "": problem.sentence().lower() for problem in caught.value.problems}


def test_a_right_airplane_is_built() -> None:
    """The example has no fault, and its parts are found."""
    airplane = shepherd()
    assert configuration(airplane, "nose wheel").kit == "nose kit"
    assert envelope(airplane, "normal") is configuration_envelope(airplane, "nose wheel")
    assert kit(airplane, "nose kit").on[0].mass == 16.0
    assert station(airplane, "bay").arm_aft == 2.3
    assert tank(airplane, "left").usable == 0.07
    assert flap(airplane, "landing").limit_speed == 36.0
    assert battery(airplane, "main").charge == 86400.0
    assert reference(airplane).name == "tail wheel"


def test_a_name_that_nothing_answers_to_is_refused_with_the_nearest() -> None:
    """The error offers the name that was probably meant, or all there are."""
    with pytest.raises(InputError, match=r"no flap setting 'Landings'.*'landing' if that is meant"):
        flap(shepherd(), "Landings")
    with pytest.raises(InputError, match="Use one of 'front seats', 'bay'"):
        station(shepherd(), "wing locker")
    with pytest.raises(InputError, match="there is none yet"):
        battery(replace(shepherd(), electrical=None), "main")


ONE_SCALE = Weighing(date(2026, 5, 11), "tail wheel", (WheelReading("mains", 549.0, 2.0, 0.55),), 0.5)
TRIANGLE = ((1.0, 5.0), (2.0, 5.0), (2.0, 9.0))
BOW_TIE = ((1.0, 5.0), (2.0, 9.0), (2.0, 5.0), (1.0, 9.0))
WRONG: list[tuple[str, dict[str, Any], str]] = [
    ("geometry.span", {"geometry": replace(shepherd().geometry, span=-10.2)}, "above zero"),
    (
        "geometry.wing_area",
        {"geometry": replace(shepherd().geometry, wing_area=float("nan"))},
        "a number is expected",
    ),
    ("stations[0].arm_aft", {"stations": (Station("bay", 2.3, 1.5, None, "things"),)}, "exchange"),
    ("stations[0].mass_limit", {"stations": (Station("bay", 2.3, 2.3, 0.0, "things"),)}, "above zero"),
    (
        "stations[0].floor_load_limit",
        {"stations": (Station("bay", 2, 2, None, "things", 0, None, 245.0),)},
        "floor_area",
    ),
    (
        "combined_limits[0].stations[1]",
        {"combined_limits": (CombinedLimit("x", ("bay", "boy"), 9.0),)},
        "'bay' if",
    ),
    ("fuel.density", {"fuel": Fuel("avgas", 0.72)}, "no fuel"),
    ("tanks[0].arms", {"tanks": (Tank("left", 0.07, 0.0, ((0.05, 1.0), (0.0, 1.1))),)}, "rise"),
    ("tanks[0].arms", {"tanks": (Tank("left", 0.07, 0.0, ((0.0, 1.0), (0.05, 1.1))),)}, "full tank"),
    ("tanks[0].arms", {"tanks": (Tank("left", 0.07, 0.0, ()),)}, "needs its arm"),
    ("tanks", {"tanks": ()}, "at least one tank"),
    (
        "envelopes[0].vertices",
        {"envelopes": (Envelope("normal", BOW_TIE, 9.0),)},
        "crosses",
    ),
    ("envelopes[0].vertices", {"envelopes": (Envelope("normal", TRIANGLE[:2], 9.0),)}, "three corners"),
    (
        "envelopes[0].maximum_takeoff_mass",
        {"envelopes": (Envelope("normal", TRIANGLE, 10.0),)},
        "outside",
    ),
    (
        "envelopes[0].maximum_ramp_mass",
        {"envelopes": (Envelope("normal", TRIANGLE, 9.0, 8.0),)},
        "taxi",
    ),
    (
        "empty.configuration",
        {"empty": replace(shepherd().empty, configuration="tale wheel")},
        "'tail wheel' if",
    ),
    (
        "empty.readings",
        {"empty": ONE_SCALE},
        "two arms",
    ),
    (
        "kits[0].on[0].mass",
        {"kits": (replace(shepherd().kits[0], on=(Item("wheel", -16.0, 0.0),)),)},
        "positive",
    ),
    ("kits[1].name", {"kits": (shepherd().kits[0], shepherd().kits[0])}, "two kits"),
    (
        "configurations[0].envelope",
        {"configurations": (Configuration("tail wheel", TAIL_WHEEL, "utility"),)},
        "normal",
    ),
    (
        "configurations[0].kit",
        {"configurations": (Configuration("tail wheel", TAIL_WHEEL, "normal", "floats"),)},
        "nose kit",
    ),
    ("configurations", {"configurations": ()}, "at least one"),
    ("flaps[0].deflection", {"flaps": (FlapSetting("down", 0.5), FlapSetting("up", 0.0))}, "from up"),
    ("flaps[0].deflection", {"flaps": (FlapSetting("up", 15.0),)}, "degrees"),
    ("engine.battery_energy", {"engine": Engine("electric", 57e3, 40.0)}, "energy"),
    ("engine.critical_altitude", {"engine": Engine("turbocharged", 57e3, 40.0)}, "critical"),
    (
        "electrical.batteries[0].peukert_exponent",
        {"electrical": Electrical(6, (Battery("b", 9, 9, 0.9, 12),), ())},
        "lead",
    ),
    (
        "electrical.loads[0].fed_by[0]",
        {"electrical": Electrical(6.0, (), (ElectricalLoad("r", 1.0, ("altenator",), essential=True),))},
        "'alternator' if",
    ),
    (
        "configurations[0].undercarriage.third_arm",
        {"configurations": (Configuration("tail wheel", replace(NOSE_WHEEL, kind="tail wheel"), "normal"),)},
        "arms grow aft",
    ),
    (
        "configurations[0].drag_area_change",
        {
            "configurations": (
                Configuration(
                    "tail wheel", TAIL_WHEEL, "normal", None, Estimate(0.1, None, Dimension.AREA, "guess")
                ),
            )
        },
        "uncertainty",
    ),
]


@pytest.mark.parametrize(("field", "changes", "says"), WRONG)
def test_a_wrong_airplane_cannot_be_built(field: str, changes: dict[str, Any], says: str) -> None:
    """Each fault names the attribute and says what would mend it."""
    faults = _faults(**changes)
    assert field in faults
    assert says in faults[field]


def test_every_fault_is_told_at_once() -> None:
    """Three faults in three parts give three problems."""
    faults = _faults(
        fuel=Fuel("avgas", 0.72), tanks=(), geometry=replace(shepherd().geometry, span=-10.2)
    )  # fmt: skip
    assert set(faults) == {"fuel.density", "tanks", "geometry.span"}
