"""CSV by its mapping: units, marks, zones and rows; what does not fit is named with what is near."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from tests.recordings.logs import MAPPING, circle, circle_rows, csv_text
from wringout.problems import InputError
from wringout.recordings import ChannelColumn, ColumnMapping, Recording, read

SECONDS = np.arange(0.0, 60.0, 0.5)
ROWS = circle_rows(SECONDS)


def written(folder: Path, text: str | bytes, name: str = "flight.csv") -> Path:
    """The text as a file."""
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def sentence(path: Path, mapping: ColumnMapping | None = MAPPING) -> str:
    """The one sentence with which a file is refused."""
    with pytest.raises(InputError) as caught:
        read(path, mapping)
    assert len(caught.value.problems) == 1, caught.value.problems
    return caught.value.problems[0].sentence()


def assert_is_the_circle(recording: Recording) -> None:
    """Positions, heights and airspeeds are those of the circle, in SI."""
    latitude, _, height = circle(SECONDS)
    np.testing.assert_allclose(np.degrees(recording.channels["latitude"]), latitude, atol=1e-7)
    np.testing.assert_allclose(recording.channels["height"], height, atol=0.02)
    assert recording.channels["indicated_airspeed"][0] == pytest.approx(76 * 1852 / 3600)
    np.testing.assert_allclose(recording.time, SECONDS, atol=1e-6)


def test_units_come_to_si(tmp_path: Path) -> None:
    """Degrees, feet and knots of the file are radians, metres and metres a second inside."""
    recording = read(written(tmp_path, csv_text(ROWS)), MAPPING)
    assert_is_the_circle(recording)
    assert recording.start == datetime(2026, 5, 2, 7, 31, tzinfo=UTC)
    assert recording.exclusions == ()


def test_semicolons_and_decimal_commas(tmp_path: Path) -> None:
    """A spreadsheet of another country reads the same."""
    rows = [[cell.replace(".", ",") if k else cell for k, cell in enumerate(row)] for row in ROWS]
    mapping = replace(MAPPING, delimiter=";", decimal=",")
    assert_is_the_circle(read(written(tmp_path, csv_text(rows, delimiter=";")), mapping))


def test_preamble_units_rows_comments_blanks_and_quotes(tmp_path: Path) -> None:
    """A title above, units below the header, comments and blank lines between: all named by the mapping."""
    lines = ["Log of an invented airplane", "", *csv_text(ROWS).splitlines()]
    lines.insert(3, "utc,deg,deg,ft,kt")
    lines.insert(20, "# the observer sneezed")
    lines.insert(30, "")
    lines[40] = ",".join(f'"{cell}"' for cell in lines[40].split(","))
    mapping = replace(MAPPING, header_row=3, units_rows=1, comment="#")
    assert_is_the_circle(read(written(tmp_path, "\r\n".join(lines)), mapping))


def test_a_byte_order_mark_and_padding_are_no_part_of_a_name(tmp_path: Path) -> None:
    """Spreadsheets write the mark, loggers pad with blanks."""
    rows = [[f"  {cell} " for cell in row] for row in ROWS]
    text = csv_text(rows, header="time,  lat,lon ,alt, ias")
    assert_is_the_circle(read(written(tmp_path, text.encode("utf-8-sig")), MAPPING))


@pytest.mark.parametrize(
    ("change", "mapping"),
    [
        (lambda text: text, MAPPING),
        (lambda text: text.replace("T", " "), MAPPING),
        (lambda text: text.replace("Z", "+00:00"), MAPPING),
        (lambda text: text.replace("Z", " +0000"), MAPPING),
        (lambda text: text.replace("T07", "T02").replace("Z", "-05:00"), MAPPING),
        (lambda text: text.replace("T07", "T09").replace("Z", "+02"), MAPPING),
        (lambda text: text.replace("Z", ""), replace(MAPPING, time_format="iso utc")),
        (lambda text: text.replace("T07", "T02").replace("Z", ""), replace(MAPPING, zone="-05:00")),
    ],
)
def test_times_as_people_write_them(
    tmp_path: Path, change: Callable[[str], str], mapping: ColumnMapping
) -> None:
    """A zone in the text, or said by the mapping: the same moments."""
    rows = [[change(row[0]), *row[1:]] for row in ROWS]
    assert_is_the_circle(read(written(tmp_path, csv_text(rows)), mapping))


def test_seconds_since_1970_and_since_a_moment(tmp_path: Path) -> None:
    """Numbers for times, counted from an epoch or from a moment that the mapping gives."""
    zero = datetime(2026, 5, 2, 7, 31, tzinfo=UTC).timestamp()
    unix = [[f"{zero + t:.3f}", *row[1:]] for t, row in zip(SECONDS, ROWS, strict=True)]
    assert_is_the_circle(read(written(tmp_path, csv_text(unix)), replace(MAPPING, time_format="unix")))
    elapsed = [[f"{t:.9E}", *row[1:]] for t, row in zip(SECONDS, ROWS, strict=True)]
    mapping = replace(MAPPING, time_format="elapsed", elapsed_start="2026-05-02T09:31:00+02:00")
    assert_is_the_circle(read(written(tmp_path, csv_text(elapsed)), mapping))


def test_date_time_and_zone_in_columns_of_their_own(tmp_path: Path) -> None:
    """Named together with plus signs."""
    rows = [[row[0][:10], row[0][11:-1], "+00:00", *row[1:]] for row in ROWS]
    text = csv_text(rows, header="date,clock,offset,lat,lon,alt,ias")
    assert_is_the_circle(read(written(tmp_path, text), replace(MAPPING, time_column="date + clock + offset")))


def test_blank_cells_and_named_words_are_missing(tmp_path: Path) -> None:
    """A blank is no sample; so is a word that the mapping lists."""
    rows = [row.copy() for row in ROWS]
    rows[4][4], rows[5][4] = "", "----"
    recording = read(written(tmp_path, csv_text(rows)), replace(MAPPING, missing=("----",)))
    assert np.flatnonzero(np.isnan(recording.channels["indicated_airspeed"])).tolist() == [4, 5]
    assert recording.exclusions == ()


def test_a_few_words_among_numbers_are_left_out_and_told(tmp_path: Path) -> None:
    """The account gives their count, the first line and what stands there."""
    rows = [row.copy() for row in ROWS]
    rows[9][4] = rows[10][4] = "ERR"
    recording = read(written(tmp_path, csv_text(rows)), MAPPING)
    assert np.flatnonzero(np.isnan(recording.channels["indicated_airspeed"])).tolist() == [9, 10]
    (exclusion,) = recording.exclusions
    assert (exclusion.samples, exclusion.channel, exclusion.kind) == (2, "indicated_airspeed", "unreadable")
    assert "line 11 ('ERR')" in exclusion.reason


def test_the_line_is_counted_in_the_file(tmp_path: Path) -> None:
    """Blank and comment lines between count as an editor counts them."""
    rows = [row.copy() for row in ROWS]
    rows[9][4] = "ERR"
    lines = csv_text(rows).splitlines()
    lines[5:5] = ["# one", "", "# two"]
    recording = read(written(tmp_path, "\n".join(lines)), replace(MAPPING, comment="#"))
    assert "line 14 ('ERR')" in recording.exclusions[0].reason


def test_mostly_words_are_refused_with_their_line(tmp_path: Path) -> None:
    """A column of words is no channel full of holes but a mistake."""
    rows = [[*row[:4], "seventy"] for row in ROWS]
    text = sentence(written(tmp_path, csv_text(rows)))
    assert "flight.csv, line 2, indicated_airspeed: 120 of 120 cells are not a number" in text
    assert "'seventy'" in text


def test_infinity_is_no_number(tmp_path: Path) -> None:
    """Loggers that divide by zero are not believed."""
    rows = [row.copy() for row in ROWS]
    rows[3][3] = "inf"
    recording = read(written(tmp_path, csv_text(rows)), MAPPING)
    assert np.isnan(recording.channels["height"][3])
    assert "'inf'" in recording.exclusions[0].reason


@pytest.mark.parametrize(
    ("mapping", "found"),
    [
        (replace(MAPPING, time_column="tine"), "the nearest is 'time'"),
        (replace(MAPPING, channels={"height": ChannelColumn("altitude", "ft")}), "the nearest is 'alt'"),
        (replace(MAPPING, channels={"hieght": ChannelColumn("alt", "ft")}), "Did you mean 'height'"),
        (replace(MAPPING, channels={"height": ChannelColumn("alt", "kg")}), "kg"),
        (replace(MAPPING, header_row=999), "ends before line 999"),
        (replace(MAPPING, delimiter=";;"), "one character"),
        (replace(MAPPING, delimiter=",", decimal=","), "both a comma"),
        (replace(MAPPING, time_format="elapsed"), "elapsed_start"),
        (None, "no mapping was given"),
    ],
)
def test_a_mapping_that_does_not_fit_says_what_would(
    tmp_path: Path, mapping: ColumnMapping | None, found: str
) -> None:
    """Column, channel, unit, row, delimiter: one sentence with what is near."""
    path = written(tmp_path, csv_text(ROWS))
    if mapping is not None and mapping.time_format == "elapsed":
        path = written(tmp_path, csv_text([["1", *row[1:]] for row in ROWS]))
    assert found in sentence(path, mapping)


def test_every_missing_column_is_named_at_once(tmp_path: Path) -> None:
    """So that one reading mends the mapping."""
    mapping = replace(
        MAPPING, channels={"height": ChannelColumn("a", "ft"), "track": ChannelColumn("b", "°")}
    )
    with pytest.raises(InputError) as caught:
        read(written(tmp_path, csv_text(ROWS)), mapping)
    assert [problem.field for problem in caught.value.problems] == ["height", "track"]


def test_times_without_a_zone_are_refused(tmp_path: Path) -> None:
    """Nobody guesses a zone; the sentence says the two ways to give it."""
    rows = [[row[0][:-1], *row[1:]] for row in ROWS]
    text = sentence(written(tmp_path, csv_text(rows)))
    assert "no zone ('2026-05-02T07:31:00.000')" in text
    assert "'iso utc'" in text


def test_a_column_that_stands_twice_is_refused(tmp_path: Path) -> None:
    """Which of two is meant cannot be told."""
    text = csv_text([[*row, row[1]] for row in ROWS], header="time,lat,lon,alt,ias,lat")
    assert "stands 2 times" in sentence(written(tmp_path, text))


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (b"", "empty"),
        (b"time,lat,lon,alt,ias\n", "no row"),
        (bytes(range(256)) * 40, "neither"),
        ("time,lat,lon,alt,ias\n".encode("utf-16"), "neither"),
        (csv_text(ROWS[::-1]).encode(), "backwards"),
        (csv_text([["now", *row[1:]] for row in ROWS]).encode(), "no zone"),
        (csv_text([[f"{k}:00Z", *row[1:]] for k, row in enumerate(ROWS)]).encode(), "no zone"),
        (csv_text([[row[0].replace("-05-", "-15-"), *row[1:]] for row in ROWS]).encode(), "not a time"),
    ],
)
def test_useless_files_say_why(tmp_path: Path, content: bytes, found: str) -> None:
    """Empty, binary, without rows, backward: one sentence each."""
    assert found in sentence(written(tmp_path, content))


def test_a_cut_off_end_costs_its_own_row_at_most(tmp_path: Path) -> None:
    """A recorder that lost power in the middle of a line still gives the flight."""
    text = csv_text(ROWS)
    recording = read(written(tmp_path, text[: text.rindex(",") - 9]), MAPPING)
    assert len(recording.time) >= len(ROWS) - 1


def test_no_final_line_break_is_needed(tmp_path: Path) -> None:
    """The last row counts whether a line break follows or not."""
    recording = read(written(tmp_path, csv_text(ROWS).rstrip("\n")), MAPPING)
    assert len(recording.time) == len(ROWS)


@pytest.mark.parametrize("odd", ["", "12abc", "--", "inf", "7.5 ", '"7.5"', "1e3"])
def test_plain_numbers_read_as_careful_ones(tmp_path: Path, odd: str) -> None:
    """A table of nothing but numbers is read by a shorter way; one odd cell changes no other cell."""
    plain = read(written(tmp_path, csv_text(ROWS)), MAPPING)
    cells = [list(row) for row in ROWS]
    cells[7][4] = odd
    careful = read(written(tmp_path, csv_text(cells), "odd.csv"), MAPPING)
    others = np.arange(len(SECONDS)) != 7
    np.testing.assert_array_equal(plain.time, careful.time)
    for name, values in plain.channels.items():
        np.testing.assert_array_equal(values[others], careful.channels[name][others])
