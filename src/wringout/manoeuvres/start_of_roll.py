"""Where and when a take-off roll began: seen at rest, or led back to from the acceleration."""

from dataclasses import dataclass

import numpy as np

from wringout.manoeuvres.ground import Contact
from wringout.manoeuvres.motion import Motion
from wringout.manoeuvres.roll import Line
from wringout.recordings.recording import FloatArray

KNOT = 1852 / 3600
STANDING = 0.3  # m/s over the ground; a receiver at rest shows less, …
STILL_DEVIATIONS = 4.0  # … or else not more than this many standard deviations
STANDING_SD = 0.7  # s; an airplane creeps before it runs
CREEPING = 6.0  # s from rest to the full acceleration
PUSH = 4.0  # s after the taxiing speed over which the run's acceleration is taken
PUSHING = 0.25  # of that acceleration; below it the run has not begun
LAPSE = 1.0  # s of less push that a gust or a bump explains
EXTRAPOLATED = (0.12, 0.75)  # shares of the lift-off speed between which the roll is led back to standstill
EXTRAPOLATION_SD = 0.15  # of the distance before the first sample; the throttle's opening is not known


@dataclass(frozen=True, slots=True)
class Run:
    """The run's first sample [s], and whether the airplane stood there or the recorder had slept before."""

    time: float
    standing: bool
    slept: bool


@dataclass(frozen=True, slots=True)
class Start:
    """The start of the roll: its moment [s] and its distance along the line [m], with standard deviations."""

    time: float
    time_sd: float
    along: float
    along_sd: float
    reason: str
    notes: tuple[str, ...] = ()


def run_begins(motion: Motion, contact: Contact) -> Run:
    """The first sample of the run that ends a time on the ground, back through the acceleration."""
    inside = motion.between(contact.start, contact.end)
    awake = np.flatnonzero(motion.slept[inside])
    # nothing is known of a sleep, nor of where the airplane went meanwhile
    samples = np.arange(inside.start + (awake[-1] if len(awake) else 0), inside.stop)
    pushing = motion.known_between(contact.end - 1.0, contact.end + PUSH)
    push = float(np.median(motion.acceleration[pushing])) if len(pushing) else 0.0
    weak = samples[motion.acceleration[samples] < PUSHING * push]
    first = int(samples[0])
    for index in weak[::-1]:
        later = samples[(samples > index) & (motion.time[samples] <= motion.time[index] + LAPSE)]
        if np.all(motion.acceleration[later] >= PUSHING * push) or not len(later):
            earlier = weak[(weak <= index) & (motion.time[weak] >= motion.time[index] - 1.1 * LAPSE)]
            long = motion.time[index] - motion.time[earlier[0]] >= 0.9 * LAPSE
            alone = motion.time[index] - motion.time[index - 1] > 1.1 * LAPSE
            if long or alone or earlier[0] == samples[0]:
                first = int(index)
                break
    still = max(STANDING, STILL_DEVIATIONS * float(np.median(motion.path.speed_sd[samples])))
    near = samples[
        (motion.time[samples] >= motion.time[first] - CREEPING)
        & (motion.time[samples] <= motion.time[first] + LAPSE)
        & (motion.ground_speed[samples] < still)
        & motion.known[samples]
    ]
    if len(near):
        return Run(float(motion.time[near[-1]]), True, False)
    return Run(float(motion.time[first]), False, bool(motion.slept[first]))


def start_of_roll(motion: Motion, line: Line, contact: Contact, run: Run, lift_off: float) -> Start | None:
    """The start of the roll; None where fewer than two samples of it were recorded.

    Parameters
    ----------
    motion : Motion
    line : Line
    contact : Contact
        The time on the ground before it.
    run : Run
    lift_off : float
        The wheels' last moment on the strip. [s]
    """
    mark = motion.marked("start of roll", contact.start - 5.0, lift_off)
    position_sd = motion.at(motion.path.position_sd, run.time if mark is None else mark.time)
    if mark is not None:
        spread = motion.at(motion.ground_speed, mark.time) * mark.time_sd
        at = line.at(motion, mark.time)
        return Start(mark.time, mark.time_sd, at, float(np.hypot(spread, position_sd)), "observer's mark")
    if run.standing:
        at = line.at(motion, run.time)
        # at the sample after it the airplane rolls already: the roll began in between
        after = motion.time[motion.index(np.nextafter(run.time, np.inf))] - run.time
        time_sd = float(np.hypot(STANDING_SD, after))
        return Start(run.time, time_sd, at, position_sd, "last moment at rest before the run")
    return _led_back(motion, line, run, lift_off)


def _led_back(motion: Motion, line: Line, run: Run, lift_off: float) -> Start | None:
    """From the first recorded part of the run back to standstill through its acceleration."""
    speed = motion.ground_speed
    rolling = motion.known_between(run.time, lift_off)
    low, high = (share * motion.at(speed, lift_off) for share in EXTRAPOLATED)
    fitted = rolling[(speed[rolling] >= low) & (speed[rolling] <= high)]
    if len(fitted) < 3:
        fitted = rolling
    if len(fitted) < 2:
        return None
    coefficients, zero_sd = _time_of_speed(motion.time[fitted], speed[fitted], motion.path.speed_sd[fitted])
    zero, slope, bend = (float(each) for each in coefficients)
    first = int(fitted[0])
    v = float(speed[first])
    before = slope * v**2 / 2 + 3 * bend * v**4 / 4  # dx = V dt with t = t₀ + slope V + bend V³
    knots = motion.at(speed, run.time) / KNOT
    note = (
        f"the record of the roll begins at {knots:.0f} kt: {before:.0f} m before it are extrapolated"
        if run.slept
        else f"rolling start at {knots:.0f} kt: the roll is counted from the standstill that the "
        "acceleration leads back to"
    )
    return Start(
        zero,
        max(zero_sd, 0.5),
        line.at(motion, float(motion.time[first])) - before,
        float(np.hypot(motion.path.position_sd[first], EXTRAPOLATION_SD * before)),
        "speed extrapolated back to zero through the acceleration",
        (note,),
    )


def _time_of_speed(time: FloatArray, speed: FloatArray, speed_sd: FloatArray) -> tuple[FloatArray, float]:
    """t = t₀ + c₁ V + c₂ V³, as thrust falls and drag grows with V² in a roll; and the sd of t₀."""
    if len(time) < 4:
        slope = (time[-1] - time[0]) / max(speed[-1] - speed[0], 0.1)
        return np.array([time[0] - slope * speed[0], slope, 0.0]), 1.0
    columns = np.stack((np.ones_like(speed), speed, speed**3), axis=1)
    solution = np.linalg.lstsq(columns, time, rcond=None)[0]
    if solution[2] < 0 or solution[1] <= 0:  # acceleration that grows: the throttle was still opening
        columns = columns[:, :2]
        solution = np.append(np.linalg.lstsq(columns, time, rcond=None)[0], 0.0)
    left = time - columns @ solution[: columns.shape[1]]
    noise = np.hypot(np.std(left), float(np.median(speed_sd)) * abs(solution[1]))
    covariance = np.linalg.inv(columns.T @ columns) * noise**2
    return solution.astype(np.float64), float(np.sqrt(covariance[0, 0] * 2))
