"""Answers about strips, as they were asked last: reckoned once for each question."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from pathlib import Path
from threading import Lock

from wringout.dossier.dossier import Dossier
from wringout.dossier.runways import RunwayTable, runways_of
from wringout.dossier.weather_reading import WEATHER
from wringout.evaluation.strips import StripsAnswer, StripsAsked, answer_strips, kept_strips
from wringout.evaluation.survey_words import SurveySummary, survey_summary
from wringout.evaluation.surveys import Survey, dossier_survey, survey_file
from wringout.model.fit import Fit

Written = tuple[tuple[str, int], ...]

_MOST = 12
_MOST_TABLES = 3


def _written(root: Path) -> Written:
    """The files of weather/ with the moments they were written at."""
    try:
        return tuple(sorted((entry.name, entry.stat().st_mtime_ns) for entry in (root / WEATHER).iterdir()))
    except OSError:
        return ()


class KeptStrips:
    """The last few; safe to ask from several threads. What one reckons, others wait for."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._kept: OrderedDict[tuple[int, StripsAsked, Written], tuple[Dossier, StripsAnswer]] = (
            OrderedDict()
        )

    def of(self, dossier: Dossier, fit: Fit, asked: StripsAsked) -> StripsAnswer:
        """The answer for a dossier as it is now; errors as `answer_strips`."""
        key = (id(dossier), asked, _written(dossier.root))
        with self._lock:
            known = self._kept.get(key)
            if known is None or known[0] is not dossier:
                usual = kept_strips(dossier, fit) if asked == StripsAsked() else None
                known = (dossier, usual or answer_strips(dossier, fit, asked))
                self._kept[key] = known
            self._kept.move_to_end(key)
            while len(self._kept) > _MOST:
                self._kept.popitem(last=False)
            return known[1]


@dataclass(frozen=True, slots=True)
class KeptSurvey:
    """A dossier's table of runways and the survey planned of it."""

    root: Path
    table: RunwayTable
    planned: Survey

    def summary(self) -> tuple[SurveySummary, ...]:
        """What it found; empty where it is not done."""
        place = survey_file(self.root, self.planned)
        return () if place is None else survey_summary(place)


class KeptSurveys:
    """The tables read last; a dossier read anew is looked at anew."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._kept: OrderedDict[Path, tuple[Dossier, float, KeptSurvey]] = OrderedDict()

    def of(self, dossier: Dossier, fit: Fit) -> KeptSurvey | None:
        """The survey of a dossier as it is now, None without a table; errors as `dossier_survey`."""
        path = runways_of(dossier.root)
        if path is None:
            return None
        written = path.stat().st_mtime
        with self._lock:
            known = self._kept.get(dossier.root)
            if known is None or known[0] is not dossier or known[1] != written:
                found = dossier_survey(dossier, fit)
                if found is None:
                    return None
                known = (dossier, written, KeptSurvey(dossier.root, *found))
                self._kept[dossier.root] = known
                while len(self._kept) > _MOST_TABLES:
                    self._kept.popitem(last=False)
            return known[2]


STRIPS = KeptStrips()
SURVEYS = KeptSurveys()
