"""Notes of a card: its head, the weather, ratings, forces, stalls and impressions as forms over its file."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from wringout.dossier.card import Card
from wringout.dossier.dossier import Units
from wringout.dossier.drafting import part_file
from wringout.dossier.files import read_file
from wringout.dossier.filled import FilledTable, blank, filled, placed_problems
from wringout.dossier.forms import FormTable, card_form, table_at
from wringout.dossier.gathering import Gathering
from wringout.dossier.history import edit, steps
from wringout.dossier.lines import Path
from wringout.dossier.reading import examine
from wringout.dossier.references import airplane_names
from wringout.dossier.table_editing import with_table, without_table
from wringout.dossier.toml import LARGEST_TEXT, Document, read_toml
from wringout.dossier.typed import typed_tables
from wringout.problems import InputError, Problem
from wringout.web.access import Bench, Standing
from wringout.web.refusals import MissingError
from wringout.web.rendering import page
from wringout.web.state import State
from wringout.web.table_forms import called_by, edit_words, fields_of, inner_paths, new_problems, typed_form

router = APIRouter(default_response_class=HTMLResponse)

# Parts of the form by their tables, in the order of a flight.
PARTS: Mapping[str, tuple[str, ...]] = {
    "The card": ("",),
    "Times": ("times",),
    "Weather": ("weather",),
    "Ratings": ("rating",),
    "Forces": ("spring_scale", "stick_force", "trim_change"),
    "Stalls": ("stall_note",),
    "Impressions": ("impression",),
}
CALLED: Mapping[str, str] = {
    "qnh": "QNH",
    "wind_direction": "wind from, true",
    "wind_speed_sd": "uncertainty of the wind",
    "wind_height": "wind read at",
    "controllable": "controllable?",
    "adequate": "adequate performance, tolerable workload?",
    "satisfactory": "satisfactory without improvement?",
    "stall_break": "break",
    "wing": "wing that drops",
    "stall_note": "stall",
    "times": "clock times",
    "resolution": "smallest step",
}
MOST_ROWS = 400
BLANK_ROWS = 1


@dataclass(frozen=True, slots=True)
class Sheet:
    """A card's file as it stands: its bytes, its data, its form filled in."""

    card: str
    file: str
    data: bytes
    document: Document
    form: FilledTable
    units: Units


@router.get("/d/{name}/flights/{card}/notes", response_class=HTMLResponse)
def notes(request: Request, state: Standing, card: str) -> Response:
    """The page."""
    sheet = _sheet(state, card)
    return page(
        request,
        "pages/notes.html",
        state,
        part="flights",
        steps=steps(state.root, sheet.file),
        **_said(state, sheet),
    )


@router.post("/d/{name}/flights/{card}/notes/check", response_class=HTMLResponse)
async def check(request: Request, state: Standing, card: str) -> Response:
    """What would be wrong with what is being typed; nothing is written."""
    sheet, (path, typed) = _sheet(state, card), await typed_form(request)
    table = _table(sheet, path)
    values = typed_tables(table, typed, sheet.units, BLANK_ROWS)
    if not values:
        return _answer(request, state, sheet, path, ())
    try:
        draft = with_table(sheet.file, sheet.data, path, values)
        problems = _drafted(state, sheet.file, draft)
    except InputError as error:
        return _answer(request, state, sheet, path, error.problems, changed=values)
    new = new_problems(sheet.file, state.problems, problems)
    return _answer(request, state, sheet, path, new, draft=draft, changed=values)


@router.post("/d/{name}/flights/{card}/notes/table", response_class=HTMLResponse)
async def keep(request: Request, bench: Bench, state: Standing, card: str) -> Response:
    """Keep what was typed into one table; what cannot be kept stays typed, with the reason at its field."""
    sheet, (path, typed) = _sheet(state, card), await typed_form(request)
    table = _table(sheet, path)
    values = typed_tables(table, typed, sheet.units, BLANK_ROWS)
    if not values:
        return _answer(request, state, sheet, path, ())
    new = bool(path) and sheet.form.at(path) is None
    draft = sheet.data

    def change(data: bytes) -> bytes:
        nonlocal draft
        draft = with_table(sheet.file, data, path, values)
        return draft

    try:
        edit(state.root, sheet.file, typed.get("version", ""), change, edit_words(table, values, new=new))
    except InputError as error:
        return _answer(request, state, sheet, path, error.problems, draft=draft, changed=values, status=422)
    now = bench.states.of(state.root)
    if new:
        return _part_again(request, now, card, path)
    return _answer(request, now, _sheet(now, card), path, (), saved=True)


@router.post("/d/{name}/flights/{card}/notes/away", response_class=HTMLResponse)
async def away(request: Request, bench: Bench, state: Standing, card: str) -> Response:
    """Take a row or a table away."""
    sheet, (path, typed) = _sheet(state, card), await typed_form(request)
    table = _table(sheet, path)

    def change(data: bytes) -> bytes:
        return without_table(sheet.file, data, path)

    try:
        edit(state.root, sheet.file, typed.get("version", ""), change, f"{called_by(table)} taken away")
    except InputError as error:
        return _answer(request, state, sheet, path, error.problems, status=422)
    return _part_again(request, bench.states.of(state.root), card, path)


def card_of(state: State, name: str) -> Card | None:
    """The card of that name as the dossier has it; None where the dossier does not read."""
    cards = () if state.dossier is None else state.dossier.cards
    return next((card for card in cards if card.name == name), None)


def _sheet(state: State, card: str) -> Sheet:
    """The file as it stands. Raises MissingError where there is none; InputError where it is not TOML."""
    file = f"cards/{card}.toml"
    try:
        data = read_file(state.root, file, LARGEST_TEXT)
    except InputError:
        raise MissingError(Problem(f"there is no card '{card[:60]}'", "choose one of the flights")) from None
    document = read_toml(file, data)
    units = state.dossier.units if state.dossier else Units()
    return Sheet(card, file, data, document, filled(card_form(), document, state.problems, units), units)


def _drafted(state: State, file: str, draft: bytes) -> tuple[Problem, ...]:
    """What is wrong with a draft of the card, other files as they are."""
    return tuple(problem for problem in examine(state.root, {file: draft})[1] if problem.file == file)


def _said(state: State, sheet: Sheet) -> dict[str, Any]:
    """What the template and its forms need."""
    card = card_of(state, sheet.card)

    def fresh(form: FormTable, path: Path) -> FilledTable:
        return blank(form, path, sheet.units)

    return {
        "sheet": sheet,
        "name": state.name,
        "card": sheet.card,
        "title": card.title if card else sheet.card,
        "flown": bool(card and card.recordings),
        "parts": [(words, _anchor(words), keys) for words, keys in PARTS.items()],
        "names": _names(state, sheet),
        "blank": fresh,
        "instead": {},
        "rows_at_once": MOST_ROWS,
        "blank_rows": BLANK_ROWS,
        "called": CALLED,
        "forms_at": _address(state.name, sheet.card),
    }


def _names(state: State, sheet: Sheet) -> dict[str, tuple[str, ...]]:
    """The names that may be chosen: of the airplane's parts, and this card's points."""
    file = part_file(state.root, "airplane")
    document = Gathering(state.root).document(file)
    points = sheet.document.data.get("point", ())
    ids = tuple(str(item["id"]) for item in points if isinstance(item, Mapping) and "id" in item)
    known = dict(airplane_names(document.data if document else {}).known)
    return {**known, "point of this card": ids}


def _address(name: str, card: str) -> str:
    return f"/d/{quote(name, safe='')}/flights/{quote(card, safe='')}/notes"


def _anchor(words: str) -> str:
    return words.lower().replace(" ", "-")


def _table(sheet: Sheet, path: Path) -> FilledTable:
    """The table at a path, or a blank one where the file has none there yet."""
    form = table_at(card_form(), path)
    if form is None:
        raise InputError(Problem("the form has no such table", "reload the page"))
    return sheet.form.at(path) or blank(form, path, sheet.units)


def _answer(
    request: Request,
    state: State,
    sheet: Sheet,
    path: Path,
    problems: tuple[Problem, ...],
    *,
    draft: bytes | None = None,
    saved: bool = False,
    changed: Iterable[str] = (),
    status: int = 200,
) -> Response:
    """The lines under the fields of one table."""
    document = sheet.document if draft is None else read_toml(sheet.file, draft)
    own_file = [item for item in problems if item.file == sheet.file]
    placed = placed_problems(card_form(), document, own_file)
    table = _table(sheet, path)
    own = inner_paths(table, BLANK_ROWS)
    told: dict[Path, tuple[Problem, ...]] = {}
    rest = [problem for problem in problems if problem.file != sheet.file]
    for place, found in placed.items():
        at = next((place[:length] for length in range(len(place), 0, -1) if place[:length] in own), None)
        if at is None:
            rest += found
        else:
            told[at] = (*told.get(at, ()), *found)
    after = {field.path: field for field in fields_of(sheet.form)}
    return page(
        request,
        "pieces/notes_answer.html",
        path=path,
        fields=[after.get(field.path, field) for field in table.fields],
        extra=[at for at in own if at not in {field.path for field in table.fields}],
        told=told,
        rest=rest,
        saved=saved,
        changed={(*path, key) for key in changed},
        steps=steps(state.root, sheet.file),
        status=status,
        **_said(state, sheet),
    )


def _part_again(request: Request, state: State, card: str, path: Path) -> Response:
    """A part of the page anew, after a row came or went."""
    sheet = _sheet(state, card)
    words = next(words for words, keys in PARTS.items() if path[0] in keys)
    answer = page(
        request,
        "pieces/notes_part_again.html",
        words=words,
        anchor=_anchor(words),
        keys=PARTS[words],
        steps=steps(state.root, sheet.file),
        **_said(state, sheet),
    )
    answer.headers["HX-Retarget"] = f"#part-{_anchor(words)}"
    answer.headers["HX-Reswap"] = "outerHTML"
    return answer
