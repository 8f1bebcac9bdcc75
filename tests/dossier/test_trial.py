"""A loading typed on a page is read like the dossier's own files, and kept where it is to stay."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from wringout.airplane.airplane import Airplane
from wringout.dossier import create, load
from wringout.dossier.dossier import Units
from wringout.dossier.trial import Thing, Trial, TrialError, typed_trial
from wringout.dossier.trial_saving import with_card_loading, with_mission_loads
from wringout.evaluation.trials import summed
from wringout.problems import InputError

UNITS = Units()
DEMO = Path("src/wringout/demo/airplanes/shepherd")
CARD, MISSIONS = "cards/flight-1.toml", "missions.toml"


def _airplane(tmp_path: Path) -> Airplane:
    """The demo's airplane, read from its file alone."""
    for name in ("dossier.toml", "airplane.toml"):
        (tmp_path / name).write_bytes((DEMO / name).read_bytes())
    return load(tmp_path).airplane


def test_what_is_typed_is_read_with_its_unit() -> None:
    """Pounds and gallons are understood, a bare number gets the reader's unit, no place is to stay behind."""
    trial = typed_trial(
        {
            "configuration": "tail wheel",
            "thing.0.name": "vet",
            "thing.0.mass": "180 lb",
            "thing.0.station": "left seat",
            "thing.3.name": "crate",
            "thing.3.mass": "32",
            "thing.3.station": "",
            "thing.3.arm": "2100",
            "thing.3.must": "no",
            "fuel.left": "10 US gal",
            "fuel.right": "",
            "taxi_fuel": "2",
            "landing_fuel": "",
        },
        UNITS,
    )
    vet, crate = trial.things
    # pound and US gallon (231 in³), exact by definition
    assert vet.mass == pytest.approx(180 * 0.45359237)
    assert (vet.text, vet.station) == ("180 lb", "left seat")
    assert (crate.mass, crate.text, crate.station, crate.must) == (32.0, "32 kg", None, False)
    assert crate.arm == pytest.approx(2.1)
    assert trial.fuel == {"left": pytest.approx(10 * 231 * 0.0254**3), "right": 0.0}
    assert trial.taxi_fuel == pytest.approx(0.002)
    assert trial.landing_fuel is None


def test_every_field_that_is_not_understood_is_told_at_once() -> None:
    """Each by its name, in the words of the dossier."""
    with pytest.raises(TrialError) as refused:
        typed_trial(
            {"thing.0.name": "", "thing.0.mass": "heavy", "fuel.left": "-3 L", "taxi_fuel": "2 kg"}, UNITS
        )
    told = dict(zip(refused.value.places, refused.value.problems, strict=True))
    assert set(told) == {"thing.0.name", "thing.0.mass", "fuel.left", "taxi_fuel"}
    assert "does not start with a number" in told["thing.0.mass"].what
    assert "must not be negative" in told["fuel.left"].what


def test_a_page_cannot_send_things_without_end() -> None:
    """More than anybody loads is refused, and none of it is read."""
    fields = {f"thing.{number}.{key}": "1 kg" for number in range(61) for key in ("name", "mass")}
    with pytest.raises(TrialError):
        typed_trial(fields, UNITS)


def _trial() -> Trial:
    return Trial(
        "tail wheel",
        (
            Thing("vet", 81.65, "left seat", text="180 lb"),
            Thing("cooler", 19.0, "cargo bay", 1.8, text="19 kg"),
            Thing("crate", 32.0, "cargo bay", 2.4, text="32 kg"),
            Thing("coats", 9.0, None, text="9 kg"),
        ),
        {"left": 0.05, "right": 0.04},
        fuel_text={"left": "50 L", "right": "40 L"},
    )


def test_a_card_keeps_it_as_its_loading(tmp_path: Path) -> None:
    """One thing stays as typed, several are summed at their common arm; what is not loading stays."""
    create(tmp_path)
    airplane = load(tmp_path).airplane
    trial = Trial(
        "nose wheel",
        (
            Thing("pilot", 81.65, "front seats", text="180 lb"),
            Thing("cooler", 19.0, "cargo bay", 1.6, text="19 kg"),
            Thing("crate", 32.0, "cargo bay", 2.2, text="32 kg"),
            Thing("coats", 9.0, None, text="9 kg"),
        ),
        {"left": 0.05, "right": 0.04},
        fuel_text={"left": "50 L", "right": "40 L"},
    )
    before = (tmp_path / CARD).read_bytes()
    after = with_card_loading(CARD, before, trial, summed(airplane, trial), airplane=airplane, units=UNITS)
    old, new = tomllib.loads(before.decode()), tomllib.loads(after.decode())
    assert new["loading"]["stations"] == {"front seats": "180 lb", "cargo bay": "51 kg"}
    # (19 · 1600 + 32 · 2200) / 51 mm, by hand
    assert new["loading"]["station_arms"] == {"cargo bay": "1976 mm"}
    assert new["loading"]["fuel"] == {"left": "50 L", "right": "40 L"}
    assert new["configuration"] == "nose wheel"
    changed = {"loading", "configuration"}
    assert {key: new[key] for key in old if key not in changed} == {
        key: old[key] for key in old if key not in changed
    }
    assert "# standard uncertainty of each mass" in after.decode()


def test_a_mission_keeps_it_as_what_it_carries(tmp_path: Path) -> None:
    """Loads that it has keep their other places; new ones come, others go, comments stay."""
    airplane = _airplane(tmp_path)
    before = (DEMO / MISSIONS).read_bytes()
    trial = Trial(
        "tail wheel",
        (
            Thing("vet", 80.0, "left seat", text="80 kg"),
            Thing("coats and survival bag", 9.0, "cargo bay", text="9 kg"),
            Thing("medicine cooler", 19.0, None, text="19 kg"),
            Thing("hen", 2.0, "aft shelf", text="2 kg"),
        ),
        {},
    )
    after = with_mission_loads(MISSIONS, before, "clinic day at High Rannel", trial, airplane=airplane)
    mission = tomllib.loads(after.decode())["mission"][0]
    assert {load["name"]: load for load in mission["load"]} == {
        "vet": {"name": "vet", "mass": "80 kg", "stations": ["left seat"]},
        "coats and survival bag": {
            "name": "coats and survival bag", "mass": "9 kg", "stations": ["cargo bay", "aft shelf"],
        },
        "medicine cooler": {
            "name": "medicine cooler", "mass": "19 kg", "stations": ["cargo bay"], "must": False,
        },
        "hen": {"name": "hen", "mass": "2 kg", "stations": ["aft shelf"]},
    }  # fmt: skip
    assert tomllib.loads(after.decode())["mission"][1:] == tomllib.loads(before.decode())["mission"][1:]
    assert "# there and back, no fuel up there" in after.decode()


def test_what_cannot_be_kept_is_refused_in_words(tmp_path: Path) -> None:
    """No such mission, two things of one name, a card without a loading."""
    airplane = _airplane(tmp_path)
    missions = (DEMO / MISSIONS).read_bytes()
    twice = Trial("tail wheel", (Thing("a", 1.0, None, text="1 kg"), Thing("a", 2.0, None, text="2 kg")), {})
    with pytest.raises(InputError, match="no mission"):
        with_mission_loads(MISSIONS, missions, "nobody's", _trial(), airplane=airplane)
    with pytest.raises(InputError, match="one name"):
        with_mission_loads(MISSIONS, missions, "clinic day at High Rannel", twice, airplane=airplane)
    with pytest.raises(InputError, match=r"no \[loading\]"):
        with_card_loading(
            CARD, b"title = 'x'\n", _trial(), summed(airplane, _trial()), airplane=airplane, units=UNITS
        )
