"""Where repeated landings touched along one strip: the pilot's spread about the line."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.physics.constants import EARTH_RADIUS
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.points import LandingPoint, Origin, Points, TouchdownPlace

FloatArray = NDArray[np.float64]
SAME_WAY = np.pi / 2.0  # rolls within this of one another land in the same direction
NINE_IN_TEN = 1.645  # standard deviations to either side that hold nine in ten of a normal distribution


@dataclass(frozen=True, slots=True)
class TouchdownSpread:
    """Touchdowns of one pilot and technique on one strip, in one direction.

    `track` [rad] is their mean direction; `beyond` [m] how far beyond their mean line each touched, in the
    order of `origins`. `spread` is the standard deviation along the strip with the positions' own
    uncertainty taken out, `stretch` the length about the line in which nine in ten touch.
    """

    strip: str
    technique: str
    pilot: str
    track: float
    origins: tuple[Origin, ...]
    beyond: tuple[float, ...]
    spread: Estimate
    stretch: Estimate


def touchdown_spreads(points: Points) -> tuple[TouchdownSpread, ...]:
    """The spread of touchdown points wherever a pilot landed at least three times alike.

    Parameters
    ----------
    points : Points
        Landings whose strip is named and whose recording shows where they touched.

    Returns
    -------
    tuple of TouchdownSpread
        In the order first flown; the strip's own place on the earth need not be known, for the line is the
        mean of the touchdowns.

    Notes
    -----
    With s the sample standard deviation of n places along the mean track and u their own root-mean-square
    uncertainty, the spread is √(s² − u²), not below s/4 lest it pretend to more than a few landings tell; its
    own relative uncertainty is 1/√(2(n − 1)) [derived: chi-squared, n − 1 degrees of freedom].
    """
    found = []
    for alike in _alike(points.landings):
        places = [place for _, place in alike]
        if len(places) < 3:
            continue
        track = float(np.angle(np.mean([np.exp(1j * place.track) for place in places])))
        along = _along(places, track)
        scatter = float(np.std(along, ddof=1))
        own = float(np.mean([place.sd**2 for place in places]))
        spread = float(np.sqrt(max(scatter**2 - own, scatter**2 / 16.0)))
        sd = spread / float(np.sqrt(2.0 * (len(places) - 1)))
        source = f"places of {len(places)} touchdowns about their mean line"
        first = alike[0][0]
        found.append(
            TouchdownSpread(
                places[0].strip,
                first.technique,
                first.pilot,
                track,
                tuple(point.origin for point, _ in alike),
                tuple(along.tolist()),
                Estimate(spread, sd, Dimension.LENGTH, source),
                Estimate(2.0 * NINE_IN_TEN * spread, 2.0 * NINE_IN_TEN * sd, Dimension.LENGTH, source),
            )
        )
    return tuple(found)


def _alike(landings: Sequence[LandingPoint]) -> list[list[tuple[LandingPoint, TouchdownPlace]]]:
    """Landings of one pilot and technique on one strip the same way, gathered."""
    gathered: list[list[tuple[LandingPoint, TouchdownPlace]]] = []
    for point in landings:
        place = point.place
        if place is None:
            continue
        for alike in gathered:
            first, there = alike[0]
            turned = abs(float(np.angle(np.exp(1j * (place.track - there.track)))))
            if (first.pilot, first.technique, there.strip) == (
                point.pilot,
                point.technique,
                place.strip,
            ) and turned < SAME_WAY:
                alike.append((point, place))
                break
        else:
            gathered.append([(point, place)])
    return gathered


def _along(places: Sequence[TouchdownPlace], track: float) -> FloatArray:
    """How far each place lies along the track beyond their mean [m], on a plane that touches the earth."""
    latitude = np.array([place.latitude for place in places])
    longitude = np.array([place.longitude for place in places])
    north = EARTH_RADIUS * (latitude - latitude.mean())
    east = EARTH_RADIUS * np.cos(latitude.mean()) * (longitude - longitude.mean())
    along = east * np.sin(track) + north * np.cos(track)
    return np.asarray(along - along.mean())
