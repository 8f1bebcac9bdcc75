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
    FLOAT_NODES,
    FLOAT_SHARES,
    FRICTION,
    GAIN,
    HARD,
    HARD_NODES,
    HARD_SHARES,
    LANES,
    ROLL_NODES,
    ROLL_SHARES,
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
    SLOWED,
    ROLLED,
    MEETS,
) = (LANES * (SHARED + n) for n in range(12))
LANDING_ROOM = (SHARED + 12) * LANES


@inlined
def _idle_drag(row: LandingRow, density: float, square: float, load: float, height: float) -> float:
    """Over the weight, at the square of an airspeed, in the ground's effect."""
    pressure = row.pressing * density * square
    above = row.wing_height + height
    near = row.nearness * above * above
    off = load - row.offset * pressure
    return pressure * row.idle_drag + near * row.induced * off * off / ((1 + near) * pressure)


@compiled
def landing_air(row: LandingRow, room: Floats) -> None:
    """Fills AIRBORNE with the distance along the strip from the obstacle to touchdown, and TOUCHDOWN."""
    for i in range(LANES):
        density, wind, gain = room[DENSITY + i], room[WIND + i], room[GAIN + i]
        sine, cosine = room[SINE + i], room[COSINE + i]
        true = math.sqrt(SEA_LEVEL_DENSITY / density)
        fast = row.approach * true
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
        room[LEAST + i] = math.inf
        room[FLOATED + i] = 0.0
    for node in range(len(FLOAT_NODES)):
        place, share = FLOAT_NODES[node], FLOAT_SHARES[node]
        for i in range(LANES):
            low, high = room[TOUCHDOWN + i] * room[TOUCHDOWN + i], room[LEFT + i] * room[LEFT + i]
            square = low + place * (high - low)
            slowing = _idle_drag(row, room[DENSITY + i], square, 1.0, 0.0) + room[SINE + i]
            room[LEAST + i] = min(room[LEAST + i], slowing)
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
    return row.roll_drag * pressure + friction * wheels + room[SINE + i]


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
        room[LEAST + i] = math.inf
        room[MOST + i] = 0.0
        room[SLOWED + i] = 0.0
    for node in range(len(ROLL_NODES)):
        place, share = ROLL_NODES[node], ROLL_SHARES[node]
        for i in range(LANES):
            speed = min(room[WIND + i], room[TOUCHDOWN + i]) + place * room[BRAKED + i]
            slowing = _deceleration(row, room, i, speed, room[BRAKES + i])
            room[LEAST + i] = min(room[LEAST + i], slowing)
            room[MOST + i] = max(room[MOST + i], slowing)
            room[SLOWED + i] += share / slowing
    for i in range(LANES):
        braked = room[BRAKED + i]
        room[ROLLED + i] = room[FREE + i] + braked * braked / GRAVITY * room[SLOWED + i]
    for i in range(LANES):
        if not room[LEAST + i] > HARD * room[MOST + i]:
            room[ROLLED + i] = room[FREE + i] + _hard_stop(row, room, i)


@compiled
def _hard_stop(row: LandingRow, room: Floats, i: int) -> float:
    """The braked roll where the brakes hardly hold, infinite where nothing stops the airplane."""
    start, braked = min(room[WIND + i], room[TOUCHDOWN + i]), room[BRAKED + i]
    least, total = math.inf, 0.0
    for node in range(len(HARD_NODES)):
        slowing = _deceleration(row, room, i, start + HARD_NODES[node] * braked, room[BRAKES + i])
        least = min(least, slowing)
        total += HARD_SHARES[node] / slowing
    distance: float = braked * braked / GRAVITY * total if least > 0 or math.isnan(least) else math.inf
    return distance
