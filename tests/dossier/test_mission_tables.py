"""Missions along a route: what is understood, and what is refused with its line and its mend."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from wringout.dossier import check, create, load

STRIPS = """name,elevation,length,heading,slope,surface,latitude,longitude
home,100 m,700 m,240 °,0 %,dry grass,50.0 °,8.0 °
hut,900 m,500 m,70 °,2 %,dry grass,50.5 °,8.0 °
lake,300 m,600 m,10 °,0 %,gravel,,
"""
MISSION = """[[mission]]
name = "round"
question = "?"
configuration = "tail wheel"
route = ["home", "hut", "home"]
cruise_altitude = "5000 ft"
reserve = "30 min"
"""
LOAD = """
[[mission.load]]
name = "sacks"
mass = "25 kg"
stations = ["cargo bay"]
count = 4
value = 30
must = false
put_off = "hut"
"""


def _written(folder: Path, mission: str, strips: str = STRIPS) -> Path:
    root = folder / "mine"
    create(root)
    (root / "strips.csv").write_text(strips, encoding="utf-8")
    (root / "missions.toml").write_text(mission, encoding="utf-8")
    card = root / "cards" / "flight-1.toml"
    text = card.read_text(encoding="utf-8")
    card.write_text(text.replace('"home field"', '"home"').replace('"hut strip"', '"hut"'), encoding="utf-8")
    return root


def test_a_route_is_as_long_as_its_legs(tmp_path: Path) -> None:
    """Half a degree of latitude out and home; pieces, worth and where they go are kept."""
    (mission,) = load(_written(tmp_path, MISSION + LOAD)).missions
    # 55.6 km of the meridian at 50.25° N: 111.2 km a degree on the ellipsoid (from memory).
    assert mission.distance == pytest.approx(2 * 0.5 * 111.24e3, rel=1e-3)
    (load_,) = mission.loads
    assert (load_.count, load_.value, load_.put_off, load_.must) == (4, 30.0, "hut", False)
    assert mission.wind_from is None


def test_the_wind_aloft_is_read(tmp_path: Path) -> None:
    """Direction and speed with their units."""
    words = MISSION + 'wind_from = "240 °"\nwind_speed = "20 kt"\nfuel_at = ["hut"]\ncruise_power = "65 %"\n'
    (mission,) = load(_written(tmp_path, words)).missions
    assert mission.wind_from == pytest.approx(math.radians(240.0))
    assert mission.wind_speed == pytest.approx(20 * 1852 / 3600)
    assert (mission.fuel_at, mission.cruise_power) == (("hut",), 0.65)


WRONG = [
    ('route = ["home", "hut", "home"]\n', "", "it is not said how far"),
    ('reserve = "30 min"', 'reserve = "30 min"\ndistance = "90 nm"', "both a distance and a route"),
    ('["home", "hut", "home"]', '["home"]', "a route needs two strips"),
    ('["home", "hut", "home"]', '["home", "home"]', "'home' follows itself"),
    ('["home", "hut", "home"]', '["home", "hat", "home"]', "no strip 'hat'"),
    ('["home", "hut", "home"]', '["home", "lake", "home"]', "where 'lake' lies is not known"),
    ('reserve = "30 min"', 'reserve = "30 min"\nwind_speed = "9 kt"', "a direction and a speed"),
    ('reserve = "30 min"', 'reserve = "30 min"\nfuel_at = ["lake"]', "not on the route"),
    ('reserve = "30 min"', 'reserve = "30 min"\ncruise_power = "165 %"', "of rated power is none"),
    ('put_off = "hut"', 'put_off = "lake"', "'lake' is not on the mission's route"),
    ('put_off = "hut"', 'put_off = "hut"\ntaken_on = "hut"', "taken on and put off at 'hut'"),
    ("count = 4", "count = 0", "there are none of it"),
]


@pytest.mark.parametrize(("old", "new", "words"), WRONG, ids=[item[2] for item in WRONG])
def test_what_is_wrong_is_said_at_its_line(tmp_path: Path, old: str, new: str, words: str) -> None:
    """One problem, in missions.toml, with a line and what mends it."""
    text = MISSION + (LOAD if old in LOAD else "")
    assert old in text
    problems = [
        item for item in check(_written(tmp_path, text.replace(old, new))) if item.severity == "error"
    ]
    (problem,) = problems
    assert words in problem.what
    assert problem.file == "missions.toml"
    assert problem.line
    assert problem.mend


def test_half_a_place_is_none(tmp_path: Path) -> None:
    """A latitude without its longitude is told in strips.csv."""
    half = STRIPS.replace("50.5 °,8.0 °", "50.5 °,")
    problems = check(_written(tmp_path, MISSION, half))
    assert any("a latitude and a longitude" in item.what and item.file == "strips.csv" for item in problems)
