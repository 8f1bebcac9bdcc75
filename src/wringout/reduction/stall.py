"""Stall speed brought to standard mass and to the standard entry rate."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wringout.physics.constants import GRAVITY, SEA_LEVEL_DENSITY
from wringout.reduction.propagation import update

FloatArray = NDArray[np.float64]

STANDARD_ENTRY_RATE = 1852.0 / 3600.0  # 1 kt/s [m/s²] [CFR23, 23.49 and 23.203]
# Faster entries stall later: how much of C_Lmax for one kt/s more, before any flight. Common practice, no
# source.
ENTRY_RATE_SD = 0.05 / STANDARD_ENTRY_RATE  # relative, per m/s²
REPEATABILITY_SD = (
    0.02  # relative scatter of C_Lmax between stalls of one pilot, worth three stalls; common practice
)
REPEATABILITY_WEIGHT = 3.0


def to_standard_mass(speed: ArrayLike, mass: ArrayLike, standard_mass: ArrayLike) -> FloatArray:
    """Stall speed at a standard mass: V √(m_s/m), for one C_Lmax [AC23-8C, 23.49, from memory].

    Speeds [m/s] calibrated or equivalent, masses [kg], broadcast. Raises ValueError where a mass is not
    positive.

    Examples
    --------
    >>> print(f"{to_standard_mass(50.0, 2200.0, 2400.0):.3f}")
    52.223
    """
    flown, standard = np.asarray(mass, dtype=float), np.asarray(standard_mass, dtype=float)
    if np.any(flown <= 0.0) or np.any(standard <= 0.0):
        raise ValueError("masses must be positive")
    corrected: FloatArray = np.asarray(speed, dtype=float) * np.sqrt(standard / flown)
    return corrected


def maximum_lift_coefficient(speed: ArrayLike, mass: ArrayLike, wing_area: float) -> FloatArray:
    """C_Lmax = 2 m g/(ρ₀ S V_e²) at the stall, load factor one.

    Equivalent airspeed [m/s] (calibrated differs by less than 0.1 % at stalling speeds of light airplanes),
    mass [kg], wing area [m²]. Raises ValueError where speed or area is not positive.
    """
    equivalent = np.asarray(speed, dtype=float)
    if np.any(equivalent <= 0.0) or wing_area <= 0.0:
        raise ValueError("speed and wing area must be positive")
    coefficient: FloatArray = (
        2.0 * np.asarray(mass, dtype=float) * GRAVITY / (SEA_LEVEL_DENSITY * wing_area * equivalent**2)
    )
    return coefficient


@dataclass(frozen=True, slots=True)
class EntryRateEffect:
    """Relative change of C_Lmax for each m/s² of entry rate, and its scatter from stall to stall."""

    slope: float
    slope_sd: float
    repeatability: float
    taught: bool


def entry_rate_effect(
    lift_coefficient: ArrayLike,
    entry_rate: ArrayLike,
    groups: Sequence[str],
    reading_sd: ArrayLike = 0.0,
) -> EntryRateEffect:
    """How C_Lmax depends on the rate of entry, from stalls of several groups (flap, power, configuration).

    Parameters
    ----------
    lift_coefficient : array_like, shape (stalls,)
        C_Lmax as flown. [1]
    entry_rate : array_like, shape (stalls,)
        Deceleration on entry, positive. [m/s²]
    groups : sequence of str, length stalls
        Each group has its own C_Lmax; all share the relative slope.
    reading_sd : array_like, broadcastable
        Relative standard uncertainty of each C_Lmax by its own reading, which is no scatter of the stalls.

    Returns
    -------
    EntryRateEffect
        `taught` is False where the flights say nothing about the slope: it is then 0 with its prior's
        uncertainty.

    Raises
    ------
    ValueError
        Shapes that do not match.

    Notes
    -----
    ln C_Lmax = a_group + slope · rate, the certification practice of fitting C_Lmax against entry rate and
    reading it at 1 kt/s [AC23-8C, 23.49, from memory], with a weak prior on the slope: with one entry rate
    only nothing is corrected and the uncertainty grows with the distance from 1 kt/s.
    """
    logarithm = np.log(np.asarray(lift_coefficient, dtype=float))
    rate = np.asarray(entry_rate, dtype=float)
    if logarithm.shape != rate.shape or len(groups) != rate.size:
        raise ValueError("each stall needs its lift coefficient, entry rate and group")
    names = list(dict.fromkeys(groups))
    centred_log, centred_rate = logarithm.copy(), rate.copy()
    for name in names:
        inside = np.array([group == name for group in groups])
        centred_log[inside] -= np.mean(logarithm[inside])
        centred_rate[inside] -= np.mean(rate[inside])
    spread = float(np.sum(centred_rate**2))
    freedom = max(0, rate.size - len(names) - 1)
    read = float(np.mean(np.square(np.broadcast_to(np.asarray(reading_sd, dtype=float), rate.shape))))
    scatter = REPEATABILITY_SD

    def repeatability(left: float) -> float:
        """The stalls' own scatter by the sum of squares that is left, the readings' share taken off."""
        own = REPEATABILITY_WEIGHT * REPEATABILITY_SD**2 + max(left - freedom * read, 0.0)
        return float(np.sqrt(own / (REPEATABILITY_WEIGHT + freedom)))

    mean, variance = np.zeros(1), np.array([[ENTRY_RATE_SD**2]])
    if spread > 1e-12:
        for _ in range(5):
            noise = np.array([[(scatter**2 + read) / spread]])
            observed = np.array([float(centred_rate @ centred_log) / spread])
            mean, variance = update(np.zeros(1), np.array([[ENTRY_RATE_SD**2]]), np.eye(1), observed, noise)
            scatter = repeatability(float(np.sum((centred_log - mean[0] * centred_rate) ** 2)))
    else:
        scatter = repeatability(float(np.sum(centred_log**2)))
    slope_sd = float(np.sqrt(variance[0, 0]))
    return EntryRateEffect(float(mean[0]), slope_sd, scatter, slope_sd < 0.7 * ENTRY_RATE_SD)


def to_standard_entry_rate(
    speed: float, speed_sd: float, entry_rate: float, entry_rate_sd: float, effect: EntryRateEffect
) -> tuple[float, float]:
    """Stall speed at 1 kt/s entry rate and its standard uncertainty [m/s].

    Half the relative change of C_Lmax goes into speed: V ∝ C_Lmax^−½. Repeatability of the stall is part of
    the uncertainty.
    """
    excess = entry_rate - STANDARD_ENTRY_RATE
    corrected = speed * float(np.exp(0.5 * effect.slope * excess))
    relative = 0.5 * np.sqrt(
        (effect.slope_sd * excess) ** 2 + (effect.slope * entry_rate_sd) ** 2 + effect.repeatability**2
    )
    return corrected, float(np.hypot(speed_sd * corrected / speed, relative * corrected))


def warning_margin(
    warning: float, warning_sd: float, stall: float, stall_sd: float, shared_variance: float
) -> tuple[float, float]:
    """Margin of the stall warning above the stall and its standard uncertainty [m/s].

    Both speeds calibrated [m/s]; `shared_variance` [m²/s²] is the covariance of the two by the
    position-error curve they share, which drops out of the difference.
    """
    variance = warning_sd**2 + stall_sd**2 - 2.0 * shared_variance
    return warning - stall, float(np.sqrt(max(variance, 0.0)))
