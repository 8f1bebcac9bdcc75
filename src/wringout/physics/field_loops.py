"""The compiled loops over conditions and rows: LANES conditions are laid out, then every row runs them."""

import numpy as np

from wringout.physics.compiled import compiled, inlined
from wringout.physics.field_landing_loop import AIRBORNE, LANDING_ROOM, ROLLED, landing_air, landing_run
from wringout.physics.field_rows import LandingRow, Pull, TakeOffRow
from wringout.physics.field_steps import BRAKES, CONDITIONS, FRICTION, LANES, SPOILT, Floats, Surfaces
from wringout.physics.field_takeoff_loop import AIR, RUN, TAKE_OFF_ROOM, air_phase, ground_run

Pair = tuple[Floats, Floats]
Air = tuple[Floats, Surfaces]  # condition columns, shape (7, c), and the surface of each


@compiled
def take_off_loop(
    rows: Floats, friction: Floats, conditions: Air, outcome: Pair, span: tuple[int, int]
) -> None:
    """Fills ground rolls and distances, each of shape (rows, conditions), for a span of conditions."""
    room, kinds = np.zeros(TAKE_OFF_ROOM), np.zeros(LANES, np.int64)
    rolls, distances = outcome
    for start in range(span[0], span[1], LANES):
        count = min(LANES, span[1] - start)
        _lay_out(conditions, start, count, room, kinds)
        for number in range(len(rows)):
            row = _take_off_row(rows[number])
            _look_up(friction[number], kinds, room, FRICTION)
            ground_run(row, room)
            air_phase(row, room)
            roll, distance = rolls[number, start : start + count], distances[number, start : start + count]
            for i in range(count):
                spoilt = room[SPOILT + i] + 0.0 * room[FRICTION + i]
                roll[i] = room[RUN + i] + spoilt
                distance[i] = room[RUN + i] + room[AIR + i] + spoilt


@compiled
def ground_run_loop(
    rows: Floats, friction: Floats, conditions: Air, outcome: Pair, span: tuple[int, int]
) -> None:
    """Fills the ground rolls alone, as `take_off_loop`."""
    room, kinds = np.zeros(TAKE_OFF_ROOM), np.zeros(LANES, np.int64)
    rolls = outcome[0]
    for start in range(span[0], span[1], LANES):
        count = min(LANES, span[1] - start)
        _lay_out(conditions, start, count, room, kinds)
        for number in range(len(rows)):
            row = _take_off_row(rows[number])
            _look_up(friction[number], kinds, room, FRICTION)
            ground_run(row, room)
            roll = rolls[number, start : start + count]
            for i in range(count):
                roll[i] = room[RUN + i] + room[SPOILT + i] + 0.0 * room[FRICTION + i]


@compiled
def landing_loop(rows: Floats, friction: Pair, conditions: Air, outcome: Pair, span: tuple[int, int]) -> None:
    """As `take_off_loop`; friction is rolling and braking."""
    room, kinds = np.zeros(LANDING_ROOM), np.zeros(LANES, np.int64)
    rolls, distances = outcome
    for start in range(span[0], span[1], LANES):
        count = min(LANES, span[1] - start)
        _lay_out(conditions, start, count, room, kinds)
        for number in range(len(rows)):
            row = _landing_row(rows[number])
            _look_up(friction[0][number], kinds, room, FRICTION)
            _look_up(friction[1][number], kinds, room, BRAKES)
            landing_air(row, room)
            landing_run(row, room)
            roll, distance = rolls[number, start : start + count], distances[number, start : start + count]
            for i in range(count):
                spoilt = room[SPOILT + i] + 0.0 * (room[FRICTION + i] + room[BRAKES + i])
                roll[i] = room[ROLLED + i] + spoilt
                distance[i] = room[ROLLED + i] + room[AIRBORNE + i] + spoilt


@compiled
def _lay_out(conditions: Air, start: int, count: int, room: Floats, kinds: Surfaces) -> None:
    """Copies conditions into the lanes, the last into lanes left over; marks where a number is missing."""
    columns, surface = conditions
    for i in range(LANES):
        kinds[i] = surface[start + min(i, count - 1)]
        room[SPOILT + i] = 0.0
    for number in range(CONDITIONS):
        for i in range(LANES):
            value = columns[number, start + min(i, count - 1)]
            room[number * LANES + i] = value
            room[SPOILT + i] += 0.0 * value


@compiled
def _look_up(table: Floats, kinds: Surfaces, room: Floats, where: int) -> None:
    for i in range(LANES):
        room[where + i] = table[kinds[i]]


@inlined
def _take_off_row(n: Floats) -> TakeOffRow:
    return TakeOffRow(
        _pull(n),
        n[14],
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
    )


@inlined
def _pull(n: Floats) -> Pull:
    return Pull(n[0], n[1], n[2], n[3], n[4], n[5], n[6], n[7], n[8], n[9], n[10], n[11], n[12], n[13])


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
        n[18],
    )
