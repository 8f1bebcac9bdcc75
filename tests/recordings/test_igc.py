"""IGC flight records: against another reader, and against fixes worked out by hand."""

import warnings
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from tests.recordings.logs import circle
from tests.recordings.real import real
from tests.recordings.sentences import SECONDS, fix, igc
from wringout.problems import InputError
from wringout.recordings import ColumnMapping, read
from wringout.recordings.igc import IgcReader


def written(folder: Path, text: str) -> Path:
    """A file of this text."""
    path = folder / "flight.igc"
    path.write_bytes(text.encode("latin-1"))
    return path


def flight(start: float = 36_000.0, more: str = "") -> list[str]:
    """Twenty seconds on the circle; pressure altitude 30 m below the height."""
    return [
        fix(start + t, lat, lon, height - 30, height, more=more)
        for t, lat, lon, height in zip(SECONDS, *circle(SECONDS), strict=True)
    ]


def test_a_fix_worked_out_by_hand(tmp_path: Path) -> None:
    """53° 46.296' N, 20° 25.184' E at 10:16:43: pressure altitude 122 m, height 160 m."""
    lines = ["B1016435346296N02025184EA0012200160", "B1016445346296N02025184EA0012300161"]
    recording = read(written(tmp_path, igc(lines, ["HFDTE020911"])))
    assert recording.start == datetime(2011, 9, 2, 10, 16, 43, tzinfo=UTC)
    assert np.degrees(recording.channels["latitude"][0]) == pytest.approx(53.7716, abs=1e-9)
    assert np.degrees(recording.channels["longitude"][0]) == pytest.approx(20.4197333333, abs=1e-9)
    assert recording.channels["pressure_altitude"].tolist() == [122.0, 123.0]
    assert recording.channels["height"].tolist() == [160.0, 161.0]


@pytest.mark.parametrize(
    "header", ["HFDTE020526", "HFDTEDATE:020526", "HFDTEDATE:020526,01", "HFDTE: 020526"]
)
def test_the_date_in_every_spelling(tmp_path: Path, header: str) -> None:
    """Old and new headers, with the flight's number or without."""
    recording = read(written(tmp_path, igc(flight(), [header])))
    assert recording.start == datetime(2026, 5, 2, 10, 0, 0, tzinfo=UTC)


def test_midnight_is_crossed(tmp_path: Path) -> None:
    """The header has the date of the first fix only."""
    recording = read(written(tmp_path, igc(flight(86_390.0))))
    assert recording.start == datetime(2026, 5, 2, 23, 59, 50, tzinfo=UTC)
    assert recording.time == pytest.approx(SECONDS)


def test_extensions_by_the_i_record(tmp_path: Path) -> None:
    """Further decimals of place and time, and speeds in whole km/h or hundredths."""
    header = ["HFDTE020526", "I073636LAD3737LOD3839TDS4042GSP4347TAS4850TRT5153ENL"]
    lines = [
        "B1000005230500N00115250WA0030000330" + more
        for more in ("5725072115012084900", "5775072115012084900")
    ]
    recording = read(written(tmp_path, igc(lines, header)))
    assert recording.start == datetime(2026, 5, 2, 10, 0, 0, 250_000, tzinfo=UTC)
    assert recording.time == pytest.approx([0.0, 0.5])
    assert np.degrees(recording.channels["latitude"]) == pytest.approx(52 + 30.5005 / 60, abs=1e-9)
    assert np.degrees(recording.channels["longitude"]) == pytest.approx(-1 - 15.2507 / 60, abs=1e-9)
    assert recording.channels["ground_speed"] == pytest.approx(72 / 3.6)
    assert recording.channels["true_airspeed"] == pytest.approx(115.01 / 3.6)
    assert np.degrees(recording.channels["track"]) == pytest.approx(208)


def test_an_extension_of_unknown_scale_is_told(tmp_path: Path) -> None:
    """Four digits are neither whole units nor hundredths: not read, and said so."""
    recording = read(written(tmp_path, igc(flight(more="0721"), ["HFDTE020526", "I013639GSP"])))
    assert "ground_speed" not in recording.channels
    assert recording.notes[-1] == "not read, as their scale is unknown: GSP in 4 digits"


@pytest.mark.parametrize(
    ("header", "words"),
    [
        ("HFALGALTGPS:ELL", "the WGS 84 ellipsoid, by the header"),
        ("HFALGALTGPS:GEO", "mean sea level, by the header"),
        ("HFPLTPILOT:NOBODY", "does not say what heights count from"),
    ],
)
def test_what_heights_count_from(tmp_path: Path, header: str, words: str) -> None:
    """As the header says, and never assumed."""
    (note,) = read(written(tmp_path, igc(flight(), ["HFDTE020526", header]))).notes
    assert words in note


def test_a_recorder_without_a_pressure_sensor(tmp_path: Path) -> None:
    """Zeros for pressure altitudes are none."""
    lines = [
        fix(36_000 + t, lat, lon, 0.0, 300.0)
        for t, lat, lon in zip(SECONDS, *circle(SECONDS)[:2], strict=True)
    ]
    recording = read(written(tmp_path, igc(lines)))
    assert "pressure_altitude" not in recording.channels
    assert recording.notes[0] == "there is no pressure altitude: all are written as zero"


def test_damage_and_flat_fixes_are_counted(tmp_path: Path) -> None:
    """A broken record, an impossible minute, and fixes marked V."""
    lines = flight()
    lines[4] = lines[4][:20]
    lines[6] = lines[6][:9] + "61" + lines[6][11:]
    for k in (8, 9):
        lines[k] = lines[k].replace("WA", "WV")
    recording = read(written(tmp_path, igc(lines)))
    damaged, flat = (item.reason for item in recording.exclusions if item.kind == "unreadable")
    assert damaged == "2 B records are damaged, the first on line 7"
    assert flat == (
        "2 fixes are marked as not three-dimensional: their positions and heights are left out, "
        "the first on line 11"
    )
    assert len(recording.time) == len(SECONDS) - 2
    assert np.isnan(recording.channels["height"][6:8]).all()
    assert np.isfinite(recording.channels["pressure_altitude"]).all()


def test_times_that_repeat_or_fall_back_are_left_out(tmp_path: Path) -> None:
    """The cleaning of every recording: told, not sorted away."""
    lines = flight()
    lines[6:6] = [lines[5], lines[3]]
    recording = read(written(tmp_path, igc(lines)))
    assert recording.time == pytest.approx(SECONDS)
    assert recording.exclusions[0].samples == 2
    assert recording.exclusions[0].kind == "time"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (igc(flight(), ["HFPLTPILOT:NOBODY"]), "line 3: no header states the date"),
        (igc([], ["HFDTE020526"]), "the file holds no B record"),
        (igc([line[:30] for line in flight()]), "line 3: none of 20 B records is whole"),
        (igc(flight(), ["HFDTE000000"]), "no header states the date"),
    ],
)
def test_what_cannot_be_a_recording_is_refused(tmp_path: Path, text: str, words: str) -> None:
    """With the line where there is one, and what mends it."""
    with pytest.raises(InputError, match=words):
        read(written(tmp_path, text))


def test_a_mapping_is_refused(tmp_path: Path) -> None:
    """It is meant for another file."""
    with pytest.raises(InputError, match="needs no column mapping"):
        read(written(tmp_path, igc(flight())), ColumnMapping("t", "iso", {}))


@pytest.mark.parametrize("name", ["glider_8s", "motor_glider_1s", "repeated_times"])
def test_a_real_flight_as_another_reader_has_it(name: str) -> None:
    """Every B record that aerofiles reads: moment, place, both altitudes and the extensions."""
    import aerofiles.igc  # type: ignore[import-untyped]  # it has no stubs

    path = real(f"igc/{name}.igc")
    log = IgcReader().read(path, None)
    with path.open(encoding="latin-1") as stream, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        parsed = aerofiles.igc.Reader(skip_duplicates=False).read(stream)
    _, fixes = parsed["fix_records"]
    three = np.array([each["validity"] == "A" for each in fixes])
    assert len(fixes) == len(log.time)
    assert log.time.tolist() == [each["datetime"].timestamp() for each in fixes]
    for channel, key, factor in (
        ("latitude", "lat", np.radians(1.0)),
        ("longitude", "lon", np.radians(1.0)),
        ("pressure_altitude", "pressure_alt", 1.0),
        ("height", "gps_alt", 1.0),
        ("ground_speed", "GSP", 0.01 / 3.6),
        ("true_airspeed", "TAS", 0.01 / 3.6),
        ("track", "TRT", np.radians(1.0)),
    ):
        if channel in log.channels:
            other = np.array([each[key] for each in fixes]) * factor
            kept = three if channel != "pressure_altitude" else np.full(len(three), True)
            np.testing.assert_allclose(log.channels[channel][kept], other[kept], rtol=1e-12, atol=1e-12)


def test_five_digits_are_hundredths_of_a_kilometre_an_hour() -> None:
    """A real recorder's ground speeds agree with the speed between its own places."""
    recording = read(real("igc/glider_8s.igc"))
    phi, lam = recording.channels["latitude"], recording.channels["longitude"]
    east = np.diff(lam) * np.cos(phi[1:]) * 6_378_137
    between = np.hypot(np.diff(phi) * 6_371_000, east) / np.diff(recording.time)
    logged = (recording.channels["ground_speed"][1:] + recording.channels["ground_speed"][:-1]) / 2
    fast = logged > 20
    assert np.median(between[fast] / logged[fast]) == pytest.approx(1.0, abs=0.02)


def test_a_real_damaged_file_keeps_what_is_whole() -> None:
    """What is broken in it is counted."""
    recording = read(real("igc/corrupted.igc"))
    assert any("B records are damaged" in item.reason for item in recording.exclusions)


def test_a_real_file_whose_time_goes_backwards() -> None:
    """Days apart in one file: the longest flight is kept and the others are told."""
    recording = read(real("igc/time_goes_backwards.igc"))
    assert sum("h apart from the rest" in item.reason for item in recording.exclusions) == 3
    assert np.all(np.diff(recording.time) > 0)
