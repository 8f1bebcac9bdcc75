"""`check`: every problem of a dossier in one run."""

from __future__ import annotations

from pathlib import Path


def check(folder: Path = Path(), /, *, json: bool = False) -> int:
    """List every problem of a dossier with file, line and what mends it.

    Parameters
    ----------
    folder
        The dossier.
    json
        Answer as JSON.
    """
    from wringout.cli.output import print_json, problem_json, say
    from wringout.dossier import check as problems_of

    problems = problems_of(folder)
    errors = sum(problem.severity == "error" for problem in problems)
    if json:
        print_json({"errors": errors, "problems": [problem_json(problem) for problem in problems]})
    else:
        for problem in problems:
            say(f"{problem.severity}: {problem.sentence()}")
        count = f"{errors} to mend, {len(problems) - errors} to know of."
        say(count if problems else "No problems: every file reads and agrees.")
    return 1 if errors else 0
