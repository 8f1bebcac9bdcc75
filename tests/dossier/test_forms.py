"""The form of airplane.toml is read from its tables, and every fault stands at its field."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any, get_args, get_origin

import pytest
from pydantic import BaseModel

from tests.dossier.broken import patient
from wringout.dossier import examine
from wringout.dossier.airplane_tables import AirplaneFile
from wringout.dossier.dossier import Units
from wringout.dossier.editing import with_value
from wringout.dossier.filled import FilledTable, filled
from wringout.dossier.forms import FormTable, airplane_form, table_at
from wringout.dossier.toml import read_toml
from wringout.dossier.typed import typed_value, typed_values
from wringout.quantity.dimensions import Dimension

FILE = "airplane.toml"
SOURCE = Path("src/wringout")


def _keys(form: FormTable) -> set[tuple[str, ...]]:
    """Every key of a form with the tables above it."""
    own = {(field.key,) for field in form.fields}
    return own | {(table.key, *path) for table in form.tables for path in _keys(table)}


def _model_keys(kind: type[BaseModel]) -> set[tuple[str, ...]]:
    """Every key that a table's reader knows, walked without the form's own code."""
    found: set[tuple[str, ...]] = set()
    for name, info in kind.model_fields.items():
        inner = [
            part for part in _parts(info.annotation) if isinstance(part, type) and issubclass(part, BaseModel)
        ]
        found |= {(name, *path) for part in inner for path in _model_keys(part)} or {(name,)}
    return found


def _parts(annotation: Any) -> list[Any]:
    if get_origin(annotation) is None:
        return [annotation]
    return [part for argument in get_args(annotation) for part in _parts(argument)]


def _written(data: Any) -> set[tuple[str, ...]]:
    if isinstance(data, list):
        return {path for item in data for path in _written(item)}
    if not isinstance(data, dict):
        return set()
    return {(key, *path) for key, value in data.items() for path in _written(value) or {()}}


def test_the_form_has_every_key_that_the_reader_knows() -> None:
    """A key added to the airplane's tables is in the form at once."""
    assert _keys(airplane_form()) == _model_keys(AirplaneFile)


@pytest.mark.parametrize("place", ["dossier/template", "demo/airplanes/shepherd"])
def test_the_form_has_a_place_for_all_that_an_airplane_file_says(place: str) -> None:
    """Nothing of the template's airplane, or of the demo's, is left without a field."""
    data = tomllib.loads((SOURCE / place / FILE).read_text(encoding="utf-8"))
    assert _written(data) <= _keys(airplane_form())


def test_fields_know_their_dimension_their_choices_and_what_they_name() -> None:
    """What a field asks for comes from its reader; what may be named comes from the references."""
    station, configuration = table_at(airplane_form(), ("station", 0)), airplane_form().table("configuration")
    assert station is not None
    assert configuration is not None
    limit, holds, kit = station.field("mass_limit"), station.field("holds"), configuration.field("kit")
    assert limit is not None
    assert (limit.kind, limit.dimension, limit.required) == ("quantity", Dimension.MASS, False)
    assert holds is not None and holds.choices == ("people", "things", "either")  # noqa: PT018
    assert kit is not None and kit.names == "kit"  # noqa: PT018


def test_the_words_beside_a_field_are_those_of_the_template() -> None:
    """The template explains each key once; the page says the same."""
    geometry = table_at(airplane_form(), ("geometry",))
    assert geometry is not None
    height = geometry.field("wing_height")
    assert height is not None
    assert height.hint == "Quarter chord above the ground, wheels on the ground"


def _filled(root: Path, data: bytes) -> FilledTable:
    _, problems = examine(root, {FILE: data})
    return filled(airplane_form(), read_toml(FILE, data), problems, Units())


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        (("station", 1, "mass_limit"), "heavy", "does not start with a number"),
        (("station", 1, "arm_aft"), "0.2 m", "lies ahead of its forward end"),
        (("configuration", 1, "kit"), "nose-weel kit", "there is no kit"),
        (("configuration", 0, "undercarriage", "kind"), "wheels", "is not one of"),
        (("kit", 0, "off", 0, "mass"), "7.5", "a mass needs a unit"),
        (("occupant_mass",), "-3 kg", "must be above zero"),
    ],
)
def test_a_fault_stands_at_its_field(
    tmp_path: Path, path: tuple[str | int, ...], value: str, words: str
) -> None:
    """What is wrong with a value is told by the field in which it was typed, and by no other."""
    patient(tmp_path)
    data = with_value(FILE, (tmp_path / FILE).read_bytes(), path, value)
    told = {field.path: field.problems for field in _fields(_filled(tmp_path, data)) if field.problems}
    assert set(told) == {path}
    assert words in told[path][0].what


def test_of_two_tables_with_one_name_the_fault_stands_at_the_right_one(tmp_path: Path) -> None:
    """Where two stations are called the same the line decides."""
    patient(tmp_path)
    data = with_value(FILE, (tmp_path / FILE).read_bytes(), ("tank", 1, "name"), "left")
    data = with_value(FILE, data, ("tank", 1, "usable"), "much")
    told = {field.path for field in _fields(_filled(tmp_path, data)) if field.problems}
    assert told == {("tank", 1, "name"), ("tank", 1, "usable")}


def _fields(table: FilledTable) -> list[Any]:
    return [
        *table.fields,
        *(field for inner in table.tables.values() for each in inner for field in _fields(each)),
    ]


def test_a_figure_typed_in_the_other_system_is_shown_in_the_readers_too(tmp_path: Path) -> None:
    """95 lb stays 95 lb; beside it stands what that is in kg."""
    patient(tmp_path)
    data = with_value(FILE, (tmp_path / FILE).read_bytes(), ("station", 0, "mass_limit"), "95 lb")
    field = next(
        item for item in _fields(_filled(tmp_path, data)) if item.path == ("station", 0, "mass_limit")
    )
    # 95 lb × 0.45359237 kg/lb, exact by definition
    assert (field.text, field.unit, field.also) == ("95 lb", "lb", "43.09 kg")


def test_what_is_typed_keeps_its_unit_and_a_bare_number_gets_the_fields(tmp_path: Path) -> None:
    """Only what differs from the file is a change; a cleared field takes its key away."""
    patient(tmp_path)
    form = _filled(tmp_path, (tmp_path / FILE).read_bytes())
    station = form.tables["station"][1]
    typed = {"name": station.name, "arm": "1.6", "arm_aft": "90 in", "mass_limit": "", "holds": "things"}
    assert typed_values(station, typed) == {"arm": "1.6 m", "arm_aft": "90 in", "mass_limit": None}


def test_pairs_are_typed_cell_by_cell(tmp_path: Path) -> None:
    """An empty row is left out, a bare number gets the unit of its column."""
    patient(tmp_path)
    envelope = _filled(tmp_path, (tmp_path / FILE).read_bytes()).tables["envelope"][0]
    pairs = next(field.pairs for field in envelope.fields if field.form.key == "vertices")
    typed = {
        f"vertices.{row}.{column}": cell
        for row, cells in enumerate([*pairs, ("1.2", "2000 lb"), ("", "")])
        for column, cell in enumerate(cells)
    }
    assert typed_values(envelope, typed) == {
        "vertices": [*(list(row) for row in pairs), ["1.2 m", "2000 lb"]]
    }
    assert typed_values(envelope, {"name": envelope.name}) == {}


def test_plain_values_are_typed_plainly() -> None:
    """Ratios and counts are numbers in the file, days are days, choices are words, flags are flags."""
    form = airplane_form()
    electrical, weighing = (form.table(key) for key in ("electrical", "weighing"))
    assert electrical and weighing  # noqa: PT018
    battery, load = electrical.table("battery"), electrical.table("load")
    assert battery and load  # noqa: PT018
    cases = [
        (battery.field("peukert_exponent"), "1.2", 1.2),
        (battery.field("aged_fraction"), "85 %", "85 %"),
        (load.field("essential"), "false", False),
        (load.field("fed_by"), "alternator, main battery", ["alternator", "main battery"]),
        (weighing.field("day"), "yesterday", "yesterday"),
    ]
    for field, text, value in cases:
        assert field is not None
        assert typed_value(field, text, "") == value


def test_what_is_wrong_with_a_list_as_a_whole_is_told_above_it(tmp_path: Path) -> None:
    """An airplane without an engine table or with no station: no field is there to stand at."""
    patient(tmp_path)
    text = (tmp_path / FILE).read_text(encoding="utf-8")
    bare = text.replace("[propeller]", "[ownerless]").replace("[[flap]]", "[[slat]]")
    form = _filled(tmp_path, bare.encode())
    told = " ".join(problem.what for problem in form.problems)
    assert "'propeller' is missing" in told
    assert "'flap' is missing" in told
    assert form.faults == sum(problem.file == FILE for problem in examine(tmp_path, {FILE: bare.encode()})[1])
