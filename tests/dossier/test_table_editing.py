"""Several values of one table change in one step; comments, order and everything else stay."""

from __future__ import annotations

import difflib
import tomllib
from pathlib import Path

import pytest

from wringout.dossier.editing import Content
from wringout.dossier.table_editing import with_table, without_table
from wringout.problems import InputError

FILE = "airplane.toml"
DEMO = Path("src/wringout/demo/airplanes/shepherd") / FILE


def _difference(before: bytes, after: bytes) -> list[str]:
    lines = difflib.unified_diff(before.decode().split("\n"), after.decode().split("\n"), lineterm="", n=0)
    return [line for line in lines if line[0] in "+-" and not line.startswith(("+++", "---"))]


def test_values_are_set_and_taken_away_together() -> None:
    """Only the lines of the values themselves differ, and their comments stay."""
    before = DEMO.read_bytes()
    after = with_table(FILE, before, (), {"occupant_mass": "190 lb", "never_exceed_speed": None})
    removed_mass, removed_speed, added = _difference(before, after)
    assert removed_mass.startswith('-occupant_mass = "86 kg"')
    assert removed_speed.startswith("-never_exceed_speed")
    assert added.startswith('+occupant_mass = "190 lb"')
    assert added.endswith('# what "full seats" means when the maker does not say')


def test_a_new_key_stands_with_the_others_of_its_table() -> None:
    """It is not separated from them by the empty line that ends the table."""
    before = DEMO.read_bytes()
    after = with_table(FILE, before, ("station", 0), {"floor_area": "0.5 m²"})
    assert 'seats = 1\nfloor_area = "0.5 m²"\n\n[[station]]' in after.decode()
    assert _difference(before, after) == ['+floor_area = "0.5 m²"']


def test_a_row_is_added_to_its_list_above_what_follows() -> None:
    """A new station stands after the last one; the heading of the next part stays above that part."""
    before = DEMO.read_bytes()
    configuration: dict[str, Content] = {
        "name": "floats",
        "envelope": "tail wheel",
        "undercarriage": {"kind": "skis", "main_arm": "0.6 m"},
    }
    after = with_table(FILE, before, ("configuration", 3), configuration).decode()
    added = after.index('name = "floats"')
    assert after.index("braking = false") < added < after.index("# ── flaps, engine, propeller")
    assert "\n\n\n" not in after
    assert tomllib.loads(after)["configuration"][3]["undercarriage"]["main_arm"] == "0.6 m"


def test_a_row_of_a_list_in_lines_is_added_as_a_line() -> None:
    """The engine's chart of one line a row gets one more line."""
    before = DEMO.read_bytes()
    rows = len(tomllib.loads(before.decode())["engine"]["chart"])
    added = {"engine_speed": "2000 rpm", "manifold_pressure": "20 inHg", "fuel_flow": None}
    after = with_table(FILE, before, ("engine", "chart", rows), dict(added))
    (added_line,) = _difference(before, after)
    assert added_line.startswith('+  {engine_speed = "2000 rpm"')
    assert tomllib.loads(after.decode())["engine"]["chart"][rows]["engine_speed"] == "2000 rpm"


def test_pairs_change_one_by_one() -> None:
    """One corner of an envelope moves, one comes, one goes, and each is one line of the file."""
    before = DEMO.read_bytes()
    corners = tomllib.loads(before.decode())["envelope"][0]["vertices"]
    moved = [list(corner) for corner in corners]
    moved[1][0] = "0.88 m"
    assert _difference(before, with_table(FILE, before, ("envelope", 0), {"vertices": moved})) == [
        '-  ["0.87 m", "840 kg"],',
        '+  ["0.88 m", "840 kg"],',
    ]
    more = with_table(FILE, before, ("envelope", 0), {"vertices": [*corners, ["1.0 m", "640 kg"]]})
    assert _difference(before, more) == ['+  ["1.0 m", "640 kg"],']
    fewer = with_table(FILE, before, ("envelope", 0), {"vertices": corners[:-1]})
    assert _difference(before, fewer) == ['-  ["1.18 m", "650 kg"],']


def test_a_table_takes_the_place_of_another_in_one_step() -> None:
    """A weighing gives way to a record: there is never both, and never neither."""
    record: dict[str, Content] = {"configuration": "tail wheel", "mass": "670 kg ± 1 kg"}
    after = tomllib.loads(
        with_table(FILE, DEMO.read_bytes(), ("empty_record",), record, without=("weighing",)).decode()
    )
    assert after["empty_record"] == record
    assert "weighing" not in after


def test_a_row_and_a_table_are_taken_away() -> None:
    """A list whose last row goes, goes with it."""
    before = DEMO.read_bytes()
    fewer = tomllib.loads(without_table(FILE, before, ("station", 1)).decode())
    assert [item["name"] for item in fewer["station"]] == ["left seat", "cargo bay", "aft shelf"]
    assert "combined_limit" not in tomllib.loads(without_table(FILE, before, ("combined_limit", 0)).decode())
    assert "electrical" not in tomllib.loads(without_table(FILE, before, ("electrical",)).decode())


@pytest.mark.parametrize("path", [("station", 9), ("station", -1), ("nothing", "there"), ("name",)])
def test_what_has_no_place_is_refused_in_words(path: tuple[str | int, ...]) -> None:
    """A row of another time, a table in none: told, and nothing changes."""
    with pytest.raises(InputError) as refused:
        with_table(FILE, DEMO.read_bytes(), path, {"mass": "1 kg"})
    assert refused.value.problems[0].mend


def test_the_line_ends_stay() -> None:
    """A file with carriage returns keeps them, in the new row too."""
    before = DEMO.read_bytes().replace(b"\n", b"\r\n")
    after = with_table(FILE, before, ("station", 4), {"name": "pod", "arm": "1 m", "holds": "things"})
    assert after.count(b"\r\n") == after.count(b"\n") > before.count(b"\n")
