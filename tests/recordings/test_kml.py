"""KML tracks: the same flight in either form, its heights' reference, and what is refused."""

from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from tests.recordings.logs import circle, stamp
from tests.recordings.sentences import SECONDS, gx_track, placemarks
from wringout.problems import InputError
from wringout.recordings import ColumnMapping, read
from wringout.recordings.recording import FloatArray

MOMENTS = [stamp(t) for t in SECONDS]


def places() -> FloatArray:
    """Longitude, latitude [degrees] and height [m] of the circle, as KML orders them."""
    latitude, longitude, height = circle(SECONDS)
    return np.stack((longitude, latitude, height), axis=1)


def written(folder: Path, text: str) -> Path:
    """A file of this text."""
    path = folder / "flight.kml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("form", [gx_track, placemarks])
def test_a_track_and_timed_placemarks_are_read_alike(tmp_path: Path, form: type) -> None:
    """Longitude comes first, degrees become radians, moments are UTC."""
    recording = read(written(tmp_path, form(MOMENTS, places())))
    assert recording.start == datetime(2026, 5, 2, 7, 31, tzinfo=UTC)
    assert recording.time == pytest.approx(SECONDS)
    longitude, latitude, height = places().T
    assert np.degrees(recording.channels["latitude"]) == pytest.approx(latitude, abs=1e-7)
    assert np.degrees(recording.channels["longitude"]) == pytest.approx(longitude, abs=1e-7)
    assert recording.channels["height"] == pytest.approx(height, abs=0.006)


@pytest.mark.parametrize(
    ("mode", "words"),
    [
        ("<altitudeMode>absolute</altitudeMode>", "as above mean sea level"),
        ("<gx:altitudeMode>clampToSeaFloor</gx:altitudeMode>", "on the sea floor"),
        ("<altitudeMode>clampToGround</altitudeMode>", "on the ground"),
        ("", "does not say what heights count from"),
    ],
)
def test_what_heights_count_from(tmp_path: Path, mode: str, words: str) -> None:
    """The altitude mode is told as the file has it."""
    (note,) = read(written(tmp_path, gx_track(MOMENTS, places(), mode))).notes
    assert words in note


def test_heights_above_the_ground_are_no_heights(tmp_path: Path) -> None:
    """The ground below is not in the file."""
    mode = "<altitudeMode>relativeToGround</altitudeMode>"
    recording = read(written(tmp_path, gx_track(MOMENTS, places(), mode)))
    assert "height" not in recording.channels
    assert "left out" in recording.notes[0]


def test_a_zone_in_the_times_is_heeded(tmp_path: Path) -> None:
    """Local times with their offset are the same moments."""
    moments = [moment.replace("T07", "T09").replace("Z", "+02:00") for moment in MOMENTS]
    assert read(written(tmp_path, gx_track(moments, places()))).start.hour == 7


def test_a_track_with_a_time_missing_is_left_out_whole(tmp_path: Path) -> None:
    """Nobody knows which place the missing time belongs to."""
    whole, broken = gx_track(MOMENTS, places()), gx_track(MOMENTS[:-1], places())
    track = broken[broken.index("<Placemark>") : broken.index("</Document>")]
    recording = read(written(tmp_path, whole.replace("</Document>", track + "</Document>")))
    assert recording.exclusions[0].reason.startswith("20 samples of a track with not as many times as places")
    with pytest.raises(InputError, match="not as many times as places"):
        read(written(tmp_path, broken))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (gx_track([moment.rstrip("Z") for moment in MOMENTS], places()), "20 times are no moment in a zone"),
        (placemarks(["2026-05-02"] * 20, places()), "20 times are no moment in a zone"),
        (
            "<kml><LineString><coordinates>-1,52,100 -1,53,200</coordinates></LineString></kml>",
            "1 lines and points and no time of any",
        ),
        ("<kml></kml>", "the KML holds no track"),
        ("<kml><Placemark>", "line 1: the XML breaks off"),
        ('<!DOCTYPE kml [<!ENTITY a "b">]><kml>&a;</kml>', "document type or entities"),
    ],
)
def test_what_is_no_recording_is_refused(tmp_path: Path, text: str, words: str) -> None:
    """Drawings without times, times without a zone, broken XML, entities."""
    with pytest.raises(InputError, match=words):
        read(written(tmp_path, text))


def test_a_mapping_is_refused(tmp_path: Path) -> None:
    """It is meant for another file."""
    with pytest.raises(InputError, match="needs no column mapping"):
        read(written(tmp_path, gx_track(MOMENTS, places())), ColumnMapping("t", "iso", {}))
