"""NMEA 0183: against another parser, and against moments and places worked out by hand."""

from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pynmea2  # type: ignore[import-untyped]  # it has no stubs
import pytest

from tests.recordings.logs import circle
from tests.recordings.real import real
from tests.recordings.sentences import SECONDS, epoch, sentence
from wringout.problems import InputError
from wringout.recordings import ColumnMapping, Recording, read

BASE = 36_000.0  # 10:00:00
HAND = (
    # 52° 30.5' N, 1° 15.25' W, 36.0 kt = 18.52 m/s, 2 May 2026 10:00:00
    "GPRMC,100000.00,A,5230.5000,N,00115.2500,W,036.0,084.4,020526,,,A"
)


def written(folder: Path, lines: list[str]) -> Path:
    """A log of these lines."""
    path = folder / "flight.nmea"
    path.write_text("\r\n".join(lines) + "\r\n", encoding="ascii")
    return path


def flight(start: float = BASE, date: str = "020526") -> list[list[str]]:
    """The epochs of twenty seconds on the circle."""
    return [epoch(start + t, *place, date=date) for t, *place in zip(SECONDS, *circle(SECONDS), strict=True)]


def flat(epochs: list[list[str]]) -> list[str]:
    """All lines in order."""
    return [line for lines in epochs for line in lines]


def test_a_sentence_worked_out_by_hand(tmp_path: Path) -> None:
    """Degrees and minutes, knots, date and time of day, from the sentence's definition."""
    lines = [sentence(HAND), sentence(HAND.replace("100000.00", "100001.00"))]
    recording = read(written(tmp_path, lines))
    assert recording.start == datetime(2026, 5, 2, 10, 0, 0, tzinfo=UTC)
    assert np.degrees(recording.channels["latitude"][0]) == pytest.approx(52.508333333, abs=1e-9)
    assert np.degrees(recording.channels["longitude"][0]) == pytest.approx(-1.254166667, abs=1e-9)
    assert recording.channels["ground_speed"][0] == pytest.approx(18.52, abs=1e-9)
    assert np.degrees(recording.channels["track"][0]) == pytest.approx(84.4, abs=1e-9)
    assert "height" not in recording.channels


def test_sentences_of_one_epoch_become_one_sample(tmp_path: Path) -> None:
    """GGA, RMC and VTG of a second are one row with position, height, speed and track."""
    recording = read(written(tmp_path, flat(flight())))
    assert len(recording.time) == len(SECONDS)
    latitude, _, height = circle(SECONDS)
    assert np.degrees(recording.channels["latitude"]) == pytest.approx(latitude, abs=1e-8)
    assert recording.channels["height"] == pytest.approx(height, abs=0.051)
    assert recording.channels["ground_speed"] == pytest.approx(77.5 * 1852 / 3600)
    assert recording.notes == ("heights count from mean sea level, by the receiver's own geoid",)


def test_speed_and_track_of_vtg_where_nothing_else_has_them(tmp_path: Path) -> None:
    """GGA with VTG, and the date from one ZDA."""
    lines = [line for line in flat(flight()) if "RMC" not in line]
    lines.insert(0, sentence("GPZDA,100000.00,02,05,2026,00,00"))
    recording = read(written(tmp_path, lines))
    assert recording.start == datetime(2026, 5, 2, 10, 0, 0, tzinfo=UTC)
    assert np.degrees(recording.channels["track"]) == pytest.approx(84.4)


def test_a_date_holds_before_and_after_it(tmp_path: Path) -> None:
    """Only one epoch in the middle states the date."""
    lines = [line for k, lines in enumerate(flight()) for line in lines if "RMC" not in line or k == 7]
    recording = read(written(tmp_path, lines))
    assert recording.start == datetime(2026, 5, 2, 10, 0, 0, tzinfo=UTC)
    assert recording.time == pytest.approx(SECONDS)


@pytest.mark.parametrize("dates", [("020526", "030526"), ("020526", None), (None, "030526")])
def test_midnight_is_crossed(tmp_path: Path, dates: tuple[str | None, str | None]) -> None:
    """Whether the date is stated before, after or on both sides of midnight."""
    lines = []
    for t, place in zip(SECONDS, zip(*circle(SECONDS), strict=True), strict=True):
        moment = 86_390.0 + t
        date = dates[int(moment >= 86_400)]
        lines += [
            line
            for line in epoch(moment, *place, date=date or "000000")
            if date is not None or "RMC" not in line
        ]
    recording = read(written(tmp_path, lines))
    assert recording.start == datetime(2026, 5, 2, 23, 59, 50, tzinfo=UTC)
    assert recording.time == pytest.approx(SECONDS)


def test_what_fails_its_checksum_is_counted_and_told(tmp_path: Path) -> None:
    """A digit changed on the way, a sentence cut off, and a line of junk."""
    lines = flat(flight())
    lines[6] = lines[6].replace("M,47.2", "M,97.2")
    lines[10] = lines[10][:-3]
    lines[12] = lines[12][:20] + lines[12]
    lines.insert(14, "foobar")
    recording = read(written(tmp_path, lines))
    told = [item for item in recording.exclusions if item.kind == "unreadable"]
    assert [(item.samples, item.reason) for item in told] == [
        (1, "1 sentences fail their checksum, the first on line 7"),
        (1, "1 sentences break off or have no checksum, the first on line 11"),
        (1, "1 sentences break off, the first on line 13"),
        (1, "1 lines are no sentence or a part of one, the first on line 15"),
    ]
    assert np.isnan(recording.channels["height"][2])  # of the damaged GGA
    assert np.isfinite(recording.channels["height"][4])  # the whole sentence after the broken one


def test_private_sentences_are_passed_over(tmp_path: Path) -> None:
    """They carry what only their maker knows, with or without a checksum."""
    lines = [
        line for each in flat(flight()) for line in (each, "$PIMU,812140,9.26,-0.75", sentence("PABC,1"))
    ]
    recording = read(written(tmp_path, lines))
    assert recording.exclusions == ()
    assert len(recording.time) == len(SECONDS)


def test_no_fix_is_no_sample(tmp_path: Path) -> None:
    """A receiver that has lost its fix, or reckons on, says so; those epochs are counted."""
    epochs = flight()
    for k, old, new in ((3, ",A,52", ",V,52"), (5, ",A", ",E")):
        body = epochs[k][1][1:-3].replace(old, new) if k == 3 else epochs[k][1][1:-4] + "E"
        epochs[k][1] = sentence(body)
    recording = read(written(tmp_path, flat(epochs)))
    assert len(recording.time) == len(SECONDS) - 2
    (told,) = recording.exclusions[:1]
    assert told.reason == "2 epochs are marked as no satellite fix, the first on line 10"


def test_without_a_date_there_is_no_moment(tmp_path: Path) -> None:
    """Refused, with what would mend it."""
    lines = [line for line in flat(flight()) if "RMC" not in line]
    with pytest.raises(InputError, match=r"line 1: no sentence states the date\. Let the receiver write RMC"):
        read(written(tmp_path, lines))


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        ([sentence("GPGSA,A,3,19,02,,,,,,,,,,,1.5,0.9,1.2")], "no whole RMC or GGA sentence"),
        (["$GPRMC,100000,A,5230.5,N,00115.25,W,36,84,020526,,,A*00"], "1 lines are damaged"),
        ([sentence("GPRMC,100000,V,,,,,,,020526,,,N")], "1 epochs, none with a fix"),
    ],
)
def test_a_log_without_fixes_is_refused(tmp_path: Path, lines: list[str], words: str) -> None:
    """In words that say what was heard."""
    with pytest.raises(InputError, match=words):
        read(written(tmp_path, lines))


def test_a_mapping_is_refused(tmp_path: Path) -> None:
    """It is meant for another file."""
    with pytest.raises(InputError, match="needs no column mapping"):
        read(written(tmp_path, flat(flight())), ColumnMapping("t", "iso", {}))


def test_heights_without_a_separation_are_doubted(tmp_path: Path) -> None:
    """A zero separation may mean that the ellipsoid was written as sea level."""
    lines = [
        sentence(line[1:-3].replace("47.2", "0.0")) if "GGA" in line else line for line in flat(flight())
    ]
    assert "may count from the ellipsoid" in read(written(tmp_path, lines)).notes[0]


def parsed(path: Path) -> dict[datetime, dict[str, float]]:
    """The epochs of a log by pynmea2, which tests checksums and converts by itself."""
    epochs: dict[datetime, dict[str, float]] = {}
    for line in path.read_text(encoding="ascii").splitlines():
        if line[3:6] not in {"RMC", "GGA"} or line.startswith("$P"):
            continue
        message = pynmea2.parse(line, check=True)
        if line[3:6] == "RMC":
            day = message.datestamp
            row = epochs.setdefault(datetime.combine(day, message.timestamp), {})
            row |= {"speed": message.spd_over_grnd, "lat": message.latitude, "lon": message.longitude}
        else:
            row = epochs.setdefault(datetime.combine(day, message.timestamp), {})
            row |= {"height": message.altitude}
    return epochs


def same_as_parsed(recording: Recording, path: Path) -> None:
    """Every epoch of the other parser, to the last bit that text keeps."""
    epochs = parsed(path)
    assert len(epochs) == len(recording.time)
    for name, key, factor in (
        ("latitude", "lat", np.radians(1.0)),
        ("longitude", "lon", np.radians(1.0)),
        ("height", "height", 1.0),
        ("ground_speed", "speed", 1852 / 3600),
    ):
        other = np.array([row.get(key, np.nan) for row in epochs.values()]) * factor
        np.testing.assert_allclose(recording.channels[name], other, rtol=1e-12, atol=1e-12)
    start = recording.start
    np.testing.assert_allclose(recording.time, [(moment - start).total_seconds() for moment in epochs])


def test_a_real_receiver_at_four_hertz() -> None:
    """A log of many satellite systems with private sentences, as pynmea2 reads it."""
    path = real("nmea/multi_constellation_4hz.nmea")
    recording = read(path)
    same_as_parsed(recording, path)
    assert recording.exclusions == ()
    assert np.median(np.diff(recording.time)) == pytest.approx(0.25)


def test_real_junk_is_refused() -> None:
    """One GGA without a date among lines of no use."""
    with pytest.raises(InputError, match="no sentence states the date"):
        read(real("nmea/junk_lines.nmea"))
