"""The key of every stage, known before it is computed: a hash of the code and of all that it stands on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from wringout.airplane.airplane import Airplane, Option
from wringout.dossier.card import Card
from wringout.dossier.claim import Claim
from wringout.dossier.costs import Costs
from wringout.dossier.dossier import Dossier, Mission, Strip, Units
from wringout.dossier.handling import HandlingNotes
from wringout.dossier.store import digest, software
from wringout.evaluation.codec import fingerprint


def stage_keys(dossier: Dossier) -> dict[str, str]:
    """The key of each stage of the dossier, by the stage's name, in the order in which they run."""
    hashes = dict(dossier.files)
    # What may be fitted to it was not flown: an option more leaves every flight as it was found.
    flown = replace(dossier.airplane, options=())
    airplane = fingerprint(flown, Airplane)
    keys: dict[str, str] = {}
    for card in flown_cards(dossier):
        raw = (hashes[recording.path].encode() for recording in card.recordings)
        stage = flight_stage(card)
        keys[stage] = _key(stage, fingerprint(_flown_part(card), Card), airplane, *raw)
    # The airplane counts even where nothing is flown yet: every later stage stands on it.
    described = fingerprint((flown, dossier.strips), tuple[Airplane, tuple[Strip, ...]])
    filmed = fingerprint(tuple(map(_flown_part, unrecorded_cards(dossier))), tuple[Card, ...])
    keys["points"] = _key("points", *(key.encode() for key in keys.values()), described, filmed)
    keys["fit"] = _key("fit", keys["points"].encode(), dossier.units.height.encode())
    claims = fingerprint((dossier.claims, dossier.units), tuple[tuple[Claim, ...], Units])
    keys["claims"] = _key("claims", keys["fit"].encode(), claims)
    asked = fingerprint(
        (dossier.strips, dossier.missions, dossier.units),
        tuple[tuple[Strip, ...], tuple[Mission, ...], Units],
    )
    # What would let a load go may be an option.
    built = fingerprint(dossier.airplane.options, tuple[Option, ...])
    keys["answers"] = _key("answers", keys["fit"].encode(), keys["claims"].encode(), asked, built)
    keys["exchanges"] = _key("exchanges", keys["answers"].encode())
    # Costs and the comparison ask for missions anew and need no verdict: a claim leaves both as they are.
    if dossier.costs is not None:
        costs = fingerprint(dossier.costs, Costs)
        keys["costs"] = _key("costs", keys["fit"].encode(), asked, costs)
    if len({card.configuration for card in flown_cards(dossier)}) > 1:
        costs = fingerprint(dossier.costs, Costs | None)
        keys["compared"] = _key("compared", keys["fit"].encode(), asked, costs)
    return keys


def evaluation_key(dossier: Dossier, keys: Mapping[str, str], *others: bytes) -> str:
    """The hash of everything that the whole evaluation was computed from, results of `others` too."""
    files = (f"{name} {sha}".encode() for name, sha in dossier.files)
    return digest(keys["answers"].encode(), *files, *others)


def flight_stage(card: Card) -> str:
    """The name of the stage that finds a card's flight."""
    return f"flight {card.name}"


def flown_cards(dossier: Dossier) -> tuple[Card, ...]:
    """The cards that name a recording; the others are yet to be flown, or were only filmed."""
    return tuple(card for card in dossier.cards if card.recordings)


def unrecorded_cards(dossier: Dossier) -> tuple[Card, ...]:
    """The cards that were filmed and not recorded."""
    return tuple(card for card in dossier.cards if card.cameras and not card.recordings)


def _flown_part(card: Card) -> Card:
    """A card without what was said of the handling, which no stage reads: a note costs no computing."""
    return replace(card, ratings=(), notes="", handling=HandlingNotes())


def _key(stage: str, *inputs: bytes) -> str:
    return digest(software().encode(), stage.encode(), *inputs)
