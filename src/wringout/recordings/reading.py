"""Reading a log of any kind: the file's own content says which reader takes it."""

import hashlib
from pathlib import Path
from typing import Protocol

from wringout.problems import InputError, Problem
from wringout.recordings.cleaning import clean
from wringout.recordings.delimited import DelimitedReader
from wringout.recordings.gpx import GpxReader
from wringout.recordings.igc import IgcReader
from wringout.recordings.kml import KmlReader
from wringout.recordings.log import Log
from wringout.recordings.mapping import ColumnMapping
from wringout.recordings.nmea import NmeaReader
from wringout.recordings.parquet import ParquetReader
from wringout.recordings.recording import Recording
from wringout.recordings.references import with_true_track

LARGEST_FILE = 512 * 1024 * 1024  # a day at 50 Hz with a hundred columns is smaller


class Reader(Protocol):
    """One file format. A new one is a small file with these two methods, and its place in `READERS`."""

    name: str

    def recognises(self, head: bytes, suffix: str) -> bool:
        """Whether a file that begins with `head` and whose name ends in `suffix` is of this format."""
        ...

    def read(self, path: Path, mapping: ColumnMapping | None) -> Log:
        """The samples; InputError says what is wrong and where."""
        ...


READERS: tuple[Reader, ...] = (
    GpxReader(),
    KmlReader(),
    ParquetReader(),
    NmeaReader(),
    IgcReader(),
    DelimitedReader(),
)


def read(path: Path, mapping: ColumnMapping | None = None) -> Recording:
    """A recording from one log: read, cleaned, in SI.

    Parameters
    ----------
    path : Path
        The raw log; never altered.
    mapping : ColumnMapping, optional
        Which columns of a table mean what; every CSV and Parquet needs one, no other format takes one.

    Raises
    ------
    InputError
        The file is missing, empty, too large, of no known format, malformed, or holds no usable sample.
    """
    path = Path(path)
    digest, head = _fingerprint(path)
    suffix = path.suffix.lower()
    for reader in READERS:
        if reader.recognises(head, suffix):
            recording = clean(reader.read(path, mapping), path.name, digest)
            magnetic = mapping is not None and mapping.track == "magnetic"
            return with_true_track(recording) if magnetic else recording
    names = [reader.name for reader in READERS]
    known = ", ".join(names[:-1]) + f" nor {names[-1]}"
    raise InputError(
        Problem(f"the content is neither {known}", "export the recording as one of these", path.name)
    )


def needs_mapping(path: Path) -> bool:
    """Whether a file's columns must be mapped before it can be read; errors as `read`."""
    _, head = _fingerprint(path)
    suffix = path.suffix.lower()
    taken = next((reader for reader in READERS if reader.recognises(head, suffix)), None)
    return taken is None or isinstance(taken, DelimitedReader | ParquetReader)


def _fingerprint(path: Path) -> tuple[str, bytes]:
    try:
        size = path.stat().st_size
        if not path.is_file():
            raise InputError(Problem("this is no file", "name the recording itself", path.name))
        if size > LARGEST_FILE:
            raise InputError(
                Problem(
                    f"the file has {size >> 20} MiB, a flight's log no more than {LARGEST_FILE >> 20}",
                    "cut the flight out of the log",
                    path.name,
                )
            )
        with path.open("rb") as stream:
            head = stream.read(4096)
            stream.seek(0)
            digest = hashlib.file_digest(stream, "sha256").hexdigest()
    except OSError as error:
        raise InputError(
            Problem(
                f"the file cannot be read ({error.strerror or error})",
                "check its name and that it was copied",
                path.name,
            )
        ) from None
    if not head.strip(b"\x00 \t\r\n"):
        raise InputError(Problem("the file is empty", "copy the recording again", path.name))
    return digest, head
