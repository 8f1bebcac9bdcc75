"""Options that contradict one another, or name nothing, are refused at the field at fault."""

from dataclasses import replace

import pytest

from tests.airplane.shepherd import shepherd
from wringout.airplane import Item, Option, option
from wringout.problems import InputError
from wringout.quantity import Dimension, Estimate

BATTERY = Option("second battery", on=(Item("battery", 6.0, 1.5),), place="tray")


def _faults(*options: Option) -> dict[str, str]:
    with pytest.raises(InputError) as caught:
        replace(shepherd(), options=options)
    return {problem.field or "": problem.sentence() for problem in caught.value.problems}


def test_options_that_go_together_are_taken() -> None:
    """Needs, exclusions and places that no one contradicts make an airplane."""
    heater = Option("heater", on=(Item("heater", 3.0, 0.2),), needs=("second battery",), fits=("tail wheel",))
    airplane = replace(shepherd(), options=(BATTERY, heater))
    assert option(airplane, "heater").needs == ("second battery",)


def test_a_name_of_nothing_is_refused_at_its_place() -> None:
    """The nearest name is offered."""
    found = _faults(BATTERY, Option("heater", needs=("second batery",)))
    assert "second battery" in found["options[1].needs[0]"]
    assert "options[0].fits[0]" in _faults(replace(BATTERY, fits=("floats",)))
    assert "options[0].envelope" in _faults(replace(BATTERY, envelope="heavy"))


def test_an_option_may_not_share_its_name_with_a_kit() -> None:
    """What is needed and excluded goes by name alone."""
    assert "Give the option a name of its own" in _faults(Option("nose kit"))["options[0].name"]
    assert "two options" in _faults(BATTERY, BATTERY)["options[1].name"]


def test_an_option_that_no_build_can_have_is_refused() -> None:
    """It needs what excludes each other, at one remove or two."""
    other = Option("big battery", place="tray")
    both = Option("winch", needs=("second battery", "big battery"))
    assert "one place, 'tray'" in _faults(BATTERY, other, both)["options[2].needs"]
    far = Option("hoist", needs=("winch",))
    winch = Option("winch", needs=("second battery",), excludes=("hoist",))
    assert "no build can have" in _faults(BATTERY, winch, far)["options[2].needs"]
    assert "needs itself" in _faults(Option("hoist", needs=("hoist",)))["options[0].needs[0]"]


def test_numbers_of_an_option_are_held_to_the_same_rules_as_elsewhere() -> None:
    """An item without mass, a belief without its uncertainty."""
    found = _faults(replace(BATTERY, on=(Item("battery", -1.0, 1.5),)))
    assert "Masses are positive" in found["options[0].on[0].mass"]
    drag = Estimate(0.02, None, Dimension.AREA, "guess")
    assert "uncertainty" in _faults(replace(BATTERY, drag_area_change=drag))["options[0].drag_area_change"]
