"""Missions answered: what goes, what stays, what binds, and whether the strip is enough."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from tests.loading.airplanes import hauler
from tests.missions.questions import LITRE_AN_HOUR, LOADS, MISSION, PERFORMANCE, STRIP, STRIPS
from wringout.dossier.dossier import Load
from wringout.missions import Distances, FieldAsked, answer, field_finding
from wringout.model.question import Prediction, Question
from wringout.problems import InputError
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

AIRPLANE = hauler()


def metres(value: float, sd: float) -> Estimate:
    """A distance."""
    return Estimate(value, sd, Dimension.LENGTH, "fitted")


def distances(off: float, down: float, sd: float = 15.0) -> Distances:
    """Distances that grow with mass: metres at 1 000 kg."""

    def asked(wanted: Sequence[FieldAsked]) -> list[Estimate]:
        return [
            metres(off * (item.mass / 1000.0) ** 2, sd)
            if item.movement == "take-off"
            else metres(down * item.mass / 1000.0, sd)
            for item in wanted
        ]

    return asked


def test_a_mission_that_works() -> None:
    """Everything goes, the strip is long enough with the factors, and the sentence says so."""
    found = answer(MISSION, AIRPLANE, PERFORMANCE, strips=STRIPS, distances=distances(310.0, 300.0))
    assert found.outcome == "yes"
    assert found.sentence == (
        "Vet, nurse, X-ray set, tool roll and sick dog go (236 kg). It takes 86 L for 162 nm; tightest is "
        "the landing at Upper Meadow, 403 m of 520 m with its factor."
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
    assert found.room is not None
    assert found.room > 0.0
    assert found.furthest is not None
    assert found.furthest.value > MISSION.distance
    assert "not for dispatch" in found.caution


def test_fuel_by_its_parts() -> None:
    """Taxi, climb, cruise against the wind, descent and reserve add up, with the draws' uncertainty."""
    found = answer(replace(MISSION, strip=None), AIRPLANE, PERFORMANCE)
    rows = {row.name: row.volume for row in found.fuel_rows}
    climb = 1500.0 * np.log(2.0) / 2.0  # s, the rate falling straight from 4 to 2 m/s
    descent = 1500.0 / 2.5
    level = 300e3 - climb * (41.0 - 5.0) - descent * (56.0 - 5.0)
    wanted = {
        "taxi": 0.004,
        "climb": climb * 60.0 * LITRE_AN_HOUR,
        "cruise": level / 51.0 * 38.0 * LITRE_AN_HOUR,
        "descent": descent * 20.0 * LITRE_AN_HOUR,
        "reserve": 0.019,
    }
    assert rows == pytest.approx(wanted, rel=5e-3)
    assert sum(rows.values()) == pytest.approx(found.fuel.value, rel=1e-3)
    hours = (level / 51.0 + 1800.0) / 3600.0
    by_flow, by_speed = hours * 1e-3, wanted["cruise"] / 51.0 * 0.6
    assert found.fuel.sd == pytest.approx(np.hypot(by_flow, by_speed), rel=0.1)
    assert found.time is not None
    assert found.time.value == pytest.approx(climb + descent + level / 51.0, rel=5e-3)


@pytest.mark.parametrize(
    ("off", "sd", "outcome"), [(250.0, 15.0, "yes"), (398.0, 20.0, "uncertain"), (480.0, 15.0, "no")]
)
def test_the_strip_decides(off: float, sd: float, outcome: str) -> None:
    """Factored by 1.33 against 520 m: sure, open, or too short; the deciding movement leads the reasons."""
    found = answer(MISSION, AIRPLANE, PERFORMANCE, strips=STRIPS, distances=distances(off, 250.0, sd))
    assert found.outcome == outcome
    assert ("but the take-off at Upper Meadow needs" in found.sentence) == (outcome != "yes")
    if outcome != "yes":
        assert "without the factor it fits" in found.reasons[0]
        assert found.reasons[0].startswith("take-off at Upper Meadow needs")


def test_a_strip_without_distances_is_not_passed() -> None:
    """Where no distance is known the answer is uncertain, and says why."""
    found = answer(MISSION, AIRPLANE, PERFORMANCE, strips=STRIPS)
    assert found.outcome == "uncertain"
    assert found.reasons[0] == "Upper Meadow is not tested: no distance is known"
    with pytest.raises(InputError, match="the strip 'Upper Meadow', which is not given"):
        answer(MISSION, AIRPLANE, PERFORMANCE)


def test_too_far() -> None:
    """Beyond the tanks there is no placement and a plain no; at their very edge the answer is open."""
    far = answer(replace(MISSION, strip=None, distance=1400e3), AIRPLANE, PERFORMANCE)
    assert far.outcome == "no"
    assert far.placement is None
    assert far.sentence.startswith("It cannot be flown: the trip takes")
    assert "the tanks hold 220 L" in far.sentence
    edge = answer(replace(MISSION, strip=None, distance=930e3), AIRPLANE, PERFORMANCE)
    assert edge.outcome == "uncertain"
    assert "the tanks hold 220 L" in edge.reasons[0]


def test_what_must_go_and_cannot() -> None:
    """A thing that is too heavy for its only station is named, with what stops it and by how much."""
    crate = Load("engine crate", 200.0, ("bay",))
    found = answer(replace(MISSION, strip=None, loads=(*LOADS, crate)), AIRPLANE, PERFORMANCE)
    assert found.outcome == "no"
    assert "engine crate stays: the limit of bay and locker binds by 66 kg" in found.sentence
    assert "engine crate must go and cannot" in found.reasons[0]
    assert found.placement is not None
    assert not found.placement.complete


def test_what_may_stay_stays() -> None:
    """A nice-to-have that does not fit stays behind, the mission works, and the reason is kept."""
    crates = Load("crates", 120.0, ("bay",), must=False)
    found = answer(replace(MISSION, strip=None, loads=(*LOADS, crates)), AIRPLANE, PERFORMANCE)
    assert found.outcome == "yes"
    assert found.sentence.startswith(
        "Vet, nurse, X-ray set, tool roll and crates go (321 kg); sick dog stays: the limit of bay and "
        "locker binds by 21 kg. It takes 87 L for 162 nm;"
    )
    assert found.placement is not None
    assert [item.load.name for item in found.placement.left] == ["sick dog"]


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
