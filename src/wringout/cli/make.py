"""`demo` and `new`: the two ways to get a dossier."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter


def demo(
    folder: Path,
    /,
    *,
    airplane: Annotated[
        str | None, Parameter(help="shepherd, dunlin or fieldfare; default the shepherd")
    ] = None,
    paper: Annotated[str, Parameter(help="a4 or us-letter")] = "a4",
) -> int:
    """Make the invented demo dossier, evaluate it and print its report.

    Parameters
    ----------
    folder
        Where to put it; a demo that is there already is kept and evaluated, anything else is refused.
    """
    from wringout.cli.output import say
    from wringout.cli.report import report
    from wringout.demo import write_demo

    write_demo(folder, airplane=airplane)
    say(
        f"The invented demo dossier is in {folder}: nothing in it stands for a real airplane, maker or place."
    )
    return report(folder, paper=paper)


def new(folder: Path, /) -> int:
    """Make a commented dossier to fill in.

    Parameters
    ----------
    folder
        A folder that does not exist yet, or is empty.
    """
    from wringout.cli.output import say
    from wringout.dossier import create

    create(folder)
    say(f"{folder} is ready. Fill in airplane.toml first, then run: wringout check {folder}")
    return 0
