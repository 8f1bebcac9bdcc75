"""kill -9 at random moments of edits, uploads and runs: is what was told as saved still there?

Run: .venv/bin/python benchmarks/killed.py [kills] [seed]
Goal: 0 edits lost, 0 recordings lost or altered, 0 dossiers unreadable.
Each child works on the one dossier until it is killed, at a moment that is uniform within its work: edits of
two files with undo and redo among them, recordings that come in, an evaluation with its report. Between the
kills the dossier is read and its files are held against what the child told; at the end a run is left alone,
every edit is taken back, and what the kills left half written beside the whole files is swept away.
"""

from __future__ import annotations

import io
import json
import multiprocessing
import os
import random
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from hashlib import sha256
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from wringout.dossier import create, examine, load
from wringout.dossier.files import sweep
from wringout.dossier.history import edit_text, edit_value, redo, steps, undo, version_of
from wringout.dossier.receiving import receive

KILLS, SEED = 200, 20260512
AIRPLANE, HEAD, SPAN = "airplane.toml", "dossier.toml", ("geometry", "span")
LARGEST = 10_000_000
_MODULES = ["wringout.dossier", "wringout.dossier.receiving", "wringout.evaluation", "wringout.report"]


@dataclass
class Counts:
    """What became of the children, and what was lost."""

    kills: Counter[str] = field(default_factory=Counter)
    saved: Counter[str] = field(default_factory=Counter)
    lost: list[str] = field(default_factory=list)


def write_edits(root: Path, tell: Callable[[str, str], None], number: int) -> None:
    """Edits without end, each told after it was saved: by field, as a whole text, back and forth."""
    while True:
        number += 1
        version = edit_value(root, AIRPLANE, version_of(root, AIRPLANE), SPAN, f"{9000 + number % 3000} mm")
        tell(AIRPLANE, version)
        if number % 3 == 0:
            tell(AIRPLANE, undo(root, AIRPLANE, version))
            tell(AIRPLANE, redo(root, AIRPLANE, version_of(root, AIRPLANE)))
        text = (root / HEAD).read_text(encoding="utf-8").split("\n# edit ")[0]
        tell(HEAD, edit_text(root, HEAD, version_of(root, HEAD), f"{text}\n# edit {number}\n"))


def write_recordings(root: Path, tell: Callable[[str, str], None], number: int) -> None:
    """Recordings without end, some of them sent twice."""
    while True:
        number += 1
        rows = "".join(
            f"2026-05-12 09:{k // 60:02d}:{k % 60:02d},{60 + k % 7},{number}\n" for k in range(600)
        )
        data = f"time,airspeed (kt),engine speed (rpm)\n{rows}".encode()
        for _ in range(1 + number % 2):
            received = receive(root, f"log-{number % 5}.csv", io.BytesIO(data), LARGEST)
            tell(received.path, sha256(data).hexdigest())


def run(root: Path, tell: Callable[[str, str], None], number: int) -> None:
    """One evaluation with its report, of an airplane that was not evaluated yet."""
    from wringout.web.worker import TASKS

    tell(
        AIRPLANE,
        edit_value(root, AIRPLANE, version_of(root, AIRPLANE), SPAN, f"{7000 + number % 2000} mm"),
    )
    TASKS["report"](root, lambda stage, done, total, fresh: tell("", f"{stage} {done}/{total} {fresh}"))


WORK: dict[str, Callable[[Path, Callable[[str, str], None], int], None]] = {
    "edits": write_edits,
    "recordings": write_recordings,
    "run": run,
}


def _child(work: str, root: Path, pipe: Connection, number: int) -> None:
    os.setsid()
    WORK[work](root, lambda file, version: pipe.send((file, version)), number)
    pipe.send(("done", ""))


def kill_once(root: Path, work: str, number: int, wait: float, counts: Counts) -> None:
    """Kill a child and all it began some seconds after its first word; hold the files against its words."""
    context = multiprocessing.get_context("forkserver")
    mine, its = context.Pipe(duplex=False)
    before = {path: path.read_bytes() for path in (root / "recordings").iterdir() if path.name[0] != "."}
    child: Any = context.Process(target=_child, args=(work, root, its, number))
    child.start()
    its.close()
    told = [mine.recv()]
    time.sleep(wait)
    with suppress(ProcessLookupError):
        os.killpg(child.pid, signal.SIGKILL)
    child.join()
    with suppress(EOFError, OSError):
        while mine.poll(0.0):
            told.append(mine.recv())
    mine.close()
    counts.kills[work if told[-1][0] != "done" else f"{work}, over before"] += 1
    counts.saved[work] += sum(bool(file) and file != "done" for file, _ in told)
    counts.lost += _lost(root, told, before)


def _lost(root: Path, told: list[tuple[str, str]], before: dict[Path, bytes]) -> list[str]:
    """What a dossier lacks of all that was told as saved, in words."""
    lost = [f"unreadable: {one.sentence()}" for one in examine(root)[1] if one.severity == "error"]
    last: dict[str, str] = {file: version for file, version in told if file in {AIRPLANE, HEAD}}
    for file, version in last.items():
        now, kept = version_of(root, file), (root / ".history" / file / version).is_file()
        # The edit after the one that was told may be there already; the one told is then one step back.
        if now != version and not (kept and version in _neighbours(root, file, now)):
            lost.append(f"edit of {file} lost")
    for path, data in before.items():
        if not path.is_file() or path.read_bytes() != data:
            lost.append(f"{path.name} altered")
    for path in (root / "report").rglob("*.pdf"):
        data = path.read_bytes()
        if not (data.startswith(b"%PDF") and data.rstrip().endswith(b"%%EOF")):
            lost.append(f"{path.name} is half a report")
    for file, digest in told:
        if file.startswith("recordings/") and sha256((root / file).read_bytes()).hexdigest() != digest:
            lost.append(f"{file} is not what was sent")
    return lost


def _neighbours(root: Path, file: str, now: str) -> set[str]:
    """The states one edit or one step from the file as it is."""
    index = json.loads((root / ".history" / file / "index.json").read_text(encoding="utf-8"))
    states = [state for state, _ in index["states"]]
    return {
        state
        for place, found in enumerate(states)
        if found == now
        for state in states[max(place - 1, 0) : place + 2]
    }


def killed(root: Path, kills: int, seed: int, works: tuple[str, ...], run_time: float) -> Counts:
    """Kill that many children at random moments, the works by turns; what was lost.

    Parameters
    ----------
    root : Path
        A dossier without errors.
    kills, seed : int
        How many, and of the chance that chooses the moments.
    works : tuple of str
        Of `WORK`.
    run_time : float
        How long a run takes that nobody kills. [s]
    """
    multiprocessing.get_context("forkserver").set_forkserver_preload(_MODULES)
    chance, counts = random.Random(seed), Counts()
    for number in range(2 * kills):
        if sum(count for work, count in counts.kills.items() if work in WORK) == kills:
            break
        work = works[number % len(works)]
        wait = chance.uniform(0.0, run_time if work == "run" else 0.25)
        kill_once(root, work, 100 * number, wait, counts)
    return counts


def taken_back(root: Path, file: str) -> int:
    """Take back every edit of a file; how many there were. Raises where one does not lead to a whole file."""
    count = 0
    while steps(root, file).undo:
        undo(root, file, version_of(root, file))
        count += 1
    return count


def main(kills: int = KILLS, seed: int = SEED) -> int:
    """Kill, count, print; 0 where nothing was lost."""
    from wringout.web.worker import TASKS

    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "dossier"
        create(root)
        TASKS["report"](root, lambda *_: None)
        edit_value(root, AIRPLANE, version_of(root, AIRPLANE), SPAN, "9.5 m")
        began = time.perf_counter()
        TASKS["report"](root, lambda *_: None)
        run_time = time.perf_counter() - began
        counts = killed(root, kills, seed, ("edits", "recordings", "edits", "run"), run_time)
        TASKS["report"](root, lambda *_: None)
        load(root)
        left = len([*root.rglob("*.part")])
        sweep(root, older=0.0)
        swept = left - len([*root.rglob("*.part")])
        back = taken_back(root, AIRPLANE)
    print(f"{'work':24} {'killed':>7} {'saved':>7}")
    for work, count in sorted(counts.kills.items()):
        print(f"{work:24} {count:7} {counts.saved.get(work, '–'):>7}")
    print(f"lost {len(counts.lost)}; half-written files {left}, swept {swept}; edits taken back {back}")
    for lost in counts.lost[:20]:
        print(f"  {lost}")
    return 1 if counts.lost else 0


if __name__ == "__main__":
    sys.exit(main(*(int(text) for text in sys.argv[1:])))
