"""The stages over a dossier, each computed only where its inputs changed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol, TypeVar

from wringout.dossier.store import digest, load_result, save_result, software
from wringout.evaluation.codec import decode, encode

T = TypeVar("T")


class Progress(Protocol):
    """Told of each stage as it starts and ends; `fresh` is False where the result was still good."""

    def __call__(self, stage: str, done: int, total: int, fresh: bool) -> None: ...


def silent(stage: str, done: int, total: int, fresh: bool) -> None:
    """A progress that nobody watches."""


@dataclass(slots=True)
class Stages:
    """Runs stages of one dossier; the key of each hashes the code and the keys and values that it uses."""

    root: Path
    total: int
    progress: Progress = silent
    done: int = field(default=0, init=False)

    def run(
        self, stage: str, kind: type[T], inputs: tuple[bytes, ...], compute: Callable[[], T]
    ) -> tuple[T, str]:
        """The stage's result and its key, from the store where the same inputs gave one before."""
        key = self.key(stage, inputs)
        kept = self.kept(stage, kind, key)
        if kept is not None:
            return kept, key
        return self.keep(stage, kind, key, compute()), key

    def key(self, stage: str, inputs: tuple[bytes, ...]) -> str:
        """The key of a stage's result."""
        return digest(software().encode(), stage.encode(), *inputs)

    def kept(self, stage: str, kind: type[T], key: str) -> T | None:
        """The stored result under this key, if there is one that reads."""
        data = load_result(self.root, stage, key)
        if data is None:
            return None
        try:
            result = decode(data, kind)
        except Exception:  # a damaged or foreign file in results/ only costs the time to compute it again
            return None
        self._tell(stage, fresh=False)
        return result

    def keep(self, stage: str, kind: type[T], key: str, result: T) -> T:
        """Store a result just computed."""
        save_result(self.root, stage, key, encode(result, kind))
        self._tell(stage, fresh=True)
        return result

    def _tell(self, stage: str, *, fresh: bool) -> None:
        self.done += 1
        self.progress(stage, self.done, self.total, fresh)
