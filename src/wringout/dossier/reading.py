"""A folder → a Dossier, or every problem of every file in it."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from wringout.dossier.dossier import Dossier
from wringout.dossier.files import inside, read_file
from wringout.dossier.flown import (
    day_problems,
    loading_problems,
    recording_digests,
    unreadable_recordings,
)
from wringout.dossier.references import (
    AIRPLANE_USES,
    CARD_USES,
    CLAIM_USES,
    EACH,
    MISSION_USES,
    Names,
    Pattern,
    airplane_names,
    found,
    reference_problems,
    techniques,
)
from wringout.dossier.strips import read_strips
from wringout.dossier.toml import LARGEST_TEXT, Document, read_toml
from wringout.problems import InputError, Problem

if TYPE_CHECKING:
    from wringout.airplane.airplane import Airplane
    from wringout.dossier.card import Card
    from wringout.dossier.claim import Claim
    from wringout.dossier.dossier import Mission, Strip
    from wringout.dossier.fields import Table

    File = TypeVar("File", bound=Table)

CARDS = "cards"
_DOSSIER = "dossier.toml"
_LARGEST_STRIPS = 20_000_000
_MOST_CARDS = 1000
_DEFAULT_FILES = {
    "airplane": "airplane.toml",
    "claims": "claims.toml",
    "missions": "missions.toml",
    "strips": "strips.csv",
}


def load(root: Path) -> Dossier:
    """The dossier in the folder `root`.

    Raises
    ------
    InputError
        With every error of every file; see `check`.
    """
    reading = _read(Path(root), deep=False)
    errors = [problem for problem in reading.problems if problem.severity == "error"]
    if reading.dossier is None or errors:
        raise InputError(*errors)
    return reading.dossier


def check(root: Path) -> tuple[Problem, ...]:
    """Every problem of every file of the dossier in the folder `root`; empty where all is well.

    Its logs are read too; `load` leaves them to the stage that uses them.
    """
    return _read(Path(root), deep=True).problems


@dataclass(slots=True)
class _Reading:
    """What has been read so far; each step adds to it and none stops the next."""

    root: Path
    problems_found: list[Problem] = field(default_factory=list)
    digests: dict[str, str] = field(default_factory=dict)
    dossier: Dossier | None = None

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Each once: two checks may find the same fault at the same place."""
        return tuple({(p.file, p.line, p.field, p.what): p for p in self.problems_found}.values())

    def report(self, *problems: Problem) -> None:
        self.problems_found.extend(problems)

    def bytes_of(self, path: str, largest: int) -> bytes | None:
        try:
            data = read_file(self.root, path, largest)
        except InputError as error:
            self.report(*(problem.at(path) for problem in error.problems))
            return None
        self.digests[path] = hashlib.sha256(data).hexdigest()
        return data

    def document(self, path: str) -> Document | None:
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
        from wringout.dossier.faults import read_tables

        if document is None:
            return None
        model, problems = read_tables(document, kind)
        self.report(*problems)
        return model

    def references(
        self, document: Document | None, uses: tuple[tuple[Pattern, str], ...], names: Names
    ) -> None:
        if document is not None:
            self.report(*reference_problems(document, uses, names))


def _read(root: Path, *, deep: bool) -> _Reading:
    # pydantic is imported here and not above, so that a command that reads no dossier starts at once.
    from wringout.dossier.card_tables import CardFile
    from wringout.dossier.claim_tables import ClaimsFile
    from wringout.dossier.dossier_tables import DossierFile, MissionsFile

    reading = _Reading(root)
    if not _is_dossier(reading):
        return reading
    head_document = reading.document(_DOSSIER)
    head = reading.tables(head_document, DossierFile)
    paths, named = _file_names(head_document)

    airplane_document = reading.document(paths["airplane"])
    names = airplane_names(airplane_document.data if airplane_document else None)
    airplane = _airplane(reading, airplane_document, names)

    strips: tuple[Strip, ...] = ()
    if _present(reading, paths["strips"], "strips" in named):
        data = reading.bytes_of(paths["strips"], _LARGEST_STRIPS)
        if data is not None:
            strips, strip_names, problems = read_strips(paths["strips"], data)
            reading.report(*problems)
            # Of a table that cannot be read it is not known which strips it would have named.
            names = names if strip_names is None else names.with_kind("strip", strip_names)
    else:
        names = names.with_kind("strip", ())

    card_documents = [document for path in _cards(reading) if (document := reading.document(path))]
    cards: list[Card] = []
    for document in card_documents:
        model = reading.tables(document, CardFile)
        points = [name for _, name in found(document.data, ("point", EACH, "id"))]
        reading.references(document, CARD_USES, names.with_kind("point of this card", points))
        if model is not None:
            card = model.made(Path(document.file).stem)
            cards.append(card)
            _flown(reading, document, card, airplane, deep=deep)

    claims: tuple[Claim, ...] = ()
    if _present(reading, paths["claims"], "claims" in named):
        document = reading.document(paths["claims"])
        reading.references(document, CLAIM_USES, names.with_kind("technique", techniques(card_documents)))
        claims_file = reading.tables(document, ClaimsFile)
        claims = claims_file.made() if claims_file else ()

    missions: tuple[Mission, ...] = ()
    if _present(reading, paths["missions"], "missions" in named):
        document = reading.document(paths["missions"])
        reading.references(document, MISSION_USES, names)
        missions_file = reading.tables(document, MissionsFile)
        missions = missions_file.made() if missions_file else ()

    if head is None or airplane is None:
        return reading
    reading.dossier = Dossier(
        root=root,
        title=head.title,
        evaluator=head.evaluator,
        place=head.place,
        day=head.day,
        invented=head.invented,
        units=head.units.made(),
        airplane=airplane,
        claims=claims,
        cards=tuple(cards),
        strips=strips,
        missions=missions,
        files=tuple(sorted(reading.digests.items())),
    )
    return reading


def _is_dossier(reading: _Reading) -> bool:
    root = reading.root
    try:
        if not root.is_dir():
            mend = "correct the path, or make a dossier there with 'wringout new'"
            reading.report(Problem(f"there is no folder '{root}'", mend))
            return False
        if not (root / _DOSSIER).exists():
            mend = "name a dossier's folder, or make one with 'wringout new'"
            reading.report(Problem(f"the folder '{root}' holds no {_DOSSIER}", mend))
            return False
    except (OSError, ValueError):
        reading.report(
            Problem(f"the folder {str(root)[:200]!r} cannot be opened", "check its name and permissions")
        )
        return False
    return True


def _file_names(document: Document | None) -> tuple[dict[str, str], set[str]]:
    """The path of each file, and which of them the dossier names itself."""
    paths = dict(_DEFAULT_FILES)
    if document is None:
        return paths, set()
    given = {key: name for key in paths for _, name in found(document.data, ("files", key))}
    return paths | given, set(given)


def _present(reading: _Reading, path: str, named: bool) -> bool:
    """Whether to read a file: one that dossier.toml names must be there, a usual one may be absent."""
    if named:
        return True
    place = reading.root / path
    return place.exists() or place.is_symlink()


def _airplane(reading: _Reading, document: Document | None, names: Names) -> Airplane | None:
    from wringout.dossier.airplane_tables import AirplaneFile, key_path

    reading.references(document, AIRPLANE_USES, names)
    model = reading.tables(document, AirplaneFile)
    if model is None or document is None:
        return None
    try:
        return model.made()
    except InputError as error:
        for problem in error.problems:
            path = key_path(problem.field or "")
            if path[:1] == ("empty",):
                path = ("weighing" if model.weighing else "empty_record", *path[1:])
            placed = document.problem(path, Problem(problem.what, problem.mend))
            told = {(known.file, known.line, known.field) for known in reading.problems}
            if (placed.file, placed.line, placed.field) not in told:
                reading.report(placed)
        return None


def _flown(
    reading: _Reading, document: Document, card: Card, airplane: Airplane | None, *, deep: bool
) -> None:
    digests, problems = recording_digests(reading.root, document, card)
    reading.digests.update(digests)
    reading.report(*problems, *day_problems(document, card))
    if airplane is not None:
        reading.report(*loading_problems(document, card, airplane))
    if deep:
        reading.report(*unreadable_recordings(reading.root, card, digests))


def _cards(reading: _Reading) -> list[str]:
    try:
        folder = inside(reading.root, CARDS)
        names = sorted(entry.name for entry in folder.iterdir() if entry.name.endswith(".toml"))
    except FileNotFoundError:
        return []
    except InputError as error:
        reading.report(*error.problems)
        return []
    except OSError as error:
        reading.report(
            Problem(f"cannot be opened ({error.strerror})", "cards/ is a folder of TOML files", CARDS)
        )
        return []
    if len(names) > _MOST_CARDS:
        reading.report(Problem(f"holds {len(names)} cards", "move some of them into another dossier", CARDS))
    return [f"{CARDS}/{name}" for name in names[:_MOST_CARDS] if not name.startswith(".")]
