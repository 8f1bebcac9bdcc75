"""An impossible build is refused with every reason and what would mend it."""

from dataclasses import replace

import pytest

from tests.outfitting.hauler import FLOOR, WINCH, optioned
from wringout.airplane.airplane import Airplane, Item, Option
from wringout.outfitting import build, refusals
from wringout.problems import InputError


def _said(configuration: str, *options: str, airplane: Airplane | None = None) -> list[str]:
    found = refusals(airplane or optioned(), configuration, options)
    return [problem.sentence() for problem in found]


def test_a_build_that_can_be_has_no_reason_against_it() -> None:
    """Needs met, places shared by none, gear that fits."""
    assert _said("tail wheel", "31-inch tyres", "winch", "cargo floor", "heater") == []


def test_what_an_option_needs_is_named_with_the_mend() -> None:
    """Add the other, or leave it out."""
    (sentence,) = _said("tail wheel", "winch")
    assert "'winch' needs 'cargo floor', which is not in this build" in sentence
    assert "Add 'cargo floor', or leave out 'winch'." in sentence


def test_a_gear_that_an_engine_rules_out_is_refused_with_the_layout_s_reason() -> None:
    """The refusal names the configurations that can have the engine."""
    (sentence,) = _said("nose wheel", "long engine")
    assert "'long engine' and 'nose wheel' exclude each other" in sentence
    assert "its exhaust runs where the nose leg stands" in sentence
    assert "tail wheel can have it" in sentence
    assert _said("tail wheel", "long engine") == []


def test_two_options_of_one_place_exclude_each_other() -> None:
    """Whichever is named first."""
    for pair in (("31-inch tyres", "20-inch tyres"), ("20-inch tyres", "31-inch tyres")):
        (sentence,) = _said("tail wheel", *pair)
        assert "sit in one place, 'main wheels'" in sentence
        assert "Keep one of them" in sentence


def test_an_option_on_the_wrong_gear_is_refused() -> None:
    """It says which gear it fits."""
    (sentence,) = _said("nose wheel", "31-inch tyres")
    assert "fits 'tail wheel', not 'nose wheel'" in sentence
    assert "Build on 'tail wheel'" in sentence


def test_every_reason_is_told_at_once() -> None:
    """Four faults, four sentences."""
    said = _said("nose wheel", "31-inch tyres", "20-inch tyres", "winch", "long engine")
    assert len(said) == 4


def test_an_exclusion_counts_from_either_side() -> None:
    """What one option says of another holds for the other too, and is told once."""
    airplane = optioned()
    against = replace(FLOOR, excludes=("heater",))
    options = tuple(against if option is FLOOR else option for option in airplane.options)
    changed = replace(airplane, options=options)
    assert len(_said("tail wheel", "cargo floor", "heater", airplane=changed)) == 1
    assert len(_said("tail wheel", "heater", "cargo floor", airplane=changed)) == 1


def test_a_kit_says_what_it_needs() -> None:
    """A gear that only the long engine's layout leaves room for."""
    airplane = optioned()
    kit = replace(airplane.kits[0], needs=("cargo floor",), excludes=("winch",))
    changed = replace(airplane, kits=(kit,))
    assert "'nose wheel' needs 'cargo floor'" in _said("nose wheel", airplane=changed)[0]
    assert len(_said("nose wheel", "cargo floor", "winch", airplane=changed)) == 1


def test_the_same_thing_cannot_come_off_twice() -> None:
    """A kit that takes the legs off leaves none for an option to take."""
    airplane = optioned()
    legs = Option("stiff legs", off=(Item("Main legs", 24.0, 1.6),), on=(Item("stiff legs", 30.0, 1.6),))
    changed = replace(airplane, options=(legs,))
    (sentence,) = _said("nose wheel", "stiff legs", airplane=changed)
    assert "comes off" in sentence
    assert _said("tail wheel", "stiff legs", airplane=changed) == []


def test_two_envelopes_do_not_hold_at_once() -> None:
    """Each would be the one that holds."""
    airplane = optioned()
    other = Option("float kit's limits", envelope="normal")
    changed = replace(airplane, options=(*airplane.options, other))
    assert (
        "each bring an envelope"
        in _said("tail wheel", "gross-weight kit", "float kit's limits", airplane=changed)[0]
    )


def test_a_refused_build_carries_its_reasons() -> None:
    """`build` raises what `refusals` says; a name of nothing is refused with the nearest."""
    with pytest.raises(InputError, match="needs 'cargo floor'"):
        build(optioned(), "tail wheel", [WINCH.name])
    with pytest.raises(InputError, match="Write 'winch'"):
        build(optioned(), "tail wheel", ["wnich"])
