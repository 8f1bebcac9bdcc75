"""What would let a load go: each change, asked by itself, does; and nothing that went before stays."""

from __future__ import annotations

from dataclasses import replace

from wringout.airplane.airplane import Item, Option
from wringout.dossier.dossier import Load
from wringout.evaluation import Evaluation
from wringout.evaluation.mission_changes import MissionChange, mission_changes
from wringout.evaluation.mission_trials import typed_mission
from wringout.evaluation.mission_words import change_fields
from wringout.evaluation.stowing import stowed_trial
from wringout.evaluation.trials import trial_of_mission
from wringout.evaluation.trips import answer_mission

PAN, CLINIC = "Salter's Pan and back", "clinic day at High Rannel"


def _changes(demo: Evaluation, name: str) -> tuple[MissionChange, ...]:
    dossier = demo.dossier
    mission = next(item for item in dossier.missions if item.name == name)
    strips = {strip.name: strip for strip in dossier.strips}
    found, _ = answer_mission(dossier.airplane, demo.fit, mission, strips, dossier.units)
    return mission_changes(dossier.airplane, demo.fit, mission, strips, found, units=dossier.units)


def test_each_change_does_what_it_says(demo: Evaluation) -> None:
    """The load goes in the change's own answer, with all that went before, inside every limit."""
    before = next(item for item in demo.missions if item.mission.name == PAN)
    assert before.placement is not None
    went = {item.load.name for item in before.placement.placed}
    changes = _changes(demo, PAN)
    assert {"slower", "fuel there"} <= {change.kind for change in changes}
    for change in changes:
        assert change.answer.placement is not None
        gone = {item.load.name for leg in change.answer.legs for item in leg.stowage.placed}
        assert gone >= {*went, change.load}
        assert all(leg.stowage.report.within for leg in change.answer.legs)
        assert change.load in change.words


def test_a_change_comes_back_from_the_fields_that_try_it(demo: Evaluation) -> None:
    """What a button sends makes the same mission, option aside, as the change that it tries."""
    start = typed_mission({"mission": PAN}, demo.dossier)
    loads = range(len(start.mission.loads))
    form = {"mission": PAN, "asked": "1", **{f"load.{number}.goes": "yes" for number in loads}}
    for change in _changes(demo, PAN):
        again = typed_mission(form | change_fields(change, start), demo.dossier)
        assert again.mission.cruise_power == change.mission.cruise_power
        assert again.mission.fuel_at == change.mission.fuel_at
        assert again.mission.configuration == change.mission.configuration
        assert (again.airplane is not demo.dossier.airplane) == (change.kind == "option")


def test_nothing_helps_a_mission_that_carries_all(demo: Evaluation) -> None:
    """And nothing is tried."""
    assert _changes(demo, "sick dog from Hag End") == ()


def test_a_seat_can_be_left_out_where_nobody_sits(demo: Evaluation) -> None:
    """Where the mass binds, the empty right seat stays at home; with the nurse on it it does not."""
    seat = Option("right seat", on=(Item("right seat", 9.0, 1.10),), fitted=True)
    plane = replace(demo.dossier.airplane, options=(seat,), combined_limits=())
    strips = {strip.name: strip for strip in demo.dossier.strips}
    pan = next(item for item in demo.dossier.missions if item.name == PAN)
    box = Load("box", 18.0, ("aft shelf",), must=False)
    alone = (Load("vet", 120.0, ("left seat",)), Load("sacks", 158.0, ("cargo bay",)), box)
    both = (
        Load("vet", 82.0, ("left seat",)),
        Load("nurse", 66.0, ("right seat",)),
        Load("sacks", 132.0, ("cargo bay",)),
        box,
    )
    for loads, offered in ((alone, True), (both, False)):
        mission = replace(pan, loads=loads, configuration="tail wheel", fuel=0.180)
        found, _ = answer_mission(plane, demo.fit, mission, strips, demo.dossier.units)
        assert found.placement is not None
        assert [item.load.name for item in found.placement.left] == ["box"]
        assert 0.0 < found.placement.left[0].stop.short < 9.0
        changes = mission_changes(plane, demo.fit, mission, strips, found, units=demo.dossier.units)
        assert any(change.option == "right seat" and change.leaves for change in changes) is offered


def test_a_mission_stowed_on_the_loading_page(demo: Evaluation) -> None:
    """With as much fuel as the mass allows the mass binds, with less the bay; what stays says so."""
    dossier = demo.dossier
    mission = next(item for item in dossier.missions if item.name == CLINIC)
    trial = trial_of_mission(mission, dossier.airplane, dossier.units)
    assert [thing.name for thing in trial.things if thing.name.startswith("crates")] == [
        "crates 1",
        "crates 2",
    ]
    stowed = stowed_trial(dossier, trial)
    assert "crates 2 stays: the take-off mass binds by" in stowed.words
    places = {thing.name: thing.station for thing in stowed.trial.things}
    assert places["coats and survival bag"] == "aft shelf"
    assert sum(station is None for station in places.values()) == 1
    lighter = stowed_trial(dossier, replace(trial, fuel=dict.fromkeys(trial.fuel, 0.04)))
    assert "crates 2 stays: the limit of" in lighter.words
