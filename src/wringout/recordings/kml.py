"""KML tracks: `Track` with its moments and coordinates, and placemarks of one point with a time stamp."""

import math
from array import array
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import numpy as np

from wringout.problems import InputError, Problem
from wringout.recordings.log import Log, Lost, Unreadable
from wringout.recordings.mapping import ColumnMapping
from wringout.recordings.xml_streaming import feed

DEGREE = math.radians(1.0)
LONGEST_TEXT = 1 << 10  # of one element that is read; no moment or place is longer
READ = {"when", "coord", "coordinates", "altitudeMode"}
HEIGHTS = {
    "absolute": "heights are written as above mean sea level ('absolute')",
    "": "the file does not say what heights count from (no altitudeMode)",
    "clampToGround": "the track is to be laid on the ground: what its heights count from is unsaid",
    "clampToSeaFloor": "the track is to be laid on the sea floor: what its heights count from is unsaid",
}
ABOVE_GROUND = {"relativeToGround", "relativeToSeaFloor"}


class KmlReader:
    """Reads `gx:Track` and timed points; lines without times are drawings, not recordings."""

    name = "KML"

    def recognises(self, head: bytes, suffix: str) -> bool:
        """Whether a file that begins with `head` is KML."""
        return b"<kml" in head or (suffix == ".kml" and head.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"<"))

    def read(self, path: Path, mapping: ColumnMapping | None) -> Log:
        """Samples in file order.

        Raises
        ------
        InputError
            Broken XML, a document type or entities (never expanded), a mapping given, or no timed point.
        """
        if mapping is not None:
            raise InputError(
                Problem(
                    "a KML file needs no column mapping, and one was given",
                    "take the mapping out of the card, or name the CSV it is meant for",
                    path.name,
                )
            )
        found: list[_Samples] = []

        def made(line: Callable[[], int]) -> _Samples:
            found.append(_Samples(line))
            return found[0]

        feed(path, made, lambda: len(found[0].latitude))
        return found[0].log(path.name)


class _Samples:
    """Parser target: keeps numbers only, so that memory grows by a few dozen bytes a sample."""

    def __init__(self, line: Callable[[], int]) -> None:
        self._line = line
        self._wanted = ""
        self._text: list[str] = []
        self._length = 0
        self._in_track = 0
        self._in_line = 0
        self._placemark: list[tuple[float, float, float]] = []
        self._placemark_time = math.nan
        self._placemark_line = 0
        self._moments = array("d")  # of the track under way
        self._places = array("d")  # three numbers each
        self._place_lines = array("q")
        self._unreadable: dict[str, Unreadable] = {}
        self._mode = ""  # what the heights of the element under way count from
        self._modes: set[str] = set()
        self._unpaired = Lost(0, 0, "")
        self.untimed = 0
        self.time = array("d")
        self.latitude = array("d")
        self.longitude = array("d")
        self.height = array("d")
        self.lines = array("q")

    def start(self, tag: str, _attributes: dict[str, str]) -> None:
        name = tag.rpartition("}")[2]
        if name == "Track":
            self._in_track += 1
            self._mode = ""
        elif name in {"LineString", "LinearRing"}:
            self._in_line += 1
        elif name == "Placemark":
            self._placemark, self._placemark_time, self._mode = [], math.nan, ""
            self._placemark_line = self._line()
        self._wanted = name if name in READ else ""
        self._text.clear()
        self._length = 0

    def data(self, text: str) -> None:
        if self._wanted and self._length < LONGEST_TEXT:
            self._text.append(text)
            self._length += len(text)

    def end(self, tag: str) -> None:
        name = tag.rpartition("}")[2]
        if name == self._wanted:
            self._take(name, "".join(self._text).strip())
        elif name == "Track":
            self._in_track -= 1
            self._close_track()
        elif name in {"LineString", "LinearRing"}:
            self._in_line -= 1
        elif name == "Placemark":
            self._close_placemark()
        self._wanted = ""

    def close(self) -> None:
        pass

    def _take(self, name: str, text: str) -> None:
        if name == "altitudeMode":
            self._mode = text
        elif name == "when":
            moment = self._moment(text)
            if self._in_track:
                self._moments.append(moment)
            else:
                self._placemark_time = moment
        elif name == "coord":
            self._places.extend(self._place(text.split()))
            self._place_lines.append(self._line())
        elif self._in_line:
            self.untimed += 1
        else:
            self._placemark = [self._place(text.split(","))]

    def _moment(self, text: str) -> float:
        try:
            moment = datetime.fromisoformat(text)
        except ValueError:
            moment = None
        if moment is None or moment.tzinfo is None:  # a day, a month, or a time in no zone
            self._note("time", text)
            return math.nan
        return moment.timestamp()

    def _place(self, parts: list[str]) -> tuple[float, float, float]:
        """Longitude, latitude and height as KML orders them; NaN where they are not written."""
        numbers = []
        for part, channel in zip((*parts, "", "", "")[:3], ("longitude", "latitude", "height"), strict=True):
            try:
                value = float(part) if part.strip() else math.nan
            except ValueError:
                value = math.inf
            if math.isinf(value):
                self._note(channel, part)
                value = math.nan
            numbers.append(value)
        return numbers[0] * DEGREE, numbers[1] * DEGREE, numbers[2]

    def _note(self, channel: str, text: str) -> None:
        known = self._unreadable.get(channel)
        self._unreadable[channel] = (
            Unreadable(channel, known.cells + 1, known.first_line, known.first_text)
            if known
            else Unreadable(channel, 1, self._line(), text[:40])
        )

    def _close_track(self) -> None:
        """Moments and places pair in order; where their numbers differ nobody knows which belong together."""
        count = len(self._place_lines)
        if count != len(self._moments):
            odd = max(count, len(self._moments))
            first = self._unpaired.first_line or self._line()
            self._unpaired = Lost(
                self._unpaired.lines + odd, first, "samples of a track with not as many times as places"
            )
        else:
            self.time.extend(self._moments)
            self.longitude.extend(self._places[0::3])
            self.latitude.extend(self._places[1::3])
            self.height.extend(self._places[2::3])
            self.lines.extend(self._place_lines)
            self._modes.add(self._mode)
        for values in (self._moments, self._places, self._place_lines):
            del values[:]

    def _close_placemark(self) -> None:
        if self._placemark and not math.isnan(self._placemark_time):
            longitude, latitude, height = self._placemark[0]
            self.time.append(self._placemark_time)
            self.longitude.append(longitude)
            self.latitude.append(latitude)
            self.height.append(height)
            self.lines.append(self._placemark_line)
            self._modes.add(self._mode)
        elif self._placemark:
            self.untimed += 1
        self._placemark = []

    def log(self, file: str) -> Log:
        """All samples, and what their heights count from."""
        if not np.isfinite(self.time).any():
            raise InputError(self._empty(file))
        channels = {
            "latitude": np.array(self.latitude),
            "longitude": np.array(self.longitude),
            "height": np.array(self.height),
        }
        notes = [
            HEIGHTS.get(mode, f"altitudeMode is '{mode[:40]}'") for mode in sorted(self._modes - ABOVE_GROUND)
        ]
        if not np.any(np.nan_to_num(channels["height"])):
            del channels["height"]
            notes = ["there is no height in the file"]
        elif self._modes & ABOVE_GROUND:
            del channels["height"]
            notes = ["heights count from the ground below, which is unknown, and are left out"]
        return Log(
            np.array(self.time),
            channels,
            np.array(self.lines, dtype=np.int64),
            tuple(self._unreadable.values()),
            (self._unpaired,) if self._unpaired.lines else (),
            tuple(notes),
        )

    def _empty(self, file: str) -> Problem:
        if "time" in self._unreadable:
            item = self._unreadable["time"]
            return Problem(
                f"{item.cells} times are no moment in a zone, the first is '{item.first_text}'",
                "export the track with times like 2026-05-02T07:31:00Z",
                file,
                item.first_line,
            )
        if self._unpaired.lines:
            return Problem(
                "the track has not as many times as places",
                "export the track again",
                file,
                self._unpaired.first_line,
            )
        what = f"{self.untimed} lines and points and no time of any" if self.untimed else "no track"
        return Problem(f"the KML holds {what}", "export the track with its times (gx:Track), or as GPX", file)
