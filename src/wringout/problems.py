"""What is wrong with something a person gave us: where, what was found, and what would mend it."""

from dataclasses import dataclass, replace
from typing import Literal


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong, in words that help someone on an airfield.

    `what` says what was found and what was expected; `mend` says what to do. Both are whole clauses
    without a final stop. `line` counts from 1.
    """

    what: str
    mend: str
    file: str | None = None
    line: int | None = None
    field: str | None = None
    severity: Literal["error", "warning"] = "error"

    def sentence(self) -> str:
        """The problem as one line: place, what is wrong, what would mend it.

        Examples
        --------
        >>> Problem("a length needs a unit, found '9'", "write '9 m'", "airplane.toml", 7, "span").sentence()
        "airplane.toml, line 7, span: a length needs a unit, found '9'. Write '9 m'."
        """
        place = ", ".join(
            part for part in (self.file, f"line {self.line}" if self.line else None, self.field) if part
        )
        mend = self.mend[:1].upper() + self.mend[1:]
        mend += "" if mend.endswith(("?", ".")) else "."
        return f"{place}: {self.what}. {mend}" if place else f"{self.what}. {mend}"

    def at(self, file: str | None = None, line: int | None = None, field: str | None = None) -> "Problem":
        """The same problem with whatever of its place was still unknown filled in."""
        return replace(self, file=self.file or file, line=self.line or line, field=self.field or field)


class InputError(Exception):
    """Input that cannot be used; carries every problem found, so that each face shows them its own way."""

    def __init__(self, *problems: Problem) -> None:
        super().__init__(*problems)
        self.problems = problems

    def __str__(self) -> str:
        """Every problem, a line each."""
        return "\n".join(problem.sentence() for problem in self.problems)
