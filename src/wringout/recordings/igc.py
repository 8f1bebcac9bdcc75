"""IGC flight recorder files: B records with their extensions, dated by the header."""

import math
import re
from array import array
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from wringout.problems import InputError, Problem
from wringout.quantity import to_si
from wringout.recordings.clock import dated, midnight
from wringout.recordings.log import Log, Lost
from wringout.recordings.mapping import ColumnMapping
from wringout.recordings.recording import FloatArray
from wringout.recordings.text_lines import numbered_lines

FIX = re.compile(
    rb"B([01]\d|2[0-3])([0-5]\d)([0-5]\d)"
    rb"([0-8]\d|90)([0-5]\d{4})([NS])(0\d\d|1[0-7]\d|180)([0-5]\d{4})([EW])([AV])(-\d{4}|\d{5})(-\d{4}|\d{5})"
)
FIXED = 35  # bytes of a B record before its extensions
HEAD = re.compile(rb"^(?:HFDTE|B\d{13}[NS]\d{8}[EW][AV])", re.MULTILINE)
DAY = re.compile(rb"HFDTE(?:DATE)?:? ?(\d\d)(\d\d)(\d\d)")
REFERENCE = re.compile(rb"H[FO](ALG|ALP)[A-Z]*:(.*)")
EXTENSION = re.compile(rb"(\d\d)(\d\d)([A-Z0-9]{3})")
MINUTE = math.radians(1 / 60)
# Extension → channel and unit. Three digits are whole units; recorders that write five mean hundredths.
SPEEDS_AND_ANGLES = {
    b"GSP": ("ground_speed", "km/h"),
    b"IAS": ("indicated_airspeed", "km/h"),
    b"TAS": ("true_airspeed", "km/h"),
    b"TRT": ("track", "°"),
    b"HDT": ("heading", "°"),
}
DIVISORS = {3: 1.0, 5: 100.0}
ELLIPSOID = {b"ELL", b"WGS84 ELLIPSOID"}
GEOID = {b"GEO", b"MSL"}


class IgcReader:
    """Reads fixes and the extensions that have a channel; tasks, events and signatures are left aside."""

    name = "IGC"

    def recognises(self, head: bytes, suffix: str) -> bool:
        """Whether a file that begins with `head` is of a flight recorder."""
        return suffix == ".igc" or HEAD.search(head) is not None

    def read(self, path: Path, mapping: ColumnMapping | None) -> Log:
        """B records in file order.

        A fix that the recorder marks as not three-dimensional keeps its pressure altitude and nothing else.

        Raises
        ------
        InputError
            A mapping given, no B record, or none after a date.
        """
        if mapping is not None:
            raise InputError(
                Problem(
                    "an IGC file needs no column mapping, and one was given",
                    "take the mapping out of the card, or name the CSV it is meant for",
                    path.name,
                )
            )
        fixes = _Fixes()
        for number, line in numbered_lines(path):
            kind = line[:1]
            if kind == b"B":
                fixes.take(line, number)
            elif kind == b"H":
                fixes.header(line)
            elif kind == b"I":
                fixes.extend(line)
        return fixes.log(path.name)


@dataclass(frozen=True, slots=True)
class _Extension:
    """Where in a B record a channel's digits stand."""

    channel: str
    span: slice
    factor: float


@dataclass(slots=True)
class _Fixes:
    """Fixes under way; numbers only, so that memory grows by some hundred bytes a fix."""

    begins: float = math.nan  # midnight of the date of the header last seen
    pending: bool = False  # that date has not been given to a fix yet
    extensions: list[_Extension] = field(default_factory=list)
    fine_latitude: slice | None = None
    fine_longitude: slice | None = None
    fine_time: slice | None = None
    references: dict[bytes, bytes] = field(default_factory=dict)
    skipped: set[str] = field(default_factory=set)
    time: "array[float]" = field(default_factory=lambda: array("d"))
    dates: "array[float]" = field(default_factory=lambda: array("d"))
    lines: "array[int]" = field(default_factory=lambda: array("q"))
    three: "array[int]" = field(default_factory=lambda: array("b"))
    channels: "dict[str, array[float]]" = field(
        default_factory=lambda: {
            name: array("d") for name in ("latitude", "longitude", "pressure_altitude", "height")
        }
    )
    damaged: int = 0
    first_damaged: int = 0

    def header(self, line: bytes) -> None:
        """The date, and what altitudes count from."""
        day = DAY.match(line)
        if day:
            self.begins, self.pending = midnight(*day.groups()), True
        reference = REFERENCE.match(line)
        if reference:
            self.references[reference[1]] = reference[2].strip().upper()

    def extend(self, line: bytes) -> None:
        """The I record: which bytes of a B record hold what beyond the fix."""
        for first, last, code in EXTENSION.findall(line[3:]):
            span = slice(int(first) - 1, int(last))
            digits = span.stop - span.start
            if code == b"LAD":
                self.fine_latitude = span
            elif code == b"LOD":
                self.fine_longitude = span
            elif code == b"TDS":
                self.fine_time = span
            elif code in SPEEDS_AND_ANGLES:
                channel, unit = SPEEDS_AND_ANGLES[code]
                if digits not in DIVISORS or span.start < FIXED:
                    self.skipped.add(f"{code.decode()} in {digits} digits")
                    continue
                if channel not in self.channels:
                    self.channels[channel] = array("d", [math.nan] * len(self.time))
                    self.extensions.append(_Extension(channel, span, to_si(1.0, unit) / DIVISORS[digits]))

    def take(self, line: bytes, number: int) -> None:
        """One B record."""
        match = FIX.match(line)
        if match is None:
            self.damaged += 1
            self.first_damaged = self.first_damaged or number
            return
        hours, minutes, seconds, lat, lat_min, north, lon, lon_min, east, mark, pressure, height = (
            match.groups()
        )
        three = mark == b"A"
        self.time.append(
            3600.0 * int(hours) + 60.0 * int(minutes) + int(seconds) + _decimals(line, self.fine_time)
        )
        self.dates.append(self.begins if self.pending else math.nan)
        self.pending = False
        self.lines.append(number)
        self.three.append(three)
        values = self.channels
        phi = 60 * int(lat) + (int(lat_min) + _decimals(line, self.fine_latitude)) / 1000
        lam = 60 * int(lon) + (int(lon_min) + _decimals(line, self.fine_longitude)) / 1000
        values["latitude"].append((phi if north == b"N" else -phi) * MINUTE if three else math.nan)
        values["longitude"].append((lam if east == b"E" else -lam) * MINUTE if three else math.nan)
        values["pressure_altitude"].append(float(pressure))
        values["height"].append(float(height) if three else math.nan)
        for extension in self.extensions:
            digits = line[extension.span]
            wanted = extension.span.stop - extension.span.start
            read = digits.isdigit() and len(digits) == wanted and three
            values[extension.channel].append(int(digits) * extension.factor if read else math.nan)

    def log(self, file: str) -> Log:
        """The fixes with their moments."""
        if not self.time:
            bad = (
                f"none of {self.damaged} B records is whole" if self.damaged else "the file holds no B record"
            )
            raise InputError(
                Problem(bad, "download the flight from the recorder again", file, self.first_damaged or None)
            )
        line: NDArray[np.int64] = np.array(self.lines, dtype=np.int64)
        time = dated(np.array(self.time), np.array(self.dates))
        if np.isnan(time).all():
            raise InputError(
                Problem(
                    "no header states the date of the fixes",
                    "the file lacks its HFDTE line: download the flight from the recorder again",
                    file,
                    int(line[0]),
                )
            )
        lost = []
        if self.damaged:
            lost.append(Lost(self.damaged, self.first_damaged, "B records are damaged"))
        flat = ~np.array(self.three, dtype=np.bool_)
        if flat.any():
            lost.append(
                Lost(
                    int(np.sum(flat)),
                    int(line[flat][0]),
                    "fixes are marked as not three-dimensional: their positions and heights are left out",
                )
            )
        channels = {name: np.array(values) for name, values in self.channels.items()}
        notes = [*self._altitude_notes(channels)]
        if self.skipped:
            notes.append(f"not read, as their scale is unknown: {', '.join(sorted(self.skipped))}")
        return Log(time, channels, line, (), tuple(lost), tuple(notes))

    def _altitude_notes(self, channels: dict[str, FloatArray]) -> list[str]:
        """What altitudes count from; those that the recorder did not have are taken out."""
        notes = []
        if not np.any(channels["pressure_altitude"]):
            del channels["pressure_altitude"]
            notes.append("there is no pressure altitude: all are written as zero")
        elif self.references.get(b"ALP") == b"MSL":
            del channels["pressure_altitude"]
            notes.append("there is no pressure altitude: the header says that it counts from mean sea level")
        if not np.any(np.nan_to_num(channels["height"])):
            del channels["height"]
            notes.append("there is no satellite height: all are written as zero")
            return notes
        stated = self.references.get(b"ALG", b"")
        if stated in ELLIPSOID:
            notes.append("heights count from the WGS 84 ellipsoid, by the header")
        elif stated in GEOID:
            notes.append("heights count from mean sea level, by the header")
        else:
            notes.append(
                "the header does not say what heights count from; recorders write the WGS 84 ellipsoid or "
                "mean sea level"
            )
        return notes


def _decimals(line: bytes, span: slice | None) -> float:
    """The decimals of which a further field holds the digits: '07' is 0.07."""
    if span is None:
        return 0.0
    digits = line[span]
    return int(digits) / 10 ** len(digits) if digits.isdigit() else 0.0
