"""Layouts of every shape: what their columns are seen to be, what is asked, nothing guessed in silence."""

import io
import tomllib
from pathlib import Path

import numpy as np
import polars as pl
import pytest

from tests.recordings.real import ROOT, real
from wringout.dossier.proposing import recording_toml
from wringout.dossier.recording_tables import RecordingTable
from wringout.problems import InputError
from wringout.recordings import read
from wringout.recordings.proposal import Proposal, first_rows, propose, stand_in
from wringout.recordings.sniffing import sniff
from wringout.recordings.vocabulary import NAMES, split_name

GLASS = """\
#airframe_info, log_version="1.00", airframe_name="invented"
#yyy-mm-dd, hh:mm:ss, hh:mm, ident, degrees, degrees, ft Baro, ft msl, deg C, kt, kt, gph, rpm
  Lcl Date, Lcl Time, UTCOfst, AtvWpt, Latitude, Longitude, AltB, AltMSL, OAT, IAS, GndSpd, E1 FFlow, E1 RPM
2026-05-02, 13:18:41, +01:00, , 52.0000100, -1.0000000, 789.4, 855.2, 12.0, 61.00, 58.10, 9.80, 2349.0
2026-05-02, 13:18:42, +01:00, , 52.0002600, -1.0000000, 790.4, 855.1, 12.0, 61.50, 58.30, 9.78, 2348.8
2026-05-02, 13:18:43, +01:00, , 52.0005300, -1.0000000, 791.4, 856.1, 12.0, 61.00, 58.50, 9.75, 2347.1
"""
MONITOR = """\
Session Time,GPS Date & Time,Latitude (deg),Longitude (deg),Vertical Accel(g),RPM L,RPM R,Oil Temp (deg C)
36.60,2026-05-02 08:29:59,+52.00000,-1.00000,+1.0,2400,2410,80
36.85,2026-05-02 08:29:59,+52.00003,-1.00000,+1.0,2400,2410,80
37.10,2026-05-02 08:29:59,+52.00006,-1.00000,+1.1,2400,2410,80
37.35,2026-05-02 08:30:00,+52.00009,-1.00000,+1.0,2400,2410,80
37.60,2026-05-02 08:30:00,+52.00012,-1.00000,+1.0,2400,2410,80
"""
PHONE = """\
loggingTime(txt),locationTimestamp_since1970(s),locationLatitude(WGS84),locationLongitude(WGS84),locationAltitude(m),locationSpeed(m/s),locationCourse(°),activity(txt)
2026-05-02 09:30:00.441 +0100,1777710599.99,52.1,-1.1,144.1,31.2,215.1,unknown
2026-05-02 09:30:01.027 +0100,1777710600.99,52.1001,-1.1002,144.1,31.4,215.2,unknown
2026-05-02 09:30:02.027 +0100,1777710601.99,52.1002,-1.1004,144.3,31.3,215.2,unknown
"""
SEMICOLONS = """\
time_local;ias_kt;oat_c;fuel_flow_lph;altitude;flap
;kt;°C;L/h;ft;
2026-05-02T09:30:00;61,5;12,0;38,5;1250;0
2026-05-02T09:30:01;61,0;12,0;38,0;1251;0
# pause
2026-05-02T09:30:05;62,5;12,1;38,0;1252;0
"""
ELAPSED = """\
"Time (s)","Latitude (°)","Longitude (°)","Height (m)","Velocity (m/s)"
3.367059217E0,5.206098674E1,-1.128727349E0,9.797065106E1,3.980000019E0
4.372424790E0,5.206093897E1,-1.128732454E0,9.849118204E1,4.389999866E0
5.374088383E0,5.206090867E1,-1.128730019E0,9.936854050E1,5.000000000E0
"""


def written(folder: Path, text: str) -> Path:
    """The text as a CSV."""
    path = folder / "log.csv"
    path.write_text(text, encoding="utf-8")
    return path


def proposed(proposal: Proposal) -> dict[str, tuple[str, str]]:
    """Channel → column and unit."""
    return {name: (column.column, column.unit) for name, column in proposal.mapping.channels.items()}


def test_a_glass_cockpit_with_units_above_the_names(tmp_path: Path) -> None:
    """Three header lines, date and time and zone apart, gallons that nobody named, a barometric altitude."""
    path = written(tmp_path, GLASS)
    proposal = propose(path)
    assert proposal.mapping.header_row == 3
    assert proposal.mapping.units_rows == 0
    assert proposal.mapping.time_column == "Lcl Date + Lcl Time + UTCOfst"
    assert proposed(proposal) == {
        "latitude": ("Latitude", "°"),
        "longitude": ("Longitude", "°"),
        "height": ("AltMSL", "ft"),
        "ground_speed": ("GndSpd", "kt"),
        "indicated_airspeed": ("IAS", "kt"),
        "outside_air_temperature": ("OAT", "°C"),
        "engine_speed": ("E1 RPM", "rpm"),
    }
    ((channel, column, why),) = proposal.doubtful
    assert (channel, column) == ("fuel_flow", "E1 FFlow")
    assert "say which gallon" in why
    assert proposal.unknown == ("AtvWpt", "AltB")
    assert proposal.asked == ()
    recording = read(path, proposal.mapping)
    assert recording.start.isoformat() == "2026-05-02T12:18:41+00:00"
    assert recording.channels["height"][0] == pytest.approx(855.2 * 0.3048)


def test_a_monitor_whose_receiver_tells_whole_seconds(tmp_path: Path) -> None:
    """Four rows a second with one time: the finer count is taken, tied to where the seconds turn."""
    path = written(tmp_path, MONITOR)
    proposal = propose(path)
    assert proposal.mapping.time_column == "Session Time"
    assert proposal.mapping.elapsed_start == "2026-05-02T08:29:22.650+00:00"
    assert proposed(proposal)["engine_speed"] == ("RPM L", "rpm")
    assert ("engine_speed", "RPM R") in proposal.left
    assert any("several rows a second" in note for note in proposal.notes)
    assert any("1 g at rest" in note for note in proposal.notes)
    recording = read(path, proposal.mapping)
    assert recording.start.isoformat() == "2026-05-02T08:29:59.250000+00:00"
    assert recording.time == pytest.approx([0.0, 0.25, 0.5, 0.75, 1.0])


def test_a_phone_whose_fixes_have_their_own_time(tmp_path: Path) -> None:
    """The time that shares its name's first word with the latitude is the fixes' own."""
    proposal = propose(written(tmp_path, PHONE))
    assert proposal.mapping.time_column == "locationTimestamp_since1970(s)"
    assert proposal.mapping.time_format == "unix"
    assert proposed(proposal)["latitude"] == ("locationLatitude(WGS84)", "°")
    assert proposed(proposal)["track"] == ("locationCourse(°)", "°")


def test_decimal_commas_a_units_row_and_comments(tmp_path: Path) -> None:
    """The zone is asked for; an 'altitude' that may mean two things is left to people."""
    path = written(tmp_path, SEMICOLONS)
    proposal = propose(path)
    mapping = proposal.mapping
    assert (mapping.delimiter, mapping.decimal, mapping.units_rows, mapping.comment) == (";", ",", 1, "#")
    assert proposal.unknown == ("altitude", "flap")
    assert proposal.asked == ('the zone of its times is to be given, the file has none: zone = "+01:00"',)
    log = first_rows(path, proposal)
    assert log is not None
    assert log.channels["indicated_airspeed"] == pytest.approx(np.array([61.5, 61.0, 62.5]) * 1852 / 3600)
    assert log.line.tolist() == [3, 4, 6]
    with pytest.raises(InputError, match="the times have no zone"):
        read(path, mapping)


@pytest.mark.parametrize("typed", [True, False])
def test_the_columns_of_a_parquet(tmp_path: Path, typed: bool) -> None:
    """Names as in a CSV; a typed moment brings its zone, and nested columns are passed over."""
    frame = pl.read_csv(io.StringIO(PHONE.replace(" +0100", "+01:00").replace("05-02 ", "05-02T")))
    if typed:
        moments = pl.from_epoch("locationTimestamp_since1970(s)").dt.replace_time_zone("UTC")
        frame = frame.with_columns(moments, pl.Series("list", [[1]] * 3)).drop("loggingTime(txt)")
    path = tmp_path / "log.parquet"
    frame.write_parquet(path)
    proposal = propose(path)
    assert proposal.mapping.time_column == "locationTimestamp_since1970(s)"
    assert proposal.mapping.time_format == ("iso" if typed else "unix")
    assert proposed(proposal)["ground_speed"] == ("locationSpeed(m/s)", "m/s")
    log = first_rows(path, proposal)
    assert log is not None
    assert np.diff(log.time) == pytest.approx([1.0, 1.0])
    path.write_bytes(path.read_bytes()[:-50])
    with pytest.raises(InputError, match="the Parquet cannot be read"):
        propose(path)


def test_seconds_without_a_start_are_asked_for_it(tmp_path: Path) -> None:
    """Scientific numbers in quotes, units in brackets."""
    path = written(tmp_path, ELAPSED)
    proposal = propose(path)
    assert proposal.mapping.time_format == "elapsed"
    assert "is to be given: elapsed_start" in proposal.asked[0]
    assert proposed(proposal)["ground_speed"] == ("Velocity (m/s)", "m/s")
    assert len(read(path, stand_in(proposal)).time) == 3


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("config,run,kias\nclean,1,115\nclean,2,110\n", "no column is seen to be a time"),
        ("2026-05-02T09:30:00Z,52.0,-1.0\n2026-05-02T09:30:01Z,52.1,-1.0\n", "no line of column names above"),
        ("just\nwords\n", "no rows of several cells"),
        ("a,b\nc,d\ne,f\n", "no row of numbers"),
        ("\x00\x01", "no text"),
    ],
)
def test_what_is_no_table_is_refused(tmp_path: Path, text: str, words: str) -> None:
    """In one sentence."""
    with pytest.raises(InputError, match=words):
        propose(written(tmp_path, text))


@pytest.mark.parametrize("text", [GLASS, MONITOR, PHONE, SEMICOLONS, ELAPSED])
def test_the_toml_is_a_cards_recording(tmp_path: Path, text: str) -> None:
    """Pasted, it reads as the very mapping; what is asked stands in a comment."""
    proposal = propose(written(tmp_path, text))
    toml = recording_toml("recordings/log.csv", proposal)
    (table,) = tomllib.loads(toml)["recording"]
    if proposal.mapping.time_format == "elapsed" and proposal.mapping.elapsed_start is None:
        assert "# the moment from which its seconds count" in toml
        return
    made = RecordingTable(**table).made()
    assert made.path == "recordings/log.csv"
    assert made.mapping is not None
    assert made.mapping.channels == proposal.mapping.channels
    for name in ("time_column", "time_format", "delimiter", "decimal", "header_row", "units_rows", "comment"):
        assert getattr(made.mapping, name) == getattr(proposal.mapping, name)
    if proposal.asked:
        assert "zone = " in toml


def test_no_word_names_two_channels() -> None:
    """The vocabulary says each thing once, in the form in which headings are compared."""
    words = [word for phrases in NAMES.values() for word in phrases]
    assert len(words) == len(set(words))
    assert [word for word in words if split_name(word) != (word, "")] == []


REAL = (
    sorted(path.relative_to(ROOT).as_posix() for path in ROOT.glob("*/*.csv"))
    if ROOT.exists()
    else ["none.csv"]
)
NO_FLIGHTS = ("three_leg/", "runways/", "weather/")


@pytest.mark.parametrize("name", REAL)
def test_every_real_table_is_proposed_or_refused_rightly(name: str) -> None:
    """Tables of flights read by the proposal, with a stand-in for what is asked; others have no time."""
    path = real(name)
    if name.startswith(NO_FLIGHTS):
        with pytest.raises(InputError, match="no column is seen to be a time"):
            propose(path)
        return
    proposal = propose(path)
    if name.startswith("takeoff_phone/accelerometer"):
        assert proposal.mapping.channels == {}  # axes of a phone are no axes of an airplane
        return
    assert {"latitude", "longitude", "ground_speed", "track"} <= set(proposal.mapping.channels)
    if "survey_lines" in name:  # written from the last fix to the first
        with pytest.raises(InputError, match="runs backwards"):
            read(path, stand_in(proposal))
        return
    assert len(read(path, stand_in(proposal)).time) > 20
    assert (proposal.mapping.track == "magnetic") == name.startswith("glass_cockpit/")


def test_a_layout_keeps_what_it_saw(tmp_path: Path) -> None:
    """Names, the units of their row, and rows as text."""
    layout = sniff(written(tmp_path, SEMICOLONS))
    assert layout.header[:3] == ("time_local", "ias_kt", "oat_c")
    assert layout.units[:3] == ("", "kt", "°C")
    assert layout.rows[2][1] == "62,5"
