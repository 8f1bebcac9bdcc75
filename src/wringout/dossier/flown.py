"""What a card says against the things that it speaks of: the logs, the airplane as loaded, the day."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

from wringout.airplane.airplane import Airplane
from wringout.dossier.card import Card
from wringout.dossier.files import file_digest, inside
from wringout.dossier.lines import Path as Place
from wringout.dossier.toml import Document
from wringout.problems import InputError, Problem

_SLACK = 1e-9
_MASS_SLACK = 1e-6  # kg


def recording_digests(
    root: Path, document: Document, card: Card
) -> tuple[dict[str, str], tuple[Problem, ...]]:
    """SHA-256 of every log that the card names, and what keeps one from being read."""
    digests: dict[str, str] = {}
    problems: list[Problem] = []
    for index, recording in enumerate(card.recordings):
        path = recording.path
        place: Place = ("recording", index, "path")
        try:
            if not inside(root, path).exists():
                problem = Problem(f"the recording '{path}' is missing", "copy it there, or correct its path")
                problems.append(document.problem(place, problem))
                continue
            if inside(root, path).stat().st_size == 0:
                problem = Problem(f"the recording '{path}' is empty", "copy it again")
                problems.append(document.problem(place, problem))
                continue
            digests[path] = file_digest(root, path)
        except InputError as error:
            for problem in error.problems:
                what = f"the recording '{path}' {problem.what}" if problem.file else problem.what
                problems.append(document.problem(place, Problem(what, problem.mend)))
        except OSError as error:
            problem = Problem(f"the recording '{path}' cannot be read ({error.strerror})", "check the file")
            problems.append(document.problem(place, problem))
    return digests, tuple(problems)


def unreadable_recordings(root: Path, card: Card, there: dict[str, str]) -> Iterator[Problem]:
    """What the readers find wrong with the logs of a card that are there; each log is read whole."""
    from wringout.recordings.reading import read

    for recording in card.recordings:
        if recording.path not in there:
            continue
        try:
            read(inside(root, recording.path), recording.mapping)
        except InputError as error:
            for problem in error.problems:
                yield Problem(
                    problem.what, problem.mend, recording.path, problem.line, problem.field, problem.severity
                )


def loading_problems(document: Document, card: Card, airplane: Airplane) -> Iterator[Problem]:
    """A load lies where its station allows, and says where that may vary; no tank is overfull."""
    stations, arms = card.loading.stations, card.loading.station_arms
    for station in airplane.stations:
        if station.name in arms:
            arm = arms[station.name]
            if not station.arm - _SLACK <= arm <= station.arm_aft + _SLACK:
                what = f"{arm:g} m lies outside the station's range, {station.arm:g} to {station.arm_aft:g} m"
                problem = Problem(what, "write the arm at which the load lay")
                yield document.problem(("loading", "station_arms", station.name), problem)
        elif station.arm_aft > station.arm and stations.get(station.name, 0.0) > 0:
            what = f"the load may lie anywhere from {station.arm:g} to {station.arm_aft:g} m"
            problem = Problem(what, "say where, in [loading.station_arms]")
            yield document.problem(("loading", "stations", station.name), problem)
    for tank in airplane.tanks:
        for key, contents in (
            ("fuel", card.loading.fuel),
            ("fuel_at_shutdown", card.loading.fuel_at_shutdown),
        ):
            volume = (contents or {}).get(tank.name, 0.0)
            if volume > tank.usable * (1 + 1e-6):
                what = f"{volume * 1000:.1f} L are in a tank that holds {tank.usable * 1000:.1f} L usable"
                problem = Problem(what, "write the usable contents only, or correct the tank")
                yield document.problem(("loading", key, tank.name), problem)
    for name, left in (card.loading.fuel_at_shutdown or {}).items():
        if left > card.loading.fuel.get(name, 0.0) + _SLACK:
            problem = Problem("there is more at shutdown than at start-up", "exchange the two, or check them")
            yield document.problem(("loading", "fuel_at_shutdown", name), problem)


def untied_problems(document: Document, card: Card) -> Iterator[Problem]:
    """Points without their times beside others that have them may have been given up: a warning each."""
    if not card.recordings or not any(point.start and point.end for point in card.points):
        return
    tied = {
        *(mark.point for mark in card.marks),
        *(named.point for named in card.manoeuvres),
        *(camera.point for camera in card.cameras),
    }
    for index, point in enumerate(card.points):
        if point.flown and point.id not in tied and (point.start is None or point.end is None):
            what = f"nothing says when '{point.id}' was flown: it takes what no other point does, if anything"
            problem = Problem(what, "add its start and end, or flown = false", severity="warning")
            yield document.problem(("point", index), problem)


def limit_problems(document: Document, card: Card, airplane: Airplane) -> Iterator[Problem]:
    """Loads above a limit of a station, of its floor, or of several stations together: each a warning.

    A card says what was aboard, and what was aboard may have been too much.
    """
    masses = card.loading.stations
    for station in airplane.stations:
        mass = masses.get(station.name, 0.0)
        area, floor = station.floor_area, station.floor_load_limit
        what = ""
        if station.mass_limit is not None and mass > station.mass_limit + _MASS_SLACK:
            what = f"{mass:.1f} kg is above the station's limit of {station.mass_limit:.1f} kg"
        elif area and floor is not None and mass > floor * area + _MASS_SLACK:
            what = (
                f"{mass / area:.0f} kg/m² is above the limit of the station's floor, {floor:.0f} kg/m², "
                f"which allows {floor * area:.1f} kg"
            )
        if what:
            problem = Problem(what, "load less there, or correct the mass", severity="warning")
            yield document.problem(("loading", "stations", station.name), problem)
    for limit in airplane.combined_limits:
        mass = math.fsum(masses.get(name, 0.0) for name in limit.stations)
        if mass > limit.mass_limit + _MASS_SLACK:
            where = ", ".join(limit.stations)
            what = f"{mass:.1f} kg in {where} is above their limit of {limit.mass_limit:.1f} kg, {limit.name}"
            problem = Problem(what, "load less there, or correct the masses", severity="warning")
            yield document.problem(("loading", "stations"), problem)


def day_problems(document: Document, card: Card) -> Iterator[Problem]:
    """Times not of the card's day, give or take one for the zone, are probably mistyped: a warning."""
    times: list[tuple[Place, datetime | None]] = [
        *((("weather", i, "time"), reading.time) for i, reading in enumerate(card.weather)),
        *((("point", i, "start"), point.start) for i, point in enumerate(card.points)),
        *((("point", i, "end"), point.end) for i, point in enumerate(card.points)),
        *((("mark", i, "time"), mark.time) for i, mark in enumerate(card.marks)),
        *((("manoeuvre", i, "start"), named.start) for i, named in enumerate(card.manoeuvres)),
        *((("manoeuvre", i, "end"), named.end) for i, named in enumerate(card.manoeuvres)),
        *(
            (("times", key), getattr(card.times, key))
            for key in ("start_up", "take_off", "landing", "shut_down")
        ),
        *((("camera", i, "frame_zero"), camera.frame_zero) for i, camera in enumerate(card.cameras)),
    ]
    for place, time in times:
        if time is not None and abs(time.date() - card.day) > timedelta(days=1):
            problem = Problem(
                f"{time.date()} is not the day of the card, {card.day}", "check both", severity="warning"
            )
            yield document.problem(place, problem)
