"""Open runway tables: strips of what is told, and every row that does not tell enough."""

from __future__ import annotations

import os
from math import degrees
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from wringout.dossier.runways import read_runways
from wringout.dossier.surface_codes import surface_of
from wringout.model.surfaces import surface_prior
from wringout.problems import InputError

RECORDINGS = Path(os.environ.get("WRINGOUT_RECORDINGS", Path(__file__).parents[3] / "shared" / "recordings"))
SHARED = RECORDINGS / "runways"
here = pytest.mark.skipif(not SHARED.exists(), reason="the real tables are not on this machine")
HEAD = (
    "airport_ident,length_ft,surface,closed,le_ident,le_elevation_ft,le_heading_degT,"
    "le_displaced_threshold_ft,he_ident,he_elevation_ft\n"
)


def table(folder: Path, *rows: str, head: str = HEAD) -> Path:
    """A table of these rows."""
    place = folder / "runways.csv"
    place.write_text(head + "\n".join(rows) + "\n", encoding="utf-8")
    return place


def test_the_slope_is_the_ends_difference_over_the_length(tmp_path: Path) -> None:
    """2 000 ft with 100 and 140 ft at its ends: 2 % up, 120 ft in the middle; feet are 0.3048 m."""
    found = read_runways(table(tmp_path, "AAAA,2000,TURF-G,0,04,100,41.5,200,22,140"))
    (strip,) = found.strips
    assert strip.name == "AAAA 04/22"
    assert strip.slope == pytest.approx(0.02)
    assert strip.elevation == pytest.approx(120 * 0.3048)
    assert strip.length == pytest.approx(609.6)
    assert degrees(strip.heading) == pytest.approx(41.5)
    assert strip.surface == "dry grass"
    assert strip.displaced_near == pytest.approx(60.96)
    assert found.left_out == ()


@pytest.mark.parametrize(
    ("row", "field", "word"),
    [
        ("AAAA,2000,UNK,0,04,100,40,,22,140", "surface", "'UNK' is not known"),
        ("AAAA,2000,,0,04,100,40,,22,140", "surface", "no surface"),
        ("AAAA,,TURF,0,04,100,40,,22,140", "length", "no length"),
        ("AAAA,30,TURF,0,04,100,40,,22,140", "length", "9 m is no length"),
        ("AAAA,2000,TURF,0,04,,40,,22,140", "slope", "elevations of both ends"),
        ("AAAA,2000,TURF,0,04,100,40,,22,1400", "slope", "65 %"),
        ("AAAA,2000,TURF,0,04,100,,,22,140", "heading", "true heading"),
        ("AAAA,2000,TURF,1,04,100,40,,22,140", "closed", "closed"),
        ("AAAA,long,TURF,0,04,100,40,,22,140", "length", "no number"),
        ("AAAA,2000,TURF", "cells", "3 cells"),
    ],
)
def test_a_row_that_does_not_tell_enough_is_told_with_its_line(
    tmp_path: Path, row: str, field: str, word: str
) -> None:
    """It is left out, never guessed; the next one is read."""
    found = read_runways(table(tmp_path, row, "BBBB,2000,ASP,0,04,100,40,,22,140"))
    assert [strip.name for strip in found.strips] == ["BBBB 04/22"]
    (problem,) = found.left_out
    assert (problem.file, problem.line, problem.field) == ("runways.csv", 2, field)
    assert word in problem.what
    assert found.reasons == {field: 1}


def test_a_heading_follows_from_the_positions_of_both_ends(tmp_path: Path) -> None:
    """From 50° N 10° E due east by a thousandth of a degree: 90°; the number on the runway is not asked."""
    head = (
        "ident,length_m,surface,le_elevation_m,he_elevation_m,le_latitude_deg,le_longitude_deg,"
        "he_latitude_deg,he_longitude_deg\n"
    )
    found = read_runways(table(tmp_path, "AAAA,700,GRVL,10,10,50,10,50,10.01", head=head))
    assert degrees(found.strips[0].heading) == pytest.approx(90.0, abs=0.01)


def test_units_may_stand_in_the_cells(tmp_path: Path) -> None:
    """A column without a unit in its name has it in its cells, or is told."""
    head = "name,length,surface,elevation,slope,heading\n"
    found = read_runways(
        table(tmp_path, "A,430 m,gravel,1200 ft,2 %,70 °", "B,430,gravel,1200 ft,2 %,70 °", head=head)
    )
    assert found.strips[0].length == 430.0
    assert found.strips[0].slope == pytest.approx(0.02)
    assert [problem.line for problem in found.left_out] == [3]


def test_a_table_without_slopes_is_asked_about(tmp_path: Path) -> None:
    """Level only by the word of whoever asks."""
    head = "ident,length_ft,surface,elevation_ft,le_bearing_deg\n"
    place = table(tmp_path, "AAAA,2000,turf,500,41", head=head)
    with pytest.raises(InputError, match="elevations of both ends"):
        read_runways(place)
    (strip,) = read_runways(place, level=True).strips
    assert strip.slope == 0.0
    assert strip.elevation == pytest.approx(152.4)


@pytest.mark.parametrize(
    ("code", "name"),
    [
        ("ASPH-G", "dry concrete"), ("CONC/ASPH", "dry concrete"), ("Turf/Dirt", "dry grass"),
        ("GRVL-F", "gravel"),
        ("ASPH-TURF", "dry grass"), ("Grass", "dry grass"), ("SAND", "sand"), ("PEM", "dry concrete"),
        ("Hard Sand", "sand"), ("", None), ("UNK", None), ("X", None), ("WATER", None), ("MATS", None),
        ("Grassed brown clay", None), ("C", None), ("wood and turf", None),
    ],
)  # fmt: skip
def test_surface_codes_are_known_or_not(code: str, name: str | None) -> None:
    """A code is of the friction table or of nothing; of two surfaces the softer counts."""
    assert surface_of(code) == name
    assert name is None or surface_prior(name).known


@here
def test_the_real_table_is_read_whole() -> None:
    """Every one of 43 951 rows is a strip or is told; 12 445 tell length, surface and both elevations."""
    found = read_runways(SHARED / "runways_with_end_elevations.csv.gz")
    assert len(found.strips) + len(found.left_out) == 43_951
    assert 11_000 < len(found.strips) < 12_445
    assert max(abs(strip.slope) for strip in found.strips) <= 0.2


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary(max_size=300), st.booleans())
def test_whatever_the_bytes_are_the_answer_is_strips_or_words(
    tmp_path: Path, junk: bytes, headed: bool
) -> None:
    """No crash, only InputError."""
    place = tmp_path / "x.csv"
    place.write_bytes((HEAD.encode() if headed else b"") + junk)
    try:
        found = read_runways(place)
    except InputError:
        return
    assert all(problem.line for problem in found.left_out)
