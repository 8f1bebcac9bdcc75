"""Which manoeuvre belongs to which point of the test card."""

from collections import defaultdict
from dataclasses import replace

from wringout.dossier.card import CardPoint, PointKind
from wringout.manoeuvres.manoeuvre import Manoeuvre, ManoeuvreKind
from wringout.reduction.by_hand import MANOEUVRE_OF, by_hand, unheeded
from wringout.reduction.flown import Flight, clock, middle, seconds, span
from wringout.reduction.points import LeftOut

# Legs of one point fly at one indicated airspeed; a change beyond this begins the next point [m/s].
SPEED_STEP = 2.5

Assigned = tuple[tuple[CardPoint, tuple[Manoeuvre, ...]], ...]


def assign(flight: Flight) -> tuple[Assigned, tuple[LeftOut, ...]]:
    """Each card point with the manoeuvres flown for it, and what was left over.

    What the card ties to a point by a mark or a named manoeuvre belongs to it. A point with its as-flown
    start and end takes every other manoeuvre of its kind whose middle lies between them (level legs of one
    point are one speed group). Points that nothing ties take the remaining manoeuvres of their kind in order,
    each with a note that it was matched by elimination, but only where there are exactly as many: otherwise
    nobody can say which is which, and they are left out with the reason. A point that was not flown takes
    none. Steady turns belong to no point; they serve to find wind.
    """
    card = flight.card
    found = by_hand(flight)
    taken = {index for indices in found.values() for index in indices}
    left: list[LeftOut] = []
    for point in card.points:
        if point.start is None or point.end is None:
            continue
        start, end = seconds(flight, point.start), seconds(flight, point.end)
        inside = [
            index
            for index, manoeuvre in enumerate(flight.manoeuvres)
            if manoeuvre.kind == MANOEUVRE_OF[point.kind]
            and start <= middle(manoeuvre) <= end
            and index not in taken
        ]
        if inside:
            taken.update(inside)
            found[point.id] = sorted([*found.get(point.id, []), *inside])
        elif point.id not in found:
            window = f"{clock(flight, start)} and {clock(flight, end)} UTC"
            left.append(
                LeftOut(card.name, point.id, f"no {MANOEUVRE_OF[point.kind]} was found between {window}")
            )
    members = {
        identity: tuple(flight.manoeuvres[index] for index in indices) for identity, indices in found.items()
    }
    _assign_in_order(flight, taken, members, left)
    left.extend(
        LeftOut(card.name, point.id, f"not flown{': ' if point.note else ''}{point.note}")
        for point in card.points
        if not point.flown
    )
    left.extend(unheeded(flight))
    rest = [one for index, one in enumerate(flight.manoeuvres) if index not in taken and one.kind != "turn"]
    left.extend(_strays(flight, rest))
    return tuple((point, members[point.id]) for point in card.points if point.id in members), tuple(left)


def _strays(flight: Flight, rest: list[Manoeuvre]) -> list[LeftOut]:
    """Manoeuvres that belong to no point, one line a kind."""
    kinds = dict.fromkeys(one.kind for one in rest)
    left = []
    for kind in kinds:
        times = [span(flight, one) for one in rest if one.kind == kind]
        what = f"the {kind} of {times[0]} belongs" if len(times) == 1 else f"{len(times)} {kind}s belong"
        when = (
            ""
            if len(times) == 1
            else ": " + ", ".join(clock(flight, one.start) for one in rest if one.kind == kind) + " UTC"
        )
        left.append(LeftOut(flight.card.name, "", f"{what} to no point of the card{when}"))
    return left


def _assign_in_order(
    flight: Flight, taken: set[int], members: dict[str, tuple[Manoeuvre, ...]], left: list[LeftOut]
) -> None:
    untimed: dict[PointKind, list[CardPoint]] = defaultdict(list)
    for point in flight.card.points:
        if point.flown and point.id not in members and (point.start is None or point.end is None):
            untimed[point.kind].append(point)
    for kind, points in untimed.items():
        rest = [
            index
            for index, manoeuvre in enumerate(flight.manoeuvres)
            if manoeuvre.kind == MANOEUVRE_OF[kind] and index not in taken
        ]
        rest.sort(key=lambda index: flight.manoeuvres[index].start)
        runs = _speed_runs(flight, rest) if kind == "level" else [[index] for index in rest]
        if len(runs) == len(points):
            note = _by_elimination(len(points), MANOEUVRE_OF[kind])
            for point, run in zip(points, runs, strict=True):
                taken.update(run)
                members[point.id] = tuple(
                    replace(one, notes=(note, *one.notes))
                    for one in (flight.manoeuvres[index] for index in run)
                )
            continue
        what = "groups of level legs at one speed" if kind == "level" else f"{MANOEUVRE_OF[kind]} manoeuvres"
        reason = (
            f"{len(points)} {kind} points have no as-flown start and end, and {len(runs)} {what} are left "
            "for them; give each point its start and end, or flown = false"
            if runs
            else f"no {MANOEUVRE_OF[kind]} was found for it"
        )
        left.extend(LeftOut(flight.card.name, point.id, reason) for point in points)


def _by_elimination(count: int, kind: ManoeuvreKind) -> str:
    left = f"the only {kind} left" if count == 1 else f"one of {count} {kind}s left, in their order"
    return f"matched by elimination: the card does not say when it was flown, and it was {left}"


def _speed_runs(flight: Flight, legs: list[int]) -> list[list[int]]:
    """Level legs cut where indicated airspeed or engine speed steps.

    Without either every leg is its own run.
    """
    runs: list[list[int]] = []
    for index in legs:
        if runs and _same_speed(flight.manoeuvres[runs[-1][-1]], flight.manoeuvres[index]):
            runs[-1].append(index)
        else:
            runs.append([index])
    return runs


def _same_speed(one: Manoeuvre, other: Manoeuvre) -> bool:
    for channel, step in (("indicated_airspeed", SPEED_STEP), ("engine_speed", 1.0)):
        if channel in one.measures and channel in other.measures:
            return abs(one.measures[channel].value - other.measures[channel].value) < step
    return False
