"""The compiled take-off: the ground run by quadrature, then the arc and the climb of `takeoff_climb`.

Forces are over the weight, energies are heights, and the path's angle to the strip is known by its sine.
"""

import math
from typing import NamedTuple

from wringout.physics.compiled import compiled, inlined
from wringout.physics.constants import GRAVITY, SEA_LEVEL_DENSITY
from wringout.physics.field_rows import TakeOffRow
from wringout.physics.field_steps import (
    COSINE,
    DENSITY,
    FRICTION,
    GAIN,
    HARD,
    HARD_ROLL,
    LANES,
    ROLL,
    SHARED,
    SINE,
    STANDARD,
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
    START,
    SUM,
    FIRST,
    LAST,
    RISE,
    PATH,
    KINETIC,
    HEIGHT,
    _MOVED,
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
    LOW,
    HIGH,
    AT_LOW,
    AT_HIGH,
    SIDE,
    PLACE,
    AIR,
    RUN,
) = (LANES * (SHARED + n) for n in range(34))
TAKE_OFF_ROOM = (SHARED + 34) * LANES
MOST_STEEPER = 0.3  # change of the climb's mean gradient with the path's sine; a guard, usual is below 0.1
ARC_STEPS = 6
CORRECTIONS = (2, 3, 4)  # steps of the straight climb before each; after two a growing wind is not settled
STRAIGHT_STEPS = 4
SETTLED = 3e-5  # of the distance: the last correction's error is a few hundredths of itself
SETTLING = 14


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
    near = row.nearness * above * math.sqrt(above)
    inverse = 1 / (above * (1 + near))
    return near * above * inverse, (1 + near) * inverse


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
        push = power(row.pull, room[STANDARD + i], room[WARM + i])
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
    """Fills RUN, infinite where the airplane does not accelerate."""
    _prepare(row, room)
    _run_by(row, room, ROLL)
    hard = 0
    for i in range(LANES):
        span = room[SPEED + i] - min(room[WIND + i], room[SPEED + i])
        easy = room[LEAST + i] > HARD * room[START + i]
        room[RUN + i] = span * span / GRAVITY * room[SUM + i] if easy else math.nan
        hard += 0 if easy else 1
    if hard:
        _run_by(row, room, HARD_ROLL)
        for i in range(LANES):
            span = room[SPEED + i] - min(room[WIND + i], room[SPEED + i])
            run = span * span / GRAVITY * room[SUM + i] if room[LEAST + i] > 0 else math.inf
            room[RUN + i] = run if math.isnan(room[RUN + i]) else room[RUN + i]


@compiled
def _run_by(row: TakeOffRow, room: Floats, rule: Floats) -> None:
    """∫ x/a dx along the run by nodes and shares; acceleration at the start and the least at a node."""
    for i in range(LANES):
        start = min(room[WIND + i], room[SPEED + i])
        gained = _acceleration(row, _case(row, room, i), room[FRICTION + i], start)
        room[START + i] = room[LEAST + i] = gained
        room[SUM + i] = rule[1, 0] / gained
    for node in range(1, rule.shape[1]):
        place, share = rule[0, node], rule[1, node]
        for i in range(LANES):
            start = min(room[WIND + i], room[SPEED + i])
            speed = start + place * (room[SPEED + i] - start)
            gained = _acceleration(row, _case(row, room, i), room[FRICTION + i], speed)
            room[LEAST + i] += min(gained - room[LEAST + i], 0.0)
            room[SUM + i] += share / gained


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
        room[CLOSE + i] = 2 * low / (low + row.wing_height + room[RISE + i])
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
    """Fills AIR with the distance along the strip from lift-off to the obstacle; after `ground_run`."""
    _level(row, room)
    for steps in range(ARC_STEPS, 0, -1):
        _arc(row, room, steps)
    for steps in CORRECTIONS:
        _straight(row, room, steps)
        _arc(row, room, 1)
    _straight(row, room, STRAIGHT_STEPS)
    many = 0
    for i in range(LANES):
        case, state = _case(row, room, i), _state(room, PATH, i)
        change = _change(row, case, state, 1.0)
        rest = _to_leave(case, state, change, max(change.path, 1e-9), room[CLIMB + i], room[STEEPER + i])
        length = (case.rise - state.height) / room[AWAY + i]
        farther = room[AWAY + 3 * LANES + i] - state.moved
        mean = farther / max(length, 1e-9)
        steepens = change.path / room[AWAY + i]
        gain = change.moved - mean * (1 + length * steepens) - length * state.path * change.path
        correction = min(max(rest, -0.5), 0.5) * gain
        total = state.moved + farther + correction
        unsettled = abs(correction) > SETTLED * total and room[RISES + i] > 0
        room[AIR + i] = -1.0 if unsettled else (total if room[RISES + i] > 0 else math.inf)
        many += 1 if unsettled else 0
    if many:
        _settle(row, room)
        for i in range(LANES):
            room[AIR + i] = room[AWAY + 3 * LANES + i] if room[AIR + i] < 0 else room[AIR + i]


@compiled
def _settle(row: TakeOffRow, room: Floats) -> None:
    """The length of the arc of an airplane that hardly climbs, by regula falsi in the Illinois form."""
    for i in range(LANES):
        case = _case(row, room, i)
        _put(room, PATH, i, State(0.0, case.first, 0.0, 0.0, 0.0))
        room[LOW + i], room[AT_LOW + i] = 0.0, case.rise * room[RISES + i]
        room[HIGH + i] = math.sqrt(4 * case.first * case.rise / (row.load - case.cosine))
        room[AT_HIGH + i], room[SIDE + i] = -1.0, 0.0
    for number in range(SETTLING):
        for i in range(LANES):
            low, high, fall = room[LOW + i], room[HIGH + i], room[AT_LOW + i] - room[AT_HIGH + i]
            room[PLACE + i] = high if number == 0 else low + (high - low) * room[AT_LOW + i] / fall
            case = _case(row, room, i)
            state = State(0.0, case.first, 0.0, 0.0, 0.0)
            half = _step(row, case, state, _change(row, case, state, 1.0), room[PLACE + i] / 2, 1.0)
            _put(room, PATH, i, half)
        for i in range(LANES):
            case, state = _case(row, room, i), _state(room, PATH, i)
            _put(
                room,
                PATH,
                i,
                _step(row, case, state, _change(row, case, state, 1.0), room[PLACE + i] / 2, 1.0),
            )
        _straight(row, room, STRAIGHT_STEPS)
        for i in range(LANES):
            value = (room[AWAY + LANES + i] - room[LAST + i]) * room[AWAY + i]
            above, side, place = value > 0, room[SIDE + i], room[PLACE + i]
            at_low, at_high = room[AT_LOW + i], room[AT_HIGH + i]
            room[AT_HIGH + i] = (at_high / 2 if side > 0 else at_high) if above else min(value, -1e-300)
            room[AT_LOW + i] = value if above else (at_low / 2 if side < 0 else at_low)
            room[LOW + i] = place if above else room[LOW + i]
            room[HIGH + i] = room[HIGH + i] if above else place
            room[SIDE + i] = 1.0 if above else -1.0


@inlined
def _put(room: Floats, where: int, i: int, state: State) -> None:
    room[where + i] = state.path
    room[where + LANES + i] = state.kinetic
    room[where + 2 * LANES + i] = state.height
    room[where + 3 * LANES + i] = state.moved
    room[where + 4 * LANES + i] = state.gust
