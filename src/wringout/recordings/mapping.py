"""How the columns of a table become channels: the dossier says it, nobody guesses."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class ChannelColumn:
    """One channel's column by its header name, and the unit of its numbers (a symbol that `quantity` knows).

    Every number is multiplied by `factor`, a meter's calibration, and `offset`, in the same unit, is added: a
    magnetic variation, a known instrument correction.
    """

    column: str
    unit: str
    offset: float = 0.0
    factor: float = 1.0


@dataclass(frozen=True, slots=True)
class ColumnMapping:
    """Where time and channels stand in a CSV.

    `time_format` is 'iso' (a zone in the text), 'iso utc' (no zone in the text, it is UTC), 'unix' (seconds
    since 1970 UTC), or 'elapsed' (seconds from `elapsed_start`, ISO with zone). A date, a time and a zone in
    columns of their own are named together with plus signs: 'Date + Time + Zone'. `zone` ('-05:00') is the
    zone of 'iso' texts that carry none.

    A `track` that is 'magnetic' is turned by the difference from the direction between the positions.

    Lines that are blank or begin with `comment` are skipped, and `units_rows` lines under the header.
    """

    time_column: str
    time_format: Literal["iso", "iso utc", "unix", "elapsed"]
    channels: Mapping[str, ChannelColumn]  # by channel name
    elapsed_start: str | None = None
    delimiter: str = ","
    decimal: str = "."
    header_row: int = 1  # counts from 1, comment lines included
    units_rows: int = 0
    comment: str | None = None
    zone: str | None = None
    track: Literal["true", "magnetic"] = "true"
    missing: tuple[str, ...] = ()  # texts that mean 'no sample', beside the empty cell and 'nan'
