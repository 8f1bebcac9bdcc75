"""Hourly weather in open forms: what is read, what is told, what is asked for."""

from __future__ import annotations

import gzip
import os
import shutil
from math import degrees, radians
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from wringout.dossier import check, load
from wringout.dossier.weather_proposing import propose_weather
from wringout.dossier.weather_reading import read_weather, weather_of
from wringout.physics.atmosphere import altimeter_setting, pressure_at
from wringout.problems import InputError

RECORDINGS = Path(os.environ.get("WRINGOUT_RECORDINGS", Path(__file__).parents[3] / "shared" / "recordings"))
SHARED = RECORDINGS / "weather"
here = pytest.mark.skipif(not SHARED.exists(), reason="the real files are not on this machine")

EPW = (
    "LOCATION,HILLTOP,-,XXX,TEST,000000,57.24,-17.62,1.0,310.0\n"
    + "".join(f"HEADER {number}\n" for number in range(2, 9))
    + "{rows}"
)
ROW = (
    "1995,{month},{day},{hour},60,flags,{t},{td},79,{p},0,0,288,0,0,0,0,0,0,0,{wd},{ws},6,6,20.0,420,9,9,"
    "0,0,0,88,0,0,0"
)
DESCRIPTION = """file = "{file}"
name = "a hut"
elevation = "500 m"
zone = "+01:00"
{more}
"""


def row(**given: object) -> str:
    """A line of an EPW, as asked and otherwise usual."""
    usual = {"month": 7, "day": 1, "hour": 12, "t": 20.0, "td": 10.0, "p": 97_000, "wd": 240, "ws": 4.0}
    return ROW.format(**{**usual, **given}) + "\n"


def written(folder: Path, name: str, text: str) -> Path:
    """A file with this text."""
    place = folder / name
    place.write_text(text, encoding="utf-8")
    return place


def test_an_epw_says_where_and_when_it_was(tmp_path: Path) -> None:
    """Place, zone and elevation of its first line; hour 1 begins at midnight of the local clock."""
    found = read_weather(written(tmp_path, "x.epw", EPW.format(rows=row(hour=1) + row(hour=24))))
    assert degrees(found.site.latitude or 0.0) == pytest.approx(57.24)
    assert found.site.zone == 3600.0
    assert found.site.elevation == 310.0
    assert found.hour.tolist() == [0, 23]
    assert found.day.tolist() == [182, 182]
    assert found.temperature[0] == pytest.approx(293.15)
    assert found.pressure[0] == 97_000.0
    assert found.wind_from[0] == pytest.approx(radians(240.0))
    assert any("10 m" in note for note in found.site.notes)


@pytest.mark.parametrize(
    ("bad", "word"),
    [
        ({"t": 99.9}, "temperature"),
        ({"p": 999_999}, "pressure"),
        ({"ws": 999}, "wind speed"),
        ({"wd": 999}, "wind direction"),
        ({"t": "warm"}, "temperature"),
        ({"t": -99.0}, "temperature"),
        ({"month": 13}, "month"),
        ({"hour": 0}, "month"),
    ],
)
def test_a_dirty_hour_is_left_out_and_told_with_its_line(
    tmp_path: Path, bad: dict[str, object], word: str
) -> None:
    """Missing marks, words, impossible figures and dates: none is guessed, the others stay."""
    found = read_weather(written(tmp_path, "x.epw", EPW.format(rows=row() + row(**bad) + row(hour=13))))
    assert len(found.month) == 2
    assert [(problem.file, problem.line) for problem in found.problems] == [("x.epw", 10)]
    assert word in found.problems[0].what
    assert found.problems[0].severity == "warning"


def test_a_calm_needs_no_direction_and_a_missing_dew_point_only_dries_the_air(tmp_path: Path) -> None:
    """Both hours count."""
    rows = row(ws=0.0, wd=999) + row(td=99.9)
    found = read_weather(written(tmp_path, "x.epw", EPW.format(rows=rows)))
    assert found.problems == ()
    assert found.wind_speed[0] == 0.0
    assert np.isnan(found.dew_point[1])


@here
def test_a_real_epw_reads_as_it_is_printed() -> None:
    """Amsterdam's first hour, as its line 9 has it: 5.1 °C, 1.8 °C, 1001.00 hPa, 340° at 6.7 m/s."""
    found = read_weather(SHARED / "amsterdam.epw")
    assert len(found.month) == 8760
    assert found.problems == ()
    first = (found.temperature[0], found.dew_point[0], found.pressure[0], found.wind_speed[0])
    assert first == pytest.approx((278.25, 274.95, 100_100.0, 6.7))
    assert degrees(found.wind_from[0]) == pytest.approx(340.0)


@here
def test_a_real_tmy3_reads_as_it_is_printed() -> None:
    """Greensboro's first hour, as its line 3 has it: 10.0 °C, 6.1 °C, 993 mbar, 200° at 6.2 m/s; zone −5."""
    found = read_weather(SHARED / "greensboro_tmy3.csv")
    assert len(found.month) == 8760
    assert found.site.zone == -5 * 3600.0
    first = (found.temperature[0], found.dew_point[0], found.pressure[0], found.wind_speed[0])
    assert first == pytest.approx((283.15, 279.25, 99_300.0, 6.2))
    assert degrees(found.wind_from[0]) == pytest.approx(200.0)


def reports(folder: Path, *lines: str, more: str = 'month = "2019-04"') -> Path:
    """A description of airport reports beside it."""
    written(folder, "reports.txt", "\n".join(lines))
    return written(folder, "x.toml", DESCRIPTION.format(file="reports.txt", more=more))


def test_an_airport_report_reads_as_a_pilot_reads_it(tmp_path: Path) -> None:
    """120° 11 gusting 20 kt, 12.8 °C and 4.4 °C by the remarks, 30.12 inHg: the words of a real report."""
    line = "KSET 281954Z AUTO 12011G20KT 9SM FEW110 13/04 A3012 RMK AO2 SLP201 T01280044"
    found = read_weather(reports(tmp_path, "# what it goes with", line))
    assert found.temperature[0] == pytest.approx(285.95)
    assert found.dew_point[0] == pytest.approx(277.55)
    assert found.wind_speed[0] / 0.514444 == pytest.approx(11.0, abs=0.001)
    assert found.gust[0] / 0.514444 == pytest.approx(20.0, abs=0.001)
    assert degrees(found.wind_from[0]) == pytest.approx(120.0)
    setting = altimeter_setting(found.pressure[0], 500.0)
    assert float(setting) / 3386.389 == pytest.approx(30.12, abs=0.001)
    assert found.hour[0] == 20  # 19:54 UTC an hour east


def test_reports_in_other_units_with_calms_and_variable_winds(tmp_path: Path) -> None:
    """Metres a second, hectopascals, frost, 'VRB' and '00000'; what is no report is told with its line."""
    found = read_weather(
        reports(
            tmp_path,
            "METAR ABCD 010000Z 24005MPS 9999 M03/M07 Q1008",
            "METAR ABCD 010100Z VRB02KT CAVOK 01/M01 Q0998=",
            "METAR ABCD 010200Z 00000KT CAVOK 01/M01 Q0998",
            "nothing of the kind",
            "METAR ABCD 310300Z 00000KT CAVOK 01/M01 Q0998",
            "METAR ABCD 010400Z /////KT CAVOK 01/M01 Q0998",
        )
    )
    assert found.temperature[0] == pytest.approx(270.15)
    assert found.wind_speed[0] == pytest.approx(5.0)
    assert found.pressure[0] == pytest.approx(float(pressure_at(100_800.0, 500.0)))
    assert np.isnan(found.wind_from[1])
    assert found.wind_speed[2] == 0.0
    assert len(found.month) == 3
    assert [problem.line for problem in found.problems] == [4, 5, 6]


def test_the_month_of_reports_is_asked_for(tmp_path: Path) -> None:
    """A report tells the day and not the month; a date before it does."""
    line = "ABCD 281954Z 12011KT 9999 13/04 Q1012"
    with pytest.raises(InputError, match="month"):
        read_weather(reports(tmp_path, line, more=""))
    found = read_weather(reports(tmp_path, f"2019-12-28 {line}", more=""))
    assert found.month[0] == 12


CSV = "Date;Time;T;RH;QNH;ff;dd\n2025-03-01;01:00;2,5;80;1013,2;10;270\n2025-03-01;24:00;-;80;1013,2;10;270\n"
COLUMNS = """time_column = "Date + Time"
hour_marks = "end"
delimiter = ";"
decimal = ","
missing = ["-"]
mast = "6 m"
[columns]
temperature = { column = "T", unit = "°C" }
humidity = { column = "RH", unit = "%" }
qnh = { column = "QNH", unit = "hPa" }
wind_speed = { column = "ff", unit = "kt" }
wind_from = { column = "dd", unit = "°" }
"""


def test_any_csv_is_read_by_its_description(tmp_path: Path) -> None:
    """Units, marks of the hour, decimal comma, mast; an hour without its temperature is told."""
    written(tmp_path, "hut.csv", CSV)
    found = read_weather(written(tmp_path, "x.toml", DESCRIPTION.format(file="hut.csv", more=COLUMNS)))
    assert found.hour.tolist() == [0]
    assert found.site.mast == 6.0
    assert found.temperature[0] == pytest.approx(275.65)
    assert found.wind_speed[0] == pytest.approx(10 * 0.514444, abs=1e-5)
    assert found.pressure[0] == pytest.approx(float(pressure_at(101_320.0, 500.0)))
    assert found.dew_point[0] < found.temperature[0]
    assert [(problem.line, problem.what) for problem in found.problems] == [(3, "no temperature is given")]


@pytest.mark.parametrize("missing", ["time_column", "hour_marks", "temperature", "wind_from", "qnh", "zone"])
def test_what_a_csv_does_not_say_is_asked_for(tmp_path: Path, missing: str) -> None:
    """Each thing that is left out of the description is named."""
    written(tmp_path, "hut.csv", CSV)
    text = DESCRIPTION.format(file="hut.csv", more=COLUMNS)
    kept = "\n".join(line for line in text.splitlines() if not line.startswith(missing))
    with pytest.raises(InputError) as caught:
        read_weather(written(tmp_path, "x.toml", kept))
    assert missing in str(caught.value)


def test_a_table_that_says_nothing_is_refused_in_words(tmp_path: Path) -> None:
    """Neither where nor in what units: a description is asked for."""
    with pytest.raises(InputError, match="description"):
        read_weather(written(tmp_path, "x.csv", "a,b\n1,2\n"))


def test_a_packed_file_is_the_same_file(tmp_path: Path) -> None:
    """Gzip by its content, not by its name."""
    text = EPW.format(rows=row())
    packed = tmp_path / "x.epw.gz"
    packed.write_bytes(gzip.compress(text.encode()))
    plain = read_weather(written(tmp_path, "x.epw", text))
    assert read_weather(packed).temperature == pytest.approx(plain.temperature)
    packed.write_bytes(gzip.compress(text.encode())[:-9])
    with pytest.raises(InputError):
        read_weather(packed)


def test_a_description_counts_before_a_plain_file_and_a_link_out_is_refused(tmp_path: Path) -> None:
    """Which file of weather/ is the dossier's, and that none leads out of it."""
    assert weather_of(tmp_path) is None
    folder = tmp_path / "root" / "weather"
    folder.mkdir(parents=True)
    written(folder, "b.epw", "")
    assert weather_of(tmp_path / "root") == folder / "b.epw"
    written(folder, "z.toml", "")
    assert weather_of(tmp_path / "root") == folder / "z.toml"
    (folder / "z.toml").unlink()
    written(tmp_path, "secret.toml", "")
    (folder / "a.toml").symlink_to(tmp_path / "secret.toml")
    with pytest.raises(InputError, match="link"):
        weather_of(tmp_path / "root")


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary(max_size=400), st.sampled_from(["epw", "tmy3", "metar", "csv", "toml", "bare"]))
def test_whatever_the_bytes_are_the_answer_is_weather_or_words(
    tmp_path: Path, junk: bytes, kind: str
) -> None:
    """No crash, only InputError."""
    head = {
        "epw": EPW.format(rows=row()).encode(),
        "tmy3": b'1,"X",NC,-5.0,36.1,-79.9,273\nDate (MM/DD/YYYY),Time (HH:MM),Dry-bulb (C)\n',
        "metar": b"KSET 281954Z 12011KT 13/04 A3012\n",
        "csv": CSV.encode(),
    }.get(kind, b"")
    (tmp_path / "data").write_bytes(head + junk)
    place = tmp_path / "data"
    if kind in {"metar", "csv"}:
        more = COLUMNS if kind == "csv" else 'month = "2020-01"'
        place = written(tmp_path, "x.toml", DESCRIPTION.format(file="data", more=more))
    if kind == "toml":
        place = tmp_path / "x.toml"
        place.write_bytes(b'file = "data"\n' + junk)
    try:
        found = read_weather(place)
    except InputError:
        return
    assert len(found.month) > 0


def test_check_tells_the_dirty_hours_of_the_dossier_s_weather(tmp_path: Path, demo_root: Path) -> None:
    """With file and line, the first of many one by one; the file counts among those that were read."""
    root = tmp_path / "demo"
    shutil.copytree(demo_root, root)
    rows = "".join(row(t=99.9) for _ in range(30)) + row()
    shutil.rmtree(root / "weather")
    (root / "weather").mkdir()
    written(root / "weather", "hill.epw", EPW.format(rows=rows))
    told = [problem for problem in check(root) if (problem.file or "").startswith("weather/")]
    assert [problem.line for problem in told[:20]] == list(range(9, 29))
    assert told[20].what == "10 more hours are left out"
    assert "weather/hill.epw" in dict(load(root).files)


def test_a_description_is_proposed_and_says_what_is_left_to_be_said(tmp_path: Path) -> None:
    """Columns by name and unit; filled in where it asks, the same text reads the table."""
    table = "Time,Air temperature (°C),RH (%),QNH (hPa),Wind speed (kt),Wind dir (deg),Cloud\n"
    table += "2025-03-01 00:00,2.5,80,1013.2,10,270,3\n2025-03-01 01:00,2.4,81,1013.0,9,260,3\n"
    place = written(tmp_path, "hut.csv", table)
    proposal = propose_weather(place)
    assert {what for what, _, _ in proposal.columns} == {
        "temperature", "humidity", "qnh", "wind_speed", "wind_from",
    }  # fmt: skip
    assert proposal.unknown == ("Cloud",)
    assert any("zone" in sentence for sentence in proposal.asked)
    filled = proposal.toml.replace('name = "?"', 'name = "hut"').replace('"? m"', '"500 m"')
    filled = filled.replace('hour_marks = "?"', 'hour_marks = "start"')
    found = read_weather(written(tmp_path, "hut.toml", filled))
    assert found.temperature == pytest.approx([275.65, 275.55])
    assert degrees(found.wind_from[0]) == pytest.approx(270.0)
