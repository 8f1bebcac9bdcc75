"""Small logs for the tests: a flight along a known path, written as the recorders write it."""

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from wringout.recordings import ChannelColumn, ColumnMapping
from wringout.recordings.recording import FloatArray

START = np.datetime64("2026-05-02T07:31:00.000")
METRES_A_DEGREE = 111_320.0
MAPPING = ColumnMapping(
    "time",
    "iso",
    {
        "latitude": ChannelColumn("lat", "°"),
        "longitude": ChannelColumn("lon", "°"),
        "height": ChannelColumn("alt", "ft"),
        "indicated_airspeed": ChannelColumn("ias", "kt"),
    },
)


def stamp(seconds: float) -> str:
    """A moment as recorders write it, to a millisecond."""
    return str(START + np.timedelta64(round(1000 * seconds), "ms")) + "Z"


def circle(
    seconds: FloatArray, speed: float = 40.0, radius: float = 800.0
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Latitude and longitude [degrees] and height [m] of a climbing circle about 52° N 1° W."""
    angle = speed * seconds / radius
    north = 52.0 + radius * np.sin(angle) / METRES_A_DEGREE
    east = -1.0 + radius * np.cos(angle) / (METRES_A_DEGREE * np.cos(np.radians(52.0)))
    return north, east, 300.0 + 1.5 * seconds


def gpx(rows: Sequence[str], version: str = "1.1") -> str:
    """A GPX of track points given as text."""
    points = "\n".join(rows)
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<gpx version="{version}" creator="invented" '
        f'xmlns="http://www.topografix.com/GPX/{version.replace(".", "/")}">\n'
        f"<trk><trkseg>\n{points}\n</trkseg></trk>\n</gpx>\n"
    )


def point(seconds: float, latitude: float, longitude: float, height: float, more: str = "") -> str:
    """One track point."""
    return (
        f'<trkpt lat="{latitude:.7f}" lon="{longitude:.7f}"><ele>{height:.2f}</ele>'
        f"<time>{stamp(seconds)}</time>{more}</trkpt>"
    )


def circle_gpx(path: Path, seconds: FloatArray) -> Path:
    """A GPX of the circle."""
    rows = [point(*each) for each in zip(seconds, *circle(seconds), strict=True)]
    path.write_text(gpx(rows), encoding="utf-8")
    return path


def circle_rows(seconds: FloatArray) -> list[list[str]]:
    """Cells of the circle's CSV: time, latitude, longitude, height [ft], indicated airspeed [kt]."""
    return [
        [stamp(t), f"{lat:.7f}", f"{lon:.7f}", f"{height / 0.3048:.1f}", f"{76 + (k % 5) * 0.5:.1f}"]
        for k, (t, lat, lon, height) in enumerate(zip(seconds, *circle(seconds), strict=True))
    ]


def csv_text(
    rows: Sequence[Sequence[str]], header: str = "time,lat,lon,alt,ias", delimiter: str = ","
) -> str:
    """A CSV with a header line."""
    return "\n".join([header.replace(",", delimiter), *(delimiter.join(row) for row in rows)]) + "\n"
