"""What heights and tracks count from, told from invented logs of known truth and from real ones."""

from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from tests.recordings.logs import circle_gpx
from tests.recordings.real import real
from wringout.problems import InputError
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.recordings import ChannelColumn, ColumnMapping, Recording, read
from wringout.recordings.references import (
    GroundReading,
    height_note,
    height_offset,
    track_note,
    track_offset,
    with_true_track,
)

FIELD = GroundReading(0.0, 120.0, 1003e2, 295.0)


def log(variation: float = 0.0, raised: float = 0.0, wind: float = 8.0) -> Recording:
    """Twenty minutes on four headings in wind, from the ground and back to it."""
    time = np.arange(0.0, 1200.0)
    heading = np.radians(np.repeat([20.0, 110.0, 200.0, 290.0], 300))
    flying = (time > 60) & (time < 1140)
    airspeed = np.where(flying, 45.0, 0.0)
    east = airspeed * np.sin(heading) + np.where(flying, wind, 0.0)
    north = airspeed * np.cos(heading)
    climb = np.where((time > 60) & (time < 300), 3.0, 0.0) - np.where((time > 900) & (time < 1140), 3.0, 0.0)
    height = 120.0 + np.cumsum(climb)
    latitude = np.radians(60.0) + np.cumsum(north) / 6_367_000 * 0.997
    longitude = np.radians(10.0) + np.cumsum(east) / (6_394_000 * np.cos(latitude))
    generator = np.random.default_rng(3)
    track = np.where(flying, np.arctan2(east, north), np.nan) - variation
    # static pressure at sea level 1003 hPa, and air 7 K warmer than standard: by hand, layer by layer
    below = (1003e2 - 1013.25e2) / 1013.25e2 * 8434.5
    pressure_altitude = (height - 120.0) * 287.37 / 295.0 + 120.0 - below
    return Recording(
        "log",
        datetime(2026, 5, 2, 8, tzinfo=UTC),
        time,
        {
            "latitude": latitude,
            "longitude": longitude,
            "height": height + raised + generator.standard_normal(len(time)),
            "ground_speed": np.hypot(east, north),
            "track": (track + np.radians(0.5) * generator.standard_normal(len(time))) % (2 * np.pi),
            "pressure_altitude": pressure_altitude,
        },
        (),
        (),
    )


@pytest.mark.parametrize("variation", [-14.0, 0.0, 3.5])
def test_the_variation_is_measured(variation: float) -> None:
    """Positive to the east: a magnetic track is short of the true one by it."""
    offset = track_offset(log(np.radians(variation)))
    assert offset is not None
    assert offset.sd is not None
    assert np.degrees(offset.value) == pytest.approx(-variation, abs=0.3)
    assert np.degrees(offset.sd) < 0.2
    assert (track_note(offset) is None) == (variation == 0.0)


def test_magnetic_tracks_are_turned_where_the_mapping_says_so() -> None:
    """True again, and told."""
    turned = with_true_track(log(np.radians(3.5)))
    true = log().channels["track"]
    apart = (turned.channels["track"] - true + np.pi) % (2 * np.pi) - np.pi
    assert np.nanmax(np.abs(np.degrees(apart))) < 0.3
    assert turned.notes[0].startswith("magnetic tracks turned by +3.")


def test_a_track_that_is_something_else_is_refused() -> None:
    """A hundred degrees are no variation, and without flight there is no telling."""
    with pytest.raises(InputError, match="they differ by -103° from the direction between the positions"):
        with_true_track(log(np.radians(103.0)))
    parked = log()
    parked.channels["latitude"][:] = parked.channels["latitude"][0]
    parked.channels["longitude"][:] = parked.channels["longitude"][0]
    with pytest.raises(InputError, match="too little straight flight"):
        with_true_track(parked)


@pytest.mark.parametrize("without", ["pressure_altitude", "ground_speed", "nothing"])
@pytest.mark.parametrize("raised", [0.0, 47.0, -31.0])
def test_heights_are_held_against_ground_and_pressure(raised: float, without: str) -> None:
    """By the ground alone, by pressure and the ground with speeds from positions, by both."""
    recording = log(raised=raised)
    channels = {name: values for name, values in recording.channels.items() if name != without}
    held = Recording("log", recording.start, recording.time, channels, (), ())
    offset = height_offset(held, [FIELD])
    assert offset is not None
    assert offset.sd is not None
    assert offset.value == pytest.approx(raised, abs=5.0)
    for stated, told in (
        ("unknown", raised != 0.0),
        ("mean sea level", raised != 0.0),
        ("ellipsoid", raised == 0.0),
    ):
        assert (height_note(offset, stated) is not None) == told  # type: ignore[arg-type]  # literals all


def test_without_a_witness_there_is_no_offset() -> None:
    """No reading, no height, or a log that never is on the ground."""
    recording = log()
    assert height_offset(recording, []) is None
    flight = slice(100, 1100)
    aloft = {name: recording.channels[name][flight] for name in ("latitude", "longitude", "height")}
    cut = Recording("log", recording.start, recording.time[flight], aloft, (), ())
    assert height_offset(cut, [FIELD]) is None
    assert track_offset(cut) is None


def test_an_uncertain_offset_says_nothing() -> None:
    """Twenty metres at ten of uncertainty are no evidence."""
    assert height_note(Estimate(20.0, 10.0, Dimension.LENGTH, "x"), "mean sea level") is None


@pytest.mark.parametrize("day", ["2011-07-01", "2011-11-23"])
def test_a_real_glass_cockpit_writes_magnetic_tracks(day: str) -> None:
    """Its own column of the variation says 3.7 to 3.9 degrees east."""
    mapping = ColumnMapping(
        "Lcl Date + Lcl Time + UTCOfst",
        "iso",
        {
            "latitude": ChannelColumn("Latitude", "°"),
            "longitude": ChannelColumn("Longitude", "°"),
            "track": ChannelColumn("TRK", "°"),
        },
        header_row=3,
    )
    offset = track_offset(read(real(f"glass_cockpit/training_{day}.csv"), mapping))
    assert offset is not None
    assert np.degrees(offset.value) == pytest.approx(-3.8, abs=0.5)


@pytest.mark.parametrize(
    ("name", "ellipsoidal"),
    [
        ("area_solo", True),
        ("crosswind_circuits", True),
        ("crosswind_circuits_jittered_time", True),
        ("stalling_jittered_time", True),
        ("climbing_and_descending", False),
        ("straight_and_level", False),
    ],
)
def test_real_heights_of_an_app_and_of_a_receiver(name: str, ellipsoidal: bool) -> None:
    """The field lies 63 ft above the sea; the app's heights are some 40 m too high."""
    recording = read(real(f"gpx_training/{name}.gpx"))
    offset = height_offset(recording, [GroundReading(0.0, 63 * 0.3048, 1013e2, 288.0)])
    assert offset is not None
    assert (height_note(offset, "unknown") is not None) == ellipsoidal


def test_a_log_without_tracks_tells_nothing_of_them(tmp_path: Path) -> None:
    """A GPX of positions alone."""
    path = circle_gpx(tmp_path / "circle.gpx", np.arange(0.0, 60.0))
    assert track_offset(read(path)) is None
