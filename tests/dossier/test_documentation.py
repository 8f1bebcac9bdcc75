"""docs/dossier.md names every key of every table and what must be there, and its examples are right."""

import re
import tomllib
from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel, ValidationError

from tests.dossier.broken import patient
from wringout.airplane import Airplane
from wringout.dossier import airplane_tables as a
from wringout.dossier import camera_tables as v
from wringout.dossier import card_tables as c
from wringout.dossier import check, strips
from wringout.dossier import claim_tables as q
from wringout.dossier import cost_tables as e
from wringout.dossier import dossier_tables as d
from wringout.dossier import hand_tables as h
from wringout.dossier import handling_tables as g
from wringout.dossier import machine_tables as m
from wringout.dossier import mark_tables as k
from wringout.dossier import mass_tables as w
from wringout.dossier import mission_tables as n
from wringout.dossier import option_tables as o
from wringout.dossier import plan_tables as p
from wringout.dossier import recording_tables as r
from wringout.dossier.airplane_keys import key_path

TEXT = (Path(__file__).parents[2] / "docs" / "dossier.md").read_text(encoding="utf-8")
TABLES: dict[str, type[BaseModel]] = {
    "## dossier.toml": d.DossierFile,
    "### [units]": d.UnitsTable,
    "### [files]": d.FilesTable,
    "## airplane.toml": a.AirplaneFile,
    "### [geometry]": m.GeometryTable,
    "### [[station]]": w.StationTable,
    "### [[combined_limit]]": w.CombinedLimitTable,
    "### [fuel]": w.FuelTable,
    "### [[tank]]": w.TankTable,
    "### [[envelope]]": w.EnvelopeTable,
    "### [weighing]": w.WeighingTable,
    "### [[weighing.reading]]": w.WheelReadingTable,
    "### [empty_record]": w.EmptyRecordTable,
    "### [[kit]]": o.KitTable,
    "### [[option]]": o.OptionTable,
    "### [[configuration]]": a.ConfigurationTable,
    "### [configuration.undercarriage]": m.UndercarriageTable,
    "### [configuration.undercarriage.trailing_arm]": m.TrailingArmTable,
    "### [[floats]]": m.FloatsTable,
    "### [[flap]]": m.FlapTable,
    "### [engine]": m.EngineTable,
    "### [[engine.chart]]": m.ChartRowTable,
    "### [propeller]": m.PropellerTable,
    "### [electrical]": m.ElectricalTable,
    "### [[electrical.generator]]": m.GeneratorTable,
    "### [[electrical.bus]]": m.BusTable,
    "### [[electrical.battery]]": m.BatteryTable,
    "### [[electrical.load]]": m.ElectricalLoadTable,
    "### [[prior]]": a.PriorTable,
    "### [[claim]]": q.ClaimTable,
    "### [claim.conditions]": q.ConditionsTable,
    "## cards/*.toml": c.CardFile,
    "### [plan]": p.PlanTable,
    "### [[recording]]": r.RecordingTable,
    "### [recording.columns]": r.ColumnTable,
    "### [loading]": c.LoadingTable,
    "### [[weather]]": c.WeatherTable,
    "### [[point]]": c.PointTable,
    "### [times]": h.TimesTable,
    "### [point.read]": h.ReadTable,
    "### [[mark]]": k.MarkTable,
    "### [[manoeuvre]]": k.ManoeuvreTable,
    "### [[camera]]": v.CameraTable,
    "### [[camera.mark]]": v.CameraMarkTable,
    "### [[camera.ruler]]": v.CameraRulerTable,
    "### [[camera.event]]": v.CameraEventTable,
    "### [[rating]]": g.RatingTable,
    "### [spring_scale]": g.SpringScaleTable,
    "### [[stick_force]]": g.StickForceTable,
    "### [[trim_change]]": g.TrimChangeTable,
    "### [[stall_note]]": g.StallNoteTable,
    "### [[impression]]": g.ImpressionTable,
    "## costs.toml": e.CostsFile,
    "### [source]": e.SourceTable,
    "### [loan]": e.LoanTable,
    "### [[fixed]]": e.FixedTable,
    "### [[running]]": e.RunningTable,
    "### [[reserve]]": e.ReserveTable,
    "### [[exchange]]": e.ExchangeTable,
    "### [[mission]]": n.MissionTable,
    "### [[mission.load]]": n.LoadTable,
}


def _rows(heading: str) -> list[list[str]]:
    """The cells of the table that stands below a heading."""
    section = TEXT.split(f"\n{heading}\n", 1)[1]
    section = re.split(r"\n##", section, maxsplit=1)[0]
    rows = [line for line in section.split("\n") if line.startswith("|")]
    return [[cell.strip() for cell in row.strip("|").split("|")] for row in rows[2:]]


def _keys(heading: str) -> dict[str, bool]:
    """Each key, and whether it must be there."""
    words = [word for row in _rows(heading) for word in row[0].split(",")]
    keys = [re.sub(r"tables?|below", "", word).strip() for word in words]
    return {key.strip("*"): key.startswith("**") for key in keys if key}


@pytest.mark.parametrize("heading", TABLES)
def test_the_page_names_the_keys_that_the_program_reads(heading: str) -> None:
    """No key is missing from the page, none is only there, and bold means required."""
    expected = {name: field.is_required() for name, field in TABLES[heading].model_fields.items()}
    assert _keys(heading) == expected


@pytest.mark.parametrize("heading", [key for key in TABLES if key not in ("### [units]", "### [files]")])
def test_the_examples_of_the_page_are_read(heading: str) -> None:
    """Each example value is one that its key accepts."""
    model = TABLES[heading]
    for row in _rows(heading):
        example = row[-1].strip("`")
        key = row[0].strip("*")
        if not example or key not in model.model_fields:
            continue
        pair = re.match(r'\w+ = |"[^"]+" = ', example)  # one line of a table
        value = tomllib.loads(f"x = {{ {example} }}" if pair else f"x = {example}")["x"]
        assert _refusals(model, {key: value}) == []


def _refusals(model: type[BaseModel], data: dict[str, Any]) -> list[str]:
    """What a table says of the keys that it is given, whatever others are missing."""
    try:
        model.model_validate(data)
    except ValidationError as error:
        return [
            fault["msg"]
            for fault in error.errors()
            if fault["loc"][:1] == tuple(data) and fault["type"] != "missing"
        ]
    return []


def test_the_defaults_of_the_page_are_the_program_s() -> None:
    """The units of results that the page promises are those that a dossier without [units] has."""
    for heading, model in (("### [units]", d.UnitsTable), ("### [files]", d.FilesTable)):
        for key, _, default in _rows(heading):
            assert default.strip("`") == f'"{model.model_fields[key].default}"'


def test_the_columns_of_strips_are_named() -> None:
    """The page names the columns of strips.csv that the program reads, the required ones in bold."""
    assert _keys("## strips.csv") == {name: name in strips.REQUIRED for name in strips.COLUMNS}
    cells = {row[0].strip("*"): row[-1].strip("`") for row in _rows("## strips.csv")}
    data = ",".join(cells) + "\n" + ",".join(cells.values()) + "\n"
    found, names, problems = strips.read_strips("strips.csv", data.encode())
    assert problems == ()
    assert names == ("hut strip",)
    assert found[0].one_way


def test_every_attribute_has_its_key_in_the_file() -> None:
    """Where an attribute of the airplane and its key differ, the way from one to the other is known."""
    keys = {key_path(field.name)[0] for field in fields(Airplane)} - {"empty"}
    assert keys == set(a.AirplaneFile.model_fields) - {"weighing", "empty_record"}


def test_the_units_of_the_page_are_those_of_the_program() -> None:
    """Every unit symbol in the table of units is one that the program knows."""
    from wringout.quantity import find_unit

    section = TEXT.split("| of | units |", 1)[1].split("\n\n", 1)[0]
    symbols = re.findall(r"`([^`]+)`", section)
    assert len(symbols) > 60
    for symbol in symbols:
        if symbol == "g":
            continue
        assert find_unit(symbol).symbol == symbol


def test_the_page_s_commented_out_examples_are_right(tmp_path: Path) -> None:
    """What a new dossier shows behind '#' is right too once the '#' is taken away."""
    dossier = patient(tmp_path)
    card = tmp_path / "cards/flight-1.toml"
    text = card.read_text(encoding="utf-8")
    for shown in (
        "[loading.fuel_at_shutdown]",
        'left = "42 L"',
        'right = "41 L"',
        "[[mark]]",
        "time = 2026-05-12T10:31:07.5+01:00",
        'kind = "lift-off"',
        'point = "T1"',
        'time_sd = "0.5 s"',
        "[[rating]]",
        'task = "hold',
        "rating = 3",
    ):
        assert f"# {shown}" in text
        text = text.replace(f"# {shown}", shown, 1)
    card.write_text(text, encoding="utf-8")
    dossier.replace("airplane.toml", "# [[prior]]", "[[prior]]")
    for shown in ('parameter = "zero', 'value = "0.62', 'reason = "drag'):
        dossier.replace("airplane.toml", f"# {shown}", shown)
    dossier.replace("airplane.toml", "# maximum_zero_fuel_mass", "maximum_zero_fuel_mass")
    assert check(tmp_path) == ()
