"""What has been read of a dossier so far: its files' digests and every problem met on the way."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from wringout.dossier.files import read_file
from wringout.dossier.references import Names, Pattern, reference_problems
from wringout.dossier.toml import LARGEST_TEXT, Document, read_toml
from wringout.problems import InputError, Problem

if TYPE_CHECKING:
    from wringout.dossier.fields import Table

    File = TypeVar("File", bound=Table)


@dataclass(slots=True)
class Gathering:
    """Grows while a dossier is read; no problem stops what follows, and none is told twice."""

    root: Path
    told: list[Problem] = field(default_factory=list)
    digests: dict[str, str] = field(default_factory=dict)  # SHA-256 by path
    drafts: Mapping[str, bytes] = field(default_factory=dict)  # by path, read instead of the file

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Each once: two checks may find the same fault at the same place."""
        return tuple({(p.file, p.line, p.field, p.what): p for p in self.told}.values())

    def report(self, *problems: Problem) -> None:
        """Add problems."""
        self.told.extend(problems)

    def report_if_new(self, problem: Problem) -> None:
        """Add a problem unless its very place has one already."""
        place = (problem.file, problem.line, problem.field)
        if place not in {(known.file, known.line, known.field) for known in self.told}:
            self.report(problem)

    def bytes_of(self, path: str, largest: int) -> bytes | None:
        """The bytes of a file, or None and the reason among the problems."""
        try:
            data = self.drafts[path] if path in self.drafts else read_file(self.root, path, largest)
        except InputError as error:
            self.report(*(problem.at(path) for problem in error.problems))
            return None
        self.digests[path] = hashlib.sha256(data).hexdigest()
        return data

    def document(self, path: str) -> Document | None:
        """The data of a TOML file, or None and the reason among the problems."""
        data = self.bytes_of(path, LARGEST_TEXT)
        if data is None:
            return None
        try:
            document = read_toml(path, data)
        except InputError as error:
            self.report(*error.problems)
            return None
        self.report(*document.problems)
        return document

    def tables(self, document: Document | None, kind: type[File]) -> File | None:
        """The model of a file, or None and what is wrong with it among the problems."""
        from wringout.dossier.faults import read_tables

        if document is None:
            return None
        model, problems = read_tables(document, kind)
        self.report(*problems)
        return model

    def references(
        self, document: Document | None, uses: Sequence[tuple[Pattern, str]], names: Names
    ) -> None:
        """Hold the names that a file uses against those that are given."""
        if document is not None:
            self.report(*reference_problems(document, uses, names))
