"""NMEA 0183: the sentences of one epoch joined to one fix; what fails its checksum is counted."""

import math
import re
from array import array
from functools import reduce
from operator import xor
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from wringout.problems import InputError, Problem
from wringout.quantity import to_si
from wringout.recordings.clock import dated, midnight, seconds_of_day
from wringout.recordings.log import Log, Lost
from wringout.recordings.mapping import ColumnMapping
from wringout.recordings.recording import FloatArray
from wringout.recordings.text_lines import numbered_lines

SENTENCE = re.compile(rb"^\$(?:[A-Z]{2}(?:RMC|GGA|VTG|ZDA|GLL|GSA|GSV|GNS),|P[A-Z]{3},)", re.MULTILINE)
SAME_EPOCH = 0.0005  # s
# GGA fix qualities and RMC modes of a satellite fix: not dead reckoning, manual input or a simulator
FIX_QUALITIES = {b"1", b"2", b"3", b"4", b"5", b"9"}
FIX_MODES = {b"", b"A", b"D", b"P", b"F", b"R"}
KNOT = to_si(1.0, "kt")
KILOMETRE_AN_HOUR = to_si(1.0, "km/h")
DEGREE = math.radians(1.0)


class NmeaReader:
    """Reads RMC, GGA, VTG and ZDA of any satellite system; other and private sentences are passed over."""

    name = "NMEA 0183"

    def recognises(self, head: bytes, suffix: str) -> bool:
        """Whether a file that begins with `head` holds sentences of a receiver."""
        return suffix in {".nmea", ".nma"} or SENTENCE.search(head) is not None

    def read(self, path: Path, mapping: ColumnMapping | None) -> Log:
        """One sample an epoch, in file order.

        Raises
        ------
        InputError
            A mapping given, no fix, or no date anywhere.
        """
        if mapping is not None:
            raise InputError(
                Problem(
                    "an NMEA log needs no column mapping, and one was given",
                    "take the mapping out of the card, or name the CSV it is meant for",
                    path.name,
                )
            )
        epochs = _Epochs()
        damage = _Damage()
        for number, line in numbered_lines(path):
            fields = _fields(line, number, damage)
            if fields is not None:
                epochs.take(fields, number)
        return epochs.log(path.name, damage)


class _Damage:
    """Lines that cannot be believed, by what is wrong with them."""

    def __init__(self) -> None:
        self._found: dict[str, list[int]] = {}

    def note(self, reason: str, line: int) -> None:
        found = self._found.setdefault(reason, [0, line])
        found[0] += 1

    def lost(self) -> tuple[Lost, ...]:
        return tuple(Lost(count, first, reason) for reason, (count, first) in self._found.items())


def _fields(line: bytes, number: int, damage: _Damage) -> list[bytes] | None:
    """The fields of a sentence of one of the four kinds, its talker cut off; None for any other line."""
    at = line.rfind(b"$")
    if at:  # none at all, or the rest of a sentence that another one broke into
        if at < 0:
            damage.note("lines are no sentence or a part of one", number)
            return None
        damage.note("sentences break off", number)
        line = line[at:]
    if line[1:2] == b"P":
        return None
    body, star, stated = line[1:].partition(b"*")
    if not star:
        damage.note("sentences break off or have no checksum", number)
        return None
    try:
        right = int(stated[:2], 16) == _checksum(body) and len(stated) >= 2
    except ValueError:
        right = False
    if not right:
        damage.note("sentences fail their checksum", number)
        return None
    if body[2:6] not in _TAKEN:
        return None
    fields = body.split(b",")
    fields[0] = body[2:5]
    return fields


def _checksum(body: bytes) -> int:
    """Exclusive or of all bytes: the number that they spell, folded onto itself."""
    folded = int.from_bytes(body, "big")
    if len(body) > 128:
        return reduce(xor, body)
    for half in (512, 256, 128, 64, 32, 16, 8):
        folded ^= folded >> half
    return folded & 0xFF


def _number(text: bytes) -> float:
    try:
        value = float(text) if text else math.nan
    except ValueError:
        return math.nan
    return value if math.isfinite(value) else math.nan


def _angle(text: bytes, side: bytes, positive: bytes, negative: bytes) -> float:
    """Radians of 'dddmm.mmmm' and its hemisphere, NaN where either is not written."""
    value = _number(text)
    if side not in {positive, negative} or not value >= 0:
        return math.nan
    degrees = value // 100
    angle = (degrees + (value - 100 * degrees) / 60) * DEGREE
    return angle if side == positive else -angle


class _Epochs:
    """Samples under way: a sentence with a new time of day begins the next."""

    def __init__(self) -> None:
        self.time = array("d")
        self.begins = array("d")
        self.valid = array("b")
        self.line = array("q")
        self.channels = {name: array("d") for name in _CHANNELS}
        self.separations: set[float] = set()
        self._take = {b"RMC": self._rmc, b"GGA": self._gga, b"VTG": self._vtg, b"ZDA": self._zda}

    def take(self, fields: list[bytes], line: int) -> None:
        """One sentence; too few fields are as good as empty ones."""
        fields.extend([b""] * (14 - len(fields)))
        self._take[fields[0]](fields, line)

    def _begin(self, text: bytes, line: int) -> bool:
        """Goes on to the epoch of this time; False where the sentence has none."""
        moment = seconds_of_day(text)
        if math.isnan(moment):
            return False
        if not self.time or abs(moment - self.time[-1]) > SAME_EPOCH:
            self.time.append(moment)
            self.begins.append(math.nan)
            self.valid.append(1)
            self.line.append(line)
            for values in self.channels.values():
                values.append(math.nan)
        return True

    def _put(self, channel: str, value: float) -> None:
        """The first sentence of an epoch that has a value is believed."""
        values = self.channels[channel]
        if math.isnan(values[-1]):
            values[-1] = value

    def _rmc(self, fields: list[bytes], line: int) -> None:
        if not self._begin(fields[1], line):
            return
        if fields[2] != b"A" or fields[12] not in FIX_MODES:
            self.valid[-1] = 0
            return
        self._position(fields[3:7])
        self._put("ground_speed", _number(fields[7]) * KNOT)
        self._put("track", _number(fields[8]) * DEGREE)
        if len(fields[9]) == 6:
            self.begins[-1] = midnight(fields[9][:2], fields[9][2:4], fields[9][4:])

    def _gga(self, fields: list[bytes], line: int) -> None:
        if not self._begin(fields[1], line):
            return
        if fields[6] not in FIX_QUALITIES:
            self.valid[-1] = 0
            return
        self._position(fields[2:6])
        if fields[10] in {b"M", b"m"}:
            self._put("height", _number(fields[9]))
            if len(self.separations) < 2:
                self.separations.add(_number(fields[11]))

    def _position(self, fields: list[bytes]) -> None:
        if math.isnan(self.channels["latitude"][-1]):
            self._put("latitude", _angle(fields[0], fields[1], b"N", b"S"))
            self._put("longitude", _angle(fields[2], fields[3], b"E", b"W"))

    def _vtg(self, fields: list[bytes], _line: int) -> None:
        if not self.time or (fields[9] not in FIX_MODES):
            return
        if fields[2] == b"T":
            self._put("track", _number(fields[1]) * DEGREE)
        if fields[6] == b"N":
            self._put("ground_speed", _number(fields[5]) * KNOT)
        if fields[8] == b"K":
            self._put("ground_speed", _number(fields[7]) * KILOMETRE_AN_HOUR)

    def _zda(self, fields: list[bytes], line: int) -> None:
        if self._begin(fields[1], line) and len(fields[4]) == 4 and self.valid[-1]:
            self.begins[-1] = midnight(fields[2], fields[3], fields[4])

    def log(self, file: str, damage: _Damage) -> Log:
        """The samples of epochs with a fix."""
        valid = np.array(self.valid, dtype=np.bool_)
        channels = {name: np.array(values) for name, values in self.channels.items()}
        fix = valid & np.isfinite(channels["latitude"]) & np.isfinite(channels["longitude"])
        line: NDArray[np.int64] = np.array(self.line, dtype=np.int64)
        lost = damage.lost()
        if not fix.any():
            heard = f"{len(fix)} epochs, none with a fix" if len(fix) else "no whole RMC or GGA sentence"
            damaged = f"; {sum(item.lines for item in lost)} lines are damaged" if lost else ""
            raise InputError(
                Problem(
                    f"the log holds {heard}{damaged}",
                    "let the receiver write RMC and GGA with their checksums, and wait for its fix",
                    file,
                    lost[0].first_line if lost else None,
                )
            )
        time = dated(np.array(self.time), np.array(self.begins))
        if np.isnan(time).all():
            raise InputError(
                Problem(
                    "no sentence states the date",
                    "let the receiver write RMC or ZDA beside GGA; a time of day alone is no moment",
                    file,
                    int(line[0]),
                )
            )
        if not fix.all():
            lost += (Lost(int(np.sum(~fix)), int(line[~fix][0]), "epochs are marked as no satellite fix"),)
        kept = {name: values[fix] for name, values in channels.items() if np.isfinite(values[fix]).any()}
        return Log(time[fix], kept, line[fix], (), lost, self._notes(kept))

    def _notes(self, channels: dict[str, FloatArray]) -> tuple[str, ...]:
        if "height" not in channels:
            return ("there is no height: the log has no GGA sentence with one",)
        if self.separations <= {0.0} or any(math.isnan(value) for value in self.separations):
            return ("heights are written without the geoid's separation: they may count from the ellipsoid",)
        return ("heights count from mean sea level, by the receiver's own geoid",)


_CHANNELS = ("latitude", "longitude", "height", "ground_speed", "track")
_TAKEN = {b"RMC,", b"GGA,", b"VTG,", b"ZDA,"}
