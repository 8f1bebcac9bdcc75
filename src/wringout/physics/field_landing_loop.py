"""The compiled landing: approach, flare and float in the air, free roll and braking, as `landing`.

Forces are over the weight, so that a deceleration over g is their sum.
"""

import math

from wringout.physics.compiled import compiled, inlined
from wringout.physics.constants import GRAVITY, SEA_LEVEL_DENSITY
from wringout.physics.field_rows import LandingRow
from wringout.physics.field_steps import (
    BRAKES,
    COSINE,
    DENSITY,
    ENOUGH,
    FLOAT_NODES,
    FLOAT_SHARES,
    FRICTION,
    GAIN,
    HARD,
    HARD_ROLL,
    LANES,
    ROLL,
    SHARED,
    SINE,
    WIND,
    Floats,
    arc_sine,
    logarithm,
)

(
    APPROACH,
    TOUCHDOWN,
    LEFT,
    FLOATED,
    MOST,
    LEAST,
    AIRBORNE,
    BRAKED,
    FREE,
    SUM,
    ROLLED,
    MEETS,
) = (LANES * (SHARED + n) for n in range(12))
LANDING_ROOM = (SHARED + 12) * LANES


@inlined
def _idle_drag(row: LandingRow, density: float, square: float, load: float, height: float) -> float:
    """Over the weight, at the square of an airspeed, in the ground's effect."""
    pressure = row.pressing * density * square
    above = row.wing_height + height
    near = row.nearness * above * math.sqrt(above)
    off = load - row.offset * pressure
    return pressure * row.idle_drag + near * row.induced * off * off / ((1 + near) * pressure)


@compiled
def landing_air(row: LandingRow, room: Floats) -> None:
    """Fills AIRBORNE with the distance along the strip from the obstacle to touchdown, and TOUCHDOWN."""
    for i in range(LANES):
        density, wind, gain = room[DENSITY + i], room[WIND + i], room[GAIN + i]
        sine, cosine = room[SINE + i], room[COSINE + i]
        true = math.sqrt(SEA_LEVEL_DENSITY / density)
        fast = row.approach * true - row.lag * gain
        slow = max(row.touchdown * true - row.lost * gain, row.slowest * true)
        eased = row.angle * (1 - row.aims * min(max((wind + gain) / fast, -0.5), 0.5))
        angle = min(max(eased, 0.01), 0.5) if row.aims > 0 else eased
        # the descent's sine and cosine to 1e-12 at half a radian
        square = angle * angle
        down = angle * (1 - square / 6 * (1 - square / 20 * (1 - square / 42 * (1 - square / 72))))
        ahead = 1 - square / 2 * (1 - square / 12 * (1 - square / 30 * (1 - square / 56 * (1 - square / 90))))
        closing = down + (ahead - wind / fast) * sine / cosine
        room[MEETS + i] = closing
        path = min(max(closing if closing > 0 else 0.1, 1e-6), 0.99)
        level = math.sqrt(1 - path * path)
        bent = arc_sine(path)
        radius = fast * fast / (GRAVITY * (row.load - path / bent))
        # a flare that would begin above the obstacle begins before it
        turned = max(level, 1 - row.obstacle_height / radius, 0.0)
        turning = math.sqrt(1 - turned * turned)
        high = radius * (1 - turned)
        arc = radius * arc_sine(turning)
        straight = (row.obstacle_height - high) / path
        held = _idle_drag(row, density, fast * fast, row.load, high / 3)
        flared = max(fast * fast + 2 * GRAVITY * (high - arc * held), slow * slow)
        left = max(math.sqrt(flared) - gain, slow)
        # the head wind gained higher up, ∫ ln(1 + y/h) dy up to the flare and from there to the obstacle
        sums = _sum(row.wing_height, high)
        above = (_sum(row.wing_height, row.obstacle_height) - sums) / (path * fast)
        below = sums / max(high, 1e-6) * 2 * arc / (fast + left)
        lasted = straight / fast + 2 * arc / (fast + left)
        room[AIRBORNE + i] = (
            straight * level + radius * turning - wind * lasted - row.wind_scale * gain * (above + below)
        )
        room[TOUCHDOWN + i] = slow
        room[LEFT + i] = left
        room[LEAST + i] = ENOUGH
        room[FLOATED + i] = 0.0
    for node in range(len(FLOAT_NODES)):
        place, share = FLOAT_NODES[node], FLOAT_SHARES[node]
        for i in range(LANES):
            low, high = room[TOUCHDOWN + i] * room[TOUCHDOWN + i], room[LEFT + i] * room[LEFT + i]
            square = low + place * (high - low)
            slowing = _idle_drag(row, room[DENSITY + i], square, 1.0, 0.0) + room[SINE + i]
            room[LEAST + i] += min(slowing - room[LEAST + i], 0.0)
            speed = math.sqrt(square)
            room[FLOATED + i] += share * (speed - room[WIND + i]) / (slowing * speed)
    for i in range(LANES):
        low, high = room[TOUCHDOWN + i] * room[TOUCHDOWN + i], room[LEFT + i] * room[LEFT + i]
        floats = high > low
        whole = room[AIRBORNE + i] + (room[FLOATED + i] * (high - low) / (2 * GRAVITY) if floats else 0.0)
        done = room[MEETS + i] > 0 and (room[LEAST + i] > 0 or not floats)
        room[AIRBORNE + i] = whole if done else math.inf


@inlined
def _sum(wing_height: float, height: float) -> float:
    """∫ ln(1 + y/h) dy up to a height."""
    return (height + wing_height) * logarithm(1 + height / wing_height) - height


@inlined
def _deceleration(row: LandingRow, room: Floats, i: int, speed: float, friction: float) -> float:
    """Over g, wheels on the ground."""
    pressure = room[DENSITY + i] * speed * abs(speed)
    wheels = max(room[COSINE + i] - row.roll_lift * abs(pressure), 0.0)
    force: float = row.roll_drag * pressure + friction * wheels + room[SINE + i]
    return force


@compiled
def landing_run(row: LandingRow, room: Floats) -> None:
    """Fills ROLLED with the distance from touchdown to the stop; after `landing_air`."""
    for i in range(LANES):
        speed, friction = room[TOUCHDOWN + i], room[FRICTION + i]
        over_ground = speed - min(room[WIND + i], speed)
        first = _deceleration(row, room, i, speed, friction)
        middle = GRAVITY * _deceleration(row, room, i, speed - row.free / 2 * GRAVITY * first, friction)
        # slowing to a stop within the free roll ends it there; speeding up downhill does not
        lasts = over_ground / max(middle, 1e-9) if middle * row.free > over_ground else row.free
        half = lasts / 2 * GRAVITY
        second = _deceleration(row, room, i, speed - half * first, friction)
        third = _deceleration(row, room, i, speed - half * second, friction)
        fourth = _deceleration(row, room, i, speed - 2 * half * third, friction)
        lost = GRAVITY * lasts / 6 * (first + 2 * (second + third) + fourth)
        room[BRAKED + i] = max(over_ground - lost, 0.0)
        room[FREE + i] = lasts * (over_ground - GRAVITY * lasts / 6 * (first + second + third))
    _stop_by(row, room, ROLL)
    hard = 0
    for i in range(LANES):
        braked = room[BRAKED + i]
        easy = room[LEAST + i] > HARD * room[MOST + i]
        room[ROLLED + i] = room[FREE + i] + braked * braked / GRAVITY * room[SUM + i] if easy else math.nan
        hard += 0 if easy else 1
    if hard:
        _stop_by(row, room, HARD_ROLL)
        for i in range(LANES):
            braked = room[BRAKED + i]
            stop = braked * braked / GRAVITY * room[SUM + i] if room[LEAST + i] > 0 else math.inf
            room[ROLLED + i] = room[FREE + i] + stop if math.isnan(room[ROLLED + i]) else room[ROLLED + i]


@compiled
def _stop_by(row: LandingRow, room: Floats, rule: Floats) -> None:
    """∫ x/a dx along the braked roll by nodes and shares, and the least and the most deceleration."""
    for i in range(LANES):
        room[SUM + i] = 0.0
        room[LEAST + i] = ENOUGH
        room[MOST + i] = 0.0
    for node in range(rule.shape[1]):
        place, share = rule[0, node], rule[1, node]
        for i in range(LANES):
            speed = min(room[WIND + i], room[TOUCHDOWN + i]) + place * room[BRAKED + i]
            slowing = _deceleration(row, room, i, speed, room[BRAKES + i])
            room[LEAST + i] += min(slowing - room[LEAST + i], 0.0)
            room[MOST + i] += max(slowing - room[MOST + i], 0.0)
            room[SUM + i] += share / slowing
