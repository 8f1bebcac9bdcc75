"""A flat map about a place: transverse Mercator with its central meridian through the first fix."""

from dataclasses import dataclass

import numpy as np

from wringout.recordings.recording import FloatArray

EQUATORIAL_RADIUS = 6_378_137.0  # WGS 84 [m]
FLATTENING = 1 / 298.257223563

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
    east, north, scale, convergence = _series(latitude, turned)
    base = _series(np.array([origin_latitude]), np.array([0.0]))[1][0]
    return Plane(east, north - base, scale, convergence)


def _series(
    latitude: FloatArray, turned: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    # conformal latitude → Gauss–Schreiber coordinates ξ', η' → Krüger's series ξ, η
    root = 2 * np.sqrt(_N) / (1 + _N)
    sine = np.sin(latitude)
    conformal = np.sinh(
        np.arctanh(sine) - root * np.arctanh(root * sine)
    )  # tangent of the conformal latitude
    xi0 = np.arctan2(conformal, np.cos(turned))
    eta0 = np.arctanh(np.sin(turned) / np.hypot(1.0, conformal))
    xi, eta = xi0.copy(), eta0.copy()
    sigma, tau = np.ones_like(xi0), np.zeros_like(xi0)
    for order, alpha in enumerate(_ALPHA, 1):
        twice = 2 * order
        sin_xi, cos_xi = np.sin(twice * xi0), np.cos(twice * xi0)
        sinh_eta, cosh_eta = np.sinh(twice * eta0), np.cosh(twice * eta0)
        xi += alpha * sin_xi * cosh_eta
        eta += alpha * cos_xi * sinh_eta
        sigma += twice * alpha * cos_xi * cosh_eta
        tau += twice * alpha * sin_xi * sinh_eta
    tangent = np.tan(turned)
    length = np.hypot(1.0, conformal)
    convergence = np.arctan2(
        tau * length + sigma * conformal * tangent, sigma * length - tau * conformal * tangent
    )
    reduced = (1 - _N) / (1 + _N) * np.tan(latitude)
    stretch = np.hypot(1.0, reduced) / np.hypot(conformal, np.cos(turned))
    scale = _RECTIFYING_RADIUS / EQUATORIAL_RADIUS * stretch * np.hypot(sigma, tau)
    return _RECTIFYING_RADIUS * eta, _RECTIFYING_RADIUS * xi, scale, convergence
