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
LEAST = 0.25  # of the scatter seen; a few landings cannot tell that all of it is the receiver's
_PASSES = 50


@dataclass(frozen=True, slots=True)
class TouchdownSpread:
    """Touchdowns of one pilot and technique on one strip, in one direction.

    `track` [rad] is their mean direction; `beyond` [m] how far beyond their line each touched, in the order
    of `origins`, with `own` [m] the standard uncertainty of each place. The line is the one at which the
    cards say the landings aimed, or else the mean of the touchdowns; `offset` how far beyond it they touch on
    average, None about their own mean. `spread` is the standard deviation along the strip with the places'
    own uncertainty taken out, `stretch` the length about their mean in which nine in ten touch.
    """

    strip: str
    technique: str
    pilot: str
    track: float
    origins: tuple[Origin, ...]
    beyond: tuple[float, ...]
    own: tuple[float, ...]
    offset: Estimate | None
    spread: Estimate
    stretch: Estimate

    @property
    def mean(self) -> float:
        """Where about the line they touch on average. [m]"""
        return 0.0 if self.offset is None else self.offset.value


def touchdown_spreads(points: Points) -> tuple[TouchdownSpread, ...]:
    """The spread of touchdown points wherever a pilot landed at least three times alike.

    Parameters
    ----------
    points : Points
        Landings whose strip is named and whose recording shows where they touched.

    Returns
    -------
    tuple of TouchdownSpread
        In the order first flown. Where the cards of all give the line at which they aimed, they lie about it;
        the strip's own place on the earth need not be known.

    Notes
    -----
    n places x with own uncertainties u scatter about their mean with the variances τ² + u², and the spread τ
    is the most probable one by what is left of them about their weighted mean [derived: restricted maximum
    likelihood of a normal distribution]; with equal u it is √(s² − u²) of the sample standard deviation s. It
    is not put below a quarter of the weighted s, lest it pretend to more than a few landings tell. Its own
    uncertainty is that of the expected information; with u = 0, τ/√(2(n − 1)). The uncertainty of the offset
    leaves out the line's own.
    """
    found = []
    for alike in _alike(points.landings):
        places = [place for _, place in alike]
        if len(places) < 3:
            continue
        track = float(np.angle(np.mean([np.exp(1j * place.track) for place in places])))
        aimed = all(place.line is not None for place in places)
        along = _along(places, track, aimed=aimed)
        own = np.array([place.sd for place in places])
        spread, sd, mean, mean_sd = _scatter(along, own)
        about = "the line at which they aimed" if aimed else "their mean line"
        source = f"places of {len(places)} touchdowns about {about}"
        first = alike[0][0]
        beyond = along if aimed else along - mean
        found.append(
            TouchdownSpread(
                places[0].strip,
                first.technique,
                first.pilot,
                track,
                tuple(point.origin for point, _ in alike),
                tuple(beyond.tolist()),
                tuple(own.tolist()),
                Estimate(mean, mean_sd, Dimension.LENGTH, source) if aimed else None,
                Estimate(spread, sd, Dimension.LENGTH, source),
                Estimate(2.0 * NINE_IN_TEN * spread, 2.0 * NINE_IN_TEN * sd, Dimension.LENGTH, source),
            )
        )
    return tuple(found)


def _scatter(along: FloatArray, own: FloatArray) -> tuple[float, float, float, float]:
    """Spread with its uncertainty, and mean with its own, of places that are known so well. [m]"""
    seen = float(np.var(along, ddof=1))
    variance = max(seen, 1e-12)
    weights, _ = _weighing(variance, own)
    apart = along - weights @ along / weights.sum()
    least = LEAST**2 * float(weights @ apart**2 / weights.sum()) * along.size / (along.size - 1)
    for _ in range(_PASSES):  # Fisher scoring; it settles in a few steps
        weights, projector = _weighing(variance, own)
        left = projector @ along
        information = 0.5 * float(np.sum(projector * projector))
        step = 0.5 * (float(left @ left) - float(np.trace(projector))) / information
        moved = max(variance + step, least, 1e-12)
        if abs(moved - variance) < 1e-9 * variance:
            break
        variance = moved
    weights, projector = _weighing(variance, own)
    information = 0.5 * float(np.sum(projector * projector))
    spread = float(np.sqrt(variance)) if seen > 0.0 else 0.0
    sd = 0.5 / (max(spread, 1e-6) * float(np.sqrt(information)))
    return spread, sd, float(weights @ along / weights.sum()), float(1.0 / np.sqrt(weights.sum()))


def _weighing(variance: float, own: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Weights (n,) of the places, and the matrix (n, n) that takes out their weighted mean and weighs."""
    weights = 1.0 / (variance + own**2)
    return weights, np.diag(weights) - np.outer(weights, weights) / weights.sum()


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


def _along(places: Sequence[TouchdownPlace], track: float, *, aimed: bool) -> FloatArray:
    """How far each place lies along the track beyond its line, or beyond their mean [m], on a plane that
    touches the earth."""
    latitude = np.array([place.latitude for place in places])
    longitude = np.array([place.longitude for place in places])
    if aimed:
        from_latitude, from_longitude = np.array([place.line for place in places]).T
    else:
        from_latitude, from_longitude = latitude.mean(), longitude.mean()
    north = EARTH_RADIUS * (latitude - from_latitude)
    east = EARTH_RADIUS * np.cos(latitude.mean()) * (longitude - from_longitude)
    return np.asarray(east * np.sin(track) + north * np.cos(track))
