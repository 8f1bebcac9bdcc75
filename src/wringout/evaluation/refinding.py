"""A flight found again after its card was edited, and the points that follow, its logs not read anew."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from wringout.dossier.card import Card
from wringout.dossier.dossier import Dossier
from wringout.evaluation.find import find_flight, search
from wringout.evaluation.keys import flight_stage, flown_cards, stage_keys, unrecorded_cards
from wringout.evaluation.stages import Stages
from wringout.problems import InputError, Problem
from wringout.reduction import Flight, reduce
from wringout.reduction.points import Points


def card_named(dossier: Dossier, name: str) -> Card:
    """The flown card of that name. Raises InputError where there is none."""
    for card in flown_cards(dossier):
        if card.name == name:
            return card
    raise InputError(Problem(f"no card '{name}' names a recording", "choose one of the dossier's flights"))


def flight_now(dossier: Dossier, card: Card, before: Flight | None = None) -> Flight:
    """The flight of a card as the dossier is now, and kept for every later stage.

    Parameters
    ----------
    dossier : Dossier
    card : Card
        One of its cards that names a recording.
    before : Flight, optional
        The same flight before its card was edited; where nothing changed that its recording and track stand
        on, only the manoeuvres are sought again.

    Raises
    ------
    InputError
        A recording cannot be read.
    """
    stages = Stages(dossier.root, stage_keys(dossier))
    kept = stages.kept(flight_stage(card), Flight)
    if kept is not None:
        return replace(kept, card=card)  # its notes may be newer than its flight
    if before is not None and _same_path(dossier, card, before):
        found = search(dossier.airplane, card, before.recording, before.track)
    else:
        found = find_flight(dossier, card)
    return stages.keep(flight_stage(card), Flight, found)


def kept_flights(dossier: Dossier, known: Mapping[str, Flight]) -> tuple[Flight, ...]:
    """The flights known or in the store as the dossier is now; those that are yet to be found miss."""
    stages = Stages(dossier.root, stage_keys(dossier))
    found = (known.get(card.name) or stages.kept(flight_stage(card), Flight) for card in flown_cards(dossier))
    return tuple(flight for flight in found if flight is not None)


def points_now(dossier: Dossier, flights: Sequence[Flight]) -> Points:
    """The test points of these flights; kept for later stages where they are all that the dossier has."""
    filmed = unrecorded_cards(dossier)
    whole = len(flights) == len(flown_cards(dossier))
    stages = Stages(dossier.root, stage_keys(dossier))
    if whole:
        return stages.run("points", Points, lambda: reduce(flights, dossier.airplane, dossier.strips, filmed))
    return reduce(flights, dossier.airplane, dossier.strips, filmed)


def _same_path(dossier: Dossier, card: Card, before: Flight) -> bool:
    """Whether logs, mappings, clocks and the readings that heights are held against are what they were."""
    hashes = dict(dossier.files)
    read = sorted(sha for _, sha in before.recording.sources)
    return (
        sorted(hashes.get(item.path, "") for item in card.recordings) == read
        and card.recordings == before.card.recordings
        and card.weather == before.card.weather
        and card.height_reference == before.card.height_reference
    )
