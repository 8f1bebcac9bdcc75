"""A proposed mapping as the card's [[recording]] table, ready to paste."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

import tomlkit

if TYPE_CHECKING:
    from wringout.recordings.mapping import ChannelColumn, ColumnMapping
    from wringout.recordings.proposal import Proposal


def recording_toml(path: str, proposal: Proposal) -> str:
    """TOML of one recording; what is still to be said, and what was left out, stands in comments.

    Parameters
    ----------
    path : str
        Where the log will be in the dossier.
    proposal : Proposal
        As `propose` made it.
    """
    mapping = proposal.mapping
    lines = ["[[recording]]", f"path = {_text(path)}", *_time_lines(proposal), *_layout_lines(mapping)]
    if mapping.track != "true":
        lines.append(f"track = {_text(mapping.track)}")
    lines += ["", "[recording.columns]"]
    lines += [_column_line(channel, column) for channel, column in mapping.channels.items()]
    lines += [
        f'# {channel} = {{ column = {_text(name)}, unit = "?" }}  # {why}'
        for channel, name, why in proposal.doubtful
    ]
    return "\n".join(lines) + "\n"


def _column_line(channel: str, column: ChannelColumn) -> str:
    factor = f", factor = {column.factor!r}" if column.factor != 1.0 else ""
    offset = f", offset = {_text(f'{column.offset:g} {column.unit}')}" if column.offset else ""
    return f"{channel} = {{ column = {_text(column.column)}, unit = {_text(column.unit)}{factor}{offset} }}"


def _time_lines(proposal: Proposal) -> list[str]:
    mapping = proposal.mapping
    lines = [f"time_column = {_text(mapping.time_column)}", f"time_format = {_text(mapping.time_format)}"]
    if mapping.elapsed_start is not None:
        lines.append(f"elapsed_start = {datetime.fromisoformat(mapping.elapsed_start).isoformat()}")
    if mapping.zone is not None:
        lines.append(f"zone = {_text(mapping.zone)}")
    return lines + [f"# {sentence}" for sentence in proposal.asked]


def _layout_lines(mapping: ColumnMapping) -> list[str]:
    """Only what is not the usual."""
    usual: dict[str, object] = {"delimiter": ",", "decimal": ".", "header_row": 1, "units_rows": 0}
    lines = []
    for key, ordinary in usual.items():
        value = getattr(mapping, key)
        if value != ordinary:
            lines.append(f"{key} = {_text(value) if isinstance(value, str) else value}")
    if mapping.comment is not None:
        lines.append(f"comment = {_text(mapping.comment)}")
    if mapping.missing:
        lines.append(f"missing = [{', '.join(_text(text) for text in mapping.missing)}]")
    return lines


def _text(value: str) -> str:
    return str(tomlkit.item(value).as_string())
