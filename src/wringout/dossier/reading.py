"""A folder → a Dossier, or every problem of every file in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

from wringout.dossier.dossier import Dossier
from wringout.dossier.files import file_digest, inside
from wringout.dossier.flown import (
    day_problems,
    limit_problems,
    loading_problems,
    recording_digests,
    unreadable_recordings,
    untied_problems,
)
from wringout.dossier.gathering import Gathering
from wringout.dossier.references import (
    AIRPLANE_USES,
    CARD_USES,
    CLAIM_USES,
    EACH,
    MISSION_USES,
    Names,
    airplane_names,
    found,
    techniques,
)
from wringout.dossier.strips import read_strips
from wringout.dossier.toml import Document
from wringout.problems import InputError, Problem

if TYPE_CHECKING:
    from wringout.airplane.airplane import Airplane
    from wringout.dossier.card import Card
    from wringout.dossier.claim import Claim
    from wringout.dossier.costs import Costs
    from wringout.dossier.dossier import Mission, Strip

CARDS = "cards"
_DOSSIER = "dossier.toml"
_LARGEST_STRIPS = 20_000_000
_MOST_CARDS = 1000
_MOST_WEATHER = 50  # files
_MOST_HOURS = 20  # of a weather file that are told one by one
_DEFAULT_FILES = {
    "airplane": "airplane.toml",
    "claims": "claims.toml",
    "missions": "missions.toml",
    "strips": "strips.csv",
    "costs": "costs.toml",
}


def load(root: Path) -> Dossier:
    """The dossier in the folder `root`.

    Raises
    ------
    InputError
        With every error of every file; see `check`.
    """
    dossier, problems = _read(Path(root), deep=False)
    errors = [problem for problem in problems if problem.severity == "error"]
    if dossier is None or errors:
        raise InputError(*errors)
    return dossier


def check(root: Path) -> tuple[Problem, ...]:
    """Every problem of every file of the dossier in the folder `root`; empty where all is well.

    Its logs are read too; `load` leaves them to the stage that uses them.
    """
    return _read(Path(root), deep=True)[1]


def examine(
    root: Path, drafts: Mapping[str, bytes] | None = None
) -> tuple[Dossier | None, tuple[Problem, ...]]:
    """The dossier, or None where an error keeps it from being one; and every problem but those of its logs.

    `drafts` are bytes by path, read as if they stood in the folder.
    """
    dossier, problems = _read(Path(root), deep=False, drafts=drafts or {})
    sound = all(problem.severity != "error" for problem in problems)
    return (dossier if sound else None), problems


def _read(
    root: Path, *, deep: bool, drafts: Mapping[str, bytes] = MappingProxyType({})
) -> tuple[Dossier | None, tuple[Problem, ...]]:
    """The dossier as far as it can be made, and every problem; with `deep` the logs are read too."""
    # pydantic is imported here and not above, so that a command that reads no dossier starts at once.
    from wringout.dossier.dossier_tables import DossierFile

    gathering = Gathering(root, drafts=drafts)
    if not _is_dossier(gathering):
        return None, gathering.problems
    head_document = gathering.document(_DOSSIER)
    head = gathering.tables(head_document, DossierFile)
    paths = _file_names(gathering, head_document)

    airplane_document = gathering.document(paths["airplane"] or _DEFAULT_FILES["airplane"])
    names = airplane_names(airplane_document.data if airplane_document else None)
    airplane = read_airplane(gathering, airplane_document, names)
    strips, names = _strips(gathering, paths["strips"], names)
    _weather(gathering, deep=deep)
    cards, names = _cards(gathering, names, airplane, deep=deep)
    claims = _claims(gathering, paths["claims"], names)
    missions = _missions(gathering, paths["missions"], names, strips)
    costs = read_costs(gathering, paths["costs"], names)

    if head is None or airplane is None:
        return None, gathering.problems
    dossier = Dossier(
        root=root,
        title=head.title,
        evaluator=head.evaluator,
        place=head.place,
        day=head.day,
        invented=head.invented,
        units=head.units.made(),
        airplane=airplane,
        claims=claims,
        cards=cards,
        strips=strips,
        missions=missions,
        costs=costs,
        compared_with=tuple(head.compared_with),
        files=tuple(sorted(gathering.digests.items())),
    )
    return dossier, gathering.problems


def _is_dossier(gathering: Gathering) -> bool:
    root = gathering.root
    try:
        if not root.is_dir():
            mend = "correct the path, or make a dossier there with 'wringout new'"
            gathering.report(Problem(f"there is no folder '{root}'", mend))
            return False
        if not (root / _DOSSIER).exists():
            mend = "name a dossier's folder, or make one with 'wringout new'"
            gathering.report(Problem(f"the folder '{root}' holds no {_DOSSIER}", mend))
            return False
    except (OSError, ValueError):
        gathering.report(
            Problem(f"the folder {str(root)[:200]!r} cannot be opened", "check its name and permissions")
        )
        return False
    return True


def _file_names(gathering: Gathering, document: Document | None) -> dict[str, str | None]:
    """The path of each part; None for one that dossier.toml does not name and that is not there."""
    data = {} if document is None else document.data
    given = {key: name for key in _DEFAULT_FILES for _, name in found(data, ("files", key))}
    return {
        key: given.get(key)
        or (usual if usual in gathering.drafts or _is_there(gathering.root / usual) else None)
        for key, usual in _DEFAULT_FILES.items()
    }


def _is_there(place: Path) -> bool:
    return place.exists() or place.is_symlink()


def read_airplane(gathering: Gathering, document: Document | None, names: Names) -> Airplane | None:
    """The airplane of its file, or None; what is wrong with the file is gathered."""
    from wringout.dossier.airplane_keys import key_path
    from wringout.dossier.airplane_tables import AirplaneFile

    gathering.references(document, AIRPLANE_USES, names)
    model = gathering.tables(document, AirplaneFile)
    if model is None or document is None:
        return None
    try:
        return model.made()
    except InputError as error:
        for problem in error.problems:
            path = key_path(problem.field or "")
            if path[:1] == ("empty",):
                path = ("weighing" if model.weighing else "empty_record", *path[1:])
            gathering.report_if_new(document.problem(path, Problem(problem.what, problem.mend)))
        return None


def _strips(gathering: Gathering, path: str | None, names: Names) -> tuple[tuple[Strip, ...], Names]:
    if path is None:
        return (), names.with_kind("strip", ())
    data = gathering.bytes_of(path, _LARGEST_STRIPS)
    if data is None:
        return (), names
    strips, given, problems = read_strips(path, data)
    gathering.report(*problems)
    # Of a table that cannot be read it is not known which strips it would have named.
    return strips, names if given is None else names.with_kind("strip", given)


def _weather(gathering: Gathering, *, deep: bool) -> None:
    """The files of weather/ count among those read; with `deep` what is wrong with their hours is told."""
    from wringout.dossier.weather_reading import WEATHER, read_weather, weather_of

    try:
        path = weather_of(gathering.root)
        if path is None:
            return
        for entry in sorted(path.parent.iterdir())[:_MOST_WEATHER]:
            if entry.is_file():
                name = f"{WEATHER}/{entry.name}"
                gathering.digests[name] = file_digest(gathering.root, name)
        problems = read_weather(path).problems if deep else ()
    except InputError as error:
        problems = error.problems if deep else ()
    told = [replace(problem, file=f"{WEATHER}/{problem.file or ''}") for problem in problems]
    gathering.report(*told[:_MOST_HOURS])
    if len(told) > _MOST_HOURS:
        more = f"{len(told) - _MOST_HOURS} more hours are left out"
        gathering.report(Problem(more, "see the lines above", told[-1].file, severity="warning"))


def _cards(
    gathering: Gathering, names: Names, airplane: Airplane | None, *, deep: bool
) -> tuple[tuple[Card, ...], Names]:
    """The cards, and the names with the techniques that the cards give."""
    from wringout.dossier.card_tables import CardFile

    documents = [document for path in _card_paths(gathering) if (document := gathering.document(path))]
    cards: list[Card] = []
    for document in documents:
        model = gathering.tables(document, CardFile)
        points = [name for _, name in found(document.data, ("point", EACH, "id"))]
        gathering.references(document, CARD_USES, names.with_kind("point of this card", points))
        if model is not None:
            card = model.made(Path(document.file).stem)
            cards.append(card)
            _flown(gathering, document, card, airplane, deep=deep)
    flown = techniques(documents)
    return tuple(cards), names.with_kind("technique", flown) if flown else names


def _claims(gathering: Gathering, path: str | None, names: Names) -> tuple[Claim, ...]:
    from wringout.dossier.claim_tables import ClaimsFile

    document = gathering.document(path) if path else None
    gathering.references(document, CLAIM_USES, names)
    model = gathering.tables(document, ClaimsFile)
    return model.made() if model else ()


def _missions(
    gathering: Gathering, path: str | None, names: Names, strips: tuple[Strip, ...]
) -> tuple[Mission, ...]:
    from wringout.dossier.mission_tables import MissionsFile, unplaced_problems, with_distances

    document = gathering.document(path) if path else None
    gathering.references(document, MISSION_USES, names)
    model = gathering.tables(document, MissionsFile)
    if model is None or document is None:
        return ()
    missions = model.made()
    gathering.report(*unplaced_problems(document, missions, strips))
    return with_distances(missions, strips)


def read_costs(gathering: Gathering, path: str | None, names: Names) -> Costs | None:
    """What the airplane costs, or None; what is wrong with its file is gathered."""
    from wringout.dossier.cost_tables import COST_USES, CostsFile

    document = gathering.document(path) if path else None
    gathering.references(document, COST_USES, names)
    model = gathering.tables(document, CostsFile)
    return model.made() if model else None


def _flown(
    gathering: Gathering, document: Document, card: Card, airplane: Airplane | None, *, deep: bool
) -> None:
    from wringout.dossier.plan_tables import plan_problems

    digests, problems = recording_digests(gathering.root, document, card)
    gathering.digests.update(digests)
    gathering.report(*problems, *day_problems(document, card), *untied_problems(document, card))
    if airplane is not None:
        gathering.report(*loading_problems(document, card, airplane))
        gathering.report(*limit_problems(document, card, airplane))
        gathering.report(*plan_problems(document, card, airplane))
    if deep:
        gathering.report(*unreadable_recordings(gathering.root, card, digests))


def _card_paths(gathering: Gathering) -> list[str]:
    try:
        folder = inside(gathering.root, CARDS)
        there = {entry.name for entry in folder.iterdir()} if folder.exists() else set()
        there |= {path.removeprefix(f"{CARDS}/") for path in gathering.drafts if path.startswith(f"{CARDS}/")}
        names = sorted(name for name in there if name.endswith(".toml"))
    except FileNotFoundError:
        return []
    except InputError as error:
        gathering.report(*error.problems)
        return []
    except OSError as error:
        gathering.report(
            Problem(f"cannot be opened ({error.strerror})", "cards/ is a folder of TOML files", CARDS)
        )
        return []
    if len(names) > _MOST_CARDS:
        gathering.report(
            Problem(f"holds {len(names)} cards", "move some of them into another dossier", CARDS)
        )
    odd = [name for name in names if not name.isprintable()]
    gathering.report(*(Problem(f"a card is called {name!r}", "give it a plain name", CARDS) for name in odd))
    return [f"{CARDS}/{name}" for name in names[:_MOST_CARDS] if name[0] != "." and name not in odd]
