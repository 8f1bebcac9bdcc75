"""GPX 1.0 and 1.1 track points, with speed and course wherever the writer put them."""

import math
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import numpy as np

from wringout.problems import InputError, Problem
from wringout.recordings.log import Log, Unreadable
from wringout.recordings.mapping import ColumnMapping
from wringout.recordings.xml_streaming import feed

DEGREE = math.radians(1.0)
# Local name of an element inside a track point → channel and factor to SI. GPX 1.0 has speed [m/s] and course
# [degrees true] in the point itself, 1.1 only in extensions, under whatever name space the writer chose.
ELEMENTS: dict[str, tuple[str, float]] = {
    "ele": ("height", 1.0),
    "speed": ("ground_speed", 1.0),
    "course": ("track", DEGREE),
    "bearing": ("track", DEGREE),
    "vertical_speed": ("vertical_speed", 1.0),
}
MOST_TAGS = 100  # whose meaning is remembered
LONGEST_TEXT = 1 << 10  # of one element that is read; no number or time is longer


class GpxReader:
    """Reads track points; way points and routes are not flown and are left aside."""

    name = "GPX"

    def recognises(self, head: bytes, suffix: str) -> bool:
        """Whether a file that begins with `head` is GPX."""
        return b"<gpx" in head or (suffix == ".gpx" and head.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"<"))

    def read(self, path: Path, mapping: ColumnMapping | None) -> Log:
        """Track points in file order.

        Raises
        ------
        InputError
            Broken XML, a document type or entities (never expanded), a mapping given, or no track point.
        """
        if mapping is not None:
            raise InputError(
                Problem(
                    "a GPX file needs no column mapping, and one was given",
                    "take the mapping out of the card, or name the CSV it is meant for",
                    path.name,
                )
            )
        found: list[_TrackPoints] = []

        def made(line: Callable[[], int]) -> _TrackPoints:
            found.append(_TrackPoints(line))
            return found[0]

        feed(path, made, lambda: len(found[0].time))
        points = found[0]
        if not points.time:
            raise InputError(
                Problem(
                    "the GPX holds no track point",
                    "export the track itself (trk, trkpt), not a route or way points",
                    path.name,
                )
            )
        return points.log()


class _TrackPoints:
    """Parser target: keeps numbers only, so that memory grows by a few dozen bytes a point."""

    def __init__(self, line: Callable[[], int]) -> None:
        self._current_line = line
        self._depth = 0  # elements open inside the current track point; 0 outside
        self._text: list[str] = []
        self._length = 0
        self._wanted = ""
        self._meanings: dict[str, str] = {}
        self._unreadable: dict[str, Unreadable] = {}
        self.time: list[float] = []
        self.lines: list[int] = []
        self.channels: dict[str, list[float]] = {}

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        if self._depth:
            self._depth += 1
            self._wanted = self._meant(tag)
            self._text.clear()
            self._length = 0
        elif tag.endswith("trkpt") and tag.rpartition("}")[2] == "trkpt":
            self._depth = 1
            self.time.append(math.nan)
            self.lines.append(self._current_line())
            self._put("latitude", attributes.get("lat", ""), DEGREE)
            self._put("longitude", attributes.get("lon", ""), DEGREE)

    def _meant(self, tag: str) -> str:
        """Which of `ELEMENTS`, or 'time', or nothing; remembered for the few tags that files have."""
        meant = self._meanings.get(tag)
        if meant is None:
            name = tag.rpartition("}")[2].lower()
            meant = name if name in ELEMENTS or name == "time" else ""
            if len(self._meanings) < MOST_TAGS:
                self._meanings[tag] = meant
        return meant

    def data(self, text: str) -> None:
        if self._wanted and self._length < LONGEST_TEXT:
            self._text.append(text)
            self._length += len(text)

    def end(self, _tag: str) -> None:
        if not self._depth:
            return
        self._depth -= 1
        if not self._wanted:
            return
        text = "".join(self._text).strip()
        if self._wanted == "time":
            self._put_time(text)
        else:
            channel, factor = ELEMENTS[self._wanted]
            self._put(channel, text, factor)
        self._wanted = ""

    def close(self) -> None:
        pass

    def _put(self, channel: str, text: str, factor: float) -> None:
        values = self.channels.get(channel)
        if values is None:
            values = self.channels[channel] = []
        missing = len(self.time) - len(values)
        if missing < 1:  # a second element of the same meaning in one point: the first stands
            return
        if missing > 1:
            values.extend([math.nan] * (missing - 1))
        try:
            value = float(text) if text else math.nan
        except ValueError:
            value = math.inf
        if math.isinf(value):
            self._note_unreadable(channel, text)
            value = math.nan
        values.append(value * factor)

    def _put_time(self, text: str) -> None:
        try:
            moment = datetime.fromisoformat(text)
        except ValueError:
            if text:
                self._note_unreadable("time", text)
            return
        if moment.tzinfo is None:  # GPX defines its times as UTC
            moment = moment.replace(tzinfo=UTC)
        self.time[-1] = moment.timestamp()

    def _note_unreadable(self, channel: str, text: str) -> None:
        known = self._unreadable.get(channel)
        self._unreadable[channel] = (
            Unreadable(channel, known.cells + 1, known.first_line, known.first_text)
            if known
            else Unreadable(channel, 1, self._current_line(), text[:40])
        )

    def log(self) -> Log:
        count = len(self.time)
        return Log(
            np.array(self.time),
            {
                channel: np.array(values + [math.nan] * (count - len(values)))
                for channel, values in self.channels.items()
            },
            np.array(self.lines, dtype=np.int64),
            tuple(self._unreadable.values()),
        )
