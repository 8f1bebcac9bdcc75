"""How the columns of a CSV become channels: the dossier says it, nobody guesses."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class ChannelColumn:
    """One channel's column by its header name, and the unit of its numbers (a symbol that `quantity` knows)."""

    column: str
    unit: str


@dataclass(frozen=True, slots=True)
class ColumnMapping:
    """Where time and channels stand in a CSV.

    `time_format` is 'iso' (a zone in the text), 'iso utc' (no zone in the text, it is UTC), 'unix' (seconds since 1970 UTC), or
    'elapsed' (seconds from `elapsed_start`, ISO with zone).
    """

    time_column: str
    time_format: Literal["iso", "iso utc", "unix", "elapsed"]
    channels: Mapping[str, ChannelColumn]  # by channel name
    elapsed_start: str | None = None
    delimiter: str = ","
    decimal: str = "."
    header_row: int = 1  # counts from 1
