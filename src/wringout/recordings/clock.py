"""Moments of logs that write the time of day, and the date only now and then."""

from datetime import UTC, date, datetime

import numpy as np

from wringout.recordings.recording import FloatArray

DAY = 86_400.0
HALF_DAY = DAY / 2
CENTURY_TURNS = (
    80  # of a year of two digits: 80 is 1980, the first year of satellite navigation, and 79 is 2079
)


def seconds_of_day(text: bytes) -> float:
    """Seconds after midnight of 'hhmmss' with or without decimals, NaN where it is no time of day.

    Examples
    --------
    >>> seconds_of_day(b"155504.25")
    57304.25
    """
    try:
        hours, minutes, seconds = int(text[0:2]), int(text[2:4]), float(text[4:])
    except ValueError:
        return np.nan
    if not (0 <= hours < 24 and 0 <= minutes < 60 and 0.0 <= seconds < 61.0):
        return np.nan
    return 3600.0 * hours + 60.0 * minutes + seconds


def midnight(day: bytes, month: bytes, year: bytes) -> float:
    """Seconds since 1970 UTC at which a day begins, NaN where there is none such; a year of 2 or 4 digits."""
    try:
        number = int(year)
        if len(year) == 2:
            number += 1900 if number >= CENTURY_TURNS else 2000
        begins = date(number, int(month), int(day))
    except ValueError:
        return np.nan
    return datetime(begins.year, begins.month, begins.day, tzinfo=UTC).timestamp()


def dated(time_of_day: FloatArray, begins: FloatArray) -> FloatArray:
    """Seconds since 1970 UTC of times of day in file order.

    A date holds until the next one, and the first also before itself. A time of day that falls back by more
    than twelve hours has crossed midnight; one that leaps as far ahead belongs to the day before.

    Parameters
    ----------
    time_of_day : ndarray, shape (n,)
        Seconds after midnight, finite. [s]
    begins : ndarray, shape (n,)
        Midnight of the date that the log states with a sample, NaN where it states none. [s since 1970]

    Returns
    -------
    ndarray, shape (n,)
        NaN everywhere where no date is stated. [s since 1970]
    """
    if not len(time_of_day):
        return np.array([])
    steps = np.diff(time_of_day)
    crossed = (steps < -HALF_DAY).astype(np.float64) - (steps > HALF_DAY)
    days = np.concatenate(([0.0], np.cumsum(crossed)))
    stated = np.flatnonzero(np.isfinite(begins))
    if not len(stated):
        return np.full(len(time_of_day), np.nan)
    zero = begins[stated] - DAY * days[stated]
    latest = np.maximum(np.searchsorted(stated, np.arange(len(days)), side="right") - 1, 0)
    moments: FloatArray = zero[latest] + DAY * days + time_of_day
    return moments
