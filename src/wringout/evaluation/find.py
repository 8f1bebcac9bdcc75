"""One card's raw logs → one recording, its smoothed track and the manoeuvres in it."""

from __future__ import annotations

import os
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from itertools import repeat
from multiprocessing import get_context

from wringout.airplane.airplane import Airplane
from wringout.dossier.card import Card
from wringout.dossier.dossier import Dossier
from wringout.evaluation.clocks import on_one_clock, with_reference_notes
from wringout.manoeuvres import TimedMark, TimedSpan, find
from wringout.manoeuvres.motion import Motion
from wringout.physics.aerodynamics import stall_speed
from wringout.physics.constants import SEA_LEVEL_DENSITY
from wringout.problems import InputError
from wringout.recordings import Recording, Track, merge, read, smooth
from wringout.reduction import Flight
from wringout.reduction.camera_points import with_camera_marks

# Only scales the finders' thresholds; between a clean wing's and a well flapped one's.
USUAL_MAXIMUM_LIFT = 1.8


def find_flight(dossier: Dossier, card: Card) -> Flight:
    """The flight of one card: read, cleaned, put on one clock, merged, smoothed and searched.

    Raises InputError naming the card and the recording that cannot be used.
    """
    try:
        logs = [read(dossier.root / item.path, item.mapping) for item in card.recordings]
    except InputError as error:
        raise InputError(*(problem.at(field=f"card {card.name}") for problem in error.problems)) from None
    recording = merge(on_one_clock(logs, [item.clock_offset for item in card.recordings]))
    recording = with_reference_notes(recording, card)
    return search(dossier.airplane, card, recording, smooth(recording))


def search(airplane: Airplane, card: Card, recording: Recording, track: Track) -> Flight:
    """The flight of a recording that is read and smoothed, with what the card's marks and spans say of it."""
    marks, spans = _said(card, recording)
    manoeuvres = find(recording, track, usual_stall_speed(airplane), marks, spans)
    return Flight(card, recording, track, manoeuvres)


def left_out_spans(flight: Flight) -> tuple[tuple[float, float], ...]:
    """From when to when [s] the card says that nothing counts, as the finders take it."""
    marks, spans = _said(flight.card, flight.recording)
    return Motion(flight.recording, flight.track, 1.0, marks, spans).excluded


def _said(card: Card, recording: Recording) -> tuple[tuple[TimedMark, ...], tuple[TimedSpan, ...]]:
    """The card's marks, those of its cameras and its named spans, in the recording's own seconds."""
    marks = tuple(
        TimedMark(
            time=(mark.time - recording.start).total_seconds(),
            kind=mark.kind,
            time_sd=mark.time_sd,
            note=mark.note,
        )
        for mark in card.marks
    )
    spans = tuple(
        TimedSpan(
            start=(named.start - recording.start).total_seconds(),
            end=(named.end - recording.start).total_seconds(),
            kind=named.kind,
            note=named.note,
        )
        for named in card.manoeuvres
    )
    return with_camera_marks(card, recording.start, marks), spans


def find_each(dossier: Dossier, cards: tuple[Card, ...]) -> Iterator[Flight]:
    """The flights of several cards in turn, searched on every core; errors as `find_flight`."""
    workers = min(len(cards), os.cpu_count() or 1)
    if workers < 2:
        yield from (find_flight(dossier, card) for card in cards)
        return
    done = 0
    try:
        # Fresh interpreters: a forked one would inherit the locks of threads that libraries have started.
        with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
            for flight in pool.map(find_flight, repeat(dossier), cards):
                done += 1
                yield flight
    except (
        BrokenProcessPool
    ):  # a calling script that cannot be imported anew, or no memory for a second process
        yield from (find_flight(dossier, card) for card in cards[done:])


def usual_stall_speed(airplane: Airplane) -> float:
    """About where this airplane stalls at its maximum mass [m/s], from its wing loading alone."""
    mass = max(envelope.maximum_takeoff_mass for envelope in airplane.envelopes)
    return float(stall_speed(mass, SEA_LEVEL_DENSITY, airplane.geometry.wing_area, USUAL_MAXIMUM_LIFT))
