"""Missions: what goes, what stays and why, the trip leg by leg; everything tried at once, nothing written."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from markupsafe import Markup

from wringout.charts.stowage import Place, stowage_board
from wringout.charts.trip import payload_range_drawing, trip_drawing, trip_title
from wringout.dossier.dossier import Dossier, Units
from wringout.dossier.trial import plain
from wringout.evaluation.mission_changes import MissionChange, mission_changes
from wringout.evaluation.mission_trials import (
    MissionAsked,
    MissionTrialError,
    MissionTried,
    mission_tried,
    typed_mission,
)
from wringout.evaluation.mission_words import change_fields, field_rows, leg_rows, load_rows, sentences
from wringout.evaluation.trips import burns_fuel, cruise_power
from wringout.model.fit import Fit
from wringout.problems import InputError, Problem
from wringout.quantity.showing import show
from wringout.web.access import Bench, Standing
from wringout.web.charts import numbers
from wringout.web.kept_results import RESULTS
from wringout.web.rendering import page
from wringout.web.stale import stale
from wringout.web.state import State

ELECTRIC = "missions are reckoned with fuel that is burnt, and this airplane has a battery"
router = APIRouter(default_response_class=HTMLResponse)
FIELDS = (
    "configuration",
    "fuel",
    "power",
    "reserve",
    "altitude",
    "wind_from",
    "wind_speed",
    "head_wind",
    "option",
)


@router.get("/d/{name}/missions", response_class=HTMLResponse)
def missions(request: Request, bench: Bench, state: Standing) -> Response:
    """The page of one mission; its address may carry what is tried."""
    dossier, fit = _known(state)
    if dossier is None or fit is None:
        return stale(request, bench, state, "missions", "What the missions come to")
    if not dossier.missions or not burns_fuel(dossier.airplane):
        return page(
            request,
            "pages/missions.html",
            state,
            part="missions",
            mission=None,
            electric=not burns_fuel(dossier.airplane),
        )
    typed, faults = dict(request.query_params), {}
    try:
        asked = typed_mission(typed, dossier)
        shown = _shown(dossier, fit, asked)
    except InputError as error:
        faults = _faults(error)
        asked = typed_mission({"mission": _named(typed, dossier)}, dossier)
        shown = _shown(dossier, fit, asked)
    return page(
        request,
        "pages/missions.html",
        state,
        part="missions",
        faults=faults,
        **_controls(dossier, asked),
        **shown,
    )


@router.get("/d/{name}/missions/ask", response_class=HTMLResponse)
def ask(request: Request, bench: Bench, state: Standing) -> Response:
    """What a changed mission comes to; a change that is tried comes back in the controls too."""
    dossier, fit = _known(state)
    if dossier is None or fit is None:
        answer = stale(request, bench, state, "missions", "What the missions come to")
        answer.headers["HX-Refresh"] = "true"
        return answer
    typed = dict(request.query_params)
    change = dict(item.split("=", 1) for item in typed.pop("try", "").split("&") if "=" in item)
    try:
        asked = _asked(typed | change, dossier)
        shown = _shown(dossier, fit, asked)
    except InputError as error:
        refused = page(
            request, "pieces/missions_faults.html", state, faults=_faults(error), fields=_fields(typed)
        )
        refused.headers["HX-Reswap"] = "none"
        return refused
    controls = _controls(dossier, asked) if change else {"mission": asked.mission}
    return page(
        request,
        "pieces/missions_answer.html",
        state,
        faults={},
        fields=_fields(typed),
        again=bool(change),
        **controls,
        **shown,
    )


@router.get("/d/{name}/missions/changes", response_class=HTMLResponse)
def helps(request: Request, state: Standing) -> Response:
    """What would let go what stays; asked after the answer, for each is tried."""
    dossier, fit = _known(state)
    if dossier is None or fit is None:
        raise InputError(Problem("the missions are to be evaluated first", "reload the page"))
    asked = _asked(dict(request.query_params), dossier)
    found = mission_tried(dossier, fit, asked).answer
    strips = {strip.name: strip for strip in dossier.strips}
    changes = mission_changes(asked.airplane, fit, found.mission, strips, found, units=dossier.units)
    return page(request, "pieces/missions_changes.html", state, changes=_changes(changes, asked))


def _known(state: State) -> tuple[Dossier | None, Fit | None]:
    dossier = state.dossier
    if dossier is None:
        return None, None
    return dossier, RESULTS.of(dossier).kept.fit


def _asked(typed: Mapping[str, str], dossier: Dossier) -> MissionAsked:
    if not burns_fuel(dossier.airplane):
        raise InputError(Problem(ELECTRIC, "ask it of an airplane with tanks"))
    return typed_mission(typed, dossier)


def _named(typed: Mapping[str, str], dossier: Dossier) -> str:
    """The mission's name where there is one of it."""
    name = typed.get("mission", "")
    return name if any(item.name == name for item in dossier.missions) else ""


def _faults(error: InputError) -> dict[str, Problem]:
    if isinstance(error, MissionTrialError):
        return dict(zip(error.places, error.problems, strict=True))
    return {"mission": error.problems[0]}


def _fields(typed: Mapping[str, str]) -> list[str]:
    """The fields that have a line for what is wrong with them."""
    return ["mission", *FIELDS, *(name for name in typed if name.endswith((".mass", ".count")))]


def _shown(dossier: Dossier, fit: Fit, asked: MissionAsked) -> dict[str, Any]:
    """Sentence, figures and tables of a mission that is tried."""
    found = mission_tried(dossier, fit, asked)
    answer, units = found.answer, dossier.units
    first, *rest = sentences(answer)
    return {
        "answer": answer,
        "first": first,
        "rest": " ".join(rest),
        "board": _board(dossier, found),
        "board_leg": _leg_name(found),
        "trip": Markup(trip_drawing(answer, units)) if answer.legs else "",
        "trip_words": trip_title(answer, units) if answer.legs else "",
        "reach": _reach(found, units),
        "loads": numbers(*load_rows(answer, units, found.tried.trial.things if found.tried else ()), words=4),
        "legs": numbers(*leg_rows(answer, units)) if answer.legs else None,
        "fields_table": numbers(*field_rows(answer, units), words=2) if answer.fields else None,
        "fuel_rows": [(row.name, show(row.volume, units.fuel, digits=0)) for row in answer.fuel_rows],
        "furthest": show(answer.furthest.value, units.range, digits=0) if answer.furthest else "",
        "stays": bool(answer.placement and answer.placement.left),
        "notes": answer.notes,
        "caution": answer.caution,
    }


def _board(dossier: Dossier, found: MissionTried) -> Markup | str:
    if found.tried is None:
        return ""
    places = [
        Place(use.station, _room(use.room, dossier.units), (use.room or 0.0) < -1e-6) for use in found.places
    ]
    tried = found.tried
    return Markup(
        stowage_board(found.asked.airplane, tried.trial, tried.report, places, dossier.units, still=True)
    )


def _room(room: float | None, units: Units) -> str:
    return "" if room is None else f"{show(max(room, 0.0), units.mass, digits=0)} left"


def _leg_name(found: MissionTried) -> str:
    if len(found.answer.legs) < 2:
        return ""
    leg = found.answer.legs[found.leg].leg
    return f"{leg.start} to {leg.end}, of all legs the nearest to a limit"


def _reach(found: MissionTried, units: Units) -> Markup | str:
    answer = found.answer
    if found.reach is None or answer.placement is None:
        return ""
    distance = sum(leg.leg.distance for leg in answer.legs)
    carried = max(leg.stowage.mass for leg in answer.legs)
    words = f"this mission, {show(carried, units.mass, digits=0)}"
    return Markup(payload_range_drawing(found.reach, (distance, carried), words, units))


def _controls(dossier: Dossier, asked: MissionAsked) -> dict[str, Any]:
    """The mission's controls as they stand."""
    mission, units = asked.mission, dossier.units
    return {
        "mission": mission,
        "missions": [item.name for item in dossier.missions],
        "configurations": [item.name for item in dossier.airplane.configurations],
        "options": [(item.name, item.fitted) for item in dossier.airplane.options],
        "option": asked.option,
        "rows": [
            {
                "number": number,
                "load": load,
                "goes": asked.going[number],
                "text": plain(load.mass, units.mass, 1),
                "where": _where(load.taken_on, load.put_off),
            }
            for number, load in enumerate(mission.loads[: len(asked.going)])
        ],
        "ballast": [
            (plain(load.mass, "kg", 2), load.stations[0]) for load in mission.loads[len(asked.going) :]
        ],
        "stops": [
            (number, name, name in mission.fuel_at)
            for number, name in enumerate(mission.route)
            if 0 < number < len(mission.route) - 1
        ],
        "amounts": {
            "fuel": "" if mission.fuel is None else plain(mission.fuel, units.fuel, 1),
            "power": f"{100.0 * cruise_power(mission):.0f} %",
            "reserve": plain(mission.reserve, "min", 0),
            "altitude": plain(mission.cruise_altitude, units.height, 0),
            "wind_from": "" if mission.wind_from is None else plain(mission.wind_from, "°", 0),
            "wind_speed": plain(mission.wind_speed, units.speed, 0),
            "head_wind": plain(mission.head_wind, units.speed, 0),
        },
    }


def _where(taken_on: str | None, put_off: str | None) -> str:
    said = [f"on at {taken_on}"] if taken_on else []
    return ", ".join([*said, f"off at {put_off}"] if put_off else said)


def _changes(changes: tuple[MissionChange, ...], asked: MissionAsked) -> list[tuple[str, str]]:
    """Each change in words, with the fields that try it."""
    return [
        (change.words, "&".join(f"{key}={value}" for key, value in change_fields(change, asked).items()))
        for change in changes
    ]
