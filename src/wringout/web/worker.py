"""One long piece of work on a dossier, run as a program of its own that may be stopped at any moment.

It writes a line of JSON for each thing there is to say; what it has finished is in the store.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Mapping
from dataclasses import asdict
from pathlib import Path
from types import MappingProxyType

from wringout.evaluation.stages import Progress
from wringout.problems import InputError, Problem

Task = Callable[[Path, Progress], None]


def evaluate(root: Path, progress: Progress) -> None:
    """Every stage of the dossier."""
    from wringout.evaluation import evaluate as evaluate_dossier

    evaluate_dossier(root, progress)


def report(root: Path, progress: Progress) -> None:
    """Every stage, and the printed report."""
    from wringout.evaluation import evaluate as evaluate_dossier
    from wringout.report import write_report

    write_report(evaluate_dossier(root, progress))


def survey(root: Path, progress: Progress) -> None:
    """The fitted model, and the survey of the dossier's table of runways."""
    from wringout.evaluation import fit_model
    from wringout.evaluation.surveys import dossier_survey, run_survey, with_time_left

    dossier, _, fit = fit_model(root, progress)
    planned = dossier_survey(dossier, fit)
    if planned is None:
        raise InputError(Problem("the dossier has no table of runways", "put an open CSV into runways/"))
    run_survey(root, planned[1], with_time_left(progress))


def demo(root: Path, progress: Progress) -> None:
    """The invented demo dossier, written into a new folder."""
    from wringout.demo import write_demo

    write_demo(root)
    progress("demo", 1, 1, True)


TASKS: Mapping[str, Task] = MappingProxyType(
    {"evaluate": evaluate, "report": report, "survey": survey, "demo": demo}
)


def main(arguments: list[str]) -> int:
    """Do the task of that name in that folder; 0 done, 1 refused in words."""
    task, root = arguments
    # Our own lines keep the pipe to themselves: what a library prints goes to standard error.
    lines = os.fdopen(os.dup(1), "w", encoding="utf-8")
    os.dup2(2, 1)

    def say(**said: object) -> None:
        lines.write(json.dumps(said) + "\n")
        lines.flush()

    def progress(stage: str, done: int, total: int, fresh: bool) -> None:
        say(stage=stage, done=done, total=total, fresh=fresh)

    try:
        TASKS[task](Path(root), progress)
    except InputError as error:
        say(problems=[asdict(problem) for problem in error.problems])
        return 1
    except OSError as error:
        what = f"{error.filename or 'a file'} cannot be read or written ({error.strerror})"
        say(problems=[asdict(Problem(what, "check the disk and its permissions"))])
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
