"""The compiled take-off: the ground run by quadrature, then the arc and the climb of `takeoff_climb`.

Forces are over the weight, energies are heights, and the path's angle to the strip is known by its sine.
"""

import math
from typing import NamedTuple

from wringout.physics.compiled import compiled, inlined
from wringout.physics.constants import GRAVITY, SEA_LEVEL_DENSITY
from wringout.physics.field_rows import TakeOffRow
from wringout.physics.field_steps import (
    CHARGED,
    COSINE,
    DENSITY,
    FRICTION,
    GAIN,
    HARD,
    HARD_NODES,
    HARD_SHARES,
    LANES,
    RATIO,
    ROLL_NODES,
    ROLL_SHARES,
    SHARED,
    SINE,
    WARM,
    WIND,
    Floats,
    Given,
    disk_root,
    power,
    thrust,
)

(
    PUSH,
    CONSTANT,
    ROOT,
    INVERSE,
    SPEED,
    LEAST,
    MOST,
    SUM,
    FIRST,
    LAST,
    RISE,
    PATH,
    KINETIC,
    HEIGHT,
    MOVED,
    _GUST,
    AWAY,
    _AWAY_KINETIC,
    _AWAY_HEIGHT,
    _AWAY_MOVED,
    _AWAY_GUST,
    CLIMB,
    RISES,
    STEEPER,
    BEFORE,
    CLOSE,
    RUN,
) = (LANES * (SHARED + n) for n in range(27))
TAKE_OFF_ROOM = (SHARED + 27) * LANES
MOST_STEEPER = 0.3
ARC_STEPS = 6
CORRECTIONS = (2, 4)  # steps of the straight climb before each
STRAIGHT_STEPS = 4
POWER = 2.0


class Case(NamedTuple):
    """What a step needs of one condition."""

    given: Given
    sine: float
    cosine: float
    wind: float
    scale: float  # of the wind's growth
    first: float
    last: float
    rise: float


class State(NamedTuple):
    """Sine of the path's angle to the strip, kinetic height, height, ground covered, head wind gained."""

    path: float
    kinetic: float
    height: float
    moved: float
    gust: float


@inlined
def _case(row: TakeOffRow, room: Floats, i: int) -> Case:
    return Case(
        Given(room[DENSITY + i], room[PUSH + i], room[CONSTANT + i], room[ROOT + i], room[INVERSE + i]),
        room[SINE + i],
        room[COSINE + i],
        room[WIND + i],
        room[GAIN + i] * row.wind_scale,
        room[FIRST + i],
        room[LAST + i],
        room[RISE + i],
    )


@inlined
def _state(room: Floats, where: int, i: int) -> State:
    return State(
        room[where + i],
        room[where + LANES + i],
        room[where + 2 * LANES + i],
        room[where + 3 * LANES + i],
        room[where + 4 * LANES + i],
    )


@inlined
def _near(row: TakeOffRow, height: float) -> tuple[float, float]:
    """Share of the induced drag that the ground leaves, and one over the wing's height above the strip."""
    above = row.wing_height + max(height, 0.0)
    square = row.nearness * above * above
    inverse = 1 / (above * (1 + square))
    return square * above * inverse, (1 + square) * inverse


@inlined
def _change(row: TakeOffRow, case: Case, state: State, arc: float) -> State:
    """Change of the state per length: on the arc where `arc` is 1, straight where 0."""
    kinetic = max(state.kinetic, case.first / 4)
    over = 1 / kinetic
    speed = math.sqrt(2 * GRAVITY * kinetic)
    slowness = speed * over / (2 * GRAVITY)
    effect, closeness = _near(row, state.height)
    level = math.sqrt(max(1 - state.path * state.path, 0.01))
    burden = state.path * case.cosine + level * case.sine
    across = level * case.cosine - state.path * case.sine
    excess = arc * (row.load * max(kinetic / case.first, 1.0) - across)
    heavy = row.pressing * case.given.density
    pressure = heavy * kinetic
    off = across + excess - row.offset * pressure
    drag = pressure * row.zero_lift_drag + effect * row.induced * off * off * over / heavy
    pull = thrust(row.pull, case.given, speed)
    freshening = case.scale * closeness * state.path
    return State(
        level * excess * over / 2,
        pull - drag - burden + speed / GRAVITY * freshening,
        state.path,
        level - (case.wind + state.gust) * slowness,
        freshening,
    )


@inlined
def _on(state: State, step: float, change: State) -> State:
    return State(
        state.path + step * change.path,
        state.kinetic + step * change.kinetic,
        state.height + step * change.height,
        state.moved + step * change.moved,
        state.gust + step * change.gust,
    )


@inlined
def _step(row: TakeOffRow, case: Case, state: State, change: State, step: float, arc: float) -> State:  # noqa: PLR0917
    """Butcher's Runge–Kutta step of the fifth order [Butcher1964, from memory], the first change known."""
    a = _change(row, case, _on(state, step / 4, change), arc)
    b = _change(row, case, _on(_on(state, step / 8, change), step / 8, a), arc)
    c = _change(row, case, _on(_on(state, -step / 2, a), step, b), arc)
    d = _change(row, case, _on(_on(state, step * 3 / 16, change), step * 9 / 16, c), arc)
    part = _on(_on(_on(state, step * -3 / 7, change), step * 2 / 7, a), step * 12 / 7, b)
    e = _change(row, case, _on(_on(part, step * -12 / 7, c), step * 8 / 7, d), arc)
    ends = _on(_on(state, step * 7 / 90, change), step * 7 / 90, e)
    return _on(_on(_on(ends, step * 32 / 90, b), step * 12 / 90, c), step * 32 / 90, d)


@compiled
def _prepare(row: TakeOffRow, room: Floats) -> None:
    """Speeds, power and the disk's constants of every lane."""
    for i in range(LANES):
        density = room[DENSITY + i]
        push = power(row.pull, room[RATIO + i], room[CHARGED + i], room[WARM + i])
        constant = max(row.pull.useful * push / density, 1e-9)
        root = disk_root(row.pull, constant)
        true = math.sqrt(SEA_LEVEL_DENSITY / density)
        lift_off, obstacle = row.lift_off * true, row.obstacle * true + row.kept * room[GAIN + i]
        room[PUSH + i] = row.pull.pitch * push
        room[CONSTANT + i] = constant
        room[ROOT + i] = root
        room[INVERSE + i] = 1 / root
        room[SPEED + i] = lift_off
        room[FIRST + i] = lift_off * lift_off / (2 * GRAVITY)
        room[LAST + i] = obstacle * obstacle / (2 * GRAVITY)
        room[RISE + i] = row.obstacle_height * room[COSINE + i]


@inlined
def _acceleration(row: TakeOffRow, case: Case, friction: float, speed: float) -> float:
    """Over g, wheels on the ground."""
    pull = thrust(row.pull, case.given, speed)
    pressure = case.given.density * speed * abs(speed)
    wheels = max(case.cosine - row.roll_lift * abs(pressure), 0.0)
    return pull - row.roll_drag * pressure - friction * wheels - case.sine


@compiled
def ground_run(row: TakeOffRow, room: Floats) -> None:
    """Fills RUN."""
    _prepare(row, room)
    for i in range(LANES):
        room[SUM + i] = 0.0
        room[LEAST + i] = math.inf
        room[MOST + i] = 0.0
    for node in range(len(ROLL_NODES)):
        place, share = ROLL_NODES[node], ROLL_SHARES[node]
        for i in range(LANES):
            start = min(room[WIND + i], room[SPEED + i])
            speed = start + place * (room[SPEED + i] - start)
            gained = _acceleration(row, _case(row, room, i), room[FRICTION + i], speed)
            room[LEAST + i] = min(room[LEAST + i], gained)
            room[MOST + i] = max(room[MOST + i], gained)
            room[SUM + i] += share / gained
    for i in range(LANES):
        span = room[SPEED + i] - min(room[WIND + i], room[SPEED + i])
        room[RUN + i] = span * span / GRAVITY * room[SUM + i]
    for i in range(LANES):
        if not room[LEAST + i] > HARD * room[MOST + i]:
            room[RUN + i] = _hard_run(row, room, i)


@compiled
def _hard_run(row: TakeOffRow, room: Floats, i: int) -> float:
    """The ground run of an airplane that hardly accelerates, infinite where it does not."""
    case = _case(row, room, i)
    friction = room[FRICTION + i]
    start = min(case.wind, room[SPEED + i])
    span = room[SPEED + i] - start
    least, total = math.inf, 0.0
    for node in range(len(HARD_NODES)):
        gained = _acceleration(row, case, friction, start + HARD_NODES[node] * span)
        least = min(least, gained)
        total += HARD_SHARES[node] / gained
    distance: float = span * span / GRAVITY * total if least > 0 or math.isnan(least) else math.inf
    return distance


@inlined
def _to_leave(case: Case, state: State, change: State, bend: float, climb: float, steeper: float) -> float:  # noqa: PLR0917
    """How much farther the arc goes, by its present gradients and its curvature.

    Energy asks that γ E = G D where it is left, E the energy height still wanted, D the height, G the
    gradient of the straight climb, which changes with γ: a quadratic in the length. Where it has no root
    ahead, the arc reaches the obstacle itself.
    """
    spare = change.kinetic + change.height
    below = case.rise - state.height
    wanted = case.last - state.kinetic + below
    constant = state.path * wanted - climb * below
    linear = bend * (wanted - steeper * below) + state.path * (climb - spare)
    square = bend * (climb / 2 - spare + steeper * state.path)
    under = linear + math.sqrt(max(linear * linear - 4 * square * constant, 0.0))
    leaves = -2 * constant / under if under > 1e-12 else (math.inf if constant < 0 else -math.inf)
    reaches = 2 * below / (state.path + math.sqrt(max(state.path * state.path + 2 * bend * below, 1e-12)))
    return min(leaves, reaches)


@compiled
def _level(row: TakeOffRow, room: Floats) -> None:
    """Where the arc begins; what energy height is gained in flight along the strip, by Simpson's rule."""
    for i in range(LANES):
        case = _case(row, room, i)
        start = State(0.0, case.first, 0.0, 0.0, 0.0)
        half = State(0.0, (case.first + case.last) / 2, case.rise / 2, 0.0, 0.0)
        end = State(0.0, case.last, case.rise, 0.0, 0.0)
        first, last = _change(row, case, start, 0.0).kinetic, _change(row, case, end, 0.0).kinetic
        room[CLIMB + i] = (first + 4 * _change(row, case, half, 0.0).kinetic + last) / 6
        room[RISES + i] = room[CLIMB + i]
        room[STEEPER + i] = 0.0
        room[BEFORE + i] = 0.0
        _put(room, PATH, i, start)


@compiled
def _arc(row: TakeOffRow, room: Floats, steps: int) -> None:
    """Goes on along the arc by one of the steps that are left."""
    for i in range(LANES):
        case, state = _case(row, room, i), _state(room, PATH, i)
        change = _change(row, case, state, 1.0)
        bend = max(change.path, 1e-9)
        rest = _to_leave(case, state, change, bend, room[CLIMB + i], room[STEEPER + i])
        # the curvature grows with the kinetic height: that of half way
        half = max(state.kinetic + change.kinetic * rest / 2, state.kinetic / 2)
        bend = bend + max((1 / state.kinetic - 1 / half) / 2, -0.5 * bend)
        rest = _to_leave(case, state, change, bend, room[CLIMB + i], room[STEEPER + i])
        rest = max(rest, -0.5 * state.height / max(state.path, 1e-3))
        _put(room, PATH, i, _step(row, case, state, change, rest / steps, 1.0))


@compiled
def _straight(row: TakeOffRow, room: Floats, steps: int) -> None:
    """From where the arc stands straight to the obstacle; what energy height is gained on the way."""
    for i in range(LANES):
        state = _state(room, PATH, i)
        _put(
            room, AWAY, i, State(max(state.path, 1e-3), state.kinetic, state.height, state.moved, state.gust)
        )
        # steps in proportion to the height above ground, whose effect changes in proportion to it
        low = row.wing_height + state.height
        room[CLOSE + i] = POWER * low / (low + row.wing_height + room[RISE + i])
    for number in range(steps):
        begin, end = number / steps, (number + 1) / steps
        for i in range(LANES):
            case, state = _case(row, room, i), _state(room, AWAY, i)
            share = (end - begin) * (room[CLOSE + i] + (1 - room[CLOSE + i]) * (end + begin))
            length = (case.rise - room[HEIGHT + i]) / state.path * share
            change = _change(row, case, state, 0.0)
            _put(room, AWAY, i, _step(row, case, state, change, length, 0.0))
    for i in range(LANES):
        below = room[RISE + i] - room[HEIGHT + i]
        gained = room[AWAY + LANES + i] - room[KINETIC + i] + below
        path = room[AWAY + i]
        climb = gained * path / max(below, 1e-9)
        apart = path - room[BEFORE + i]
        steeper = (climb - room[CLIMB + i]) / apart if abs(apart) > 1e-7 else 0.0
        room[STEEPER + i] = min(max(steeper, -MOST_STEEPER), MOST_STEEPER)
        room[BEFORE + i] = path
        room[CLIMB + i] = climb


@compiled
def air_phase(row: TakeOffRow, room: Floats) -> None:
    """Fills MOVED with the distance along the strip from lift-off to the obstacle; after `ground_run`."""
    _level(row, room)
    for steps in range(ARC_STEPS, 0, -1):
        _arc(row, room, steps)
    for steps in CORRECTIONS:
        _straight(row, room, steps)
        _arc(row, room, 1)
    _straight(row, room, STRAIGHT_STEPS)
    for i in range(LANES):
        case, state = _case(row, room, i), _state(room, PATH, i)
        change = _change(row, case, state, 1.0)
        rest = _to_leave(case, state, change, max(change.path, 1e-9), room[CLIMB + i], room[STEEPER + i])
        length = (case.rise - state.height) / room[AWAY + i]
        farther = room[AWAY + 3 * LANES + i] - state.moved
        mean = farther / max(length, 1e-9)
        steepens = change.path / room[AWAY + i]
        gain = change.moved - mean * (1 + length * steepens) - length * state.path * change.path
        total = state.moved + farther + min(max(rest, -0.5), 0.5) * gain
        room[MOVED + i] = total if room[RISES + i] > 0 else math.inf


@inlined
def _put(room: Floats, where: int, i: int, state: State) -> None:
    room[where + i] = state.path
    room[where + LANES + i] = state.kinetic
    room[where + 2 * LANES + i] = state.height
    room[where + 3 * LANES + i] = state.moved
    room[where + 4 * LANES + i] = state.gust
