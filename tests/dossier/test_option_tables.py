"""Options and kits of airplane.toml: read whole, and every fault told with its line and field."""

from pathlib import Path

import pytest

from tests.dossier.broken import Patient, patient
from wringout.dossier import load

OPTIONS = """
[[option]]
name = "long floor"
mass = "9.5 kg"
arm = "2.10 m"
work_time = "3 h"
people = 1
price = "EUR 1 450"
reason = "rails for boxes"

[[option.station]]
name = "cargo bay"
arm = "1.60 m"
arm_aft = "2.60 m"
mass_limit = "160 kg"
holds = "things"

[[option]]
name = "winch"
place = "floor"
needs = ["long floor"]
excludes = ["nose-wheel kit"]
fits = ["tail wheel"]
drag_area_change = "0.01 m² ± 0.01 m²"

[[option.on]]
name = "winch and cable"
mass = "14 kg"
arm = "2.40 m"
"""
FILE = "airplane.toml"


@pytest.fixture
def optioned(tmp_path: Path) -> Patient:
    """A sound dossier with two options at the end of its airplane."""
    made = patient(tmp_path)
    made.add(FILE, OPTIONS)
    return made


def test_options_are_read_in_si(optioned: Patient) -> None:
    """A mass with its arm is one item under the option's name; places and beliefs come with it."""
    floor, winch = load(optioned.root).airplane.options
    assert (floor.on[0].name, floor.on[0].mass, floor.on[0].arm) == ("long floor", 9.5, 2.1)
    assert (floor.hours, floor.people, floor.price) == (10800.0, 1, "EUR 1 450")
    assert floor.stations[0].mass_limit == 160.0
    assert (winch.needs, winch.excludes, winch.fits) == (
        ("long floor",),
        ("nose-wheel kit",),
        ("tail wheel",),
    )
    assert winch.drag_area_change is not None
    assert winch.drag_area_change.sd == 0.01


@pytest.mark.parametrize(
    ("old", "new", "wanted", "field"),
    [
        ('needs = ["long floor"]', 'needs = ["long flor"]', "write 'long floor'", "option[1].needs"),
        ('excludes = ["nose-wheel kit"]', 'excludes = ["anvil"]', "there is no option, kit or", "excludes"),
        ('fits = ["tail wheel"]', 'fits = ["floats"]', "there is no configuration 'floats'", "fits"),
        ('price = "EUR 1 450"', 'price = "1,450 EUR"', "a price is expected", "price"),
        ('arm = "2.10 m"\n', "", "gives its mass and not its arm", "mass"),
        ('mass = "9.5 kg"\narm = "2.10 m"', 'mass = "9.5"\narm = "2.10 m"', "needs a unit", "mass"),
        ("± 0.01 m²", "", "needs its uncertainty", "drag_area_change"),
        ('name = "winch"', 'name = "long floor"', "there is another option", "name"),
        ('mass_limit = "160 kg"\nholds', 'mass_limit = "160"\nholds', "needs a unit", "mass_limit"),
        ('place = "floor"', 'plaice = "floor"', "plaice", "plaice"),
    ],
)
def test_what_is_wrong_with_an_option_is_told_where_it_stands(
    optioned: Patient, old: str, new: str, wanted: str, field: str
) -> None:
    """File, line, field, and what mends it."""
    optioned.replace(FILE, old, new, after='name = "long floor"')
    problems = [problem for problem in optioned.problems() if problem.severity == "error"]
    problem = next(item for item in problems if wanted.lower() in item.sentence().lower())
    assert problem.file == FILE
    assert problem.line
    assert field.rpartition(".")[2] in (problem.field or "")


def test_an_option_that_no_build_can_have_is_told(optioned: Patient) -> None:
    """It needs what it sits in the place of."""
    optioned.add(FILE, '\n[[option]]\nname = "hoist"\nplace = "floor"\nneeds = ["winch"]\n')
    assert "no build can have 'hoist'" in optioned.only().sentence()


def test_a_kit_names_options_only(optioned: Patient) -> None:
    """A kit is a configuration's; what it needs and excludes are options."""
    optioned.replace(
        FILE, 'work_time = "14 h"', 'needs = ["tail wheel"]\nwork_time = "14 h"', after="[[kit]]"
    )
    problem = optioned.only()
    assert "there is no option 'tail wheel'" in problem.sentence()
    assert problem.line
