"""The stages over a dossier, each computed only where its inputs changed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol, TypeVar

from wringout.dossier.store import load_result, save_result
from wringout.evaluation.codec import decode, encode

T = TypeVar("T")


class Progress(Protocol):
    """Told of each stage as it starts and ends; `fresh` is False where the result was still good."""

    def __call__(self, stage: str, done: int, total: int, fresh: bool) -> None: ...


def silent(stage: str, done: int, total: int, fresh: bool) -> None:
    """A progress that nobody watches."""


@dataclass(slots=True)
class Stages:
    """Runs stages of one dossier, each kept under its key."""

    root: Path
    keys: Mapping[str, str]  # by the stage's name
    progress: Progress = silent
    done: int = field(default=0, init=False)

    def run(self, stage: str, kind: type[T], compute: Callable[[], T]) -> T:
        """The stage's result, from the store where the same inputs gave one before."""
        kept = self.kept(stage, kind)
        return self.keep(stage, kind, compute()) if kept is None else kept

    def kept(self, stage: str, kind: type[T]) -> T | None:
        """The stored result of a stage, if there is one that reads."""
        data = load_result(self.root, stage, self.keys[stage])
        if data is None:
            return None
        try:
            result = decode(data, kind)
        except Exception:  # a damaged or foreign file in results/ only costs the time to compute it again
            return None
        self._tell(stage, fresh=False)
        return result

    def keep(self, stage: str, kind: type[T], result: T) -> T:
        """Store a result just computed."""
        save_result(self.root, stage, self.keys[stage], encode(result, kind))
        self._tell(stage, fresh=True)
        return result

    def _tell(self, stage: str, *, fresh: bool) -> None:
        self.done += 1
        self.progress(stage, self.done, len(self.keys), fresh)
