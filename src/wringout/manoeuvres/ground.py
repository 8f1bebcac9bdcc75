"""Where the airplane was on the ground."""

from dataclasses import dataclass

import numpy as np

from wringout.manoeuvres.heights import Height
from wringout.manoeuvres.motion import BoolArray, Motion

# In shares of the stall speed, so that a light airplane and a heavy one are seen alike
TAXIING = 0.45  # below it an airplane cannot fly, but for the wind
AWAKENED = 0.7  # the same where the recorder has just woken: many sleep until the roll
STOPPED = 0.15  # below it not even the wind explains flying
TOUCHING = 1.5  # above it wheels do not roll
FLYING = 0.8  # to have been reached over the ground in a flight
SLOW_FLYING = (
    0.5  # what reaches the obstacle height slower than this over the ground hovers, and is no airplane
)
OBSTACLE = 15.24  # m, 50 ft
FLAT_RATE = 0.7  # m/s of climb that rolling over uneven ground may seem …
FLAT_SLOPE = 0.04  # … or this share of the ground speed
STEEP = 4.0  # times that: what rises or sinks so is not on the ground, or its height is not yet found
SETTLING = 30.0  # s from the beginning of a slow run in which that may be
FLAT_TIME = 2.0  # s of flat path in a touch-and-go
HIGHEST_TOUCH = 8.0  # m above known ground near by that a receiver's drift explains …
DRIFTED_TOUCH = 25.0  # … and that a poor one's explains where the speed leaves no doubt
FLOATED = 5.0  # s of flat path while the speed falls by …
SLOWED = (
    0.08  # … this share of the stall speed, as wheels and drag take it and a low pass under power does not
)
DEVIATIONS = 2.0  # of the height's own wander since the known ground that a float may be off
NEAR = 4000.0  # m; known ground within this vouches for a touch
MARK_NEAR = 15.0  # s; wheels marked so near a known time on the ground belong to it
LONGEST_TOUCH = 60.0  # s from a marked touchdown to the lift-off marked after it
SURE_TOUCH = 1.0  # share of the stall speed below which a flat low place needs no known ground


@dataclass(frozen=True, slots=True)
class Contact:
    """On the ground from `start` to `end` [s] at least; `stopped` False in a touch-and-go."""

    start: float
    end: float
    stopped: bool


def contacts(motion: Motion, height: Height | None) -> tuple[Contact, ...]:
    """Times on the ground in order, those without a flight between them joined.

    Full stops and taxiing show in the ground speed. A touch-and-go shows as a flat low place in the height
    between a descent and a climb, at a speed at which wheels may touch, at the height of known ground near
    by. Where an observer marked a touchdown or a lift-off, the wheels were on the ground whatever it shows.
    """
    slow = _slow(motion, height)
    if height is None:
        return tuple(slow)
    joined = _joined(motion, height, slow)
    touches = [
        touch for touch in _touches(motion, height, joined) if _flown_between(motion, height, touch, joined)
    ]
    found = [*joined, *touches]
    return tuple(sorted((*found, *_marked(motion, found)), key=lambda contact: contact.start))


def _slow(motion: Motion, height: Height | None) -> list[Contact]:
    """Runs slower than an airplane flies; those that wind could explain only at the height of the others."""
    speed = motion.ground_speed / motion.stall_speed
    sure: list[Contact] = []
    doubtful: list[tuple[Contact, int]] = []
    awakened = motion.slept & (speed < AWAKENED) & (np.abs(motion.path.up_speed) < FLAT_RATE)
    for first, after in motion.runs(((speed < TAXIING) | awakened) & motion.known):
        rate = motion.path.up_speed[first:after]
        begin = _settled(motion, first, after)
        if begin is None:
            continue
        rate = rate[begin - first :]
        if np.isfinite(rate).any() and abs(float(np.nanmean(rate))) > FLAT_RATE:
            continue
        contact = Contact(float(motion.time[begin]), float(motion.time[after - 1]), True)
        if speed[begin:after].min() < STOPPED or _recorder_slept(motion, first, after):
            sure.append(contact)
        else:
            doubtful.append((contact, (begin + after) // 2))
    if height is not None:
        for contact, middle in doubtful:
            level = float(height.up[middle])
            off = _off_known_ground(motion, height, sure, middle, level)
            if off is not None and abs(off) < HIGHEST_TOUCH:
                sure.append(contact)
    return sorted(sure, key=lambda contact: contact.start)


def _settled(motion: Motion, first: int, after: int) -> int | None:
    """The first flat sample of a slow run, after what still sinks at its beginning; None where none is flat.

    A parachute still sinks, and a receiver just switched on still finds its height.
    """
    rate = np.abs(motion.path.up_speed[first:after])
    early = motion.time[first:after] < motion.time[first] + SETTLING
    steep = np.flatnonzero((rate > STEEP * FLAT_RATE) & early)
    begin = int(steep[-1]) if len(steep) else 0
    flat = np.flatnonzero(~(rate[begin:] > FLAT_RATE))
    return first + begin + int(flat[0]) if len(flat) else None


def _recorder_slept(motion: Motion, first: int, after: int) -> bool:
    """Whether the path begins, ends or sleeps beside these samples: many recorders sleep on the ground."""
    known = np.flatnonzero(motion.known)
    begins, ends = first <= known[0], after > known[-1]
    return bool(begins or ends or motion.slept[first] or motion.slept[after])


def flew(motion: Motion, height: Height, start: float, end: float, *, ground: float) -> bool:
    """Whether the airplane flew between two moments, from or to ground at a height."""
    inside = motion.known_between(start, end)
    if not len(inside):
        return False
    above = height.up[inside] - ground
    high = above > 1.3 * OBSTACLE
    fast = motion.ground_speed[inside] > FLYING * motion.stall_speed
    return bool(high.any() and fast.any())


def _ground_height(motion: Motion, height: Height, contact: Contact, at_end: bool) -> float:
    moment = contact.end if at_end else contact.start
    near = motion.between(max(moment - 5.0, contact.start), min(moment + 5.0, contact.end))
    if near.stop <= near.start:
        near = slice(motion.index(moment), motion.index(moment) + 1)
    return float(np.median(height.up[near]))


def _joined(motion: Motion, height: Height, found: list[Contact]) -> list[Contact]:
    joined: list[Contact] = []
    for contact in found:
        if joined:
            last = joined[-1]
            ground = max(
                _ground_height(motion, height, last, True), _ground_height(motion, height, contact, False)
            )
            if not flew(motion, height, last.end, contact.start, ground=ground):
                joined[-1] = Contact(last.start, contact.end, True)
                continue
        joined.append(contact)
    return joined


def _touches(motion: Motion, height: Height, known: list[Contact]) -> list[Contact]:
    flat = (
        (np.abs(height.up_speed) < np.maximum(FLAT_RATE, FLAT_SLOPE * motion.ground_speed))
        & (motion.ground_speed < TOUCHING * motion.stall_speed)
        & motion.known
        & ~_inside(motion, known)
    )
    found: list[Contact] = []
    for first, after in motion.runs(flat):
        start, end = float(motion.time[first]), float(motion.time[after - 1])
        if end - start < FLAT_TIME or not _between_descent_and_climb(motion, height, start, end):
            continue
        level = float(np.median(height.up[first:after]))
        slowest = float(motion.ground_speed[first:after].min()) / motion.stall_speed
        # earlier touches vouch for later ones
        off = _off_known_ground(motion, height, [*known, *found], (first + after) // 2, level)
        sure = slowest < SURE_TOUCH or _floated(motion, first, after)
        allowed = DRIFTED_TOUCH if sure else HIGHEST_TOUCH
        if (off is None and slowest < SURE_TOUCH) or (off is not None and abs(off) < allowed):
            found.append(Contact(start, end, False))
    return found


def _floated(motion: Motion, first: int, after: int) -> bool:
    """Whether the speed fell all along a flat path and rose again at its end, as in a touch."""
    lasted = float(motion.time[after - 1] - motion.time[first])
    speed = motion.ground_speed[first:after]
    slowest = int(np.argmin(speed))
    fell = float(speed[0] - speed[slowest])
    return lasted >= FLOATED and slowest > len(speed) // 2 and fell > SLOWED * motion.stall_speed


def _marked(motion: Motion, known: list[Contact]) -> list[Contact]:
    """Touches that an observer marked and nothing else shows."""
    marks = [
        mark
        for mark in sorted(motion.marks, key=lambda each: each.time)
        if mark.kind in {"touchdown", "lift-off"}
        and motion.time[0] <= mark.time <= motion.time[-1]
        and not any(start <= mark.time <= end for start, end in motion.excluded)
        and not any(contact.start - MARK_NEAR <= mark.time <= contact.end + MARK_NEAR for contact in known)
    ]
    found: list[Contact] = []
    for number, mark in enumerate(marks):
        if mark.kind == "touchdown":
            after = marks[number + 1] if number + 1 < len(marks) else None
            left = after is not None and after.kind == "lift-off" and after.time < mark.time + LONGEST_TOUCH
            end = after.time if after is not None and left else mark.time + FLAT_TIME
            found.append(Contact(mark.time, end, False))
        elif not found or found[-1].end < mark.time:
            found.append(Contact(mark.time - FLAT_TIME, mark.time, False))
    return found


def _flown_between(motion: Motion, height: Height, touch: Contact, known: list[Contact]) -> bool:
    """Whether a touch is none of a landing roll's or a take-off run's own fast parts."""
    before = [contact.end for contact in known if contact.end <= touch.start]
    after = [contact.start for contact in known if contact.start >= touch.end]
    ground = motion.at(height.up, (touch.start + touch.end) / 2)
    return (not before or flew(motion, height, before[-1], touch.start, ground=ground)) and (
        not after or flew(motion, height, touch.end, after[0], ground=ground)
    )


def _inside(motion: Motion, known: list[Contact]) -> BoolArray:
    inside = np.zeros(len(motion.time), dtype=np.bool_)
    for contact in known:
        inside[motion.between(contact.start - 15.0, contact.end + 15.0)] = True
    return inside


def _between_descent_and_climb(motion: Motion, height: Height, start: float, end: float) -> bool:
    level = motion.at(height.up, (start + end) / 2)
    before = motion.known_between(start - 60.0, np.nextafter(start, -np.inf))
    after = motion.known_between(np.nextafter(end, np.inf), end + 60.0)
    if not len(before) or not len(after):
        return False
    lowest = min(float(height.up[before].min()), float(height.up[after].min()))
    return bool(
        height.up[before].max() > level + OBSTACLE
        and height.up[after].max() > level + OBSTACLE
        and lowest > level - HIGHEST_TOUCH
    )


def _off_known_ground(
    motion: Motion, height: Height, known: list[Contact], index: int, level: float
) -> float | None:
    """Height above the last or the next known ground, whichever is closer; None where both were elsewhere.

    A receiver's height may drift by tens of metres between a take-off and a landing: either may vouch.
    """
    moment = float(motion.time[index])
    known = sorted(known, key=lambda contact: contact.start)
    before = [(contact.end, contact, True) for contact in known if contact.end <= moment]
    after = [(contact.start, contact, False) for contact in known if contact.start >= moment]
    offs = []
    for at, contact, at_end in (*before[-1:], *after[:1]):
        east = motion.at(motion.path.east, at) - motion.path.east[index]
        north = motion.at(motion.path.north, at) - motion.path.north[index]
        if np.hypot(east, north) < NEAR:
            offs.append(level - _ground_height(motion, height, contact, at_end))
    return min(offs, key=abs) if offs else None
