"""How hard an airplane of given wheels can brake: the grip of the surface, the geometry of the gear."""

import numpy as np
from numpy.typing import NDArray

from wringout.claims.case import Case
from wringout.model.field import on_wheels
from wringout.model.surfaces import surface_prior, table_name
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

FloatArray = NDArray[np.float64]

PAVED_PEAK = 0.80  # greatest on dry concrete or asphalt [NASA-R-20]
PAVED_SD = 0.08
LEAST_RELATIVE_SD = 0.20


def grip_of(surface: str) -> Estimate:
    """The most braking friction that tyres find on a surface.

    Dry pavement: the peak of NASA TR R-20 [NASA-R-20]. Elsewhere the friction of hard braking in the table
    of the physics, as uncertain as its printed bounds and at least by a fifth.

    Examples
    --------
    >>> print(f"{grip_of('asphalt').value:.2f} {grip_of('dry grass').value:.2f}")
    0.80 0.40
    """
    if table_name(surface) == "dry concrete":
        return Estimate(
            PAVED_PEAK, PAVED_SD, Dimension.RATIO, "NASA TR R-20: about 0.8 at most on dry pavement"
        )
    prior = surface_prior(surface)
    low, high = prior.braking_bounds
    sd = max(LEAST_RELATIVE_SD * prior.braking, 0.25 * (high - low))
    return Estimate(prior.braking, sd, Dimension.RATIO, prior.source)


def most_braking(case: Case, friction: FloatArray) -> FloatArray:
    """Deceleration over g that braked wheels give at a friction, CG where it serves best, shape (n,).

    The aft limit at the claim's mass serves best with either gear: it loads the braked wheels behind a nose
    wheel, and keeps a tail down. Zero without brakes.
    """
    gear = case.assumed.configuration.undercarriage
    if not gear.braking:
        return np.zeros_like(friction)
    return on_wheels(gear, friction, max(arm for arm, _ in case.assumed.envelope.vertices))
