"""`columns`: what the columns of a table seem to mean, and the card's [[recording]] for it."""

from __future__ import annotations

from math import isnan
from pathlib import Path

# What a pilot reads a channel in, where no dossier says otherwise.
UNITS = {
    "latitude": "°",
    "longitude": "°",
    "height": "ft",
    "pressure_altitude": "ft",
    "ground_speed": "kt",
    "track": "°",
    "vertical_speed": "ft/min",
    "indicated_airspeed": "kt",
    "true_airspeed": "kt",
    "outside_air_temperature": "°C",
    "engine_speed": "rpm",
    "manifold_pressure": "inHg",
    "fuel_flow": "L/h",
    "pitch": "°",
    "roll": "°",
    "heading": "°",
    "longitudinal_acceleration": "g",
    "normal_acceleration": "g",
}
ROWS = 3


def columns(file: Path, /, *, weather: bool = False, json: bool = False) -> int:
    """What the columns of a table seem to mean, its first rows as read, and the [[recording]] to paste.

    Parameters
    ----------
    file
        The log: a CSV of any layout, or a Parquet.
    weather
        It is a table of hourly weather: its description for weather/ instead.
    json
        Answer as JSON.
    """
    from wringout.cli.output import print_json, say, table
    from wringout.dossier.proposing import recording_toml
    from wringout.quantity import convert
    from wringout.recordings.proposal import first_rows, propose
    from wringout.recordings.reading import needs_mapping
    from wringout.recordings.recording import CHANNELS

    if weather:
        return _weather(file, json=json)
    if not needs_mapping(file):
        toml = f'[[recording]]\npath = "recordings/{file.name}"\n'
        if json:
            print_json({"needs_columns": False, "toml": toml})
        else:
            say(f"{file.name} says itself what it holds: the card needs its path and nothing more.")
            say("\n" + toml)
        return 0
    proposal = propose(file)
    log = first_rows(file, proposal)
    toml = recording_toml(f"recordings/{file.name}", proposal)
    layout, mapping = proposal.layout, proposal.mapping
    if json:
        print_json(
            {
                "needs_columns": True,
                "delimiter": layout.delimiter,
                "decimal": layout.decimal,
                "header_row": layout.header_row,
                "units_rows": layout.units_rows,
                "comment": layout.comment,
                "time_column": mapping.time_column,
                "time_format": mapping.time_format,
                "elapsed_start": mapping.elapsed_start,
                "track": mapping.track,
                "columns": {
                    channel: {"column": column.column, "unit": column.unit}
                    for channel, column in mapping.channels.items()
                },
                "asked": list(proposal.asked),
                "notes": list(proposal.notes),
                "doubtful": [
                    {"channel": channel, "column": name, "why": why}
                    for channel, name, why in proposal.doubtful
                ],
                "left": [{"channel": channel, "column": name} for channel, name in proposal.left],
                "unknown": list(proposal.unknown),
                "first_rows": []
                if log is None
                else [
                    {"time": _moment(log.time[row])}
                    | {name: float(values[row]) for name, values in log.channels.items()}
                    for row in range(min(ROWS, len(log.time)))
                ],
                "toml": toml,
            }
        )
        return 0
    rows = range(min(ROWS, len(log.time))) if log is not None else range(0)

    def shown(channel: str, row: int) -> str:
        assert log is not None
        value = float(convert(float(log.channels[channel][row]), UNITS[channel], CHANNELS[channel]))
        digits = 5 if channel in {"latitude", "longitude"} else 1
        return "–" if isnan(value) else f"{value:.{digits}f}"

    moments = [_moment(log.time[row]) if log is not None else "" for row in rows]
    day = f"; first rows, {moments[0][:10]} UTC" if moments else ""
    table(
        f"{file.name}: {len(mapping.channels)} of {len(layout.header)} columns proposed{day}",
        ("channel", "column", "its unit", "read as", *(moment[11:].rstrip("Z") for moment in moments)),
        (
            (
                channel.replace("_", " "),
                column.column,
                column.unit,
                UNITS[channel],
                *(shown(channel, row) for row in rows),
            )
            for channel, column in mapping.channels.items()
        ),
        words=4,
    )
    for sentence in (*proposal.asked, *proposal.notes):
        say(f"{sentence[:1].upper()}{sentence[1:]}.")
    for channel, name, why in proposal.doubtful:
        say(f"'{name}' seems to be the {channel.replace('_', ' ')}: {why}.")
    if proposal.left:
        say("Left aside for another column: " + ", ".join(f"'{name}'" for _, name in proposal.left) + ".")
    if proposal.unknown:
        say("Not known: " + ", ".join(f"'{name}'" for name in proposal.unknown) + ".")
    say("\nFor the card, to be looked at first:\n")
    say(toml)
    return 0


def _moment(seconds: float) -> str:
    from datetime import UTC, datetime

    if isnan(seconds):
        return "no time"
    return datetime.fromtimestamp(seconds, UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def _weather(file: Path, *, json: bool) -> int:
    """The description of a table of weather, as far as its columns tell it."""
    from wringout.cli.output import print_json, say, table
    from wringout.dossier.weather_proposing import propose_weather

    proposal = propose_weather(file)
    if json:
        print_json(
            {
                "columns": {what: {"column": name, "unit": unit} for what, name, unit in proposal.columns},
                "asked": list(proposal.asked),
                "unknown": list(proposal.unknown),
                "toml": proposal.toml,
            }
        )
        return 0
    table(
        f"{file.name}: {len(proposal.columns)} columns proposed",
        ("what", "column", "its unit"),
        ((what.replace("_", " "), name, unit or "?") for what, name, unit in proposal.columns),
        words=3,
    )
    for sentence in proposal.asked:
        say(f"Still to be said: {sentence}.")
    if proposal.unknown:
        say("Not known: " + ", ".join(f"'{name}'" for name in proposal.unknown) + ".")
    say(f"\nFor weather/{file.stem}.toml, to be filled in where a ? stands:\n")
    say(proposal.toml)
    return 0
