"""Each command answers people in tables and programs in JSON, from the demo's evaluation."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import Ran
from wringout.cli.main import COMMANDS
from wringout.evaluation import Evaluation

Command = Callable[..., Ran]


def figures(payload: Any) -> list[dict[str, Any]]:
    """Every figure in an answer: whatever has a value and a unit."""
    if isinstance(payload, dict):
        here = [payload] if {"value", "unit"} <= set(payload) else []
        return here + [item for part in payload.values() for item in figures(part)]
    if isinstance(payload, list):
        return [item for part in payload for item in figures(part)]
    return []


@pytest.mark.parametrize("command", ["loading", "flights", "points", "fit", "claims"])
def test_answers_of_the_demo_as_json(wringout: Command, demo: Evaluation, command: str) -> None:
    """Clean JSON on standard output; every figure in SI with unit, standard deviation and source."""
    ran = wringout(command, demo.dossier.root, "--json")
    assert (ran.code, ran.err) == (0, "")
    found = figures(json.loads(ran.out))
    assert len(found) > 10
    assert all({"value", "unit", "sd", "source"} <= set(figure) for figure in found)
    assert all(figure["unit"] not in {"kt", "ft", "lb", "mm", "°C"} for figure in found)


@pytest.mark.parametrize("command", ["check", "loading", "flights", "points", "fit", "claims", "report"])
def test_answers_of_the_demo_for_people(wringout: Command, demo: Evaluation, command: str) -> None:
    """Words and tables on standard output, nothing on standard error."""
    ran = wringout(command, demo.dossier.root)
    assert (ran.code, ran.err) == (0, "")
    assert len(ran.out.splitlines()) >= 1
    assert "nan" not in ran.out.lower().replace("maintenance", "")


def test_points_show_what_landings_braked(wringout: Command, demo: Evaluation) -> None:
    """The mean braking coefficient of each landing with its uncertainty, in words and for programs."""
    told = wringout("points", demo.dossier.root).out
    assert "braking" in told[told.index("Landings") :]
    landings = json.loads(wringout("points", demo.dossier.root, "--json").out)["landings"]
    for landing in landings:
        braking = landing["mean_braking"]
        assert 0.1 < braking["value"] < 0.5
        assert 0.0 < braking["sd"] < 0.1


def test_a_prediction_in_words_and_as_json(wringout: Command, demo: Evaluation) -> None:
    """The same median and interval, people's units in words and SI for programs."""
    asked = (
        "predict",
        demo.dossier.root,
        "take-off distance",
        "--altitude",
        "1500 m",
        "--temperature",
        "25 °C",
    )
    words, program = wringout(*asked), wringout(*asked, "--json")
    answer = json.loads(program.out)
    assert answer["low"] < answer["value"] < answer["high"]
    assert f"{answer['value']:.0f} m" in words.out
    assert "flight manual governs" in words.out


def test_a_field_length_in_three_hands(wringout: Command, demo: Evaluation) -> None:
    """The best run flown, the pilot's own and an average pilot's runs: each longer than the one before."""
    asked = ("predict", demo.dossier.root, "take-off ground roll", "--technique", "short field")
    told = json.loads(wringout(*asked, "--json").out)["runs"]
    assert told["pilot"] == "I. Maddock"
    assert told["best"]["value"] < told["mine"]["nine_in_ten"]["value"]
    assert told["mine"]["typical"]["value"] < told["mine"]["nine_in_ten"]["value"]
    assert told["mine"]["nine_in_ten"]["value"] < told["average"]["nine_in_ten"]["value"]
    words = wringout(*asked).out
    assert f"the shortest of {told['best']['of']}" in words
    assert "An average pilot: typically" in words


def test_what_to_fly_next_for_a_figure_and_for_a_claim(wringout: Command, demo: Evaluation) -> None:
    """Climbs for the rate of climb, landings for a claim of one, within the time; one of them is asked."""
    root = demo.dossier.root
    told = json.loads(wringout("next", root, "rate of climb", "--time", "20 min", "--json").out)
    assert told["points"][0]["kind"] == "climb"
    assert sum(point["minutes"] for point in told["points"]) <= 20.0
    assert told["sd_after"] < told["sd"]
    claimed = json.loads(wringout("next", root, "--claim", "landing roll, nose wheel", "--json").out)
    assert claimed["points"][0]["kind"] == "landing"
    assert "climb, full power" in wringout("next", root, "rate of climb").out
    assert "name one figure, or one claim" in wringout("next", root).err.casefold()
    assert "no test point narrows" in wringout("next", root, "--claim", "useful load").err.casefold()


def test_more_heat_height_mass_and_slope_need_more_ground(wringout: Command, demo: Evaluation) -> None:
    """Each condition that is worse makes the take-off longer; head wind makes it shorter."""

    def roll(*options: str) -> float:
        ran = wringout("predict", demo.dossier.root, "take-off ground roll", "--json", *options)
        return float(json.loads(ran.out)["value"])

    level = roll("--mass", "1000 kg")
    assert roll("--mass", "1090 kg") > level
    assert roll("--mass", "1000 kg", "--temperature", "35 °C") > level
    assert roll("--mass", "1000 kg", "--altitude", "5000 ft") > level
    assert roll("--mass", "1000 kg", "--slope", "2 %") > level
    assert roll("--mass", "1000 kg", "--head-wind", "10 kt") < level


def test_an_unknown_surface_is_no_new_kind_of_ground(wringout: Command, demo: Evaluation) -> None:
    """A slip of the pen is told with the nearest name."""
    ran = wringout("predict", demo.dossier.root, "landing distance", "--surface", "dry gras")
    assert ran.code == 1
    assert "Write 'dry grass' if that is meant" in ran.err


def test_a_new_dossier_passes_its_own_check_and_reports_from_priors(
    wringout: Command, tmp_path: Path
) -> None:
    """From `new` to a report before anything is flown, and it says that nothing is."""
    root = tmp_path / "mine"
    assert wringout("new", root).code == 0
    assert wringout("check", root).code == 0
    ran = wringout("report", root)
    assert ran.code == 0
    assert "Nothing is flown yet" in ran.out
    assert (root / "report" / "report.pdf").read_bytes().startswith(b"%PDF")


def test_nothing_of_a_person_is_overwritten(wringout: Command, tmp_path: Path) -> None:
    """`new` refuses a folder that holds a dossier, `demo` one that holds anything else."""
    assert wringout("new", tmp_path).code == 0
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    for command in ("new", "demo"):
        ran = wringout(command, tmp_path)
        assert ran.code == 1
        assert ran.err.endswith(".\n")
    assert {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()} == before


def test_usage_errors_leave_with_two(wringout: Command) -> None:
    """An unknown command or option is usage, not a problem of the dossier."""
    assert wringout("fly").code == 2
    assert wringout("air", "--altitude-of-the-moon", "1 m").code == 2


@pytest.mark.parametrize("command", ["", *COMMANDS])
def test_help_of_every_command(wringout: Command, command: str) -> None:
    """Help says what the command answers."""
    ran = wringout(*([command] if command else []), "--help")
    assert ran.code == 0
    assert "Usage: wringout" in ran.out


def test_help_imports_nothing_heavy() -> None:
    """The list of commands comes without the libraries that compute."""
    heavy = {"numpy", "scipy", "polars", "altair", "vl_convert", "typst", "pydantic"}
    code = (
        "import sys; from wringout.cli.main import run; run(['--help']); "
        f"print(sorted({heavy!r} & set(sys.modules)), file=sys.stderr)"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stderr.strip() == "[]"
