"""The flights that pages looked at last, with their traces: found once, and kept until their card changes."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from threading import Lock, RLock

from wringout.dossier.card import Card
from wringout.dossier.dossier import Dossier
from wringout.evaluation.keys import flight_stage, flown_cards, stage_keys
from wringout.evaluation.readings import Reading, readings
from wringout.evaluation.refinding import flight_now, kept_flights, points_now
from wringout.evaluation.traces import Trace, trace
from wringout.reduction import Flight

_MOST = 6


@dataclass(slots=True)
class Kept:
    """A flight as the dossier was under `key`; `dossier` is the one it was last asked for with."""

    key: str
    dossier: Dossier
    flight: Flight
    traces: dict[str, Trace] = field(default_factory=dict)
    readings: tuple[Reading, ...] | None = None
    whole: bool = False  # whether the readings rest on every flight of the dossier


class KeptFlights:
    """The last few; safe to ask from several threads, and no flight is sought twice at once."""

    def __init__(self) -> None:
        self._lock = RLock()
        self._kept: OrderedDict[tuple[Path, str], Kept] = OrderedDict()
        self._busy: dict[tuple[Path, str], Lock] = {}

    def of(self, dossier: Dossier, card: Card) -> Kept:
        """The flight of a card; InputError where a recording cannot be read."""
        place = (dossier.root, card.name)
        with self._lock:
            busy = self._busy.setdefault(place, Lock())
        with busy:
            known = self._kept.get(place)
            if known is not None and known.dossier is dossier:
                return known
            key = stage_keys(dossier)[flight_stage(card)]
            if known is not None and known.key == key:
                # Another file of the dossier is new; the points that follow may be too.
                known.dossier, known.readings = dossier, None
                return known
            before = None if known is None else known.flight
            return self._keep(place, Kept(key, dossier, flight_now(dossier, card, before)))

    def readings(self, dossier: Dossier, card: Card) -> tuple[Reading, ...]:
        """Every manoeuvre of a card's flight with its point, as far as the other flights are found."""
        kept = self.of(dossier, card)
        if kept.readings is None:
            flights = kept_flights(dossier, self._known(dossier))
            kept.whole = len(flights) == len(flown_cards(dossier))
            kept.readings = readings(kept.flight, points_now(dossier, flights), dossier.units)
        return kept.readings

    def trace(self, dossier: Dossier, card: Card, name: str) -> Trace:
        """A whole trace. Raises KeyError where the recording has none of that name."""
        kept = self.of(dossier, card)
        if name not in kept.traces:
            kept.traces[name] = trace(kept.flight, name, dossier.units)
        return kept.traces[name]

    def _known(self, dossier: Dossier) -> Mapping[str, Flight]:
        with self._lock:
            return {
                name: kept.flight
                for (root, name), kept in self._kept.items()
                if root == dossier.root and kept.dossier is dossier
            }

    def _keep(self, place: tuple[Path, str], kept: Kept) -> Kept:
        with self._lock:
            self._kept[place] = kept
            self._kept.move_to_end(place)
            while len(self._kept) > _MOST:
                self._kept.popitem(last=False)
        return kept
