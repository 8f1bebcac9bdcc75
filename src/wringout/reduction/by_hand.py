"""What the card's own marks and named manoeuvres tie to its points, and which of them fit nothing."""

from collections.abc import Iterator

from wringout.dossier.card import Mark, MarkKind, NamedManoeuvre, PointKind
from wringout.manoeuvres.manoeuvre import Manoeuvre, ManoeuvreKind
from wringout.reduction.flown import Flight, clock, seconds
from wringout.reduction.points import LeftOut

MANOEUVRE_OF: dict[PointKind, ManoeuvreKind] = {
    "level": "level leg",
    "climb": "climb",
    "glide": "glide",
    "stall": "stall",
    "take-off": "take-off",
    "landing": "landing",
}
# The event that a mark makes; a mark of another kind makes none.
EVENT_OF: dict[MarkKind, str] = {
    "start of roll": "start of roll",
    "lift-off": "lift-off",
    "obstacle": "obstacle",
    "touchdown": "touchdown",
    "full stop": "full stop",
    "stall break": "break",
    "stall warning": "warning",
}
# A camera's clock may have put the event of a mark elsewhere by as much [s].
SAME_MOMENT = 10.0
SAME_EDGE = 1e-3  # s


def by_hand(flight: Flight) -> dict[str, list[int]]:
    """Indices of the manoeuvres that the card ties to a point, by the point's id; each to one point only."""
    kinds = {point.id: MANOEUVRE_OF[point.kind] for point in flight.card.points}
    tied: dict[int, str] = {}
    for named in flight.card.manoeuvres:
        for index, manoeuvre in enumerate(flight.manoeuvres):
            if named.point in kinds and _is_named(flight, named, manoeuvre):
                tied.setdefault(index, named.point)
    for mark in flight.card.marks:
        for index, manoeuvre in enumerate(flight.manoeuvres):
            of_kind = mark.point in kinds and manoeuvre.kind == kinds[mark.point]
            if of_kind and _is_marked(flight, mark, manoeuvre):
                tied.setdefault(index, mark.point or "")
    found: dict[str, list[int]] = {}
    for index in sorted(tied):
        found.setdefault(tied[index], []).append(index)
    return found


def unheeded(flight: Flight) -> Iterator[LeftOut]:
    """Marks and named manoeuvres that fit nothing in the recording, with the reason."""
    for mark in flight.card.marks:
        if mark.kind in EVENT_OF and not any(_is_marked(flight, mark, one) for one in flight.manoeuvres):
            when = clock(flight, seconds(flight, mark.time))
            reason = f"the mark '{mark.kind}' of {when} UTC fits nothing that was found"
            yield LeftOut(flight.card.name, mark.point or "", reason)
    for named in flight.card.manoeuvres:
        if named.kind != "none" and not any(_is_named(flight, named, one) for one in flight.manoeuvres):
            start, end = (clock(flight, seconds(flight, moment)) for moment in (named.start, named.end))
            reason = (
                f"the {named.kind} named from {start} to {end} UTC cannot be measured: it is too short, "
                "unsteady or not in the recording"
            )
            yield LeftOut(flight.card.name, named.point or "", reason)


def _is_named(flight: Flight, named: NamedManoeuvre, manoeuvre: Manoeuvre) -> bool:
    return (
        manoeuvre.kind == named.kind
        and abs(manoeuvre.start - seconds(flight, named.start)) < SAME_EDGE
        and abs(manoeuvre.end - seconds(flight, named.end)) < SAME_EDGE
    )


def _is_marked(flight: Flight, mark: Mark, manoeuvre: Manoeuvre) -> bool:
    event, moment = EVENT_OF.get(mark.kind), seconds(flight, mark.time)
    return any(one.name == event and abs(one.time - moment) < SAME_MOMENT for one in manoeuvre.events)
