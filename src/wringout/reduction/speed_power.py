"""Drag from level speeds and powers: the classical straight line in the fourth power of speed."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wringout.physics.constants import GRAVITY, SEA_LEVEL_DENSITY
from wringout.problems import InputError, Problem
from wringout.reduction.propagation import propagate

FloatArray = NDArray[np.float64]


def standard_power(power: ArrayLike, density_ratio: ArrayLike, mass_ratio: ArrayLike) -> FloatArray:
    """PIW = P √σ/(m/m_s)^1.5: power at standard mass and sea-level density for the same angle of attack.

    Power [W], σ = ρ/ρ₀, `mass_ratio` test over standard; broadcast. Raises ValueError where a ratio is not
    positive. [PIW–VIW method, Kimberlin's text ch. 9 read in part, formulas from memory]

    Examples
    --------
    110 hp at σ = 0.8617 and 2150 lb, standard mass 2400 lb:

    >>> print(f"{standard_power(110.0, 0.8617, 2150 / 2400):.1f}")
    120.4
    """
    sigma, mass = np.asarray(density_ratio, dtype=float), np.asarray(mass_ratio, dtype=float)
    if np.any(sigma <= 0.0) or np.any(mass <= 0.0):
        raise ValueError("density and mass ratios must be positive")
    standard: FloatArray = np.asarray(power, dtype=float) * np.sqrt(sigma) / mass**1.5
    return standard


def standard_speed(equivalent_airspeed: ArrayLike, mass_ratio: ArrayLike) -> FloatArray:
    """VIW = V_e/√(m/m_s): equivalent airspeed [m/s] at standard mass for the same angle of attack.

    As `standard_power`.
    """
    mass = np.asarray(mass_ratio, dtype=float)
    if np.any(mass <= 0.0):
        raise ValueError("mass ratios must be positive")
    standard: FloatArray = np.asarray(equivalent_airspeed, dtype=float) / np.sqrt(mass)
    return standard


@dataclass(frozen=True, slots=True)
class SpeedPowerPolar:
    """C_D0 and Oswald's e with their covariance, by the line PIW·VIW = `slope` VIW⁴ + `intercept` (SI).

    `scatter` is the root of chi-squared over degrees of freedom about the line; NaN with two points.
    """

    zero_lift_drag: float
    oswald: float
    covariance: FloatArray
    slope: float
    intercept: float
    line_covariance: FloatArray
    scatter: float


def fit_polar(
    speed: ArrayLike,
    power: ArrayLike,
    *,
    standard_mass: float,
    wing_area: float,
    span: float,
    propeller_efficiency: float,
    propeller_efficiency_sd: float = 0.0,
    speed_sd: ArrayLike = 0.0,
    power_sd: ArrayLike,
) -> SpeedPowerPolar:
    """Zero-lift drag and Oswald's efficiency from level flight at several speeds.

    Parameters
    ----------
    speed, power : array_like, shape (points,)
        VIW [m/s] and PIW [W], see `standard_speed` and `standard_power`.
    speed_sd, power_sd : array_like
        Their standard uncertainties, independent from point to point.
    standard_mass, wing_area, span : float
        [kg], [m²], [m]
    propeller_efficiency, propeller_efficiency_sd : float
        Taken as the same at every speed; with shaft power alone only C_D0/η and η e can be had. [1]

    Returns
    -------
    SpeedPowerPolar

    Raises
    ------
    InputError
        Fewer than two distinct speeds, or a line whose slope or intercept is not positive, as no drag polar
        gives.

    Notes
    -----
    η P V = ½ρ₀ S C_D0 V⁴ + 2 W_s²/(ρ₀ S π e A) with A = b²/S: a straight line in V⁴ [textbook PIW–VIW
    method; Anderson, ch. 6 for the polar]. Weighted least squares with the speed's uncertainty carried into
    the ordinate, dPV/dV = P − 4 a V³.

    Examples
    --------
    >>> v = np.array([35.0, 45.0, 55.0])
    >>> polar = fit_polar(v, (0.396 * v**4 + 8.29e5) / v, standard_mass=1088.6, wing_area=16.17, span=10.915,
    ...                   propeller_efficiency=0.8, power_sd=1000.0)
    >>> print(f"C_D0 {polar.zero_lift_drag:.4f}, e {polar.oswald:.2f}")
    C_D0 0.0320, e 0.75
    """
    v, p = np.asarray(speed, dtype=float), np.asarray(power, dtype=float)
    v_sd, p_sd = (np.broadcast_to(np.asarray(sd, dtype=float), v.shape) for sd in (speed_sd, power_sd))
    if np.unique(np.round(v, 2)).size < 2:
        raise InputError(
            Problem(
                "level flight at one speed cannot tell parasite from induced drag",
                "fly level at three or more speeds, from near least power to full power",
            )
        )
    line = np.zeros(2)
    covariance = np.zeros((2, 2))
    chi_squared = 0.0
    for _ in range(4):
        sd = np.hypot(v * p_sd, (p - 4.0 * line[0] * v**3) * v_sd)
        # The fourth power is scaled so that both unknowns are of one size.
        scale = float(np.mean(v**4))
        rows = np.column_stack([v**4 / scale, np.ones_like(v)]) / sd[:, None]
        scaled, *_ = np.linalg.lstsq(rows, p * v / sd, rcond=None)
        unscale = np.array([1.0 / scale, 1.0])
        line = scaled * unscale
        covariance = np.linalg.inv(rows.T @ rows) * np.outer(unscale, unscale)
        chi_squared = float(np.sum((rows @ scaled - p * v / sd) ** 2))
    if not np.all(line > 0.0):
        raise InputError(
            Problem(
                "the powers do not rise with speed as a drag polar makes them",
                "check the power of each level point, or fly more widely spaced speeds",
            )
        )
    weight = standard_mass * GRAVITY

    def polar(x: FloatArray) -> FloatArray:
        slope, intercept, efficiency = x
        drag = 2.0 * efficiency * slope / (SEA_LEVEL_DENSITY * wing_area)
        oswald = 2.0 * weight**2 / (SEA_LEVEL_DENSITY * np.pi * span**2 * efficiency * intercept)
        return np.array([drag, oswald])

    full = np.zeros((3, 3))
    full[:2, :2] = covariance
    full[2, 2] = propeller_efficiency_sd**2
    figures, spread = propagate(polar, np.append(line, propeller_efficiency), full)
    return SpeedPowerPolar(
        zero_lift_drag=float(figures[0]),
        oswald=float(figures[1]),
        covariance=spread,
        slope=float(line[0]),
        intercept=float(line[1]),
        line_covariance=covariance,
        scatter=float(np.sqrt(chi_squared / (v.size - 2))) if v.size > 2 else float("nan"),
    )
