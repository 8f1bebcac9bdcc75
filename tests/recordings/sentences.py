"""NMEA, IGC and KML of invented flights, written from the formats' definitions and by nothing under test."""

from collections.abc import Sequence
from functools import reduce
from operator import xor

import numpy as np

from wringout.recordings.recording import FloatArray


def sentence(body: str) -> str:
    """A sentence with its checksum."""
    return f"${body}*{reduce(xor, body.encode()):02X}"


def angle(degrees: float, width: int, sides: str) -> str:
    """'ddmm.mmmmmm,N' as a receiver writes it."""
    minutes = round(abs(degrees) * 60, 6)
    whole = int(minutes // 60)
    return f"{whole:0{width}d}{minutes - 60 * whole:09.6f},{sides[int(degrees < 0)]}"


def clock(seconds: float, decimals: int = 2) -> str:
    """'hhmmss.ss' of seconds after midnight, whatever the day."""
    seconds = round(seconds, decimals) % 86_400
    hours, rest = divmod(seconds, 3600)
    minutes, left = divmod(rest, 60)
    return f"{int(hours):02d}{int(minutes):02d}{left:0{3 + decimals if decimals else 2}.{decimals}f}"


def epoch(
    seconds: float,
    latitude: float,
    longitude: float,
    height: float,
    *,
    date: str = "020526",
    speed: float = 77.5,
) -> list[str]:
    """GGA, RMC and VTG of one moment."""
    where = f"{angle(latitude, 2, 'NS')},{angle(longitude, 3, 'EW')}"
    return [
        sentence(f"GPGGA,{clock(seconds)},{where},1,09,0.9,{height:.1f},M,47.2,M,,"),
        sentence(f"GPRMC,{clock(seconds)},A,{where},{speed:.2f},084.40,{date},,,A"),
        sentence(f"GPVTG,084.40,T,,M,{speed:.2f},N,{speed * 1.852:.2f},K,A"),
    ]


def igc_angle(degrees: float, width: int, sides: str) -> str:
    """'ddmmmmmN' as a flight recorder writes it."""
    thousandths = round(abs(degrees) * 60_000)
    return f"{thousandths // 60_000:0{width}d}{thousandths % 60_000:05d}{sides[int(degrees < 0)]}"


def fix(
    seconds: float, latitude: float, longitude: float, pressure: float, height: float, *, more: str = ""
) -> str:
    """A B record."""
    return (
        f"B{clock(seconds, 0)}{igc_angle(latitude, 2, 'NS')}{igc_angle(longitude, 3, 'EW')}A"
        f"{round(pressure):05d}{round(height):05d}{more}"
    )


def igc(fixes: Sequence[str], header: Sequence[str] = ("HFDTE020526",)) -> str:
    """A flight recorder's file."""
    return "\r\n".join(["AXXXABC invented", *header, *fixes, "GNOSIGNATURE"]) + "\r\n"


def gx_track(
    moments: Sequence[str], places: FloatArray, mode: str = "<altitudeMode>absolute</altitudeMode>"
) -> str:
    """A KML of one `gx:Track`; places are longitude, latitude [degrees] and height [m]."""
    whens = "\n".join(f"<when>{moment}</when>" for moment in moments)
    coords = "\n".join(
        f"<gx:coord>{lon:.7f} {lat:.7f} {height:.2f}</gx:coord>" for lon, lat, height in places
    )
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<kml xmlns="http://www.opengis.net/kml/2.2" xmlns:gx="http://www.google.com/kml/ext/2.2">\n'
        f"<Document><Placemark><gx:Track>{mode}\n{whens}\n{coords}\n</gx:Track></Placemark></Document></kml>\n"
    )


def placemarks(moments: Sequence[str], places: FloatArray) -> str:
    """A KML of placemarks, each a point with its time stamp."""
    marks = "\n".join(
        f"<Placemark><TimeStamp><when>{moment}</when></TimeStamp><Point><coordinates>"
        f"{lon:.7f},{lat:.7f},{height:.2f}</coordinates></Point></Placemark>"
        for moment, (lon, lat, height) in zip(moments, places, strict=True)
    )
    return f'<kml xmlns="http://www.opengis.net/kml/2.2"><Document>{marks}</Document></kml>\n'


SECONDS = np.arange(0.0, 20.0)
