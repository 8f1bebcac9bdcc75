"""What stands of the dossiers looked at last, and the lines drawn of them: read and reckoned once."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Hashable
from dataclasses import dataclass, field
from pathlib import Path
from threading import Lock

from wringout.dossier.dossier import Dossier
from wringout.evaluation.curves import curves_of
from wringout.evaluation.evaluation import Curve
from wringout.evaluation.field_runs import field_runs
from wringout.evaluation.handbook import HandbookTable, handbook
from wringout.evaluation.inquiry import Answered, Inquiry, answered, line_key
from wringout.evaluation.kept import Kept, kept
from wringout.evaluation.usual import flown_configurations
from wringout.model.fit import Fit
from wringout.model.runs import Runs
from wringout.reduction.points import Points

_MOST = 3
_MOST_LINES = 64


@dataclass(slots=True)
class Results:
    """One dossier's results, with the lines of its figures as they are asked for."""

    dossier: Dossier
    kept: Kept
    _lock: Lock = field(default_factory=Lock)
    _curves: tuple[Curve, ...] | None = None
    _runs: tuple[Runs, ...] | None = None
    _handbook: tuple[HandbookTable, ...] | None = None
    _lines: OrderedDict[Hashable, Curve] = field(default_factory=OrderedDict)

    def curves(self, points: Points, fit: Fit) -> tuple[Curve, ...]:
        """The fitted lines of every figure."""
        with self._lock:
            if self._curves is None:
                airplane, units = self.dossier.airplane, self.dossier.units
                flown = flown_configurations(airplane, points)
                self._curves = curves_of(airplane, units, points, fit, flown)
            return self._curves

    def runs(self, points: Points, fit: Fit) -> tuple[Runs, ...]:
        """Field lengths apart into airplane and pilot."""
        with self._lock:
            if self._runs is None:
                self._runs = field_runs(self.dossier, points, fit)
            return self._runs

    def handbook(self, points: Points, fit: Fit) -> tuple[HandbookTable, ...]:
        """Take-off and landing as a flight manual prints them."""
        with self._lock:
            if self._handbook is None:
                airplane, units = self.dossier.airplane, self.dossier.units
                flown = flown_configurations(airplane, points)
                self._handbook = handbook(airplane, units, fit, flown)
            return self._handbook

    def answered(self, fit: Fit, inquiry: Inquiry) -> Answered:
        """The answer; where only the place along its line moved, the line is the one drawn before."""
        key = line_key(inquiry, self.dossier, fit)
        with self._lock:
            known = self._lines.get(key)
        found = answered(self.dossier, fit, inquiry, known)
        with self._lock:
            self._lines[key] = found.curve
            self._lines.move_to_end(key)
            while len(self._lines) > _MOST_LINES:
                self._lines.popitem(last=False)
        return found


class KeptResults:
    """The last few; safe to ask from several threads."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._kept: OrderedDict[Path, Results] = OrderedDict()

    def of(self, dossier: Dossier) -> Results:
        """The results of a dossier as it is now; a dossier read anew is looked up anew."""
        with self._lock:
            known = self._kept.get(dossier.root)
            if known is None or known.dossier is not dossier:
                known = Results(dossier, kept(dossier))
                self._kept[dossier.root] = known
            self._kept.move_to_end(dossier.root)
            while len(self._kept) > _MOST:
                self._kept.popitem(last=False)
            return known


RESULTS = KeptResults()
