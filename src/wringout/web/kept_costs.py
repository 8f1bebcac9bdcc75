"""What costs ask of the dossiers looked at last: cruises and missions asked once, not at each letter."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from pathlib import Path
from threading import Lock

from wringout.dossier.dossier import Dossier
from wringout.evaluation.costs import Book
from wringout.evaluation.trips import answer_missions
from wringout.missions import MissionAnswer
from wringout.model.fit import Fit

_MOST = 3


@dataclass(frozen=True, slots=True)
class Priced:
    """One dossier's book and its missions as answered."""

    dossier: Dossier
    book: Book
    answered: tuple[MissionAnswer, ...]


class KeptCosts:
    """The last few; safe to ask from several threads, the second of which waits for what the first asks."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._kept: OrderedDict[Path, Priced] = OrderedDict()

    def of(self, dossier: Dossier, fit: Fit) -> Priced:
        """That of a dossier as it is now; a dossier read anew is asked anew."""
        with self._lock:
            known = self._kept.get(dossier.root)
            if known is None or known.dossier is not dossier:
                known = Priced(dossier, Book(dossier.airplane, fit), answer_missions(dossier, fit))
                self._kept[dossier.root] = known
            self._kept.move_to_end(dossier.root)
            while len(self._kept) > _MOST:
                self._kept.popitem(last=False)
            return known


COSTS = KeptCosts()
