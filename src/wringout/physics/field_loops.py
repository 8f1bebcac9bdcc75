"""The compiled loops over conditions and rows: LANES conditions are laid out, then every row runs them."""

import numpy as np

from wringout.physics.compiled import compiled, inlined
from wringout.physics.field_landing_loop import AIRBORNE, LANDING_ROOM, ROLLED, landing_air, landing_run
from wringout.physics.field_rows import LandingRow, Pull, TakeOffRow
from wringout.physics.field_steps import BRAKES, CONDITIONS, FRICTION, LANES, SPOILT, Floats, Surfaces
from wringout.physics.field_takeoff_loop import MOVED, RUN, TAKE_OFF_ROOM, air_phase, ground_run

Pair = tuple[Floats, Floats]
Air = tuple[Floats, Surfaces]  # condition columns, shape (8, c), and the surface of each


@compiled
def take_off_loop(
    rows: Floats, friction: Floats, conditions: Air, outcome: Pair, span: tuple[int, int]
) -> None:
    """Fills ground rolls and distances, each of shape (rows, conditions), for a span of conditions."""
    room = np.zeros(TAKE_OFF_ROOM)
    rolls, distances = outcome
    for start in range(span[0], span[1], LANES):
        count = min(LANES, span[1] - start)
        _lay_out(conditions[0], start, count, room)
        for number in range(len(rows)):
            row = _take_off_row(rows[number])
            _look_up(friction[number], conditions[1], start, count, room, FRICTION)
            ground_run(row, room)
            air_phase(row, room)
            missing = _missing(rows[number])
            for i in range(count):
                spoilt = missing + room[SPOILT + i] + 0.0 * room[FRICTION + i]
                rolls[number, start + i] = room[RUN + i] + spoilt
                distances[number, start + i] = room[RUN + i] + room[MOVED + i] + spoilt


@compiled
def ground_run_loop(
    rows: Floats, friction: Floats, conditions: Air, outcome: Pair, span: tuple[int, int]
) -> None:
    """Fills the ground rolls alone, as `take_off_loop`."""
    room = np.zeros(TAKE_OFF_ROOM)
    rolls = outcome[0]
    for start in range(span[0], span[1], LANES):
        count = min(LANES, span[1] - start)
        _lay_out(conditions[0], start, count, room)
        for number in range(len(rows)):
            row = _take_off_row(rows[number])
            _look_up(friction[number], conditions[1], start, count, room, FRICTION)
            ground_run(row, room)
            missing = _missing(rows[number])
            for i in range(count):
                rolls[number, start + i] = (
                    room[RUN + i] + missing + room[SPOILT + i] + 0.0 * room[FRICTION + i]
                )


@compiled
def landing_loop(rows: Floats, friction: Pair, conditions: Air, outcome: Pair, span: tuple[int, int]) -> None:
    """As `take_off_loop`; friction is rolling and braking."""
    room = np.zeros(LANDING_ROOM)
    rolls, distances = outcome
    for start in range(span[0], span[1], LANES):
        count = min(LANES, span[1] - start)
        _lay_out(conditions[0], start, count, room)
        for number in range(len(rows)):
            row = _landing_row(rows[number])
            _look_up(friction[0][number], conditions[1], start, count, room, FRICTION)
            _look_up(friction[1][number], conditions[1], start, count, room, BRAKES)
            landing_air(row, room)
            landing_run(row, room)
            missing = _missing(rows[number])
            for i in range(count):
                spoilt = missing + room[SPOILT + i] + 0.0 * (room[FRICTION + i] + room[BRAKES + i])
                rolls[number, start + i] = room[ROLLED + i] + spoilt
                distances[number, start + i] = room[ROLLED + i] + room[AIRBORNE + i] + spoilt


@compiled
def _lay_out(columns: Floats, start: int, count: int, room: Floats) -> None:
    """Copies conditions into the lanes, the last into lanes left over; marks where a number is missing."""
    for i in range(LANES):
        room[SPOILT + i] = 0.0
    for number in range(CONDITIONS):
        for i in range(LANES):
            value = columns[number, start + min(i, count - 1)]
            room[number * LANES + i] = value
            room[SPOILT + i] += 0.0 * value


@compiled
def _look_up(table: Floats, surface: Surfaces, start: int, count: int, room: Floats, where: int) -> None:  # noqa: PLR0917
    for i in range(LANES):
        room[where + i] = table[surface[start + min(i, count - 1)]]


@compiled
def _missing(numbers: Floats) -> float:
    """0, or NaN where a number of the row is missing."""
    total = 0.0
    for number in numbers:
        total += 0.0 * number
    return total


@inlined
def _take_off_row(n: Floats) -> TakeOffRow:
    return TakeOffRow(
        _pull(n),
        n[15],
        n[16],
        n[17],
        n[18],
        n[19],
        n[20],
        n[21],
        n[22],
        n[23],
        n[24],
        n[25],
        n[26],
        n[27],
        n[28],
    )


@inlined
def _pull(n: Floats) -> Pull:
    return Pull(n[0], n[1], n[2], n[3], n[4], n[5], n[6], n[7], n[8], n[9], n[10], n[11], n[12], n[13], n[14])


@inlined
def _landing_row(n: Floats) -> LandingRow:
    return LandingRow(
        n[0],
        n[1],
        n[2],
        n[3],
        n[4],
        n[5],
        n[6],
        n[7],
        n[8],
        n[9],
        n[10],
        n[11],
        n[12],
        n[13],
        n[14],
        n[15],
        n[16],
        n[17],
    )
