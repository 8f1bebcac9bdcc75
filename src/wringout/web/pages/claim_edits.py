"""Claims that are added and taken out, each as one step that can be taken back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, Response

from wringout.dossier.dossier import Units
from wringout.dossier.drafting import part_file
from wringout.dossier.editing import value_at
from wringout.dossier.files import read_file
from wringout.dossier.filled import FilledField, FilledTable, blank, filled
from wringout.dossier.forms import claims_form, table_at
from wringout.dossier.history import add, edit, steps
from wringout.dossier.lines import Path
from wringout.dossier.references import airplane_names
from wringout.dossier.table_editing import with_table, without_table
from wringout.dossier.toml import LARGEST_TEXT, read_toml
from wringout.dossier.typed import typed_tables
from wringout.problems import InputError, Problem
from wringout.web.access import Standing
from wringout.web.rendering import page
from wringout.web.state import State

router = APIRouter(default_response_class=HTMLResponse)
_BARE = b"# Claims, as published.\n\n"  # of a file without one; an empty file is no TOML to the reader
# Keys whose own words say too little beside a field.
CALLED: Mapping[str, str] = {
    "id": "short name",
    "statement": "what is claimed, word for word",
    "published": "where it was published",
    "value": "figure with its unit",
    "tolerance": "tolerance of 'about'",
    "power": "share of rated power",
    "occupant_mass": "mass of an occupant",
    "load": "electrical loads left on",
}


def adding(state: State) -> dict[str, Any]:
    """What the page needs to show the claims as registered, and the form for one more.

    `fresh` is None where the file cannot be read, so that it is to be mended as text first.
    """
    file = part_file(state.root, "claims")
    there = (state.root / file).is_file()
    said: dict[str, Any] = {"file": file, "steps": steps(state.root, file) if there else None, "fresh": None}
    try:
        form = _form(state, file, _data(state, file), ())
    except InputError:
        return {**said, "registered": ()}
    claims = form.tables["claim"]
    return {
        **said,
        "registered": [{field.form.key: field.text for field in claim.fields} for claim in claims],
        "fresh": _claim(form, len(claims), _units(state)),
        "names": _names(state),
        "called": CALLED,
    }


@router.post("/d/{name}/claims/new", response_class=HTMLResponse)
async def new(request: Request, state: Standing) -> Response:
    """Add a claim; what cannot be kept stays typed, with the reason at its field."""
    async with request.form(max_fields=200) as form:
        typed = {key: value for key, value in form.items() if isinstance(value, str)}
    file, units = part_file(state.root, "claims"), _units(state)
    data = _data(state, file)
    number = len(_form(state, file, data, ()).tables["claim"])
    path: Path = ("claim", number)
    fresh = table_at(claims_form(), path)
    assert fresh is not None
    values = typed_tables(blank(fresh, path, units), typed, units)

    def change(now: bytes) -> bytes:
        return with_table(file, now, path, values)

    draft = change(data)
    words = f"new claim '{values.get('id', number + 1)}'"
    try:
        if (state.root / file).is_file():
            edit(state.root, file, typed.get("version", ""), change, words)
        else:
            add(state.root, file, draft, words=words, bare=_BARE)
    except InputError as error:
        said = _claim(_form(state, file, draft, error.problems), number, units)
        placed = {problem for item in said.values() for problem in item.problems}
        at = typed.get("number", "")
        return page(
            request,
            "pieces/claim_answer.html",
            table=("claim", int(at) if at.isascii() and at.isdecimal() and len(at) < 7 else number),
            says=said.items(),
            rest=[problem for problem in error.problems if problem not in placed],
            status=422,
        )
    return Response(status_code=204, headers={"HX-Refresh": "true"})


@router.post("/d/{name}/claims/away", response_class=HTMLResponse)
def away(
    state: Standing, number: Annotated[int, Form(ge=0)], version: Annotated[str, Form()] = ""
) -> Response:
    """Take a claim out; the page is then drawn anew."""
    file = part_file(state.root, "claims")
    claim = value_at(file, _data(state, file), ("claim", number))
    called = claim.get("id") if isinstance(claim, Mapping) else None

    def change(now: bytes) -> bytes:
        rest = without_table(file, now, ("claim", number))
        return rest if rest.strip() else _BARE

    edit(state.root, file, version, change, f"claim '{called or number + 1}' taken out")
    return Response(status_code=204, headers={"HX-Refresh": "true"})


def _data(state: State, file: str) -> bytes:
    """What the file holds, or would hold where the dossier has none yet."""
    return read_file(state.root, file, LARGEST_TEXT) if (state.root / file).is_file() else _BARE


def _units(state: State) -> Units:
    return state.dossier.units if state.dossier else Units()


def _form(state: State, file: str, data: bytes, problems: tuple[Problem, ...]) -> FilledTable:
    return filled(claims_form(), read_toml(file, data), problems, _units(state))


def _claim(form: FilledTable, number: int, units: Units) -> dict[str, FilledField]:
    """The fields of one claim and of its conditions, by the names under which the page sends them."""
    path: Path = ("claim", number)
    of_claim = table_at(claims_form(), path)
    assert of_claim is not None
    claim = form.at(path) or blank(of_claim, path, units)
    fields = {field.form.key: field for field in claim.fields}
    for inner in of_claim.tables:
        within = (*path, inner.key)
        table = form.at(within) or blank(inner, within, units)
        fields |= {f"{inner.key}.{field.form.key}": field for field in table.fields}
    return fields


def _names(state: State) -> dict[str, tuple[str, ...]]:
    """The names that a condition may give, by kind."""
    airplane = part_file(state.root, "airplane")
    try:
        data = read_toml(airplane, read_file(state.root, airplane, LARGEST_TEXT)).data
    except InputError:
        data = {}
    cards = state.dossier.cards if state.dossier else ()
    flown = (point.technique for card in cards for point in card.points if point.technique)
    return {**airplane_names(data).known, "technique": tuple(dict.fromkeys(flown))}
