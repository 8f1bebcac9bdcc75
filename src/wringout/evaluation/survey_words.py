"""A survey's file in a few rows and sentences."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from wringout.dossier.dossier import Units
from wringout.dossier.runways import RunwayTable
from wringout.dossier.survey_store import read_survey
from wringout.dossier.weather import Weather
from wringout.missions.hour_judging import REASONS
from wringout.missions.strip_hours import LAPSE_WORDS
from wringout.quantity.showing import show

_LEFT_OUT = {
    "slope": "without a slope",
    "length": "without a length",
    "surface": "of unknown surface",
    "heading": "without a heading",
    "closed": "closed",
    "cells": "with too few or too many cells",
}


def left_out_rows(table: RunwayTable) -> tuple[str, ...]:
    """'2102 without a slope', most first: the rows of a table that are left out."""
    return tuple(
        f"{count} {_LEFT_OUT.get(reason, f'for their {reason}')}" for reason, count in table.reasons.items()
    )


@dataclass(frozen=True, slots=True)
class SurveySummary:
    """One configuration and loading: how many strips are usable how often, and what binds on how many.

    `payload` [kg] counts the pilot. `binding` has the reason that stops most, most strips first.
    """

    configuration: str
    payload: float
    strips: int
    nine_in_ten: int
    half: int
    never: int
    binding: tuple[tuple[str, int], ...]


def survey_summary(path: Path) -> tuple[SurveySummary, ...]:
    """Each configuration and loading of a survey's file, in the order of its rows."""
    import numpy as np

    frame = read_survey(path)
    found = []
    for (configuration, payload), rows in frame.group_by(
        ["configuration", "payload_kg"], maintain_order=True
    ):
        share = rows["usable_share"].to_numpy()
        stopped = np.stack([rows[f"stopped by {reason}"].to_numpy() for reason in REASONS])
        most = np.where(stopped.max(axis=0) > 0.0, stopped.argmax(axis=0), -1)
        counts = [(reason, int(np.sum(most == place))) for place, reason in enumerate(REASONS)]
        found.append(
            SurveySummary(
                str(configuration),
                float(payload),
                len(share),
                int(np.sum(share >= 0.9)),
                int(np.sum(share >= 0.5)),
                int(np.sum(share <= 0.0)),
                tuple(sorted((pair for pair in counts if pair[1]), key=lambda pair: -pair[1])),
            )
        )
    return tuple(found)


def summary_sentence(rows: tuple[SurveySummary, ...], units: Units) -> str:
    """'Of 11 088 strips 8 120 are usable in nine hours of ten as tail wheel with 172 kg …'"""
    parts = [
        f"{row.nine_in_ten} as {row.configuration} with {show(row.payload, units.mass, digits=0)}"
        for row in rows
    ]
    if not parts:
        return "No strip of the table could be judged."
    return f"Of {rows[0].strips} strips these are usable in nine hours of ten: {'; '.join(parts)}."


def left_out_words(weather: Weather, units: Units) -> str:
    """Whose weather it is, how it came to each strip, and how many of its hours could not be used."""
    words = LAPSE_WORDS.format(
        site=weather.site.name, elevation=show(weather.site.elevation, units.height, digits=0)
    )
    if weather.problems:
        words += f" {len(weather.problems)} hours of the file could not be used."
    return words
