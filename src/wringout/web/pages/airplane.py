"""The airplane: all that its file says as a form, a drawing that follows, and every fault at its field."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, Response
from markupsafe import Markup

from wringout.airplane.airplane import Airplane
from wringout.charts.airplane import airplane_drawing
from wringout.charts.theme import IN_PAGE
from wringout.dossier.dossier import Units
from wringout.dossier.drafting import drafted, part_file
from wringout.dossier.files import read_file
from wringout.dossier.filled import FilledField, FilledTable, blank, filled, placed_problems
from wringout.dossier.forms import INSTEAD, FormTable, airplane_form, table_at
from wringout.dossier.history import edit, steps
from wringout.dossier.lines import Path
from wringout.dossier.references import airplane_names
from wringout.dossier.table_editing import with_table, without_table
from wringout.dossier.toml import LARGEST_TEXT, Document, read_toml
from wringout.dossier.typed import typed_tables
from wringout.evaluation.described import empty_sentence, useful_sentence
from wringout.loading import empty_mass
from wringout.problems import InputError, Problem
from wringout.web.access import Bench, Standing
from wringout.web.rendering import page
from wringout.web.state import State
from wringout.web.table_forms import (
    called_by,
    edit_words,
    fields_of,
    inner_paths,
    new_problems,
    path_of,
    typed_form,
)

router = APIRouter(default_response_class=HTMLResponse)

# Parts of the form by their tables, in the order in which an airplane is described.
PARTS: Mapping[str, tuple[str, ...]] = {
    "Airplane": ("", "geometry"),
    "Places": ("station", "combined_limit"),
    "Fuel": ("fuel", "tank"),
    "Envelopes": ("envelope",),
    "Empty mass": ("weighing", "empty_record"),
    "Exchange kits": ("kit",),
    "Options": ("option",),
    "Configurations": ("configuration",),
    "Floats": ("floats",),
    "Flaps": ("flap",),
    "Engine": ("engine", "propeller"),
    "Electrics": ("electrical",),
    "Beliefs": ("prior",),
}
# Keys whose own words say too little beside a field.
CALLED: Mapping[str, str] = {
    "aboard_not_empty": "aboard, and not of the empty airplane",
    "missing_from_empty": "of the empty airplane, and not aboard",
    "reading": "readings of the scales",
    "reading_sd": "uncertainty of a reading",
    "off": "comes off",
    "on": "goes on",
    "chart": "power chart",
    "load": "electrical loads",
    "battery": "batteries",
    "electrical": "electrics",
    "arm_aft": "arm, aft end",
    "never_exceed_speed": "never-exceed speed",
    "maximum_takeoff_mass": "highest take-off mass",
    "maximum_ramp_mass": "highest ramp mass",
    "maximum_landing_mass": "highest landing mass",
    "maximum_zero_fuel_mass": "highest zero-fuel mass",
    "vertices": "corners in order around it",
    "arms": "arm as it fills",
}
ROWS_AT_ONCE = 24  # more rows of a list are fetched when they are asked for
BLANK_ROWS = 3


@dataclass(frozen=True, slots=True)
class Sheet:
    """The airplane's file as it stands: its bytes and data, its form filled in, the airplane if it is one."""

    file: str
    data: bytes
    document: Document
    form: FilledTable
    airplane: Airplane | None
    units: Units


@router.get("/d/{name}/airplane", response_class=HTMLResponse)
def airplane(request: Request, state: Standing, gear: Annotated[str, Query()] = "") -> Response:
    """The page."""
    try:
        sheet = _sheet(state)
    except InputError as error:
        return page(
            request, "pages/airplane.html", state, part="airplane", sheet=None, refused=error.problems
        )
    return page(
        request,
        "pages/airplane.html",
        state,
        part="airplane",
        steps=steps(state.root, sheet.file),
        **_said(sheet, gear),
        **_helps(sheet),
    )


@router.get("/d/{name}/airplane/rows", response_class=HTMLResponse)
def rows(request: Request, state: Standing, path: Annotated[str, Query()]) -> Response:
    """The rows of a long list."""
    sheet, at = _sheet(state), path_of(path)
    table = sheet.form.at(at[:-1])
    if table is None or not at or str(at[-1]) not in table.tables:
        raise InputError(Problem("the list is not there any more", "reload the page"))
    return page(
        request,
        "pieces/airplane_rows.html",
        name=state.name,
        rows=table.tables[str(at[-1])],
        **_helps(sheet),
    )


@router.post("/d/{name}/airplane/check", response_class=HTMLResponse)
async def check(request: Request, state: Standing) -> Response:
    """What would be wrong with what is being typed; nothing is written."""
    sheet, (path, typed) = _sheet(state), await typed_form(request)
    table = _table(sheet, path)
    values = typed_tables(table, typed, sheet.units, BLANK_ROWS)
    if not values:
        return _answer(request, state, sheet, path, ())
    try:
        draft = with_table(sheet.file, sheet.data, path, values, without=_without(sheet, path))
        airplane, problems = drafted(state.root, sheet.file, draft)
    except InputError as error:
        return _answer(request, state, sheet, path, error.problems, changed=values)
    new = new_problems(sheet.file, state.problems, problems)
    drawn = replace(sheet, airplane=airplane)
    return _answer(request, state, drawn, path, new, draft=draft, changed=values)


@router.post("/d/{name}/airplane/table", response_class=HTMLResponse)
async def keep(request: Request, bench: Bench, state: Standing) -> Response:
    """Keep what was typed into one table; what cannot be kept stays typed, with the reason at its field."""
    sheet, (path, typed) = _sheet(state), await typed_form(request)
    table = _table(sheet, path)
    values = typed_tables(table, typed, sheet.units, BLANK_ROWS)
    without = _without(sheet, path)
    if not values:
        return _answer(request, state, sheet, path, ())
    new = sheet.form.at(path) is None
    draft = sheet.data

    def change(data: bytes) -> bytes:
        nonlocal draft
        draft = with_table(sheet.file, data, path, values, without=without)
        return draft

    try:
        edit(state.root, sheet.file, typed.get("version", ""), change, edit_words(table, values, new=new))
    except InputError as error:
        return _answer(request, state, sheet, path, error.problems, draft=draft, changed=values, status=422)
    if new:
        return _part_again(request, bench.states.of(state.root), path)
    before = [field for field in fields_of(sheet.form) if field.problems]
    now = bench.states.of(state.root)
    return _answer(request, now, _sheet(now), path, (), saved=True, also=before)


@router.post("/d/{name}/airplane/away", response_class=HTMLResponse)
async def away(request: Request, bench: Bench, state: Standing) -> Response:
    """Take a row or a table away."""
    sheet, (path, typed) = _sheet(state), await typed_form(request)
    table = _table(sheet, path)

    def change(data: bytes) -> bytes:
        return without_table(sheet.file, data, path)

    words = f"{called_by(table)} taken away"
    try:
        edit(state.root, sheet.file, typed.get("version", ""), change, words)
    except InputError as error:
        return _answer(request, state, sheet, path, error.problems, status=422)
    return _part_again(request, bench.states.of(state.root), path)


def _sheet(state: State) -> Sheet:
    """The file as it stands; InputError where it cannot be read as TOML."""
    file = part_file(state.root, "airplane")
    data = read_file(state.root, file, LARGEST_TEXT)
    document = read_toml(file, data)
    units = state.dossier.units if state.dossier else Units()
    form = filled(airplane_form(), document, state.problems, units)
    airplane = state.dossier.airplane if state.dossier else drafted(state.root, file, data)[0]
    return Sheet(file, data, document, form, airplane, units)


def _said(sheet: Sheet, gear: str = "") -> dict[str, object]:
    """The sentences, the drawing and the parts with their counts of faults."""
    airplane, units = sheet.airplane, sheet.units
    said: dict[str, object] = {"sheet": sheet, "drawing": None, "gears": (), "gear": gear, "lead": ""}
    said["parts"] = [(words, _anchor(words), keys, _count(sheet, keys)) for words, keys in PARTS.items()]
    if airplane is None:
        count = sheet.form.faults
        them = "One thing keeps" if count == 1 else f"{count} things keep"
        said["sentence"] = (
            f"{them} the description from being an airplane." if count else "Not yet an airplane."
        )
        return said
    try:
        said["sentence"], said["lead"] = useful_sentence(airplane, units), empty_sentence(airplane, units)
    except InputError as error:
        said["sentence"] = error.problems[0].sentence()
    names = [item.name for item in airplane.configurations]
    chosen = gear if gear in names else names[0]
    said |= {"gears": names, "gear": chosen, "drawing": _drawing(airplane, chosen, units)}
    return said


def _drawing(airplane: Airplane, gear: str, units: Units) -> Markup | None:
    """The airplane to scale; None where it does not say enough to be drawn."""
    try:
        arm = empty_mass(airplane, gear).arm.value
        return Markup(airplane_drawing(airplane, gear, units, empty_arm=arm, look=IN_PAGE))
    except (ValueError, InputError):
        return None


def _helps(sheet: Sheet) -> dict[str, object]:
    """What the forms need beside the file: the names that may be chosen, and how to draw a new row."""
    known = airplane_names(sheet.document.data).known

    def fresh(form: FormTable, path: Path) -> FilledTable:
        return blank(form, path, sheet.units)

    return {
        "names": known,
        "blank": fresh,
        "instead": INSTEAD,
        "rows_at_once": ROWS_AT_ONCE,
        "blank_rows": BLANK_ROWS,
        "called": CALLED,
    }


def _count(sheet: Sheet, keys: Iterable[str]) -> int:
    count = 0
    for key in keys:
        if key:
            count += sum(table.faults for table in sheet.form.tables[key])
        else:
            count += len(sheet.form.problems) + sum(len(field.problems) for field in sheet.form.fields)
    return count


def _anchor(words: str) -> str:
    return words.lower().replace(" ", "-")


def _table(sheet: Sheet, path: Path) -> FilledTable:
    """The table at a path, or a blank one where the file has none there yet."""
    form = table_at(airplane_form(), path)
    if form is None:
        raise InputError(Problem("the form has no such table", "reload the page"))
    return sheet.form.at(path) or blank(form, path, sheet.units)


def _without(sheet: Sheet, path: Path) -> tuple[str, ...]:
    """The table that gives way to a new one."""
    other = INSTEAD.get(str(path[0])) if len(path) == 1 else None
    return (other,) if other and not sheet.form.tables[str(path[0])] and sheet.form.tables[other] else ()


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
    also: Iterable[FilledField] = (),
    status: int = 200,
) -> Response:
    """The lines under the fields of one table; with a draft or a saved file, the drawing too."""
    document = sheet.document if draft is None else read_toml(sheet.file, draft)
    placed = placed_problems(
        airplane_form(), document, [item for item in problems if item.file == sheet.file]
    )
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
    fields = [*table.fields, *(field for field in also if field.path[:-1] != path)]
    after = {field.path: field for field in fields_of(sheet.form)}
    return page(
        request,
        "pieces/airplane_answer.html",
        name=state.name,
        path=path,
        fields=[after.get(field.path, field) for field in fields],
        extra=[at for at in own if at not in {field.path for field in table.fields}],
        told=told,
        rest=rest,
        saved=saved,
        changed={(*path, key) for key in changed},
        steps=steps(state.root, sheet.file),
        status=status,
        called=CALLED,
        **_said(sheet, request.query_params.get("gear", "")),
    )


def _part_again(request: Request, state: State, path: Path) -> Response:
    """A part of the page anew, after a row came or went."""
    sheet = _sheet(state)
    words = next(words for words, keys in PARTS.items() if path[0] in keys)
    answer = page(
        request,
        "pieces/airplane_part_again.html",
        name=state.name,
        words=words,
        anchor=_anchor(words),
        keys=PARTS[words],
        steps=steps(state.root, sheet.file),
        saved=True,
        **_said(sheet),
        **_helps(sheet),
    )
    answer.headers["HX-Retarget"] = f"#part-{_anchor(words)}"
    answer.headers["HX-Reswap"] = "outerHTML"
    return answer
