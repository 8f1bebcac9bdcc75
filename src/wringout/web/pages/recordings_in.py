"""Recordings come in: dropped, their columns told, named on a card that is there or on a new one."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Annotated

from fastapi import APIRouter, File, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.datastructures import FormData

from wringout.dossier.attaching import Entry, NewCard, TypedWeather, attach, new_card
from wringout.dossier.dossier import Dossier, Units
from wringout.dossier.files import inside
from wringout.dossier.history import version_of
from wringout.dossier.receiving import Received, receive, recordings_in
from wringout.evaluation.incoming import Incoming, column_choices, look, unit_choices
from wringout.problems import InputError, Problem
from wringout.recordings.mapping import ChannelColumn, ColumnMapping
from wringout.recordings.proposal import Proposal
from wringout.web.access import Standing
from wringout.web.flight_words import card_file, first_rows_shown
from wringout.web.guard import LARGEST_UPLOAD
from wringout.web.pages.edits import typed
from wringout.web.pages.flights import flown_or_refused
from wringout.web.refusals import MissingError
from wringout.web.rendering import page
from wringout.web.state import State

router = APIRouter(default_response_class=HTMLResponse)
MOST_FILES = 20


def weather_fields(units: Units) -> tuple[tuple[str, str, str], ...]:
    """The fields of a weather reading: key, label, and the unit that a bare number takes."""
    return (
        ("elevation", "Elevation of the reading", units.height),
        ("qnh", "QNH", units.pressure),
        ("temperature", "Temperature", units.temperature),
        ("wind_direction", "Wind from, true", "°"),
        ("wind_speed", "Wind speed", units.speed),
        ("wind_speed_sd", "Wind speed, give or take", units.speed),
        ("wind_height", "Wind read at a height of", "m"),
    )


@router.post("/d/{name}/recordings", response_class=HTMLResponse)
def drop(request: Request, state: Standing, files: Annotated[list[UploadFile], File()]) -> Response:
    """Copy what was dropped into the dossier's recordings; what became of each."""
    if len(files) > MOST_FILES:
        raise InputError(Problem(f"{len(files)} files came at once", f"drop at most {MOST_FILES}"))
    received: list[Received] = []
    problems: list[Problem] = []
    for file in files:
        try:
            received.append(receive(state.root, file.filename or "", file.file, LARGEST_UPLOAD))
        except InputError as error:
            problems += error.problems
    status = 422 if problems and not received else 200
    return page(request, "pieces/received.html", state, received=received, problems=problems, status=status)


@router.get("/d/{name}/recordings/attach", response_class=HTMLResponse)
def asked(request: Request, state: Standing, path: str) -> Response:
    """The columns that a recording seems to have, and the card that is to name it."""
    dossier = flown_or_refused(state)
    incoming = _looked_at(state, path)
    return _dialog(request, state, dossier, incoming, {}, problems=incoming.problems)


@router.post("/d/{name}/recordings/attach", response_class=HTMLResponse)
async def attached(request: Request, state: Standing) -> Response:
    """Look at the first rows with the columns as corrected, or name the recording on its card."""
    from starlette.concurrency import run_in_threadpool

    sent = await request.form(max_files=0, max_fields=4000)
    return await run_in_threadpool(_attached, request, state, sent)


def _attached(request: Request, state: State, sent: FormData) -> Response:
    dossier = flown_or_refused(state)
    given = {key: str(value).strip() for key, value in sent.items()}
    incoming = _looked_at(state, given.get("path", ""))
    try:
        proposal = None if incoming.proposal is None else _corrected(incoming.proposal, given)
        incoming = look(inside(state.root, incoming.path), incoming.path, proposal)
        if given.get("do") == "look":
            return _dialog(request, state, dossier, incoming, given, problems=incoming.problems)
        if incoming.problems:
            raise InputError(*incoming.problems)
        card = _named(state, dossier, Entry(incoming.path, incoming.proposal), given)
    except InputError as error:
        return _dialog(request, state, dossier, incoming, given, problems=error.problems, status=422)
    return RedirectResponse(f"/d/{state.name}/flights/{card}", status_code=303)


def _named(state: State, dossier: Dossier, entry: Entry, given: dict[str, str]) -> str:
    """The name of the card that now names the recording."""
    chosen = given.get("card", "")
    weather = _weather(given, dossier.units)
    if chosen:
        card = next((one for one in dossier.cards if one.name == chosen), None)
        if card is None:
            raise InputError(Problem(f"there is no card '{chosen[:60]}'", "choose one of the list"))
        if weather is None and not card.weather:
            raise InputError(
                Problem(
                    "the card has no weather reading yet", "fill in the reading: densities follow from it"
                )
            )
        file = card_file(card)
        # It is only added to: whatever the card says by now stays.
        attach(state.root, file, version_of(state.root, file), entry, weather)
        return card.name
    if weather is None:
        raise InputError(
            Problem("a new card needs its weather reading", "fill in all of it: densities follow from it")
        )
    made = NewCard(
        name=given.get("name", ""),
        title=given.get("title") or given.get("name", ""),
        day=_day(given.get("day", "")),
        pilot=given.get("pilot") or dossier.evaluator,
        configuration=given.get("configuration", ""),
        like=next((card_file(one) for one in dossier.cards if one.name == given.get("like")), ""),
    )
    new_card(state.root, dossier.airplane, made, entry, weather)
    return made.name


def _weather(given: dict[str, str], units: Units) -> TypedWeather | None:
    """The reading, each bare number in the unit of its field; None where nothing was typed."""
    from datetime import datetime

    fields = weather_fields(units)
    if not any(given.get(key) for key in ("qnh", "temperature", "weather_time")):
        return None
    lacking = [label for key, label, _ in fields if not given.get(key)]
    if lacking:
        raise InputError(Problem(f"the weather reading lacks: {', '.join(lacking)}", "fill it in"))
    text = given.get("weather_time", "")
    try:
        time = datetime.fromisoformat(text)
    except ValueError:
        time = None
    if time is None or time.tzinfo is None:
        raise InputError(
            Problem(f"'{text[:40]}' is no moment with its zone", "write it like 2026-05-12T09:30+01:00")
        )
    values = {key: str(typed(given[key], "quantity", unit)) for key, _, unit in fields}
    return TypedWeather(time=time, **values)


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise InputError(Problem(f"'{text[:40]}' is no day", "write it like 2026-05-12")) from None


def _corrected(proposal: Proposal, given: dict[str, str]) -> Proposal:
    """The proposal with what the person chose in its place."""
    if "time_column" not in given:
        return proposal
    channels: dict[str, ChannelColumn] = {}
    for place, column in enumerate(proposal.layout.header):
        channel = given.get(f"channel-{place}", "")
        if not channel:
            continue
        if channel in channels:
            first, words = channels[channel].column, channel.replace("_", " ")
            what = f"two columns are the {words}: '{first}' and '{column}'"
            raise InputError(Problem(what, "choose the better of them, and nothing for the other"))
        if not given.get(f"unit-{place}"):
            mend = "choose it beside the column, or choose nothing for the column"
            raise InputError(Problem(f"the unit of '{column}' is missing", mend))
        channels[channel] = ChannelColumn(column, given[f"unit-{place}"])
    if not channels:
        raise InputError(Problem("no column is named", "choose what at least one of them is"))
    form = given.get("time_format", "")
    if form not in ("iso", "iso utc", "unix", "elapsed"):
        raise InputError(Problem(f"'{form[:20]}' is no form of a time", "choose one of the list"))
    mapping: ColumnMapping = replace(
        proposal.mapping,
        channels=channels,
        time_column=given["time_column"] or proposal.mapping.time_column,
        time_format=form,  # type: ignore[arg-type]  # one of its literals
        zone=(given.get("zone") or None) if form == "iso" else None,
        elapsed_start=(given.get("elapsed_start") or None) if form == "elapsed" else None,
        track="magnetic" if given.get("track") == "magnetic" else "true",
    )
    return replace(proposal, mapping=mapping, asked=(), doubtful=())


def _looked_at(state: State, path: str) -> Incoming:
    if path not in recordings_in(state.root):
        raise MissingError(
            Problem("there is no such recording in the dossier", "drop it on the page Flights")
        )
    return look(inside(state.root, path), path)


def _dialog(
    request: Request,
    state: State,
    dossier: Dossier,
    incoming: Incoming,
    given: dict[str, str],
    *,
    problems: tuple[Problem, ...] = (),
    status: int = 200,
) -> Response:
    choices = () if incoming.proposal is None else column_choices(incoming.proposal)
    columns = [
        {
            "column": one.column,
            "channel": given.get(f"channel-{place}", one.channel),
            "unit": given.get(f"unit-{place}", one.unit),
            "doubt": one.doubt,
        }
        for place, one in enumerate(choices)
    ]
    return page(
        request,
        "pages/recording.html",
        state,
        part="flights",
        incoming=incoming,
        columns=columns,
        units=unit_choices(),
        rows=first_rows_shown(incoming, dossier.units),
        dossier=dossier,
        given=given,
        weather=weather_fields(dossier.units),
        problems=problems,
        card_name=Path(incoming.path).stem,
        status=status,
    )
