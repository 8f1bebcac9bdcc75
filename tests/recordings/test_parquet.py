"""Parquet by the mapping of a CSV: the same recording from either."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import polars as pl
import pytest

from tests.recordings.logs import MAPPING, circle_rows, csv_text
from wringout.problems import InputError
from wringout.recordings import ChannelColumn, ColumnMapping, Recording, read

SECONDS = np.arange(0.0, 60.0)


def table() -> pl.DataFrame:
    """The circle's rows: times as text, numbers as numbers."""
    frame = pl.DataFrame(circle_rows(SECONDS), schema=["time", "lat", "lon", "alt", "ias"], orient="row")
    return frame.with_columns(pl.col("lat", "lon", "alt", "ias").cast(pl.Float64))


def written(folder: Path, frame: pl.DataFrame) -> Path:
    """The table as Parquet."""
    path = folder / "flight.parquet"
    frame.write_parquet(path)
    return path


@pytest.fixture
def from_csv(tmp_path: Path) -> Recording:
    """The same rows from a CSV."""
    path = tmp_path / "flight.csv"
    path.write_text(csv_text(circle_rows(SECONDS)), encoding="utf-8")
    return read(path, MAPPING)


def same(one: Recording, other: Recording) -> None:
    """Equal in start, times and every channel."""
    assert one.start == other.start
    np.testing.assert_array_equal(one.time, other.time)
    assert list(one.channels) == list(other.channels)
    for name, values in one.channels.items():
        np.testing.assert_array_equal(values, other.channels[name])


def test_a_table_reads_as_its_csv_does(tmp_path: Path, from_csv: Recording) -> None:
    """Text or number, the value is the same to the last bit."""
    same(read(written(tmp_path, table()), MAPPING), from_csv)
    words = table().with_columns(pl.exclude("time").cast(pl.String))
    same(read(written(tmp_path, words), MAPPING), from_csv)


@pytest.mark.parametrize("zone", ["UTC", "America/Chicago"])
def test_moments_with_a_zone_need_no_more_words(tmp_path: Path, from_csv: Recording, zone: str) -> None:
    """A typed moment carries its zone."""
    moments = pl.col("time").str.to_datetime("%Y-%m-%dT%H:%M:%S%.fZ", time_unit="ms", time_zone="UTC")
    frame = table().with_columns(moments.dt.convert_time_zone(zone))
    same(read(written(tmp_path, frame), MAPPING), from_csv)


def test_moments_without_a_zone_are_asked_for_it(tmp_path: Path, from_csv: Recording) -> None:
    """As in a CSV: never guessed."""
    frame = table().with_columns(pl.col("time").str.to_datetime("%Y-%m-%dT%H:%M:%S%.fZ"))
    path = written(tmp_path, frame)
    with pytest.raises(InputError, match="the times have no zone"):
        read(path, MAPPING)
    same(read(path, replace(MAPPING, time_format="iso utc")), from_csv)


def test_a_decimal_comma_is_of_texts_only(tmp_path: Path, from_csv: Recording) -> None:
    """A typed number has no decimal mark."""
    frame = table().with_columns(pl.col("alt").cast(pl.String).str.replace(".", ",", literal=True))
    same(read(written(tmp_path, frame), replace(MAPPING, decimal=",", delimiter=";")), from_csv)


@pytest.mark.parametrize(
    ("mapping", "words"),
    [
        (None, "does not say its units, and no mapping was given"),
        (replace(MAPPING, time_column="tme"), "there is no column 'tme', the nearest is 'time'"),
        (replace(MAPPING, channels={"height": ChannelColumn("list", "m")}), "holds List"),
        (replace(MAPPING, channels={"height": ChannelColumn("alt", "kt")}), "height: a length is expected"),
        (
            replace(MAPPING, channels={"height": ChannelColumn("time", "m")}),
            "60 of 60 cells are not a number",
        ),
    ],
)
def test_what_does_not_fit_is_refused(tmp_path: Path, mapping: ColumnMapping | None, words: str) -> None:
    """The mapping against the table, in one sentence each."""
    frame = table().with_columns(pl.Series("list", [[1, 2]] * len(SECONDS)))
    with pytest.raises(InputError, match=words):
        read(written(tmp_path, frame), mapping)


def test_a_damaged_file_is_refused(tmp_path: Path) -> None:
    """Cut off in the middle, or empty of rows."""
    path = written(tmp_path, table())
    path.write_bytes(path.read_bytes()[:-200])
    with pytest.raises(InputError, match="the Parquet cannot be read"):
        read(path, MAPPING)
    with pytest.raises(InputError, match="there is no row in the table"):
        read(written(tmp_path, table().clear()), MAPPING)
