"""Missions answered: what goes, what stays, what binds, and whether the strip is enough."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.loading.airplanes import hauler
from tests.missions.questions import CRUISE, LOADS, MISSION, STRIP
from wringout.dossier.dossier import Load
from wringout.loading import fuel_in_tanks, loading_report
from wringout.missions import FieldDistances, answer, field_finding, place
from wringout.model.question import Prediction, Question
from wringout.problems import InputError
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

AIRPLANE = hauler()
HALF = fuel_in_tanks(AIRPLANE.tanks, 0.1)


def metres(value: float, sd: float) -> Estimate:
    """A distance."""
    return Estimate(value, sd, Dimension.LENGTH, "fitted")


def distances(off: float, down: float, sd: float = 15.0) -> FieldDistances:
    """Distances that grow with mass: metres at 1 000 kg."""
    return FieldDistances(
        lambda mass: metres(off * (mass / 1000.0) ** 2, sd), lambda mass: metres(down * mass / 1000.0, sd)
    )


def test_a_mission_that_works() -> None:
    """Everything goes, the strip is long enough with the factors, and the sentence says so."""
    found = answer(MISSION, AIRPLANE, CRUISE, strip=STRIP, distances=distances(310.0, 300.0))
    assert found.outcome == "yes"
    assert found.sentence.startswith(
        "Yes: all 5 loads (236 kg) with 87 L of fuel for 162 nm; within every limit"
    )
    assert found.placement is not None
    assert [item.station for item in found.placement.placed] == [
        "front seats",
        "front seats",
        "bay",
        "tail locker",
        "bay",
    ]
    assert [finding.movement for finding in found.fields] == ["take-off", "landing"]
    assert found.fields[0].mass > found.fields[1].mass
    assert "first fit" in found.notes[0]
    assert "not for dispatch" in found.caution


def test_fuel_by_its_parts() -> None:
    """Taxi, climb, cruise against the wind and reserve add up, with the uncertainty of speed and flow."""
    found = answer(replace(MISSION, strip=None), AIRPLANE, CRUISE)
    rows = {row.name: row.volume for row in found.fuel_rows}
    cruise = (300e3 - (20e3 - 5.0 * 480.0)) / (56.0 - 5.0) * CRUISE.fuel_flow.value
    assert rows == pytest.approx({"taxi": 0.004, "climb": 0.006, "cruise": cruise, "reserve": 0.019})
    assert sum(rows.values()) == pytest.approx(found.fuel.value)
    by_flow = (cruise + 0.019) / 38.0
    by_speed = cruise / 51.0 * 0.6
    assert found.fuel.sd == pytest.approx(np.hypot(by_flow, by_speed), rel=1e-3)


@pytest.mark.parametrize(
    ("off", "sd", "outcome"), [(250.0, 15.0, "yes"), (398.0, 20.0, "uncertain"), (480.0, 15.0, "no")]
)
def test_the_strip_decides(off: float, sd: float, outcome: str) -> None:
    """Factored by 1.33 against 520 m: sure, open, or too short; the deciding movement leads the reasons."""
    found = answer(MISSION, AIRPLANE, CRUISE, strip=STRIP, distances=distances(off, 250.0, sd))
    assert found.outcome == outcome
    assert ("without the factor it fits" in found.sentence) == (outcome != "yes")
    if outcome != "yes":
        assert found.reasons[0].startswith("take-off at Upper Meadow needs")


def test_a_strip_without_distances_is_not_passed() -> None:
    """Where no distance is known the answer is uncertain, and says why."""
    found = answer(MISSION, AIRPLANE, CRUISE, strip=STRIP)
    assert found.outcome == "uncertain"
    assert found.reasons[0] == "Upper Meadow is not tested: no distance is known for it"
    with pytest.raises(InputError, match="the strip 'Upper Meadow', which is not given"):
        answer(MISSION, AIRPLANE, CRUISE)


def test_too_far() -> None:
    """Beyond the tanks there is no placement and a plain no; at their very edge the answer is open."""
    far = answer(replace(MISSION, strip=None, distance=1400e3), AIRPLANE, CRUISE)
    assert far.outcome == "no"
    assert far.placement is None
    assert far.sentence.startswith("No: the trip takes")
    assert "the tanks hold 220 L" in far.sentence
    edge = answer(replace(MISSION, strip=None, distance=930e3), AIRPLANE, CRUISE)
    assert edge.outcome == "uncertain"
    assert "the tanks hold 220 L" in edge.reasons[0]


def test_what_must_go_and_cannot() -> None:
    """A thing that is too heavy for its only station is named, with what stops it and by how much."""
    crate = Load("engine crate", 200.0, ("bay",))
    found = answer(replace(MISSION, strip=None, loads=(*LOADS, crate)), AIRPLANE, CRUISE)
    assert found.outcome == "no"
    assert "engine crate cannot go (in bay" in found.sentence
    assert "beyond the limit of bay as loaded)" in found.sentence
    assert found.placement is not None
    assert not found.placement.complete


def test_what_may_stay_stays() -> None:
    """A nice-to-have that does not fit stays behind, the mission works, and the reason is kept."""
    crates = Load("crates", 120.0, ("bay",), must=False)
    found = answer(replace(MISSION, strip=None, loads=(*LOADS, crates)), AIRPLANE, CRUISE)
    assert found.outcome == "yes"
    assert "5 of 6 loads (236 kg)" in found.sentence
    assert "crates left behind" in found.sentence
    assert found.placement is not None
    assert [item.load.name for item in found.placement.left] == ["crates"]
    assert "beyond the" in found.placement.left[0].reason


def test_seats_are_counted() -> None:
    """Three people do not share two seats, however light they are."""
    people = tuple(Load(name, 50.0, ("front seats",)) for name in ("a", "b", "c"))
    found = place(AIRPLANE, "tail wheel", people, HALF)
    assert len(found.placed) == 2
    assert [(item.load.name, item.reason) for item in found.left] == [("c", "no seat is free")]
    assert not found.complete


def test_second_choice_where_the_first_is_full() -> None:
    """What the locker cannot hold goes into the bay, its second choice."""
    things = (Load("pilot", 80.0, ("front seats",)), Load("kit", 20.0, ("tail locker", "bay")))
    found = place(AIRPLANE, "tail wheel", things, HALF)
    assert found.complete
    assert found.placed[1].station == "bay"


@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.floats(1.0, 120.0),
            st.sampled_from([("front seats",), ("bay",), ("tail locker", "bay"), ("bay", "tail locker")]),
            st.booleans(),
        ),
        min_size=1,
        max_size=5,
    )
)
def test_a_complete_placement_is_inside_every_limit(
    things: list[tuple[float, tuple[str, ...], bool]],
) -> None:
    """What is called complete is within every limit when loaded again; nothing is lost."""
    loads = tuple(Load(f"thing {i}", m, stations, must) for i, (m, stations, must) in enumerate(things))
    found = place(AIRPLANE, "tail wheel", loads, HALF)
    masses: dict[str, float] = {}
    for item in found.placed:
        assert item.station in item.load.stations
        masses[item.station] = masses.get(item.station, 0.0) + item.load.mass
    assert masses == pytest.approx(dict(found.loading.stations))
    assert {item.load.name for item in found.placed} | {item.load.name for item in found.left} == {
        load.name for load in loads
    }
    again = loading_report(AIRPLANE, "tail wheel", found.loading)
    if found.complete:
        assert again.within
        assert all(not item.load.must for item in found.left)


def test_loads_that_cannot_be_understood() -> None:
    """An unknown station, no station, no mass: every one is told."""
    bad = (Load("a", 5.0, ("roof",)), Load("b", 5.0, ()), Load("c", 0.0, ("bay",)))
    with pytest.raises(InputError) as caught:
        place(AIRPLANE, "tail wheel", bad, HALF)
    assert len(caught.value.problems) == 3
    assert "no station 'roof'" in str(caught.value)


def test_samples_of_a_prediction_are_counted() -> None:
    """Of a prediction the share of samples decides, whatever their distribution."""
    samples = np.linspace(200.0, 450.0, 1001)
    prediction = Prediction(
        Question("take-off distance", "tail wheel", 1000.0), metres(325.0, 72.0), 212.5, 437.5, samples
    )
    found = field_finding("take-off", STRIP, 1000.0, prediction)
    assert found.probability == pytest.approx(np.mean(samples <= 520.0 / 1.33))
    assert (found.low, found.high) == (212.5, 437.5)
    assert found.required == pytest.approx(1.33 * 325.0)


def test_field_refusals_and_notes() -> None:
    """A factor below one is refused; an obstacle above 15 m and a one-way strip are noted."""
    with pytest.raises(ValueError, match=r"one or more, found 0\.9"):
        field_finding("landing", STRIP, 900.0, metres(300.0, 10.0), 0.9)
    hard = replace(STRIP, obstacle_far=22.0, one_way=True)
    notes = field_finding("landing", hard, 900.0, metres(300.0, 10.0)).notes
    assert "22 m is higher than the 15 m" in notes[0]
    assert "one-way" in notes[1]
    assert (
        field_finding("landing", STRIP, 900.0, Estimate(300.0, None, Dimension.LENGTH, "book")).probability
        is None
    )
