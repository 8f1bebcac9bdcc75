"""Several logs of one flight, put on one clock; and what their heights and tracks count from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

import numpy as np

from wringout.dossier.card import Card
from wringout.quantity.estimate import Estimate
from wringout.recordings import Recording
from wringout.recordings.alignment import clock_offset
from wringout.recordings.references import (
    GroundReading,
    height_note,
    height_offset,
    track_note,
    track_offset,
)

SURE = 0.5  # s, standard uncertainty; a measured offset less sure moves no clock
SIGNIFICANT = 3.0  # standard uncertainties


def on_one_clock(recordings: Sequence[Recording], stated: Sequence[float | None]) -> tuple[Recording, ...]:
    """The logs with each clock moved: by what the card states, or else by what their signals tell.

    The log with most positions is the clock that the others are held against. A stated offset is kept and
    compared; where none is stated, a measured one is applied if its standard uncertainty is below half a
    second and it exceeds three of them. What was done, and what was found, stands in each log's notes.

    Parameters
    ----------
    recordings
        Logs of one flight.
    stated
        Seconds that the card adds to each log's times, None where it says nothing. [s]
    """
    moved = [_moved(recording, seconds or 0.0) for recording, seconds in zip(recordings, stated, strict=True)]
    if len(moved) < 2:
        return tuple(moved)
    reference = max(moved, key=_positions)
    return tuple(
        recording if recording is reference else _held_against(reference, recording, seconds)
        for recording, seconds in zip(moved, stated, strict=True)
    )


def _positions(recording: Recording) -> int:
    latitude = recording.channels.get("latitude")
    return 0 if latitude is None else int(np.count_nonzero(np.isfinite(latitude)))


def _held_against(reference: Recording, recording: Recording, stated: float | None) -> Recording:
    measured = clock_offset(reference, recording)
    if measured is None:
        note = f"its clock could not be held against that of {reference.name}: no height or speed tells"
        return _noted(recording, note)
    sd = measured.sd or 0.0
    significant = abs(measured.value) > SIGNIFICANT * sd
    told = _told(measured)
    if stated is not None:
        whole = f"{stated + measured.value:+.1f} ± {sd:.1f} s"
        if significant:
            note = (
                f"the card moves its clock by {stated:+.1f} s, and {measured.source} say {whole}: "
                "the card's word is kept, look at it again"
            )
        else:
            note = f"its clock is moved by {stated:+.1f} s as the card says; {measured.source} say {whole}"
        return _noted(recording, note)
    if significant and sd < SURE:
        note = f"its clock is moved by {told} onto that of {reference.name}; a clock_offset overrules it"
        return _noted(_moved(recording, measured.value), note)
    if significant:
        return _noted(recording, f"its clock may be off by {told}, which is too unsure to move it")
    return _noted(recording, f"its clock agrees with that of {reference.name}: {told} would be added")


def _told(measured: Estimate) -> str:
    return f"{measured.value:+.1f} ± {measured.sd or 0.0:.1f} s ({measured.source})"


def _moved(recording: Recording, seconds: float) -> Recording:
    return replace(recording, start=recording.start + timedelta(seconds=seconds)) if seconds else recording


def _noted(recording: Recording, *notes: str) -> Recording:
    return replace(recording, notes=(*recording.notes, *notes))


def with_reference_notes(recording: Recording, card: Card) -> Recording:
    """The recording with notes where its heights or tracks count from something else than the card says."""
    readings = [
        GroundReading(
            (item.time - recording.start).total_seconds(), item.elevation, item.qnh, item.temperature
        )
        for item in card.weather
    ]
    heights, tracks = height_offset(recording, readings), track_offset(recording)
    found = (
        None if heights is None else height_note(heights, card.height_reference),
        None if tracks is None else track_note(tracks),
    )
    return _noted(recording, *(note for note in found if note is not None))
