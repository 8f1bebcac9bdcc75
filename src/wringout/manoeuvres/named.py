"""Steady flight that an evaluator named on the card, in place of what the finders make of the same span."""

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from wringout.manoeuvres import climb_glide, level_leg, turn
from wringout.manoeuvres.manoeuvre import Event, Manoeuvre
from wringout.manoeuvres.mark import TimedSpan
from wringout.manoeuvres.motion import Motion

SHARED = 0.5  # of the shorter of the two; what shares more with a named span gives way to it
DECISIVE = frozenset({"lift-off", "touchdown", "break"})
KNOWN = 0.8  # of a span's samples at which the path must be measured
EDGE_SD = 0.5  # s by which a boundary set by hand may be off
REASON = "set by hand on the card"

_MEASURE: dict[str, Callable[[Motion, float, float], Manoeuvre | None]] = {
    "level leg": level_leg.measured,
    "climb": lambda motion, start, end: climb_glide.measured(motion, 1, start, end),
    "glide": lambda motion, start, end: climb_glide.measured(motion, -1, start, end),
    "turn": turn.measured,
}


def with_named(motion: Motion, found: Sequence[Manoeuvre]) -> list[Manoeuvre]:
    """What was found and is not contradicted, and each span that was named, measured from edge to edge.

    A named span that cannot be measured (too short, outside the record, no full circle) gives nothing, and
    what was found there gives way all the same.
    """
    named = [span for span in motion.spans if span.kind != "none"]
    kept = [
        each for each in found if _counts(motion, each) and not any(_gives_way(each, span) for span in named)
    ]
    return [*kept, *(each for span in named if (each := _measured(motion, span)) is not None)]


def _counts(motion: Motion, found: Manoeuvre) -> bool:
    """Whether its decisive moment and half of its span lie outside of what is excluded.

    Standing still after a landing that does not count is no reason to find it.
    """
    moments = [event.time for event in found.events if event.name in DECISIVE]
    shared = sum(max(min(found.end, end) - max(found.start, start), 0.0) for start, end in motion.excluded)
    return shared <= SHARED * (found.end - found.start) and not any(
        start <= moment <= end for start, end in motion.excluded for moment in moments
    )


def _gives_way(found: Manoeuvre, span: TimedSpan) -> bool:
    shared = min(found.end, span.end) - max(found.start, span.start)
    return shared > SHARED * min(found.end - found.start, span.end - span.start)


def _measured(motion: Motion, span: TimedSpan) -> Manoeuvre | None:
    inside = motion.between(span.start, span.end)
    if inside.stop - inside.start < 4 or np.mean(motion.known[inside]) < KNOWN:
        return None
    made = _MEASURE[span.kind](motion, span.start, span.end)
    if made is None:
        return None
    events = (Event("start", span.start, EDGE_SD, REASON), Event("end", span.end, EDGE_SD, REASON))
    notes = (f"its span is {REASON}", *([span.note] if span.note else []), *made.notes)
    return replace(made, events=events, notes=notes)
