"""The report looked at last: its figures drawn, its pages set and its files made once for each evaluation."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from threading import Lock
from typing import Any, TypeVar

from wringout.evaluation.evaluation import Evaluation
from wringout.report.drawing import Drawn, drawn_figures
from wringout.report.printing import page_images, printed
from wringout.report.twin import html

_MOST = 6
T = TypeVar("T")


class KeptReports:
    """Safe to ask from several threads; what one is making, others wait for."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._kept: OrderedDict[tuple[str, str], Any] = OrderedDict()

    def figures(self, evaluation: Evaluation) -> tuple[Drawn, ...]:
        """Every figure of the printed report."""
        with self._lock:
            return self._figures(evaluation)

    def pages(self, evaluation: Evaluation, paper: str) -> tuple[bytes, ...]:
        """Every page as a picture."""
        with self._lock:
            drawn = self._figures(evaluation)
            return self._made(
                evaluation, f"pages {paper}", lambda: page_images(evaluation, drawn, paper=paper)
            )

    def pdf(self, evaluation: Evaluation, paper: str) -> bytes:
        """The printed report."""
        with self._lock:
            drawn = self._figures(evaluation)
            return self._made(evaluation, f"pdf {paper}", lambda: printed(evaluation, drawn, paper))

    def html(self, evaluation: Evaluation) -> bytes:
        """The page that stands by itself."""
        with self._lock:
            return self._made(evaluation, "html", lambda: html(evaluation))

    def _figures(self, evaluation: Evaluation) -> tuple[Drawn, ...]:
        return self._made(evaluation, "figures", lambda: drawn_figures(evaluation))

    def _made(self, evaluation: Evaluation, what: str, make: Callable[[], T]) -> T:
        key = (evaluation.key, what)
        if key not in self._kept:
            self._kept[key] = make()
        self._kept.move_to_end(key)
        while len(self._kept) > _MOST:
            self._kept.popitem(last=False)
        found: T = self._kept[key]
        return found


REPORTS = KeptReports()
