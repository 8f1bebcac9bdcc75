"""A flat map about a place: transverse Mercator with its central meridian through the first fix."""

from dataclasses import dataclass

import numpy as np

from wringout.recordings.recording import FloatArray

EQUATORIAL_RADIUS = 6_378_137.0  # WGS 84 [m]
FLATTENING = 1 / 298.257223563
TOGETHER = 8192  # places, whose many intermediate results stay in cache

_N = FLATTENING / (2 - FLATTENING)
_RECTIFYING_RADIUS = EQUATORIAL_RADIUS / (1 + _N) * (1 + _N**2 / 4 + _N**4 / 64)
# Krüger's series to the fourth order in the third flattening: below a tenth of a millimetre within 30° of the
# meridian
_ALPHA = (
    _N / 2 - 2 * _N**2 / 3 + 5 * _N**3 / 16 + 41 * _N**4 / 180,
    13 * _N**2 / 48 - 3 * _N**3 / 5 + 557 * _N**4 / 1440,
    61 * _N**3 / 240 - 103 * _N**4 / 140,
    49561 * _N**4 / 161280,
)


@dataclass(frozen=True, slots=True)
class Plane:
    """Places on the map: east and north of the origin [m], map scale, and meridian convergence [rad].

    A true direction less `convergence` is the direction on the map; a true length times `scale` is the length
    there.
    """

    east: FloatArray
    north: FloatArray
    scale: FloatArray
    convergence: FloatArray


def project(
    latitude: FloatArray, longitude: FloatArray, origin_latitude: float, origin_longitude: float
) -> Plane:
    """Places on a transverse Mercator map of true scale along the origin's meridian.

    Unlike a plane by the two radii of curvature, it holds its scale to 3 in 100 000 at 50 km east or west and
    exactly north and south, and its distortion is known at every place, so that speeds can be brought back to
    true ones.

    Parameters
    ----------
    latitude, longitude : ndarray, shape (n,)
        Geodetic, WGS 84. [rad]  NaN gives NaN.
    origin_latitude, origin_longitude : float
        Where east and north are zero. [rad]

    Raises
    ------
    ValueError
        A place is 60° or more of longitude from the origin, where the series fails.

    Notes
    -----
    Krüger 1912 in the form of the third flattening [Krueger1912, from memory; checked against pyproj and
    geographiclib].
    """
    turned = (longitude - origin_longitude + np.pi) % (2 * np.pi) - np.pi
    if np.nanmax(np.abs(turned), initial=0.0) > np.radians(60):
        raise ValueError("a place lies more than 60° of longitude from the origin of the map")
    plane = np.empty((4, len(turned)))
    for first in range(0, len(turned), TOGETHER):
        some = slice(first, first + TOGETHER)
        plane[:, some] = _series(latitude[some], turned[some])
    east, north, scale, convergence = plane
    base = _series(np.array([origin_latitude]), np.array([0.0]))[1][0]
    return Plane(east, north - base, scale, convergence)


def _series(
    latitude: FloatArray, turned: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    # conformal latitude → Gauss–Schreiber coordinates ξ', η' → Krüger's series ξ, η
    root = 2 * np.sqrt(_N) / (1 + _N)
    sine = np.sin(latitude)
    # tangent of the conformal latitude
    conformal = np.sinh(np.arctanh(sine) - root * np.arctanh(root * sine))
    sin_turned, cos_turned = np.sin(turned), np.cos(turned)
    length = np.hypot(1.0, conformal)
    xi0 = np.arctan2(conformal, cos_turned)
    eta0 = np.arctanh(sin_turned / length)
    # sine and cosine of 2ξ', hyperbolic ones of 2η'; those of the multiples by the sums of angles
    reach = conformal**2 + cos_turned**2
    once = (2 * conformal * cos_turned / reach, (cos_turned - conformal) * (cos_turned + conformal) / reach)
    once_h = (np.sinh(2 * eta0), np.cosh(2 * eta0))
    xi, eta = xi0.copy(), eta0.copy()
    sigma, tau = np.ones_like(xi0), np.zeros_like(xi0)
    (sin_xi, cos_xi), (sinh_eta, cosh_eta) = once, once_h
    for order, alpha in enumerate(_ALPHA, 1):
        twice = 2 * order
        xi += alpha * sin_xi * cosh_eta
        eta += alpha * cos_xi * sinh_eta
        sigma += twice * alpha * cos_xi * cosh_eta
        tau += twice * alpha * sin_xi * sinh_eta
        sin_xi, cos_xi = sin_xi * once[1] + cos_xi * once[0], cos_xi * once[1] - sin_xi * once[0]
        sinh_eta, cosh_eta = (
            sinh_eta * once_h[1] + cosh_eta * once_h[0],
            cosh_eta * once_h[1] + sinh_eta * once_h[0],
        )
    tangent = sin_turned / cos_turned
    convergence = np.arctan2(
        tau * length + sigma * conformal * tangent, sigma * length - tau * conformal * tangent
    )
    reduced = (1 - _N) / (1 + _N) * sine / np.sqrt(1 - sine**2)
    stretch = np.sqrt((1 + reduced**2) / reach)
    scale = _RECTIFYING_RADIUS / EQUATORIAL_RADIUS * stretch * np.hypot(sigma, tau)
    return _RECTIFYING_RADIUS * eta, _RECTIFYING_RADIUS * xi, scale, convergence
