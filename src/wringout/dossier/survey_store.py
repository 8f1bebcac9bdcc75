"""A survey's results on disk: a Parquet file a chunk, written whole or not at all, then one of all."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from wringout.dossier.files import RESULTS

if TYPE_CHECKING:
    import polars as pl

_CHUNK = re.compile(r"chunk-(\d{6})\.parquet")


def read_survey(path: Path) -> pl.DataFrame:
    """The rows of a survey's file."""
    import polars as pl

    return pl.read_parquet(path)


class SurveyStore:
    """The chunks of one survey, kept under the hash of all it was computed from.

    A chunk that is there is never computed again, whenever and however the work was ended.
    """

    def __init__(self, root: Path, key: str) -> None:
        self.folder = Path(root) / RESULTS / "survey" / key[:16]

    @property
    def table(self) -> Path:
        """The file of all rows, once the survey is done."""
        return self.folder / "survey.parquet"

    def done(self) -> frozenset[int]:
        """The numbers of the chunks that are there."""
        there = self.folder.iterdir() if self.folder.is_dir() else ()
        found = (_CHUNK.fullmatch(entry.name) for entry in there)
        return frozenset(int(match[1]) for match in found if match)

    def write(self, number: int, columns: Mapping[str, Any]) -> None:
        """Keep one chunk; of two writers the second overwrites the same bytes."""
        import polars as pl

        self._whole(self._place(number), pl.DataFrame(columns))

    def combine(self) -> Path:
        """All chunks in order as one file, streamed through bounded memory."""
        import polars as pl

        places = [self._place(number) for number in sorted(self.done())]
        part = self.table.with_name(f".{self.table.name}.{os.getpid()}.part")
        pl.scan_parquet(places).sink_parquet(part)
        part.replace(self.table)
        return self.table

    def _place(self, number: int) -> Path:
        return self.folder / f"chunk-{number:06d}.parquet"

    def _whole(self, place: Path, frame: pl.DataFrame) -> None:
        self.folder.mkdir(parents=True, exist_ok=True)
        part = place.with_name(f".{place.name}.{os.getpid()}.part")
        frame.write_parquet(part)
        part.replace(place)
