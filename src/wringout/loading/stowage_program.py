"""The mixed-integer programme of stowage: what lies where, cut until the envelope itself agrees."""

from __future__ import annotations

import heapq
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import count as counting

import numpy as np
from numpy.typing import NDArray

from wringout.loading.burn_limits import BurnLimits, Cut, Side
from wringout.loading.envelope import MASS_ROUNDING
from wringout.loading.envelope_pieces import Pieces
from wringout.loading.quiet_solver import solved
from wringout.loading.stowage_rows import Rows, StowageProblem, rows_of

FloatArray = NDArray[np.float64]

_SIDES: tuple[Side, ...] = ("forward", "aft")
_MOST_ROUNDS = 2000
_ROUNDS_OF_PARTS = 40  # kilograms are only sought to a hundredth


@dataclass(frozen=True, slots=True)
class Stowing:
    """An answer: pieces by (wish, station's name), ballast [kg] by station, the gain reached.

    `part` kilograms of the load that is cut to fit lie at `part_station`. `moments` [kg·m] are those of the
    `payload` [kg] with every station with a range of arms at its forward, and at its aft end; `within` is
    the part of the envelope that the burn runs through. `verified` where the envelope agrees, which where
    kilograms are sought may take too many rounds at a step of the envelope.
    """

    pieces: Mapping[tuple[int, str], int]
    ballast: Mapping[str, float]
    part: float
    part_station: str | None
    reached: float
    payload: float
    moments: tuple[float, float]
    within: Pieces
    verified: bool = False


@dataclass(order=True, slots=True)
class _Node:
    """A span of payloads [kg] within one part of the envelope, the cuts that hold there, what came of it."""

    bound: float
    order: int
    pieces: Pieces = field(compare=False)
    span: tuple[float, float] = field(compare=False)
    cuts: tuple[Cut, ...] = field(compare=False)
    answer: Stowing | None = field(compare=False, default=None)


def solve(
    problem: StowageProblem,
    gain: Sequence[float],
    *,
    tolerance: float = 0.0,
) -> Stowing | None:
    """The stowing with the greatest gain that every limit allows in every state; None where there is none.

    Parameters
    ----------
    problem : StowageProblem
    gain : sequence of float
        For a piece, or a kilogram of ballast, of each of the problem's columns; then, where it goes on, for a
        piece of each wish wherever it lies. With a `part`, the kilograms of it that go count instead.
    tolerance : float
        By how much a moment [kg·m] may miss where kilograms are sought rather than pieces.

    Notes
    -----
    Straight edges of (CG, mass) are curved in (mass, moment): the programme has lines, each answer is tested
    against the envelope itself, and a line exact at its payload is added where it fails. Where the allowed
    moments bulge the wrong way no single line will do, and the payloads are parted there, each side with a
    line of its own; the parts are searched best first, so that what passes is the best [derived].
    """
    made = rows_of(problem)
    aim = np.zeros(len(made.upper))
    aim[: len(gain)] = -np.asarray(gain, dtype=np.float64)
    if problem.part is not None:
        aim[list(made.part)] = -1.0
    order = counting()
    queue = [
        _Node(-math.inf, next(order), pieces, span, ())
        for pieces in problem.limits.pieces
        if (span := _span(problem.limits, pieces)) is not None
    ]
    queue = [replace(node, cuts=_first_cuts(problem.limits, node)) for node in queue]
    slack: dict[tuple[Side, int], float] = {}
    heapq.heapify(queue)
    for round_ in range(_MOST_ROUNDS):
        if not queue:
            return None
        node = heapq.heappop(queue)
        if node.answer is not None:
            return node.answer
        solution = _programme(made, aim, node)
        if solution is None:
            continue
        found = _stowing(problem, made, solution[0], -solution[1], node.pieces)
        failing = _failing(problem.limits, found, tolerance)
        if failing is None or (tolerance > 0.0 and round_ >= _ROUNDS_OF_PARTS):
            answer = replace(found, verified=failing is None)
            if not queue or solution[1] <= queue[0].bound:
                return answer
            heapq.heappush(queue, replace(node, bound=solution[1], order=next(order), answer=answer))
            continue
        for child in _children(problem.limits, node, found, failing, slack):
            heapq.heappush(queue, replace(child, bound=solution[1], order=next(order)))
    raise RuntimeError(f"the envelope was cut {_MOST_ROUNDS} times without agreeing with the programme")


def _span(limits: BurnLimits, pieces: Pieces) -> tuple[float, float] | None:
    """The payloads [kg] with which the whole burn is as heavy as a part of the envelope is."""
    empty = limits.empty.mass.value
    least = max(limits.least, float(pieces.corners[0]) - empty)
    most = limits.most_payload
    if pieces.corners[-1] < max(mass for _, mass in limits.envelope.vertices):
        most = min(most, float(pieces.corners[-1]) - empty - float(limits.fuel_mass.max()))
    low, high = max(least, 0.0) - MASS_ROUNDING, most + MASS_ROUNDING
    return (low, high) if low <= high else None


def _first_cuts(limits: BurnLimits, node: _Node) -> tuple[Cut, ...]:
    """Lines that hold over the whole span, to begin with."""
    low, high = node.span
    cuts = []
    for payload in (low, 0.5 * (low + high), high):
        inside = min(max(payload, low, 0.0), high - MASS_ROUNDING) if high > MASS_ROUNDING else 0.0
        for side in _SIDES:
            below, above = limits.cuts(inside, side, node.pieces, node.span)
            if below is not None and below == above and math.isfinite(below.offset):
                cuts.append(below)
    return tuple(dict.fromkeys(cuts))


def _failing(limits: BurnLimits, found: Stowing, tolerance: float) -> tuple[Side, float] | None:
    """The side on which an answer is outside the envelope, and by how much [kg·m]."""
    allowed = limits.allowed(found.payload, found.within)
    low, high = found.moments
    aft, forward = low - allowed.high, allowed.low - high
    if max(aft, forward) <= tolerance:
        return None
    return ("aft", aft) if aft >= forward else ("forward", forward)


def _children(
    limits: BurnLimits,
    node: _Node,
    found: Stowing,
    failing: tuple[Side, float],
    slack: dict[tuple[Side, int], float],
) -> list[_Node]:
    side, _ = failing
    payload = min(max(found.payload, node.span[0]), node.span[1])
    below, above = limits.cuts(payload, side, node.pieces, node.span)
    # The solver's own tolerance may let one answer pass again: then the line is drawn a little nearer.
    again = (side, round(payload * 1e6))
    nearer = slack[again] = max(slack.get(again, 0.0) * 10.0, 0.0)
    slack[again] = max(slack[again], 1e-9)
    sign = 1.0 if side == "aft" else -1.0

    def moved(cut: Cut) -> Cut:
        return replace(cut, offset=cut.offset - sign * nearer)

    if below is not None and below == above:
        return [replace(node, cuts=(*node.cuts, moved(below)))]
    children = []
    if below is not None:
        children.append(replace(node, span=(node.span[0], payload), cuts=(*node.cuts, moved(below))))
    if above is not None:
        children.append(replace(node, span=(payload, node.span[1]), cuts=(*node.cuts, moved(above))))
    return children


def _programme(made: Rows, aim: FloatArray, node: _Node) -> tuple[FloatArray, float] | None:
    lines = [made.moment - cut.slope * made.mass for cut in node.cuts]
    low = [cut.offset if cut.side == "forward" else -np.inf for cut in node.cuts]
    high = [cut.offset if cut.side == "aft" else np.inf for cut in node.cuts]
    return solved(
        aim,
        integer=made.integer,
        bounds=(made.lower, made.upper),
        matrix=np.vstack([made.matrix, made.mass, *lines]),
        low=np.concatenate([made.low, [node.span[0]], low]),
        high=np.concatenate([made.high, [node.span[1]], high]),
    )


def _stowing(
    problem: StowageProblem, made: Rows, values: FloatArray, reached: float, within: Pieces
) -> Stowing:
    """The answer with its pieces made whole, and all the moments that the ranges of arms leave open."""
    pieces: dict[tuple[int, str], int] = {}
    ballast: dict[str, float] = {}
    masses = np.zeros(len(problem.stations))
    for column, value in zip(made.columns, values, strict=False):
        name = problem.stations[column.station].name
        if column.wish is None:
            if value > MASS_ROUNDING:
                ballast[name] = ballast.get(name, 0.0) + float(value)
                masses[column.station] += value
        elif round(value):
            pieces[column.wish, name] = round(value)
            masses[column.station] += column.mass * round(value)
    part, part_station = 0.0, None
    for index, station in zip(made.part, made.part_stations, strict=True):
        part += float(values[index])
        masses[station] += values[index]
        if values[index + 1] > 0.5:
            part_station = problem.stations[station].name
    low, high = (
        math.fsum(
            mass * pick(station.arm, station.arm_aft)
            for mass, station in zip(masses, problem.stations, strict=True)
        )
        for pick in (min, max)
    )
    payload = math.fsum(masses)
    return Stowing(pieces, ballast, part, part_station, reached, payload, (low, high), within)
