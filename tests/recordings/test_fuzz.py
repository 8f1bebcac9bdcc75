"""Whatever the bytes: a recording, or problems in words; no other error, no hang, no number from nowhere."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.recordings.logs import MAPPING, circle, circle_rows, csv_text, gpx, point
from wringout.problems import InputError
from wringout.recordings import ColumnMapping, health, read, smooth

SECONDS = np.arange(0.0, 12.0, 0.5)
POINTS = [point(*each, more="<speed>40</speed>") for each in zip(SECONDS, *circle(SECONDS), strict=True)]
GPX = gpx(POINTS).encode()
CSV = csv_text(circle_rows(SECONDS)).encode()
FUZZ = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


def survives(path: Path, content: bytes, mapping: ColumnMapping | None) -> None:
    """Reads, inspects and smooths, or is refused in whole sentences."""
    path.write_bytes(content)
    try:
        recording = read(path, mapping)
        assert np.all(np.diff(recording.time) > 0)
        assert all(len(values) == len(recording.time) for values in recording.channels.values())
        assert not any(np.isinf(values).any() for values in recording.channels.values())
        health(recording)
        smooth(recording)
    except InputError as error:
        refusal = error
    else:
        return
    assert refusal.problems
    for problem in refusal.problems:
        assert problem.what
        assert problem.mend
        assert "\n" not in problem.sentence()


@st.composite
def mangled(draw: st.DrawFn, original: bytes) -> bytes:
    """The original with some of it cut, doubled, overwritten or replaced."""
    content = bytearray(original)
    for _ in range(draw(st.integers(1, 6))):
        start = draw(st.integers(0, max(len(content) - 1, 0)))
        end = min(start + draw(st.integers(0, 60)), len(content))
        match draw(st.integers(0, 3)):
            case 0:
                del content[start:end]
            case 1:
                content[start:start] = content[start:end]
            case 2:
                content[start:end] = draw(st.binary(max_size=12))
            case _:
                word = draw(
                    st.sampled_from(
                        [b"NaN", b"-1e999", b"1e308", b"\xff", b'"', b",", b"<", b"&lt;", b"\n", b"0"]
                    )
                )
                content[start:end] = word
    return bytes(content)


@FUZZ
@given(content=mangled(GPX))
def test_mangled_gpx(tmp_path: Path, content: bytes) -> None:
    """A GPX with damage anywhere."""
    survives(tmp_path / "flight.gpx", content, None)


@FUZZ
@given(content=mangled(CSV))
def test_mangled_csv(tmp_path: Path, content: bytes) -> None:
    """A CSV with damage anywhere."""
    survives(tmp_path / "flight.csv", content, MAPPING)


@FUZZ
@given(content=st.binary(max_size=300), suffix=st.sampled_from(["gpx", "csv", "txt", "bin"]))
def test_any_bytes(tmp_path: Path, content: bytes, suffix: str) -> None:
    """Anything under any name."""
    survives(tmp_path / f"flight.{suffix}", content, MAPPING if suffix == "csv" else None)


@FUZZ
@given(cells=st.lists(st.lists(st.text(max_size=12), min_size=1, max_size=7), min_size=1, max_size=8))
def test_any_cells(tmp_path: Path, cells: list[list[str]]) -> None:
    """Any text in the cells under a right header."""
    survives(tmp_path / "flight.csv", csv_text(cells).encode("utf-8", "replace"), MAPPING)


@pytest.mark.parametrize("content", [GPX, CSV])
def test_the_originals_are_read(tmp_path: Path, content: bytes) -> None:
    """What is mangled above is a good file to begin with."""
    path = tmp_path / ("flight.gpx" if content is GPX else "flight.csv")
    path.write_bytes(content)
    assert len(read(path, None if content is GPX else MAPPING).time) == len(SECONDS)
