"""Broken dossiers: each fault is told in one clear sentence with its file and its line."""

from pathlib import Path

import pytest

from tests.dossier.broken import Patient, patient
from wringout.dossier import check, load
from wringout.problems import InputError, Problem

# File, what stands there, what is put in its place, what the sentence says.
ONE_FAULT = [
    ("airplane.toml", 'span = "10.2 m"', 'span = "10.2"', "geometry, span: a length needs a unit"),
    ("airplane.toml", 'span = "10.2 m"', "span = 10.2", "found the number 10.2"),
    ("airplane.toml", 'span = "10.2 m"', "span = 10.2 m", 'write it like: span = "10.2 m"'),
    ("airplane.toml", 'span = "10.2 m"', 'span = "10.2 kg"', "'kg' is the unit of a mass"),
    ("airplane.toml", 'span = "10.2 m"', 'span = "10,2 m"', "Use a point: '10.2 m'"),
    ("airplane.toml", 'span = "10.2 m"', 'span = "-10.2 m"', "above zero"),
    ("airplane.toml", 'span = "10.2 m"', "span = true", "found true or false"),
    ("airplane.toml", 'span = "10.2 m"', "span = ['10 m']", "found a list"),
    ("airplane.toml", "span =", "spann =", "Write 'span' if that is meant"),
    ("airplane.toml", "wing_area", "wing area", "not followed by '='"),
    ("airplane.toml", 'usable = "70 L"', 'usable = "18.5 gal"', "'US gal' or 'imp gal'"),
    ("airplane.toml", 'mass = "4.0 kg"', 'mass = "-4.0 kg"', "'toolbox', mass: must be above"),
    ("airplane.toml", 'arm_aft = "2.30 m"', 'arm_aft = "1.30 m"', "exchange the two"),
    ("airplane.toml", 'holds = "things"', 'holds = "thing"', 'Write "things" if that is meant'),
    ("airplane.toml", "seats = 2", "seats = 0", "a station for people has seats"),
    ("airplane.toml", "seats = 2", 'seats = "2"', "a whole number is expected"),
    ("airplane.toml", '["0.82 m", "950 kg"]', '["1.52 m", "600 kg"]', "crosses itself"),
    ("airplane.toml", '["0.82 m", "950 kg"]', '["0.82 m"]', "two values are expected"),
    ("airplane.toml", '["0.82 m", "950 kg"]', '["950 kg", "0.82 m"]', "a length is expected"),
    ("airplane.toml", 'arm = "1.00 m"   ', 'arms = [["0 L", "1 m"], ["0 L", "1 m"]]  ', "do not rise"),
    ("airplane.toml", 'arm = "1.00 m"   ', 'arms = [["0 L", "1 m"], ["7 L", "1 m"]]  ', "full tank"),
    ("airplane.toml", 'name = "right"', 'name = "left"', "another tank 'left' on line"),
    ("airplane.toml", 'envelope = "normal"', 'envelope = "Normal"', "'normal' if that is meant"),
    ("airplane.toml", 'kit = "nose-wheel kit"', 'kit = "nose kit"', "no kit 'nose kit'"),
    ("airplane.toml", '["front seats", "cargo bay"]', '["front seats", "cargo bat"]', "'cargo bay' if"),
    ("airplane.toml", '["alternator", "main battery"]', '["altenator"]', "'alternator' if"),
    ("airplane.toml", 'third_arm = "5.60 m"', 'third_arm = "0.10 m"', "arms grow aft"),
    ("costs.toml", 'fuel_price = "2.60 EUR/L ± 0.20 EUR/L"', "fuel_price = 2.60", 'like "2.65 EUR/L"'),
    ("costs.toml", '"185 000 EUR ± 4 000 EUR"', "185000", 'with its currency, like "38 000 EUR"'),
    ("costs.toml", '"7 EUR/h ± 2 EUR/h"', '"7 USD/h"', "is in USD, the price in EUR"),
    ("costs.toml", '"7 EUR/h ± 2 EUR/h"', '"7 EUR"', "does not say for what unit it is"),
    ("costs.toml", '"7 EUR/h ± 2 EUR/h"', '"7 EUR/L"', "'L' is the unit of a volume"),
    ("costs.toml", '"60 % ± 8 %"', '"160 %"', "between 0 and 100 %"),
    ("costs.toml", '"5.5 % ± 0.8 %"', '"550 %"', "no such interest"),
    ("costs.toml", '"120 h ± 25 h"', '"12000 h"', "a year has 8 766 h"),
    ("costs.toml", 'kit = "nose-wheel kit"', 'kit = "nose kit"', "no kit 'nose kit'"),
    ("airplane.toml", "± 0.03 m²", "± 0 m²", "not above zero"),
    ("airplane.toml", " ± 0.03 m²", "", "needs its uncertainty"),
    ("airplane.toml", "day = 2026-05-11", 'day = "11 May"', "a day is expected"),
    ("airplane.toml", "braking = true", 'braking = "yes"', "true or false is expected"),
    ("airplane.toml", "[[flap]]", "[flap]", "second time|TOML|list of tables"),
    ("claims.toml", 'quantity = "cruise speed"', 'quantity = "cruising speed"', '"cruise speed" if'),
    ("claims.toml", 'value = "115 kt"', 'value = "115 m"', "a speed is expected"),
    ("claims.toml", 'value = "115 kt"', 'value = "0 kt"', "above zero"),
    ("claims.toml", 'relation = "at least"', 'relation = "over"', "is not one of"),
    ("claims.toml", 'flap = "landing"', 'flap = "landed"', "'landing' if"),
    ("claims.toml", 'id = "take-off"', 'id = "cruise"', "another claim 'cruise' on line"),
    ("claims.toml", 'power = "75 %"', 'power = "75"', "more than all"),
    ("claims.toml", 'published = "maker', 'tolerance = "1 kt"\npublished = "maker', "has no tolerance"),
    ("missions.toml", 'strip = "hut strip"', 'strip = "hat strip"', "'hut strip' if"),
    ("missions.toml", 'stations = ["cargo bay"]', "stations = []", "no station can take it"),
    ("missions.toml", 'stations = ["cargo bay"]', 'stations = "cargo bay"', 'in brackets, like ["a", "b"]'),
    ("missions.toml", 'configuration = "tail wheel"', 'configuration = "skis"', "'tail wheel', 'nose wheel'"),
    ("cards/flight-1.toml", "09:30:00+01:00", "09:30:00", "has no zone"),
    ("cards/flight-1.toml", "2026-05-12T09:30:00+01:00", "09:30:00", "a day with a time is expected"),
    ("cards/flight-1.toml", "2026-05-12T09:30:00", "2025-05-12T09:30:00", "not the day of the card"),
    ("cards/flight-1.toml", 'qnh = "1016 hPa"', 'qnh = "716 hPa"', "does not occur"),
    ("cards/flight-1.toml", 'dew_point = "8 °C"', 'dew_point = "18 °C"', "above the temperature"),
    ("cards/flight-1.toml", 'temperature = "14 °C"', 'temperature = "14"', "needs a unit"),
    ("cards/flight-1.toml", '"cargo bay" = "1.80 m"', '"cargo bay" = "2.80 m"', "outside the station"),
    ("cards/flight-1.toml", '"cargo bay" = "1.80 m"', "", "say where, in"),
    ("cards/flight-1.toml", '"front seats" = ', '"front seat" = ', "'front seats' if"),
    ("cards/flight-1.toml", 'left = "60 L"', 'left = "71 L"', "holds 70.0 L"),
    ("cards/flight-1.toml", 'left = "60 L"', 'lift = "60 L"', "'left' if"),
    ("cards/flight-1.toml", 'technique = "short field" ', "", "take-off needs its technique"),
    ("cards/flight-1.toml", 'id = "C1"', 'id = "L1"', "another point 'L1'"),
    ("cards/flight-1.toml", 'kind = "climb"', 'kind = "climbing"', '"climb" if'),
    ("cards/flight-1.toml", "[loading.fuel] ", "[loading.fuels] ", "'fuel' if"),
    ("strips.csv", "640 m", "640", "length: a length needs a unit"),
    ("strips.csv", "4 %", "400 %", "steeper than"),
    ("strips.csv", "hut strip", "home field", "another strip 'home field' on line 2"),
    ("strips.csv", "70 °", "70 °,", "has 11 cells, the first row has 10"),
    ("strips.csv", ",yes,", ",perhaps,", "yes or no is expected"),
    ("strips.csv", "obstacle_far", "obstacle_fur", "'obstacle_far' if"),
    ("dossier.toml", 'speed = "kt" ', 'speed = "ft" ', "'ft' is no unit of a speed"),
    ("dossier.toml", 'pressure = "hPa" ', 'pressure = "hpa" ', "no unit of a pressure. Use one of hPa"),
    ("dossier.toml", 'title = "', 'titel = "', "'title' if that is meant"),
]  # fmt: skip


@pytest.mark.parametrize(("file", "old", "new", "says"), ONE_FAULT)
def test_each_fault_is_told_with_its_line(tmp_path: Path, file: str, old: str, new: str, says: str) -> None:
    """The sentence names the file and the line where the fault was put, and says what would mend it."""
    dossier = patient(tmp_path)
    line = dossier.replace(file, old, new)
    problems = dossier.problems()
    told = [problem for problem in problems if _says(problem, says)]
    assert told, "\n".join(problem.sentence() for problem in problems)
    assert told[0].file == file
    assert told[0].line is not None
    assert abs(told[0].line - line) <= _LINES_AWAY.get(old, 0)
    if any(problem.severity == "error" for problem in problems):
        with pytest.raises(InputError):
            load(tmp_path)


# What is missing, or wrong with a list as a whole, can only be told at the table where it stands.
_LINES_AWAY = {
    '"cargo bay" = "1.80 m"': 5,
    'technique = "short field" ': 5,
    '["0.82 m", "950 kg"]': 3,
    "[[flap]]": 12,
}


def _says(problem: Problem, says: str) -> bool:
    return any(part.casefold() in problem.sentence().casefold() for part in says.split("|"))


def test_a_whole_dossier_has_no_problem(tmp_path: Path) -> None:
    """The dossier that is damaged in these tests is right before."""
    assert patient(tmp_path).problems() == ()


def test_every_problem_of_every_file_is_told_in_one_run(tmp_path: Path) -> None:
    """Faults in six files, several in one, syntax and units and names: all at once."""
    dossier = patient(tmp_path)
    expected = {
        (file, dossier.replace(file, old, new))
        for file, old, new in (
            ("dossier.toml", 'place = "', 'plaice = "'),
            ("airplane.toml", 'span = "10.2 m"', "span = 10.2 m"),
            ("airplane.toml", 'wing_area = "15.8 m²"', 'wing_area = "15.8"'),
            ("airplane.toml", 'maximum_landing_mass = "950 kg"', 'maximum_landing_mass = "980 kg"'),
            ("airplane.toml", 'kit = "nose-wheel kit"', 'kit = "floats"'),
            ("airplane.toml", 'deflection = "15 °"', 'deflection = "15 kt"'),
            ("claims.toml", 'value = "115 kt"', 'value = "115"'),
            ("claims.toml", 'flap = "landing"', 'flap = "full"'),
            ("missions.toml", 'strip = "hut strip"', 'strip = "beach"'),
            ("strips.csv", "640 m", "640"),
            ("cards/flight-1.toml", "09:30:00+01:00", "09:30:00"),
            ("cards/flight-1.toml", 'configuration = "tail wheel"', 'configuration = "tailwheel"'),
        )
    }
    expected.add(("cards/second.toml", dossier.add("cards/second.toml", "title = \n")))
    told = {(problem.file, problem.line) for problem in dossier.problems()}
    assert expected <= told
    assert told == expected


def test_missing_keys_are_told_at_their_table(tmp_path: Path) -> None:
    """A key that is missing is told with the line of the table where it belongs."""
    dossier = patient(tmp_path)
    line = dossier.replace("airplane.toml", 'wing_area = "15.8 m²"', "#")
    problem = dossier.only()
    assert problem.sentence().startswith(
        f"airplane.toml, line {line - 2}, geometry, wing_area: 'wing_area' is missing"
    )
    dossier.replace("airplane.toml", 'maker = "', '# maker = "')
    assert "maker: 'maker' is missing" in dossier.problems()[0].sentence()


def test_one_bracket_too_few_is_explained(tmp_path: Path) -> None:
    """[kit] instead of [[kit]] is what people type first."""
    dossier = patient(tmp_path)
    for table in ("[[kit]]", "[[kit.off]]", "[[kit.on]]"):
        dossier.replace("airplane.toml", table, table[1:-1])
    assert any("[[kit]] with double brackets" in problem.sentence() for problem in dossier.problems())


def test_the_empty_mass_comes_from_one_place(tmp_path: Path) -> None:
    """Neither a weighing nor a record is told, and so are both."""
    dossier = patient(tmp_path)
    record = (
        '\n[empty_record]\nconfiguration = "tail wheel"\n'
        'mass = "575 kg ± 2 kg"\narm = "0.83 m"\nsource = "x"\n'
    )
    dossier.add("airplane.toml", record)
    assert "keep the one" in dossier.only().mend
    text = (tmp_path / "airplane.toml").read_text(encoding="utf-8")
    start, end = text.index("[weighing]"), text.index("# ── Exchange")
    (tmp_path / "airplane.toml").write_text(text[:start] + text[end:], encoding="utf-8")
    assert dossier.problems() == ()
    assert load(tmp_path).airplane.empty.configuration == "tail wheel"
    dossier.replace("airplane.toml", record, "")
    assert "empty mass is missing" in dossier.only().what


RECORDING = """
[[recording]]
path = "recordings/{name}"
time_column = "Time"
time_format = "iso utc"

[recording.columns]
indicated_airspeed = {{ column = "IAS", unit = "{unit}" }}
"""
LOG = "Time,IAS,Alt\n2026-05-12T09:30:00,50,1000\n2026-05-12T09:30:01,51,1000\n2026-05-12T09:30:02,52,1001\n"


def _with_log(root: Path, name: str = "a.csv", unit: str = "kt") -> Patient:
    dossier = patient(root)
    dossier.add("recordings/a.csv", LOG)
    dossier.add("cards/flight-1.toml", RECORDING.format(name=name, unit=unit))
    return dossier


def test_a_recording_is_read_and_counted(tmp_path: Path) -> None:
    """A log with its columns is no problem, and its hash is among the dossier's files."""
    dossier = _with_log(tmp_path)
    assert dossier.problems() == ()
    loaded = load(tmp_path)
    assert "recordings/a.csv" in dict(loaded.files)
    mapping = loaded.cards[0].recordings[0].mapping
    assert mapping is not None
    assert mapping.channels["indicated_airspeed"].column == "IAS"


@pytest.mark.parametrize(
    ("old", "new", "file", "says"),
    [
        ("recordings/a.csv", "recordings/b.csv", "cards/flight-1.toml", "'recordings/b.csv' is missing"),
        ("recordings/a.csv", "../a.csv", "cards/flight-1.toml", "leads out of the dossier"),
        ("recordings/a.csv", "/etc/passwd", "cards/flight-1.toml", "leads out of the dossier"),
        ("recordings/a.csv", "recordings", "cards/flight-1.toml", "a folder"),
        ("indicated_airspeed", "indicated_air_speed", "cards/flight-1.toml", "'indicated_airspeed' if"),
        ('unit = "kt"', 'unit = "ft"', "cards/flight-1.toml", "a speed is expected"),
        ('unit = "kt"', 'unit = "kt", offset = "2 ft"', "cards/flight-1.toml", "a speed is expected"),
        ('unit = "kt"', 'unit = "kt", ofset = "2 kt"', "cards/flight-1.toml", "'offset' if"),
        ('time_column = "Time"', "", "cards/flight-1.toml", "'time_column' is missing"),
        ('"iso utc"', '"elapsed"', "cards/flight-1.toml", "needs the moment"),
        ('"iso utc"', '"utc"', "cards/flight-1.toml", "is not one of"),
        ('column = "IAS"', 'column = "CAS"', "recordings/a.csv", "no column 'CAS'"),
    ],
)
def test_what_is_wrong_with_a_recording_is_told(
    tmp_path: Path, old: str, new: str, file: str, says: str
) -> None:
    """Missing, outside, unknown channel, wrong unit, wrong column: told where it can be mended."""
    dossier = _with_log(tmp_path)
    dossier.replace("cards/flight-1.toml", old, new, '[[recording]]\npath = "recordings/a.csv"')
    problem = dossier.only()
    assert problem.file == file
    assert problem.line
    assert says in problem.sentence()


def test_an_empty_recording_is_told(tmp_path: Path) -> None:
    """A log of no bytes was not copied."""
    dossier = _with_log(tmp_path)
    (tmp_path / "recordings/a.csv").write_bytes(b"")
    assert any("is empty" in problem.what for problem in dossier.problems())
    with pytest.raises(InputError, match="is empty"):
        load(tmp_path)


def test_an_offset_is_in_the_unit_of_its_column(tmp_path: Path) -> None:
    """'2 m/s' on a column in knots is added as knots; one of a temperature is a difference."""
    dossier = _with_log(tmp_path)
    dossier.replace(
        "cards/flight-1.toml", 'unit = "kt" }', 'unit = "kt", offset = "1 m/s" }', 'path = "recordings/a'
    )
    dossier.add(
        "cards/flight-1.toml", 'outside_air_temperature = { column = "Alt", unit = "°F", offset = "5 °C" }\n'
    )
    mapping = load(tmp_path).cards[0].recordings[0].mapping
    assert mapping is not None
    assert mapping.channels["indicated_airspeed"].offset == pytest.approx(3600 / 1852)
    assert mapping.channels["outside_air_temperature"].offset == pytest.approx(9.0)


def test_a_factor_multiplies_before_the_offset(tmp_path: Path) -> None:
    """A meter's calibration of 0.41 reaches the mapping beside the offset; one of zero is refused."""
    dossier = _with_log(tmp_path)
    column = 'unit = "kt", offset = "1 kt", factor = 0.41 }'
    dossier.replace("cards/flight-1.toml", 'unit = "kt" }', column, 'path = "recordings/a')
    mapping = load(tmp_path).cards[0].recordings[0].mapping
    assert mapping is not None
    assert mapping.channels["indicated_airspeed"].factor == 0.41
    assert mapping.channels["indicated_airspeed"].offset == pytest.approx(1.0)
    dossier.replace("cards/flight-1.toml", "factor = 0.41", "factor = 0", 'path = "recordings/a')
    with pytest.raises(InputError, match="factor"):
        load(tmp_path)


def test_links_out_of_the_dossier_are_not_followed(tmp_path: Path) -> None:
    """Neither a file nor the folder of cards may be a link to elsewhere."""
    outside = tmp_path / "outside"
    outside.mkdir()
    root = tmp_path / "dossier"
    dossier = patient(root)
    (root / "claims.toml").rename(outside / "claims.toml")
    (root / "claims.toml").symlink_to(outside / "claims.toml")
    (root / "cards").rename(outside / "cards")
    (root / "cards").symlink_to(outside / "cards")
    told = [problem.sentence() for problem in dossier.problems()]
    assert len(told) == 2
    assert all("link out of the dossier" in sentence for sentence in told)


def test_files_may_have_other_names(tmp_path: Path) -> None:
    """[files] says where the parts are; a file that it names must be there, a usual one may be absent."""
    dossier = patient(tmp_path)
    (tmp_path / "claims.toml").unlink()
    (tmp_path / "missions.toml").rename(tmp_path / "trips.toml")
    assert dossier.problems() == ()
    assert load(tmp_path).missions == ()
    dossier.add("dossier.toml", '\n[files]\nmissions = "trips.toml"\nclaims = "none.toml"\n')
    problem = dossier.only()
    assert (problem.file, problem.what) == ("none.toml", "the file is missing")


def test_what_is_no_dossier_is_said(tmp_path: Path) -> None:
    """No folder, a file, a folder without dossier.toml: one sentence that says how to make one."""
    (tmp_path / "file").write_text("x")
    for path in (tmp_path / "none", tmp_path / "file", tmp_path, Path("x\0y")):
        (problem,) = check(path)
        assert problem.mend
        with pytest.raises(InputError):
            load(path)


@pytest.mark.parametrize(
    "data", [b"", b"\x00\x01\x02", b"caf\xe9 = 1", b"\xff\xfe[\x00t\x00]\x00", b"[[[[", b"a = 1" * 9]
)
def test_files_that_are_no_text_are_told(tmp_path: Path, data: bytes) -> None:
    """Empty, binary, another encoding, nonsense: in any file, a problem of that file, and no traceback."""
    dossier = patient(tmp_path)
    for file in ("airplane.toml", "claims.toml", "missions.toml", "strips.csv", "cards/flight-1.toml"):
        whole = (tmp_path / file).read_bytes()
        (tmp_path / file).write_bytes(data)
        problems = dossier.problems()
        assert [problem.file for problem in problems if problem.file == file], file
        assert all(problem.what and problem.mend for problem in problems)
        (tmp_path / file).write_bytes(whole)


def test_a_dossier_of_american_habit_loads_alike(tmp_path: Path) -> None:
    """The same airplane in feet, pounds and US gallons is the same to rounding."""
    dossier = patient(tmp_path)
    metric = load(tmp_path).airplane
    dossier.replace("airplane.toml", '"10.2 m"', '"33.465 ft"')
    dossier.replace("airplane.toml", '"0.72 kg/L"', '"6.0087 lb/US gal"')
    dossier.replace("airplane.toml", 'usable = "70 L"', 'usable = "18.492 US gal"')
    dossier.replace("airplane.toml", 'mass_limit = "220 kg"', 'mass_limit = "485.02 lb"')
    american = load(tmp_path).airplane
    assert american.geometry.span == pytest.approx(metric.geometry.span, rel=1e-4)
    assert american.fuel.density == pytest.approx(metric.fuel.density, rel=1e-4)
    assert american.tanks[0].usable == pytest.approx(metric.tanks[0].usable, rel=1e-4)
    assert american.stations[0].mass_limit == pytest.approx(metric.stations[0].mass_limit, rel=1e-4)


def test_loads_above_a_limit_are_a_warning(tmp_path: Path) -> None:
    """Station, floor, several stations together: told at the load with both masses, and the dossier loads."""
    card, airplane = "cards/flight-1.toml", "airplane.toml"
    bay = '"cargo bay" = "20 kg"'
    cases = (
        ((), ((card, '"165 kg"', '"221 kg"'),), "221.0 kg is above the station's limit of 220.0 kg"),
        (
            ((airplane, '"245 kg/m²"', '"150 kg/m²"'),),
            ((card, bay, '"cargo bay" = "106 kg"'),),
            "151 kg/m² is above the limit of the station's floor, 150 kg/m², which allows 105.0 kg",
        ),
        (
            ((card, '"165 kg"', '"200 kg"'),),
            ((card, bay, '"cargo bay" = "101 kg"'),),
            "301.0 kg in front seats, cargo bay is above their limit of 300.0 kg",
        ),
    )
    for number, (before, at, says) in enumerate(cases):
        dossier = patient(tmp_path / str(number))
        for change in before:
            dossier.replace(*change)
        assert dossier.problems() == ()
        line = [dossier.replace(*change) for change in at][-1]
        problem = dossier.only()
        assert (problem.file, problem.severity) == (card, "warning")
        assert says in problem.what
        assert problem.line is not None
        assert 0 <= line - problem.line <= (2 if "together" in says or " in front" in says else 0)
        assert len(load(dossier.root).cards) == 1
