"""What the tables of airplane.toml and claims.toml ask for, read from them, so that a page can draw a form.

The words beside a field are the comments of the template that 'wringout new' writes; there is no second list.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path as FilePath
from typing import Any, Literal, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from wringout.dossier.airplane_tables import AirplaneFile
from wringout.dossier.card_tables import CardFile
from wringout.dossier.claim_tables import ClaimsFile
from wringout.dossier.cost_tables import COST_USES, CostsFile
from wringout.dossier.fields import Asked, AskedKind, FieldReader
from wringout.dossier.lines import line_numbers
from wringout.dossier.references import AIRPLANE_USES, CARD_USES, CLAIM_USES, EACH, Pattern
from wringout.quantity.dimensions import Dimension

FormKind = Literal[AskedKind, "choice", "names", "pairs"]

# Of each of these pairs an airplane has one.
INSTEAD: Mapping[str, str] = {"weighing": "empty_record", "empty_record": "weighing"}

_OF_A_CARD = frozenset(
    {
        *("title", "day", "pilot", "notes", "times", "weather", "rating"),
        *("spring_scale", "stick_force", "trim_change", "stall_note", "impression"),
    }
)
_UNASKED = ("The logs", "What was read off the film", "The points", "What is wanted")

_TEMPLATES = FilePath(__file__).parent / "template"
_COMMENT = re.compile(r'(?:[^"#]|"[^"]*")*#\s*(?P<words>.*)')


@dataclass(frozen=True, slots=True)
class FormField:
    """One key: what it asks for, and the words that explain it.

    `columns` are the two dimensions of a list of pairs; `choices` what a choice allows; `names` the kind of
    thing whose name stands here, in the words of `references.py`; `unset` what holds where it is left out.
    """

    key: str
    kind: FormKind
    required: bool
    dimension: Dimension | None = None
    columns: tuple[Dimension, ...] = ()
    choices: tuple[str, ...] = ()
    names: str | None = None
    unset: object = None
    hint: str = ""


@dataclass(frozen=True, slots=True)
class FormTable:
    """A table: its fields, and the tables in it; `many` where the file lists it with double brackets."""

    key: str
    many: bool
    required: bool
    fields: tuple[FormField, ...]
    tables: tuple[FormTable, ...]

    def table(self, key: str) -> FormTable | None:
        """The table in it with that key."""
        return next((table for table in self.tables if table.key == key), None)

    def field(self, key: str) -> FormField | None:
        """Its field with that key."""
        return next((field for field in self.fields if field.key == key), None)


@cache
def airplane_form() -> FormTable:
    """The form of airplane.toml: every table and key that its reader knows, in the reader's order."""
    return _table("airplane", AirplaneFile, (), many=False, required=True, hints=_hints("airplane.toml"))


@cache
def claims_form() -> FormTable:
    """The form of claims.toml, as `airplane_form`."""
    return _table("claims", ClaimsFile, (), many=False, required=True, hints=_hints("claims.toml"))


@cache
def costs_form() -> FormTable:
    """The form of costs.toml, as `airplane_form`."""
    return _table("costs", CostsFile, (), many=False, required=True, hints=_hints("costs.toml"))


@cache
def card_form() -> FormTable:
    """What a page asks of a card: its head, the weather, what was said of the handling; as `airplane_form`.

    Points, marks, recordings and the loading are for other pages.
    """
    hints = _hints("cards/flight-1.toml", without=_UNASKED)
    return _table("card", CardFile, (), many=False, required=True, hints=hints, only=_OF_A_CARD)


def table_at(form: FormTable, path: tuple[str | int, ...]) -> FormTable | None:
    """The table at a path such as ('kit', 0, 'off', 2); None where the form has none."""
    found: FormTable | None = form
    for key in path:
        if found is None:
            return None
        if isinstance(key, str):
            found = found.table(key)
        elif not found.many:
            return None
    return found


def _table(
    key: str,
    kind: type[BaseModel],
    pattern: Pattern,
    *,
    many: bool,
    required: bool,
    hints: Mapping[Pattern, str],
    only: frozenset[str] | None = None,
) -> FormTable:
    fields: list[FormField] = []
    tables: list[FormTable] = []
    for name, info in kind.model_fields.items():
        if only is not None and name not in only:
            continue
        annotation = _without_none(info.annotation)
        inner = _inner_table(annotation)
        here = (*pattern, name)
        if inner is None:
            fields.append(_field(name, info, annotation, here, hints))
            continue
        several = get_origin(annotation) is tuple
        within = (*here, EACH) if several else here
        tables.append(_table(name, inner, within, many=several, required=info.is_required(), hints=hints))
    return FormTable(key, many, required, tuple(fields), tuple(tables))


def _field(
    name: str, info: FieldInfo, annotation: Any, pattern: Pattern, hints: Mapping[Pattern, str]
) -> FormField:
    names = dict((*AIRPLANE_USES, *CLAIM_USES, *COST_USES, *CARD_USES))
    required = info.is_required()
    unset, hint = None if required else info.default, hints.get(pattern, "")
    if get_origin(annotation) is Literal:
        choices = tuple(str(item) for item in get_args(annotation))
        return FormField(name, "choice", required, choices=choices, unset=unset)
    if get_origin(annotation) is tuple:
        item = get_args(annotation)[0]
        if get_origin(item) is tuple:
            columns = tuple(asked.dimension for part in get_args(item) if (asked := _asked(part)).dimension)
            return FormField(name, "pairs", required, columns=columns, unset=unset, hint=hint)
        return FormField(name, "names", required, names=names.get((*pattern, EACH)), unset=unset, hint=hint)
    asked = _asked(*info.metadata) if info.metadata else _asked(annotation)
    return FormField(
        name, asked.kind, required, asked.dimension, names=names.get(pattern), unset=unset, hint=hint
    )


def _asked(*places: Any) -> Asked:
    """What a field asks for, from its metadata or from the annotation that carries it."""
    for place in places:
        for part in (place, *getattr(place, "__metadata__", ())):
            read = getattr(part, "func", None)
            if isinstance(read, FieldReader):
                return read.asked
    raise TypeError(f"{places} say nothing of what they ask for")


def _without_none(annotation: Any) -> Any:
    arguments = get_args(annotation)
    if type(None) not in arguments:
        return annotation
    return next(item for item in arguments if item is not type(None))


def _inner_table(annotation: Any) -> type[BaseModel] | None:
    item = get_args(annotation)[0] if get_origin(annotation) is tuple else annotation
    return item if isinstance(item, type) and issubclass(item, BaseModel) else None


@cache
def _hints(file: str, without: tuple[str, ...] = ()) -> Mapping[Pattern, str]:
    """The comments of a template by the pattern of the key that they stand beside.

    Sections whose heading begins with one of `without` are left out.
    """
    text = (_TEMPLATES / file).read_text(encoding="utf-8")
    for heading in without:
        text = re.sub(rf"^# ── {heading}.*?(?=^# ── )", "", text, flags=re.MULTILINE | re.DOTALL)
    # What is optional and commented out there explains its keys too.
    text = re.sub(r"^# (?=\[[a-z_]+\]$|\[\[[a-z_]+\]\]$|[a-z_]+ = )", "", text, flags=re.MULTILINE)
    rows = text.split("\n")
    hints: dict[Pattern, str] = {}
    for path, line in line_numbers(text).items():
        pattern = tuple(EACH if isinstance(key, int) else key for key in path)
        match = _COMMENT.fullmatch(rows[line - 1])
        if match and isinstance(path[-1], str) and "=" in rows[line - 1]:
            hints.setdefault(pattern, _plain(match["words"]))
    return hints


def _plain(words: str) -> str:
    """A comment of the template as it stands under a field, which shows itself whether it may be empty."""
    words = re.sub(r"^optional(?:, |: )?", "", words.strip()).strip()
    return words[:1].upper() + words[1:] if words else ""
