"""How a dossier stands, read once and kept until one of its files changes."""

from __future__ import annotations

import os
from collections import OrderedDict
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import TypeVar

from wringout.dossier import Dossier, examine
from wringout.dossier.history import FOLDER
from wringout.evaluation import Evaluation
from wringout.evaluation.freshness import StageState, freshness, kept_evaluation
from wringout.problems import Problem
from wringout.web.parts import PartState, part_states

_KEPT = 50
_MOST_FILES = 20_000

Stamp = tuple[tuple[str, int, int], ...]
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class State:
    """A dossier as its folder is now; `dossier` is None where an error keeps it from being one."""

    name: str
    root: Path
    dossier: Dossier | None
    problems: tuple[Problem, ...]
    stages: tuple[StageState, ...]

    @property
    def errors(self) -> int:
        """How many problems are to be mended."""
        return sum(problem.severity == "error" for problem in self.problems)

    @property
    def fresh(self) -> bool:
        """Whether every stage is computed from the dossier as it is now."""
        return bool(self.stages) and all(stage.fresh for stage in self.stages)

    @property
    def parts(self) -> tuple[PartState, ...]:
        """The parts for the margin."""
        return part_states(self.problems, self.stages)


class States:
    """Keeps what was read last; safe to ask from several threads."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._states: OrderedDict[Path, tuple[Stamp, State]] = OrderedDict()
        self._evaluations: OrderedDict[Path, tuple[Stamp, Evaluation | None]] = OrderedDict()

    def of(self, root: Path) -> State:
        """The state of the dossier at `root`, read anew only where a file changed."""
        stamp = _stamp(root)
        with self._lock:
            known = self._states.get(root)
        if known is not None and known[0] == stamp:
            return known[1]
        dossier, problems = examine(root)
        stages = () if dossier is None else freshness(dossier)
        state = State(root.name, root, dossier, problems, stages)
        self._keep(self._states, root, stamp, state, _KEPT)
        return state

    def evaluation(self, state: State) -> Evaluation | None:
        """The whole evaluation, if it is of the dossier as it is now."""
        stamp = _stamp(state.root)
        known = self._evaluations.get(state.root)
        if known is not None and known[0] == stamp:
            return known[1]
        evaluation = None if state.dossier is None else kept_evaluation(state.dossier)
        self._keep(self._evaluations, state.root, stamp, evaluation, 2)
        return evaluation

    def _keep(
        self, kept: OrderedDict[Path, tuple[Stamp, T]], root: Path, stamp: Stamp, value: T, most: int
    ) -> None:
        with self._lock:
            kept[root] = (stamp, value)
            kept.move_to_end(root)
            while len(kept) > most:
                kept.popitem(last=False)


def _stamp(root: Path) -> Stamp:
    """Name, time and size of every file of the dossier but its history."""
    found: list[tuple[str, int, int]] = []
    waiting = [str(root)]
    while waiting and len(found) < _MOST_FILES:
        try:
            with os.scandir(waiting.pop()) as entries:
                for entry in entries:
                    if entry.name == FOLDER or entry.name.endswith(".part"):
                        continue
                    if entry.is_dir(follow_symlinks=False):
                        waiting.append(entry.path)
                        continue
                    status = entry.stat(follow_symlinks=False)
                    found.append((entry.path, status.st_mtime_ns, status.st_size))
        except OSError:
            continue  # a folder that cannot be opened is told by `examine`
    return tuple(sorted(found))
