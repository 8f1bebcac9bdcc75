"""Where the sun stands: the hours in which a strip without lights can be used."""

from __future__ import annotations

import numpy as np

from wringout.physics.arrays import Array, Real

SUNRISE = np.radians(-0.833)  # of the sun's centre: refraction 34′ and half its disk 16′


def sun_elevation(day: Real, time: Real, latitude: float, longitude: float) -> Array:
    """Elevation of the sun above the horizon, refraction left out.

    Parameters
    ----------
    day : float or array
        Of the year, 1 on 1 January.
    time : float or array
        UTC since the day began. [s]
    latitude, longitude : float
        East positive. [rad]

    Returns
    -------
    array
        [rad], to about 0.5°.

    Notes
    -----
    Spencer's series for declination and equation of time (from memory).
    """
    angle = 2.0 * np.pi * (np.asarray(day) - 1.0 + np.asarray(time) / 86400.0) / 365.0
    declination = (
        0.006918
        - 0.399912 * np.cos(angle)
        + 0.070257 * np.sin(angle)
        - 0.006758 * np.cos(2 * angle)
        + 0.000907 * np.sin(2 * angle)
        - 0.002697 * np.cos(3 * angle)
        + 0.00148 * np.sin(3 * angle)
    )
    equation = (
        0.000075
        + 0.001868 * np.cos(angle)
        - 0.032077 * np.sin(angle)
        - 0.014615 * np.cos(2 * angle)
        - 0.040849 * np.sin(2 * angle)
    )
    hour_angle = 2.0 * np.pi * np.asarray(time) / 86400.0 - np.pi + longitude + equation
    sine = np.sin(latitude) * np.sin(declination)
    sine = sine + np.cos(latitude) * np.cos(declination) * np.cos(hour_angle)
    return np.asarray(np.arcsin(np.clip(sine, -1.0, 1.0)))
