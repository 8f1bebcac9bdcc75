"""Position error: what the airspeed indicator must be corrected by, and how surely."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wringout.reduction.points import PositionErrorCurve
from wringout.reduction.propagation import update

FloatArray = NDArray[np.float64]

# Before any flight: the correction at the reference speed, its change with speed and its bend, each over a
# change of speed by the whole reference speed. Light airplanes' published corrections, common practice.
PRIOR_SD = (2.0, 4.0, 6.0)  # [m/s]
# What another flap setting may do to the correction; flaps change the flow at the pitot and static ports.
FLAP_SD = (1.2, 2.5, 2.0)  # [m/s]
# A smooth curve is not the whole truth at any one speed.
LACK_OF_FIT_SD = 0.15  # [m/s]
USUAL_REFERENCE = 40.0  # [m/s], where no flight says anything


def position_error(
    flap: str,
    indicated: ArrayLike,
    correction: ArrayLike,
    covariance: ArrayLike,
    *,
    reference: float | None = None,
    like: PositionErrorCurve | None = None,
) -> PositionErrorCurve:
    """Calibrated minus indicated airspeed as a second-order polynomial with honest uncertainty.

    Parameters
    ----------
    flap : str
        Flap setting of the points.
    indicated : array_like, shape (points,)
        Indicated airspeed. [m/s]
    correction : array_like, shape (points,)
        Calibrated minus indicated airspeed, e.g. of true airspeed from GPS legs. [m/s]
    covariance : array_like, shape (points, points)
        Covariance of the corrections: points that share a wind share its error. [m²/s²]
    reference : float, optional
        Speed about which the polynomial is written; the mean of the points by default. [m/s]
    like : PositionErrorCurve, optional
        Curve of another flap setting, usually flap up, that this one resembles; its reference is used.

    Returns
    -------
    PositionErrorCurve

    Raises
    ------
    ValueError
        Shapes that do not match, or a speed that is not finite and positive.

    Notes
    -----
    Bayesian linear regression with a weak prior, so that the curve leans on the points where there are
    points, and where there are none its uncertainty grows as the prior's slope and bend allow [GUM, 5.2.2
    for the covariance of the points; prior: common practice, no source]. With no points at all the
    correction is 0 ± the prior.
    """
    speed = np.asarray(indicated, dtype=float)
    measured = np.asarray(correction, dtype=float)
    spread = np.asarray(covariance, dtype=float).reshape(speed.size, speed.size)
    if speed.shape != measured.shape:
        raise ValueError("each indicated airspeed needs its correction")
    if not (np.all(np.isfinite(speed)) and np.all(speed > 0.0)):
        raise ValueError("indicated airspeeds must be finite and positive")
    if like is not None:
        about = like.reference
        mean = np.asarray(like.coefficients)
        prior = np.asarray(like.covariance) + np.diag(np.square(FLAP_SD))
    else:
        about = reference or (float(np.mean(speed)) if speed.size else USUAL_REFERENCE)
        mean = np.zeros(3)
        prior = np.diag(np.square(PRIOR_SD))
    total = spread + LACK_OF_FIT_SD**2 * np.eye(speed.size)
    coefficients, posterior = update(mean, prior, _powers(speed, about), measured, total)
    return PositionErrorCurve(
        flap=flap,
        coefficients=tuple(coefficients.tolist()),
        covariance=tuple(tuple(row) for row in posterior.tolist()),
        reference=about,
        low=float(np.min(speed)) if speed.size else float("nan"),
        high=float(np.max(speed)) if speed.size else float("nan"),
        points=tuple(zip(speed.tolist(), measured.tolist(), np.sqrt(np.diag(spread)).tolist(), strict=True)),
    )


def between(
    flap: str, lesser: PositionErrorCurve, greater: PositionErrorCurve, share: float
) -> PositionErrorCurve:
    """The curve of a flap setting never measured, between those of a lesser and a greater deflection.

    `share` (0 to 1) is how far the deflection lies from the lesser to the greater. Coefficients are linear
    between the two, which may be wholly correlated; half way the flap may still do its own, at half of what
    a flap may do (common practice).

    Raises ValueError where the share lies outside 0 to 1 or the curves are written about different speeds.
    """
    if not 0.0 <= share <= 1.0 or lesser.reference != greater.reference:
        raise ValueError("a curve lies between two others about the same reference speed, share 0 to 1")
    own = share * (1.0 - share) * np.diag(np.square(FLAP_SD))
    mean = (1.0 - share) * np.asarray(lesser.coefficients) + share * np.asarray(greater.coefficients)
    spread = (1.0 - share) * np.asarray(lesser.covariance) + share * np.asarray(greater.covariance) + own
    return PositionErrorCurve(
        flap=flap,
        coefficients=tuple(mean.tolist()),
        covariance=tuple(tuple(row) for row in spread.tolist()),
        reference=lesser.reference,
        low=float("nan"),
        high=float("nan"),
        points=(),
    )


def calibrate(
    curve: PositionErrorCurve, indicated: ArrayLike, sd: ArrayLike = 0.0
) -> tuple[FloatArray, FloatArray]:
    """Calibrated airspeed and its standard uncertainty from indicated airspeed.

    Parameters
    ----------
    curve : PositionErrorCurve
        Of the flap setting flown.
    indicated : array_like, shape (...)
        Indicated airspeed. [m/s]
    sd : array_like, broadcastable
        Standard uncertainty of the reading. [m/s]

    Returns
    -------
    calibrated, sd : ndarray, shape (...)
        Calibrated airspeed and its standard uncertainty, that of the curve included. [m/s] NaN gives NaN.

    Examples
    --------
    >>> unknown = position_error("up", [], [], [])
    >>> calibrated, sd = calibrate(unknown, 40.0)
    >>> print(f"{calibrated:.1f} ± {sd:.1f} m/s")
    40.0 ± 2.0 m/s
    """
    speed = np.asarray(indicated, dtype=float)
    powers = _powers(speed, curve.reference)
    coefficients, covariance = np.asarray(curve.coefficients), np.asarray(curve.covariance)
    calibrated = speed + powers @ coefficients
    slope = _slopes(speed, curve.reference) @ coefficients
    of_curve = np.einsum("...i,ij,...j->...", powers, covariance, powers) + LACK_OF_FIT_SD**2
    variance = of_curve + np.square((1.0 + slope) * np.asarray(sd, dtype=float))
    return calibrated, np.sqrt(variance)


def shared_covariance(curve: PositionErrorCurve, indicated: ArrayLike) -> FloatArray:
    """Covariance [m²/s²] of the calibrated airspeeds of several readings, by the curve that they share.

    Shape (n, n).
    """
    powers = _powers(np.asarray(indicated, dtype=float), curve.reference)
    shared: FloatArray = powers @ np.asarray(curve.covariance) @ powers.T
    return shared


def _powers(speed: FloatArray, reference: float) -> FloatArray:
    change = (speed - reference) / reference
    return np.stack([np.ones_like(change), change, change**2], axis=-1)


def _slopes(speed: FloatArray, reference: float) -> FloatArray:
    change = (speed - reference) / reference
    return np.stack([np.zeros_like(change), np.ones_like(change), 2.0 * change], axis=-1) / reference
