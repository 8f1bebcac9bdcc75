"""How commands answer: tables for people, clean JSON for programs, problems in sentences."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from math import isfinite
from typing import TYPE_CHECKING, Any

from wringout.problems import Problem

if TYPE_CHECKING:
    from rich.console import Console

    from wringout.evaluation.stages import Progress


def console(*, error: bool = False) -> Console:
    """Where people read; a terminal's own width, or 120 columns when the output goes to a file."""
    from rich.console import Console

    stream = sys.stderr if error else sys.stdout
    return Console(stderr=error, highlight=False, soft_wrap=False, width=None if stream.isatty() else 120)


def print_json(payload: object) -> None:
    """The answer as JSON; a figure that does not exist is null, never NaN."""
    json.dump(_finite(payload), sys.stdout, ensure_ascii=False, indent=2, allow_nan=False)
    sys.stdout.write("\n")


def _finite(value: Any) -> Any:
    if isinstance(value, float) and not isfinite(value):
        return None
    if isinstance(value, dict):
        return {key: _finite(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_finite(item) for item in value]
    return value


def say(sentence: str) -> None:
    """One sentence, the answer first."""
    console().print(sentence, markup=False, soft_wrap=not sys.stdout.isatty())


def table(title: str, headings: Sequence[str], rows: Iterable[Sequence[str]], *, words: int = 1) -> None:
    """A ruled table; the first `words` columns are words (left), the rest figures (right)."""
    from rich.box import SIMPLE_HEAD
    from rich.table import Table
    from rich.text import Text

    lines = [tuple(row) for row in rows]
    screen = console()
    needed = [max((len(row[index]) for row in lines), default=1) for index in range(words, len(headings))]
    fits = sum(needed) + 10 * words + len(headings) <= screen.width
    sheet = Table(
        title=title,
        title_justify="left",
        title_style="bold",
        box=SIMPLE_HEAD,
        pad_edge=False,
        padding=(0, 1, 0, 0),
    )
    for heading in headings[:words]:
        sheet.add_column(heading, overflow="fold")
    for heading, width in zip(headings[words:], needed, strict=True):
        # Words give way to figures where there is room; where there is none, a figure breaks, never cut.
        sheet.add_column(heading, justify="right", overflow="fold", min_width=width if fits else None)
    for row in lines:
        sheet.add_row(*(Text(cell) for cell in row))
    screen.print(sheet)


def bare(value: float, unit: str, sd: float | None = None, digits: int | None = None) -> str:
    """A figure for a column whose heading carries the unit."""
    from wringout.quantity import show

    return show(value, unit, sd, digits).removesuffix(unit).rstrip()


def headed(heading: str, unit: str) -> str:
    """A column's heading with its unit under it."""
    return f"{heading}\n{unit}"


def caution(sentence: str) -> None:
    """The usual caution, once, quietly."""
    console().print(f"Caution: {sentence}", style="dim", markup=False)


def show_problems(problems: Sequence[Problem], *, as_json: bool) -> None:
    """Every problem as one sentence on standard error, or as JSON on standard output."""
    if as_json:
        print_json({"problems": [problem_json(problem) for problem in problems]})
        return
    for problem in problems:
        sys.stderr.write(problem.sentence() + "\n")


def problem_json(problem: Problem) -> dict[str, object]:
    """A problem for programs."""
    return {
        "file": problem.file,
        "line": problem.line,
        "field": problem.field,
        "severity": problem.severity,
        "what": problem.what,
        "mend": problem.mend,
        "sentence": problem.sentence(),
    }


@contextmanager
def progress(*, quiet: bool) -> Iterator[Progress]:
    """A progress bar on standard error; nothing where nobody watches."""
    from wringout.evaluation.stages import silent

    if quiet or not sys.stderr.isatty():
        yield silent
        return
    from rich.progress import BarColumn, TextColumn, TimeElapsedColumn
    from rich.progress import Progress as Bar

    with Bar(
        TextColumn("{task.description}"),
        BarColumn(),
        TimeElapsedColumn(),
        console=console(error=True),
        transient=True,
    ) as bar:
        task = bar.add_task("starting", total=None)

        def tell(stage: str, done: int, total: int, fresh: bool) -> None:
            bar.update(
                task, description=stage if fresh else f"{stage} (unchanged)", completed=done, total=total
            )

        yield tell
