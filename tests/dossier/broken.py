"""A whole dossier to damage, and a record of where it was damaged."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from wringout.dossier import check, create
from wringout.problems import Problem


@dataclass(frozen=True)
class Patient:
    """A dossier in which everything is right until a test damages it."""

    root: Path

    def replace(self, file: str, old: str, new: str, after: str = "") -> int:
        """Put `new` in the place of the first `old` that stands after `after`; the line where it stands."""
        path = self.root / file
        text = path.read_text(encoding="utf-8")
        at = text.index(old, text.index(after))
        path.write_text(text[:at] + new + text[at + len(old) :], encoding="utf-8")
        return text.count("\n", 0, at) + 1

    def add(self, file: str, text: str) -> int:
        """Add a text at the end of a file; the line where it begins."""
        path = self.root / file
        before = path.read_text(encoding="utf-8") if path.exists() else ""
        path.parent.mkdir(exist_ok=True)
        path.write_text(before + text, encoding="utf-8")
        return before.count("\n") + 1

    def problems(self) -> tuple[Problem, ...]:
        """What `check` says."""
        return check(self.root)

    def only(self) -> Problem:
        """The one thing that `check` says."""
        problems = self.problems()
        assert len(problems) == 1, "\n".join(problem.sentence() for problem in problems)
        return problems[0]


def patient(root: Path) -> Patient:
    """A new dossier in an empty folder."""
    create(root)
    return Patient(root)
