"""Stalls: the least airspeed before a break, and how fast it was reached."""

import numpy as np

from wringout.manoeuvres.ground import Contact
from wringout.manoeuvres.manoeuvre import Event, Manoeuvre
from wringout.manoeuvres.mark import TimedMark, told_once
from wringout.manoeuvres.motion import Motion
from wringout.manoeuvres.scene import Scene
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.recordings.inspection import step_of
from wringout.recordings.recording import FloatArray

ENTRY = 10.0  # s before the break over which the entry rate is taken
SLOW = 1.3  # of the stall speed: what is faster is no stall, even with a position error
SLOW_ENOUGH = 1.15  # of the stall speed: what is faster must break hard to be one
LEAST_ENTRY = 0.05  # of the stall speed, lost over the entry; a slower entry must break hard too
RECOVERY = 0.15  # of the stall speed, regained …
RECOVERY_TIME = 15.0  # … within this [s]
SINK = 0.06  # of the stall speed: how much faster it must sink after the break
HARD_SINK = 0.2
LEAST_FALL = 0.15  # of the stall speed: a hard break ends in this sink, a pull-up pushed over need not
NOSE_SINK = 0.1  # enough for a hard break where the nose drops too and the airplane is slow
BREAK_TIME = 6.0  # s after the least airspeed in which the break shows
PITCH_DOWN = np.radians(5.0)
ALONE = 15.0  # s between stalls
LEAST_READING = 0.5  # of the stall speed; below it a pitot at a high angle shows nothing
MARK_REACH = 5.0  # s about an observer's mark


class StallFinder:
    """Stalls by the airspeed with a break, and wherever an observer marked one."""

    def find(self, scene: Scene) -> list[Manoeuvre]:
        """All stalls, in order of time."""
        motion = scene.motion
        marked = told_once(
            [mark for mark in motion.marks if mark.kind == "stall break" and _allowed(motion, mark.time)]
        )
        found = [each for mark in marked if (each := _from_mark(motion, mark)) is not None]
        airspeed = _readable(motion)
        if airspeed is not None:
            for moment, reason in _breaks(motion, airspeed, scene.grounds):
                if all(abs(moment - mark.time) > ALONE for mark in marked):
                    event = Event("break", moment, 0.5, reason)
                    stall = _measure(motion, event)
                    if stall is not None:
                        found.append(stall)
        return sorted(found, key=lambda each: each.start)


def _readable(motion: Motion) -> FloatArray | None:
    """Indicated airspeed where it is high enough to mean something."""
    airspeed = motion.channel("indicated_airspeed")
    if airspeed is None:
        return None
    readable: FloatArray = np.where(airspeed > LEAST_READING * motion.stall_speed, airspeed, np.nan)
    return readable if np.count_nonzero(np.isfinite(readable)) >= 5 else None


def _allowed(motion: Motion, moment: float) -> bool:
    return bool(motion.time[0] <= moment <= motion.time[-1]) and all(
        not start <= moment <= end for start, end in motion.excluded
    )


def _from_mark(motion: Motion, mark: TimedMark) -> Manoeuvre | None:
    return _measure(motion, Event("break", mark.time, mark.time_sd, "observer's mark"), MARK_REACH)


def _breaks(motion: Motion, airspeed: FloatArray, grounds: tuple[Contact, ...]) -> list[tuple[float, str]]:
    valid = np.flatnonzero(np.isfinite(airspeed))
    time, speed = motion.time[valid], airspeed[valid]
    unit = motion.stall_speed
    found: list[tuple[float, str]] = []
    slow = np.flatnonzero(speed < SLOW * unit)
    taken = -np.inf
    for index in slow:
        moment = float(time[index])
        if moment < taken or not _allowed(motion, moment) or _near_ground(moment, grounds):
            continue
        near = (time >= moment - ENTRY) & (time <= moment + ENTRY)
        if speed[index] > speed[near].min():
            continue
        before = speed[(time >= moment - ENTRY) & (time <= moment - ENTRY / 2)]
        after = speed[(time > moment) & (time <= moment + RECOVERY_TIME)]
        if not len(before) or not len(after):
            continue
        if before.max() <= speed[index] or after.max() - speed[index] < RECOVERY * unit:
            continue
        slow_enough = bool(speed[index] < SLOW_ENOUGH * unit)
        clear = slow_enough and before.max() - speed[index] > LEAST_ENTRY * unit
        reason = _break_reason(motion, moment, clear, slow_enough)
        if reason:
            found.append((moment, reason))
            taken = moment + ALONE
    return found


def _near_ground(moment: float, grounds: tuple[Contact, ...]) -> bool:
    return any(contact.start - 60.0 <= moment <= contact.end + 60.0 for contact in grounds)


def _break_reason(motion: Motion, moment: float, clear: bool, slow_enough: bool) -> str:
    """What shows the break, or nothing; unless speed and entry are a stall's, only a hard one counts.

    A slow entry loses little speed in ten seconds: there nose and sink must show the break together.
    """
    after = (motion.time >= moment) & (motion.time <= moment + BREAK_TIME)
    before = (motion.time >= moment - BREAK_TIME) & (motion.time <= moment)
    if not after.any() or not before.any():
        return ""
    sink = float(np.median(motion.path.up_speed[before]) - motion.path.up_speed[after].min())
    drop = 0.0
    pitch = motion.channel("pitch")
    if pitch is not None and np.isfinite(pitch[before]).any() and np.isfinite(pitch[after]).any():
        drop = float(np.nanmax(pitch[before]) - np.nanmin(pitch[after]))
    nose = drop > PITCH_DOWN
    needed = SINK if clear else NOSE_SINK if slow_enough and nose else HARD_SINK
    falls = needed < HARD_SINK or bool(motion.path.up_speed[after].min() < -LEAST_FALL * motion.stall_speed)
    if falls and sink > needed * motion.stall_speed:
        return f"least indicated airspeed, and the sink grows by {sink:.1f} m/s within {BREAK_TIME:.0f} s"
    if clear and nose:
        return f"least indicated airspeed, and the nose drops by {np.degrees(drop):.0f}°"
    return ""


def _measure(motion: Motion, event: Event, reach: float = 2.0) -> Manoeuvre | None:
    start = event.time - ENTRY
    measures: dict[str, Estimate] = {}
    airspeed = _readable(motion)
    minimum = event.time
    if airspeed is not None:
        near = np.flatnonzero((np.abs(motion.time - event.time) <= reach) & np.isfinite(airspeed))
        if len(near):
            lowest = int(near[np.argmin(airspeed[near])])
            minimum = float(motion.time[lowest])
            sd = _sample_sd(airspeed, lowest)
            measures["minimum_indicated_airspeed"] = Estimate(
                float(airspeed[lowest]), sd, Dimension.SPEED, "least sample of the log's indicated airspeed"
            )
            measures |= _entry(motion.time, airspeed, minimum, "log's indicated airspeed")
    near = np.flatnonzero((np.abs(motion.time - event.time) <= reach) & motion.known)
    if not len(near):
        return None
    lowest = int(near[np.argmin(motion.ground_speed[near])])
    measures["minimum_ground_speed"] = Estimate(
        float(motion.ground_speed[lowest]),
        float(motion.path.speed_sd[lowest]),
        Dimension.SPEED,
        "smoothed ground speed",
    )
    notes: tuple[str, ...] = ()
    if "minimum_indicated_airspeed" not in measures:
        notes = ("no airspeed in the log: only the ground speed is known, the wind is in it",)
        measures |= _entry(
            motion.time, motion.ground_speed, float(motion.time[lowest]), "smoothed ground speed"
        )
    events = [event]
    warning = motion.marked("stall warning", event.time - 30.0, event.time)
    if warning is not None:
        events.insert(0, Event("warning", warning.time, warning.time_sd, "observer's mark"))
        start = min(start, warning.time)
        if airspeed is not None:
            measures |= _warning_speed(motion, airspeed, warning)
    for name, dimension in (
        ("pressure_altitude", Dimension.LENGTH),
        ("outside_air_temperature", Dimension.TEMPERATURE),
    ):
        values = motion.channel(name)
        if values is not None:
            inside = (motion.time >= start) & (motion.time <= event.time + 1.0) & np.isfinite(values)
            if inside.any():
                spread = float(np.std(values[inside])) if name == "pressure_altitude" else 0.5
                measures[name] = Estimate(
                    float(np.median(values[inside])),
                    max(spread, 0.1),
                    dimension,
                    f"log's {name.replace('_', ' ')}, median",
                )
    return Manoeuvre("stall", start, max(event.time, minimum) + 2.0, tuple(events), measures, notes)


def _sample_sd(airspeed: FloatArray, index: int) -> float:
    """Noise of one sample: half of the spread of second differences near by, or the rounding."""
    near = airspeed[max(index - 10, 0) : index + 11]
    near = near[np.isfinite(near)]
    noise = float(np.std(np.diff(near, 2)) / np.sqrt(6)) if len(near) > 5 else 0.0
    return float(np.hypot(noise, (step_of(airspeed) or 0.1) / np.sqrt(12)))


def _entry(time: FloatArray, speed: FloatArray, minimum: float, what: str) -> dict[str, Estimate]:
    inside = (time >= minimum - ENTRY) & (time <= minimum) & np.isfinite(speed)
    if np.count_nonzero(inside) < 4:
        return {}
    at, values = time[inside] - minimum, speed[inside]
    slope, level = np.polyfit(at, values, 1)
    left = values - level - slope * at
    spread = np.sqrt(left @ left / max(len(at) - 2, 1) / np.sum((at - at.mean()) ** 2))
    kept = float(left[1:] @ left[:-1]) / max(float(left @ left), 1e-12)
    kept = min(max(kept, 0.0), 0.9)
    return {
        "entry_rate": Estimate(
            float(-slope),
            float(spread * np.sqrt((1 + kept) / (1 - kept))),
            Dimension.ACCELERATION,
            f"{what}, line over the last {ENTRY:.0f} s",
        )
    }


def _warning_speed(motion: Motion, airspeed: FloatArray, warning: TimedMark) -> dict[str, Estimate]:
    valid = np.isfinite(airspeed)
    near = valid & (np.abs(motion.time - warning.time) < 3.0)
    if np.count_nonzero(near) < 3:
        return {}
    slope, value = np.polyfit(motion.time[near] - warning.time, airspeed[near], 1)
    sd = np.hypot(slope * warning.time_sd, (step_of(airspeed) or 0.1) / np.sqrt(12))
    return {
        "warning_indicated_airspeed": Estimate(
            float(value), float(sd), Dimension.SPEED, "log's indicated airspeed at the observer's mark"
        )
    }
