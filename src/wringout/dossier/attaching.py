"""A recording is named by a card: one that is there, or a new one that takes after another."""

from __future__ import annotations

import re
from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any

from wringout.airplane.airplane import Airplane
from wringout.dossier.editing import Content, value_at
from wringout.dossier.files import read_file
from wringout.dossier.history import add, edit
from wringout.dossier.proposing import recording_toml
from wringout.dossier.reading import CARDS
from wringout.dossier.shelf import place as plain_place
from wringout.dossier.table_editing import with_table, without_table
from wringout.dossier.toml import LARGEST_TEXT, read_toml, text_of
from wringout.problems import InputError, Problem
from wringout.recordings.proposal import Proposal

RECORDING = "recording"
_HEADER = re.compile(r"\s*\[\[?\s*([A-Za-z_-]+)")


@dataclass(frozen=True, slots=True)
class TypedWeather:
    """A weather reading as a person typed it, each value with its unit."""

    time: datetime
    elevation: str
    qnh: str
    temperature: str
    wind_direction: str
    wind_speed: str
    wind_speed_sd: str
    wind_height: str

    def table(self) -> dict[str, Content]:
        """As it stands on a card."""
        return {key: getattr(self, key) for key in self.__slots__}


@dataclass(frozen=True, slots=True)
class NewCard:
    """What a card is begun with; `like` is the file of one whose loading it takes over, '' for none."""

    name: str
    title: str
    day: date
    pilot: str
    configuration: str
    like: str = ""


@dataclass(frozen=True, slots=True)
class Entry:
    """A recording to be named: its path in the dossier, and its columns as corrected.

    `proposal` is None for a format that says itself what it holds.
    """

    path: str
    proposal: Proposal | None = None


def attach(root: Path, file: str, version: str, entry: Entry, weather: TypedWeather | None = None) -> str:
    """Name a recording on a card that is there, with a weather reading where the card has none yet.

    Parameters
    ----------
    root : Path
        The dossier.
    file, version : str
        The card's file, and the version of it that the person saw.
    entry : Entry
        The recording.
    weather : TypedWeather, optional
        A further reading.

    Returns
    -------
    str
        The card's new version.

    Raises
    ------
    InputError
        As `wringout.dossier.history.edit`, or the card names the recording already.
    """

    def change(data: bytes) -> bytes:
        _refuse_twice(file, data, entry.path)
        changed = _with_recording(file, data, entry)
        if weather is None:
            return changed
        there = value_at(file, changed, ("weather",))
        count = len(there) if isinstance(there, list) else 0
        return with_table(file, changed, ("weather", count), weather.table())

    return edit(root, file, version, change, f"{entry.path} named")


def detach(root: Path, file: str, version: str, at: int) -> str:
    """Take a recording off a card; its file stays where it is. Returns and raises as `attach`."""
    return edit(
        root, file, version, lambda data: without_table(file, data, (RECORDING, at)), "recording taken off"
    )


def new_card(root: Path, airplane: Airplane, card: NewCard, entry: Entry, weather: TypedWeather) -> str:
    """Make a card for a recording; its file.

    The loading is that of the card it takes after, or else empty seats and tanks, to be corrected. Arguments
    and errors as `attach`, or there is such a card already.
    """
    import tomlkit

    plain_place(root, card.name)  # the same rule for names, before a file of that name is made
    file = f"{CARDS}/{card.name}.toml"
    document = tomlkit.document()
    for key in ("title", "day", "pilot", "configuration"):
        document[key] = getattr(card, key)
    document["loading"] = loading_like(root, airplane, card.like)
    document["weather"] = [weather.table()]
    data = _with_recording(file, tomlkit.dumps(document).encode(), entry)
    add(root, file, data)
    return file


def loading_like(root: Path, airplane: Airplane, like: str) -> Any:
    """The loading of the card whose file is `like`; without one, seats and tanks are empty."""
    if like:
        found = value_at(like, read_file(root, like, LARGEST_TEXT), ("loading",))
        if isinstance(found, Mapping):
            taken = deepcopy(dict(found))
            taken.pop("fuel_at_shutdown", None)  # that of another flight
            return taken
    return {
        "mass_sd": "1 kg",
        "fuel_sd": "3 L",
        "stations": {station.name: "0 kg" for station in airplane.stations},
        "fuel": {tank.name: "0 L" for tank in airplane.tanks},
    }


def _refuse_twice(file: str, data: bytes, path: str) -> None:
    named = value_at(file, data, (RECORDING,))
    if isinstance(named, list) and any(
        isinstance(item, Mapping) and item.get("path") == path for item in named
    ):
        raise InputError(
            Problem(f"the card names '{path}' already", "take it off first to map it anew", file)
        )


def _with_recording(file: str, data: bytes, entry: Entry) -> bytes:
    """The card with one more [[recording]] behind those it has, or else before its loading, as text."""
    text = text_of(file, data)
    made = (
        f'[[recording]]\npath = "{entry.path}"\n'
        if entry.proposal is None
        else recording_toml(entry.path, entry.proposal)
    )
    before = read_toml(file, data).data
    added = read_toml(file, made.encode()).data[RECORDING]
    wanted = {**before, RECORDING: [*before.get(RECORDING, []), *added]}
    lines = text.splitlines(keepends=True)
    for at in _places(lines):
        block = made if at and not lines[at - 1].strip() else f"\n{made}"
        candidate = "".join((*lines[:at], block, "\n", *lines[at:])).encode()
        # A line inside a longer text may look like a header: only a place that changes nothing else is taken.
        if _data_of(file, candidate) == wanted:
            return candidate
    raise InputError(Problem("there is no place for another recording", "add it by hand", file))


def _data_of(file: str, data: bytes) -> object:
    try:
        return read_toml(file, data).data
    except InputError:
        return None


def _places(lines: list[str]) -> list[int]:
    """Lines before which a recording may be put, the best first."""
    headers = [(number, match[1]) for number, line in enumerate(lines) if (match := _HEADER.match(line))]
    own = [place for place, (_, name) in enumerate(headers) if name == RECORDING]
    after = own[-1] + 1 if own else next((k for k, (_, name) in enumerate(headers) if name != "plan"), None)
    if after is None or after >= len(headers):
        return [len(lines)]
    at = headers[after][0]
    while at and lines[at - 1].lstrip().startswith("#"):  # a comment above a table belongs to it
        at -= 1
    return [at, headers[after][0], len(lines)]
