"""Loading: people, things and fuel moved about, and where mass and CG then lie from ramp to the last drop."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, Response
from markupsafe import Markup

from wringout.charts.loading import loading_drawing
from wringout.charts.stowage import Place, stowage_board
from wringout.dossier.dossier import Dossier, Units
from wringout.dossier.history import edit, undo, version_of
from wringout.dossier.reading import CARDS
from wringout.dossier.shelf import PARTS
from wringout.dossier.trial import Thing, Trial, TrialError, plain, typed_trial
from wringout.dossier.trial_saving import with_card_loading, with_mission_loads
from wringout.evaluation.stowing import stowed_trial
from wringout.evaluation.trials import Tried, arm_of, first_trial, tried
from wringout.loading import LoadingState
from wringout.problems import InputError, Problem
from wringout.quantity import arm_digits, convert, show
from wringout.web.access import Standing
from wringout.web.rendering import page
from wringout.web.state import State

router = APIRouter(default_response_class=HTMLResponse)
Kind = Literal["card", "mission"]

# What the slider of a thing reaches where nothing limits its station [kg] [common practice, no source].
_REACH = 200.0


@router.get("/d/{name}/loading", response_class=HTMLResponse)
def loading(request: Request, state: Standing, start: Annotated[str, Query(alias="from")] = "") -> Response:
    """The page, begun from a card, a mission, or the pilot alone."""
    dossier = state.dossier
    if dossier is None:
        return page(request, "pages/loading.html", state, part="loading", dossier=None)
    source = start or next((f"card {card.name}" for card in dossier.cards), "")
    try:
        trial = first_trial(dossier, source)
        found = tried(dossier.airplane, trial)
    except InputError as error:
        return page(
            request,
            "pages/loading.html",
            state,
            part="loading",
            dossier=None,
            refused=error.problems,
            status=422,
        )
    return page(
        request,
        "pages/loading.html",
        state,
        part="loading",
        source=source,
        sources=_sources(dossier),
        places=_places_to_save(state),
        **_shown(dossier, found),
    )


@router.post("/d/{name}/loading/try", response_class=HTMLResponse)
async def again(request: Request, state: Standing) -> Response:
    """What a changed loading comes to; where something typed is not understood, only that is said."""
    dossier = _dossier(state)
    typed = await _typed(request)
    try:
        found = tried(dossier.airplane, typed_trial(typed, dossier.units))
    except InputError as error:
        return _not_understood(request, typed, error)
    return page(
        request, "pieces/loading_found.html", faults={}, fields=_fields(typed), **_shown(dossier, found)
    )


@router.post("/d/{name}/loading/stow", response_class=HTMLResponse)
async def stow(request: Request, state: Standing) -> Response:
    """Everything where it goes best with this fuel; what stays, why, and what would let it go."""
    dossier = _dossier(state)
    typed = await _typed(request)
    try:
        stowed = stowed_trial(dossier, typed_trial(typed, dossier.units))
        found = tried(dossier.airplane, stowed.trial)
    except InputError as error:
        return _not_understood(request, typed, error)
    return page(
        request,
        "pieces/loading_stowed.html",
        faults={},
        fields=_fields(typed),
        words=stowed.words,
        mends=stowed.mends,
        **_shown(dossier, found),
    )


@router.post("/d/{name}/loading/row", response_class=HTMLResponse)
async def row(request: Request, state: Standing) -> Response:
    """One more person or thing; its number is the next that is free."""
    dossier = _dossier(state)
    typed = await _typed(request)
    taken = [
        int(field.split(".")[1]) for field in typed if field.startswith("thing.") and field.endswith(".name")
    ]
    number = max(taken, default=-1) + 1
    units = dossier.units
    station = next((item for item in dossier.airplane.stations if item.holds != "people"), None)
    thing = Thing(
        f"thing {number + 1}", 0.0, None if station is None else station.name, text=f"0 {units.mass}"
    )
    return page(
        request,
        "pieces/loading_thing.html",
        row=_thing(dossier, number, thing),
        dossier=dossier,
        fresh=True,
    )


@router.post("/d/{name}/loading/save/{kind}", response_class=HTMLResponse)
async def save(request: Request, name: str, state: Standing, kind: Kind) -> Response:
    """Keep what was tried as a card's loading, or as what a mission carries."""
    dossier = _dossier(state)
    typed = await _typed(request)
    chosen = typed.get(f"save.{kind}", "")
    try:
        trial = typed_trial(typed, dossier.units)
        file = _file(dossier, kind, chosen)
        found = tried(dossier.airplane, trial)

        def change(data: bytes) -> bytes:
            airplane, units = dossier.airplane, dossier.units
            if kind == "mission":
                return with_mission_loads(file, data, chosen, trial, airplane=airplane)
            return with_card_loading(file, data, trial, found.loading, airplane=airplane, units=units)

        words = f"loading of {chosen}" if kind == "card" else f"what {chosen} carries"
        edit(state.root, file, typed.get(f"version.{file}", ""), change, words)
    except TrialError as error:
        return _not_understood(request, typed, error)
    except InputError as error:
        return _refused(request, name, kind, error)
    return _kept(request, name, state, kind, file)


@router.post("/d/{name}/loading/back/{kind}", response_class=HTMLResponse)
async def back(request: Request, name: str, state: Standing, kind: Kind) -> Response:
    """Take back what was kept last; the loading that is tried stays on the page."""
    typed = await _typed(request)
    file = _file(_dossier(state), kind, typed.get(f"save.{kind}", ""))
    try:
        undo(state.root, file, typed.get(f"version.{file}", ""))
    except InputError as error:
        return _refused(request, name, kind, error)
    return _kept(request, name, state, kind, file, taken_back=True)


def _kept(
    request: Request, name: str, state: State, kind: Kind, file: str, *, taken_back: bool = False
) -> Response:
    return page(
        request,
        "pieces/loading_saved.html",
        name=name,
        kind=kind,
        file=file,
        version=version_of(state.root, file),
        taken_back=taken_back,
        problems=(),
    )


def _refused(request: Request, name: str, kind: Kind, error: InputError) -> Response:
    return page(
        request, "pieces/loading_saved.html", name=name, kind=kind, problems=error.problems, status=422
    )


def _dossier(state: State) -> Dossier:
    if state.dossier is None:
        raise InputError(Problem("the dossier has something to mend first", "go to its first page"))
    return state.dossier


async def _typed(request: Request) -> dict[str, str]:
    """The fields of the form by name."""
    async with request.form(max_fields=2000) as form:
        return {key: value for key, value in form.items() if isinstance(value, str)}


def _not_understood(request: Request, typed: Mapping[str, str], error: InputError) -> Response:
    """The faults at their fields; figure and sentence stay as they were."""
    if isinstance(error, TrialError):
        faults = dict(zip(error.places, error.problems, strict=True))
    else:
        faults = {_place(problem, typed): problem for problem in error.problems}
    answer = page(request, "pieces/loading_faults.html", faults=faults, fields=_fields(typed), status=200)
    answer.headers["HX-Reswap"] = "none"
    return answer


def _place(problem: Problem, typed: Mapping[str, str]) -> str:
    """The field that a problem of the loading is about; the form as a whole where it names none."""
    field = problem.field or ""
    if field in {"taxi_fuel", "landing_fuel"}:
        return field
    tanks = [name for name in typed if name.startswith("fuel.")]
    return next((name for name in tanks if f"'{name.removeprefix('fuel.')}'" in problem.what), "loading")


def _fields(typed: Mapping[str, str]) -> list[str]:
    """The fields that have a line for what is wrong with them."""
    return [
        *(name for name in typed if name.endswith((".name", ".mass", ".arm")) or name.startswith("fuel.")),
        "taxi_fuel",
        "landing_fuel",
        "loading",
    ]


def _file(dossier: Dossier, kind: str, chosen: str) -> str:
    if kind == "mission" and any(item.name == chosen for item in dossier.missions):
        return PARTS["missions"]
    if kind == "card" and any(item.name == chosen for item in dossier.cards):
        return f"{CARDS}/{chosen}.toml"
    raise InputError(Problem(f"no {kind} is chosen to keep it in", f"choose a {kind} beside the button"))


def _sources(dossier: Dossier) -> list[tuple[str, str]]:
    """Where a loading can begin: each card and each mission, or the pilot alone."""
    return [
        *((f"card {card.name}", f"{card.name}: {card.title}") for card in dossier.cards),
        *((f"mission {item.name}", f"mission: {item.name}") for item in dossier.missions),
        ("pilot", "the pilot alone"),
    ]


def _places_to_save(state: State) -> dict[str, object]:
    """Cards and missions that can keep a loading, with the versions of their files."""
    dossier = _dossier(state)
    files = [f"{CARDS}/{card.name}.toml" for card in dossier.cards]
    if dossier.missions:
        files.append(PARTS["missions"])
    return {
        "cards": [(card.name, card.title, bool(card.recordings)) for card in dossier.cards],
        "missions": [item.name for item in dossier.missions],
        "versions": {file: version_of(state.root, file) for file in files},
    }


def _shown(dossier: Dossier, found: Tried) -> dict[str, object]:
    """What the page and its moving part say of a loading."""
    airplane, units, report = dossier.airplane, dossier.units, found.report
    board = [
        Place(use.station, _note(use.room, units), use.room is not None and use.room < -1e-6)
        for use in found.places
    ]
    return {
        "dossier": dossier,
        "trial": found.trial,
        "sentence": report.sentence(units.mass, units.arm),
        "lead": found.lead(units),
        "within": report.within,
        "figure": Markup(loading_drawing(report, units)),
        "board": Markup(stowage_board(airplane, found.trial, report, board, units)),
        "states": [_state(state, units) for state in report.states],
        "rows": [
            (
                row.name,
                _bare(row.mass, units.mass, 1),
                _bare(row.arm, units.arm),
                f"{row.moment:,.1f}".replace(",", "\u202f"),
            )
            for row in report.rows
        ],
        "notes": report.notes,
        "caution": report.caution,
        "things": [_thing(dossier, number, thing) for number, thing in enumerate(found.trial.things)],
        "tanks": [_tank(dossier, tank.name, tank.usable, found.trial) for tank in airplane.tanks],
        "taxi": _volume(found.trial.taxi_fuel, units),
        "landing": "" if found.trial.landing_fuel is None else _volume(found.trial.landing_fuel, units),
        "sds": (plain(found.trial.mass_sd, units.mass, 3), plain(found.trial.fuel_sd, units.fuel, 3)),
    }


def _note(room: float | None, units: Units) -> str:
    if room is None:
        return ""
    words = show(abs(room), units.mass, digits=0)
    return f"{words} left" if room >= -1e-6 else f"{words} too much"


def _thing(dossier: Dossier, number: int, thing: Thing) -> dict[str, object]:
    """A row of the list of people and things."""
    units = dossier.units
    stations = {station.name: station for station in dossier.airplane.stations}
    station = stations.get(thing.station or "")
    limit = (station.mass_limit if station else None) or _REACH
    ranged = station is not None and station.arm_aft != station.arm
    return {
        "number": number,
        "thing": thing,
        "slider": f"{convert(thing.mass, units.mass):.1f}",
        "most": f"{convert(max(limit, thing.mass), units.mass):.0f}",
        "ranged": ranged,
        "arm": show(arm_of(station, thing), units.arm, digits=arm_digits(units.arm))
        if ranged and station
        else "",
    }


def _tank(dossier: Dossier, name: str, usable: float, trial: Trial) -> dict[str, object]:
    units = dossier.units
    return {
        "name": name,
        "text": trial.fuel_text.get(name) or _volume(trial.fuel.get(name, 0.0), units),
        "slider": f"{convert(trial.fuel.get(name, 0.0), units.fuel):.1f}",
        "most": f"{convert(usable, units.fuel):.1f}",
        "usable": show(usable, units.fuel, digits=0),
    }


def _volume(value: float, units: Units) -> str:
    return plain(value, units.fuel, 1)


def _bare(value: float, unit: str, digits: int | None = None) -> str:
    return show(value, unit, digits=arm_digits(unit) if digits is None else digits).removesuffix(unit).strip()


def _state(state: LoadingState, units: Units) -> dict[str, object]:
    return {
        "name": state.name,
        "inside": state.inside,
        "cells": (
            _bare(state.mass.value, units.mass, 0),
            _bare(state.cg.value, units.arm),
            _bare(state.forward, units.arm),
            _bare(state.aft, units.arm),
            _bare(state.mass_margin, units.mass, 0),
        ),
        "nearest": state.nearest,
    }
