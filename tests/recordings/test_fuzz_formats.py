"""Whatever the bytes, in every format: a recording, or problems in words; in little time and memory."""

import io
import tracemalloc
from pathlib import Path

import numpy as np
import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.recordings.logs import MAPPING, circle, circle_rows, stamp
from tests.recordings.sentences import SECONDS, epoch, fix, gx_track, igc, placemarks
from tests.recordings.test_fuzz import FUZZ, mangled, survives
from tests.recordings.test_proposal import GLASS, SEMICOLONS
from wringout.problems import InputError
from wringout.recordings import ColumnMapping, read, unpacking
from wringout.recordings.proposal import first_rows, propose

PLACES = np.stack((circle(SECONDS)[1], circle(SECONDS)[0], circle(SECONDS)[2]), axis=1)
MOMENTS = [stamp(t) for t in SECONDS]
NMEA = "\r\n".join(
    line for t, *place in zip(SECONDS, *circle(SECONDS), strict=True) for line in epoch(36_000 + t, *place)
).encode()
IGC = igc(
    [
        fix(36_000 + t, lat, lon, height, height, more="072")
        for t, lat, lon, height in zip(SECONDS, *circle(SECONDS), strict=True)
    ],
    ["HFDTE020526", "I013638GSP"],
).encode()


def parquet() -> bytes:
    """The circle's rows as Parquet."""
    frame = pl.DataFrame(circle_rows(SECONDS), schema=["time", "lat", "lon", "alt", "ias"], orient="row")
    buffer = io.BytesIO()
    frame.write_parquet(buffer, compression="uncompressed")
    return buffer.getvalue()


ORIGINALS: dict[str, tuple[bytes, ColumnMapping | None]] = {
    "flight.nmea": (NMEA, None),
    "flight.igc": (IGC, None),
    "track.kml": (gx_track(MOMENTS, PLACES).encode(), None),
    "marks.kml": (placemarks(MOMENTS, PLACES).encode(), None),
    "flight.parquet": (parquet(), MAPPING),
}


@pytest.mark.parametrize("name", ORIGINALS)
def test_the_originals_are_read(tmp_path: Path, name: str) -> None:
    """What is mangled below is a good file to begin with."""
    content, mapping = ORIGINALS[name]
    (tmp_path / name).write_bytes(content)
    assert len(read(tmp_path / name, mapping).time) == len(SECONDS)


@FUZZ
@given(content=mangled(NMEA))
def test_mangled_nmea(tmp_path: Path, content: bytes) -> None:
    """Sentences with damage anywhere."""
    survives(tmp_path / "flight.nmea", content, None)


@FUZZ
@given(content=mangled(IGC))
def test_mangled_igc(tmp_path: Path, content: bytes) -> None:
    """Records with damage anywhere."""
    survives(tmp_path / "flight.igc", content, None)


@FUZZ
@given(content=st.sampled_from(["track.kml", "marks.kml"]).flatmap(lambda name: mangled(ORIGINALS[name][0])))
def test_mangled_kml(tmp_path: Path, content: bytes) -> None:
    """Tracks and placemarks with damage anywhere."""
    survives(tmp_path / "flight.kml", content, None)


@settings(FUZZ, max_examples=12)  # each unpacks in a process of its own
@given(content=mangled(ORIGINALS["flight.parquet"][0]))
def test_mangled_parquet(tmp_path: Path, content: bytes) -> None:
    """Pages and footer with damage anywhere."""
    survives(tmp_path / "flight.parquet", content, MAPPING)


def test_a_parquet_that_ends_its_decoder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Pages moved against their footer asked for two billion gigabytes; our process goes on."""
    content, _ = ORIGINALS["flight.parquet"]
    path = tmp_path / "flight.parquet"
    path.write_bytes(content[:997] + b"\xeb\x8d\xae\xac\xaa\x01L\x1d" + content[1018:])
    with pytest.raises(InputError, match="the Parquet cannot be read"):
        read(path, MAPPING)
    path.write_bytes(content)
    monkeypatch.setattr(unpacking, "PROGRAM", "import os; os.abort()")
    with pytest.raises(InputError, match="its decoder breaks down on it"):
        read(path, MAPPING)


@FUZZ
@given(content=st.sampled_from([GLASS, SEMICOLONS]).flatmap(lambda text: mangled(text.encode())))
def test_mangled_tables_are_proposed_or_refused(tmp_path: Path, content: bytes) -> None:
    """A proposal, or problems in words; what it proposes is read or refused alike."""
    path = tmp_path / "log.csv"
    path.write_bytes(content)
    try:
        log = first_rows(path, propose(path))
    except InputError as error:
        refusal = error
    else:
        assert log is None or len(log.time) == len(log.line)
        return
    assert refusal.problems
    assert all("\n" not in problem.sentence() for problem in refusal.problems)


@FUZZ
@given(content=st.binary(max_size=300), suffix=st.sampled_from(["nmea", "igc", "kml", "parquet", "log"]))
def test_any_bytes(tmp_path: Path, content: bytes, suffix: str) -> None:
    """Anything under any name, with each format's first bytes before it or not."""
    for head in (b"", b"$GPRMC,", b"B100000", b"<kml>", b"PAR1", b"HFDTE020526\n"):
        survives(tmp_path / f"flight.{suffix}", head + content, None)


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("long.nmea", b"$GPRMC," + b"1" * 4_000_000),
        ("junk.nmea", b"$GPRMC,\n" * 400_000),
        ("long.igc", b"HFDTE020526\nB100000" + b"1" * 4_000_000),
        ("junk.igc", b"HFDTE020526\n" + b"B100000\n" * 400_000),
        ("long.kml", b"<kml><Placemark><when>" + b"1" * 4_000_000),
        ("deep.kml", b"<kml>" + b"<Folder>" * 100_000),
    ],
)
def test_memory_is_bounded(tmp_path: Path, name: str, content: bytes) -> None:
    """Megabytes without a sample take no more than a moment and a few hundred kilobytes."""
    path = tmp_path / name
    path.write_bytes(content)
    del content
    with pytest.raises(InputError):  # what is imported is no part of the measure
        read(path)
    tracemalloc.start()
    with pytest.raises(InputError):
        read(path)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 1_000_000


def test_a_panic_of_the_table_reader_is_a_refusal(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Rarely, damage makes the library's splitting of lines fail as no input error does."""

    def panics(*_arguments: object, **_options: object) -> pl.DataFrame:
        raise pl.exceptions.PanicException("slice index starts at 1 but ends at 0")

    monkeypatch.setattr(pl, "read_csv", panics)
    path = tmp_path / "log.csv"
    path.write_text(GLASS, encoding="utf-8")
    with pytest.raises(InputError, match="the rows cannot be read as delimited text"):
        first_rows(path, propose(path))
