"""Stalls of the simulator: slow down at a rate, break, recover."""

from dataclasses import replace
from math import asin, radians

from wringout.demo.air import KNOT, STANDARD_GRAVITY
from wringout.demo.craft import FINE_STEP
from wringout.demo.engine import IDLE_MANIFOLD
from wringout.demo.pilot import (
    ask_path,
    hold_heading,
    hold_height,
    hold_speed,
    hold_speed_with_power,
    stall_speed,
)
from wringout.demo.procedures import COARSE, OPEN, Noted, Outing, StallFlown, climb_to, set_power

REACTION_TO_BREAK = 0.4  # s until the pilot pushes


def stall(outing: Outing, point: str, *, flap: float, rate: float, height: float, heading: float) -> None:
    """Idle stall from level flight at a deceleration [kt/s]: slow down, break, recover, climb back."""
    craft, course = outing.craft, radians(heading)
    craft.flap_command = flap
    for _ in range(120):
        hold_heading(craft, course)
        hold_height(craft, height)
        hold_speed_with_power(craft, 1.35 * stall_speed(craft, flap), COARSE)
        craft.fly(COARSE)
    begin = craft.time
    set_power(craft, IDLE_MANIFOLD, craft.machine.engine.rated_speed, True)
    entry_rate = _slow_to_break(outing, point, rate, course)
    flown = StallFlown(craft.time, craft.equivalent, craft.equivalent, entry_rate, flap, craft.mass)
    least = _recover(outing, flap)
    outing.stalls.append((point, replace(flown, least_speed=min(flown.least_speed, least))))
    outing.noted.append(Noted(point, "stall", flap, "idle", begin, craft.time + 2.0, entry_rate=rate))
    for _ in range(60):
        hold_heading(craft, course)
        hold_speed(craft, outing.habits.recovery * KNOT)
        craft.fly(COARSE)
    craft.flap_command = 0.0
    if craft.height < height - 6.0:
        climb_to(outing, height, outing.habits.after_stall * KNOT, course)


def _slow_to_break(outing: Outing, point: str, rate: float, course: float) -> float:
    """Pull so that the needle falls at a rate [kt/s] until the wing lets go; the rate it had."""
    craft, noise = outing.craft, outing.noise
    begin = craft.time
    wanted = rate * (1.0 + 0.10 * noise()) * KNOT
    warned = False
    recent = [craft.indicated] * 50
    while craft.margin <= 1.0 or craft.time == begin:
        hold_heading(craft, course, 0.2)
        recent.append(craft.indicated)
        falling = _fall(recent)
        # The pull grows until the needle falls at the wanted rate.
        ask = wanted + 0.5 * (wanted - falling) if craft.time - begin > 4.0 else wanted
        sine = (craft.excess + min(max(ask, 0.0), 2.5)) / STANDARD_GRAVITY
        ask_path(craft, asin(min(max(sine, -0.3), 0.5)), 1.2, 0.8, 1.15)
        craft.fly(2)
        if not warned and craft.margin > 0.87 + 0.015 * noise():
            warned = True
            outing.mark(craft.time, "stall warning", point, note="horn")
        if craft.time - begin > 90.0:
            raise ValueError(f"{point}: the airplane would not stall")
    craft.stalled_for = 0.0
    outing.mark(craft.time, "stall break", point)
    return _fall(recent) / KNOT


def _fall(recent: list[float]) -> float:
    """How fast the needle fell over the last two seconds [m/s²]."""
    return (recent[-50] - recent[-1]) / (49 * 2 * FINE_STEP)


def _recover(outing: Outing, flap: float) -> float:
    """Let the wing drop, push, power; the least equivalent airspeed [m/s] on the way."""
    craft = outing.craft
    broken, least = craft.time, craft.equivalent
    drop = 2.5 * (0.10 + 0.003 * flap) * outing.noise()
    safe = 1.15 * stall_speed(craft, flap)
    while craft.indicated < safe:
        reacting = craft.time - broken >= REACTION_TO_BREAK
        if reacting and craft.manifold_command < OPEN:
            set_power(craft, OPEN, craft.machine.engine.rated_speed, False)
        craft.load_factor_command = 0.55 if reacting else 1.0
        craft.bank_command = 0.0 if reacting else drop
        craft.fly(2)
        least = min(least, craft.equivalent)
        if craft.time - broken >= 1.4:
            craft.stalled_for = -1.0
    craft.stalled_for = -1.0
    return least
