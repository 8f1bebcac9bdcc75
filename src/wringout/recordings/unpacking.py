"""A Parquet unpacked by a process of its own.

The library's decoder trusts what a file says of itself: a damaged one can make it ask for more memory than
there is, and then it ends the process. That must not be ours, in which a dossier is half evaluated.
"""

import subprocess
import sys
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from wringout.problems import InputError, Problem

if TYPE_CHECKING:
    import polars as pl

MOST_ROWS = 20_000_000  # a day at 200 Hz is fewer; a small file may unpack to many more
MOST_MEMORY = 8 << 30  # bytes of the other process, where the system can hold it to that
LONGEST = 300.0  # s
PROGRAM = "import sys; from wringout.recordings.unpacking import main; sys.exit(main(sys.argv[1:]))"
REFUSED = 3  # exit code: the library said what is wrong


@dataclass(frozen=True, slots=True)
class Unpacked:
    """The types of all columns, the table's rows, and those columns of it that were asked for."""

    schema: "pl.Schema"
    rows: int
    table: "pl.DataFrame"


def unpack(path: Path, columns: Sequence[str] = (), first: int = MOST_ROWS) -> Unpacked:
    """The first rows of those columns that are named and there; where none is named, of all but nested ones.

    Raises
    ------
    InputError
        The file is damaged, or its table has no row or more than twenty million.
    """
    import polars as pl

    with tempfile.TemporaryDirectory() as folder:
        program = [sys.executable, "-c", PROGRAM]
        try:
            done = subprocess.run(
                [*program, str(path.resolve()), folder, str(first), *columns],
                capture_output=True,
                check=False,
                timeout=LONGEST,
            )
        except subprocess.TimeoutExpired:
            raise InputError(_unreadable(path, f"it takes longer than {LONGEST:.0f} s")) from None
        told = done.stdout.decode("utf-8", "replace").strip()
        if done.returncode == REFUSED:
            raise InputError(_unreadable(path, told))
        if done.returncode:
            raise InputError(_unreadable(path, "its decoder breaks down on it"))
        rows = int(told)
        if not 0 < rows <= MOST_ROWS:
            what = f"the table has {rows} rows" if rows else "there is no row in the table"
            raise InputError(Problem(what, "export one flight's samples", path.name))
        return Unpacked(
            pl.read_ipc(BytesIO((Path(folder) / "schema.ipc").read_bytes())).schema,
            rows,
            pl.read_ipc(BytesIO((Path(folder) / "table.ipc").read_bytes())),
        )


def _unreadable(path: Path, reason: str) -> Problem:
    return Problem(f"the Parquet cannot be read ({reason})", "export or copy the file again", path.name)


def main(arguments: Sequence[str]) -> int:
    """The other process: path, folder, rows, columns; tells the table's rows, or what is wrong."""
    import polars as pl

    _hold_memory()
    path, folder, first, *columns = arguments
    try:
        lazy = pl.scan_parquet(path, glob=False)
        schema = lazy.collect_schema()
        rows = int(lazy.select(pl.len()).collect().item())
        pl.DataFrame(schema=schema).write_ipc(Path(folder) / "schema.ipc")
        plain = [name for name, kind in schema.items() if not kind.is_nested()]
        chosen = [name for name in plain if name in columns] if columns else plain
        taken = min(int(first), rows) if rows <= MOST_ROWS else 0
        lazy.select(chosen).head(taken).collect().write_ipc(Path(folder) / "table.ipc")
    except (pl.exceptions.PolarsError, pl.exceptions.PanicException, OSError, ValueError) as error:
        reason = str(error).partition("\n")[0].rstrip(".")[:120]
        sys.stdout.buffer.write(reason.encode("utf-8", "replace"))
        return REFUSED
    sys.stdout.buffer.write(str(rows).encode())
    return 0


def _hold_memory() -> None:
    try:
        import resource
    except ImportError:  # not every system has it
        return
    resource.setrlimit(resource.RLIMIT_DATA, (MOST_MEMORY, MOST_MEMORY))
