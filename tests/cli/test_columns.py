"""`columns`: for people, for programs, and for files that need none."""

import json
import tomllib
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from tests.conftest import Ran
from tests.recordings.logs import circle_gpx
from tests.recordings.test_proposal import GLASS, SEMICOLONS, written


def test_for_people(wringout: Callable[..., Ran], tmp_path: Path) -> None:
    """The rows in a pilot's units, what is doubtful, what is not known, and the table to paste."""
    ran = wringout("columns", written(tmp_path, GLASS))
    assert ran.code == 0
    assert "855.2" in ran.out
    assert "'E1 FFlow' seems to be the fuel flow" in ran.out
    assert "Not known: 'AtvWpt', 'AltB'." in ran.out
    toml = ran.out[ran.out.index("[[recording]]") :]
    assert tomllib.loads(toml)["recording"][0]["header_row"] == 3


def test_for_programs(wringout: Callable[..., Ran], tmp_path: Path) -> None:
    """SI in the rows, everything that was seen, and the same table."""
    answer = json.loads(wringout("columns", written(tmp_path, SEMICOLONS), "--json").out)
    assert answer["decimal"] == ","
    assert answer["columns"]["fuel_flow"] == {"column": "fuel_flow_lph", "unit": "L/h"}
    assert answer["first_rows"][0]["outside_air_temperature"] == pytest.approx(285.15)
    assert answer["asked"]
    assert tomllib.loads(answer["toml"])["recording"][0]["delimiter"] == ";"


def test_a_format_that_says_itself_what_it_holds(wringout: Callable[..., Ran], tmp_path: Path) -> None:
    """A GPX needs its path only."""
    path = circle_gpx(tmp_path / "flight.gpx", np.arange(0.0, 10.0))
    assert "nothing more" in wringout("columns", path).out
    assert json.loads(wringout("columns", path, "--json").out)["needs_columns"] is False


def test_a_file_that_is_not_there(wringout: Callable[..., Ran], tmp_path: Path) -> None:
    """A sentence and exit code 1."""
    ran = wringout("columns", tmp_path / "none.csv")
    assert ran.code == 1
    assert ran.err.startswith("none.csv: the file cannot be read")
