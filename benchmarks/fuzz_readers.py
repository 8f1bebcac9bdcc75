"""Every reader fed with damaged files: how many are read, how many refused in words, and whether any fails.

    PYTHONPATH=. python benchmarks/fuzz_readers.py [cases a format] [seed]

Of Parquet a tenth as many, as each is unpacked in a process of its own.

A case damages a good file in one to twelve places: bytes cut, doubled, overwritten, or replaced by what
recorders and their cables write. Reading is followed by smoothing. Anything but a recording or an
`InputError` is a failure, printed with its traceback; so is a case of more than ten seconds.
"""

import sys
import tempfile
import time
import traceback
import tracemalloc
from pathlib import Path

import numpy as np
from tests.recordings.logs import MAPPING, circle, circle_rows, csv_text, gpx, point
from tests.recordings.test_fuzz_formats import ORIGINALS

from wringout.problems import InputError
from wringout.recordings import ColumnMapping, read, smooth
from wringout.recordings.proposal import first_rows, propose

WORDS = (
    b"NaN", b"-1e999", b"1e308", b"\xff\xfe", b"\x00", b'"', b",", b";", b"<", b">", b"&", b"$", b"*", b"\r",
    b"\n", b"\x80\x80", b"99999999999", b"-", b"PAR1",
)  # fmt: skip
SLOWEST = 10.0  # s


def damaged(original: bytes, generator: np.random.Generator) -> bytes:
    """The original with damage in some places."""
    content = bytearray(original)
    for _ in range(generator.integers(1, 13)):
        start = int(generator.integers(0, len(content) + 1))
        end = min(start + int(generator.integers(0, 80)), len(content))
        kind = generator.integers(0, 5)
        if kind == 0:
            del content[start:end]
        elif kind == 1:
            content[start:start] = content[start:end]
        elif kind == 2:
            content[start:end] = generator.bytes(int(generator.integers(0, 20)))
        elif kind == 3:
            content[start:end] = WORDS[generator.integers(len(WORDS))]
        elif start < len(content):
            content[start] ^= 1 << int(generator.integers(8))
    return bytes(content)


def outcome(path: Path, mapping: ColumnMapping | None, *, table: bool) -> str:
    """'read' or 'refused'; anything else raises."""
    try:
        if table:
            first_rows(path, propose(path))
        else:
            smooth(read(path, mapping))
    except InputError:
        return "refused"
    return "read"


def main() -> int:
    """Runs all formats; the number of failures."""
    cases = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    seconds = np.arange(0.0, 20.0)
    rows = [point(*each) for each in zip(seconds, *circle(seconds), strict=True)]
    table = csv_text(circle_rows(seconds)).encode()
    originals: dict[str, tuple[bytes, ColumnMapping | None]] = {
        "flight.gpx": (gpx(rows).encode(), None),
        "flight.csv": (table, MAPPING),
        "columns.csv": (table, None),
        **ORIGINALS,
    }
    failures = 0
    print(f"{'file':16} {'cases':>7} {'read':>7} {'refused':>8} {'failed':>7} {'slowest':>9} {'peak':>9}")
    with tempfile.TemporaryDirectory() as folder:
        for name, (original, mapping) in originals.items():
            generator = np.random.default_rng(seed)
            counts = {"read": 0, "refused": 0, "failed": 0}
            slowest = 0.0
            path = Path(folder) / name
            path.write_bytes(original)
            outcome(path, mapping, table=name == "columns.csv")  # imports are no part of the measure
            tracemalloc.start()
            many = cases // 10 if name.endswith(".parquet") else cases  # each in a process of its own
            for _ in range(many):
                path.write_bytes(damaged(original, generator))
                begun = time.perf_counter()
                try:
                    counts[outcome(path, mapping, table=name == "columns.csv")] += 1
                except Exception:
                    counts["failed"] += 1
                    traceback.print_exc()
                spent = time.perf_counter() - begun
                counts["failed"] += spent > SLOWEST
                slowest = max(slowest, spent)
            peak = tracemalloc.get_traced_memory()[1]
            tracemalloc.stop()
            failures += counts["failed"]
            print(
                f"{name:16} {many:7} {counts['read']:7} {counts['refused']:8} {counts['failed']:7} "
                f"{slowest:7.2f} s {peak / 1e6:6.1f} MB"
            )
    return failures


if __name__ == "__main__":
    sys.exit(min(main(), 1))
