"""Optimum, scatter and outliers found in turn until they agree."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.model.covariances import (
    FAMILIES,
    Noise,
    differences,
    noise_of,
    outliers,
    scatter_scales,
    standardised,
)
from wringout.model.field_groups import landing_group, take_off_group
from wringout.model.figures import Group, predicted, response
from wringout.model.fit import Parameter
from wringout.model.flight_groups import (
    climb_group,
    fuel_flow_group,
    full_throttle_group,
    level_power_group,
    stall_group,
)
from wringout.model.optimum import Optimum, maximum_a_posteriori
from wringout.model.vehicles import theta_of
from wringout.reduction.points import Points

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

PASSES = 6
SETTLED = 0.02  # change of every scale, relative, and no other outlier: the passes have settled
TOLERANCE = 1e-5


@dataclass(frozen=True, slots=True)
class Settled:
    """What the passes arrive at; arrays over the figures."""

    optimum: Optimum
    noise: Noise
    scales: FloatArray
    aside: BoolArray
    standardised: FloatArray
    fitted: FloatArray  # in compared space
    expected: FloatArray  # in compared space, by all other figures
    settled: bool


def settle(
    priors: Sequence[Parameter], groups: tuple[Group, ...], mean: FloatArray, covariance: FloatArray
) -> Settled:
    """The optimum, and the noise under which it is one, found in turn until they agree.

    Parameters
    ----------
    priors : sequence of Parameter, length P
    groups : tuple of Group
        All figures, at least one.
    mean, covariance : ndarray, shapes (P,) and (P, P)
        Of the priors in fit space.

    Returns
    -------
    Settled
    """
    figures = tuple(figure for group in groups for figure in group.flat)
    measured = np.array([figure.compared for figure in figures])

    def model(vectors: FloatArray) -> FloatArray:
        return predicted(groups, theta_of(priors, vectors))

    values, scales, aside = mean, np.ones(len(FAMILIES)), np.zeros(len(figures), dtype=np.bool_)
    for _ in range(PASSES):
        answer = response(groups, theta_of(priors, values[None, :]))
        noise = noise_of(figures, answer.loadings, answer.scatter)
        optimum = maximum_a_posteriori(
            model,
            values,
            measured - answer.bend,
            noise.covariance(scales, aside),
            prior_mean=mean,
            prior_covariance=covariance,
            tolerance=TOLERANCE,
        )
        values = optimum.values
        deviation = optimum.residuals + optimum.jacobian @ (values - mean)
        believed = optimum.jacobian @ covariance @ optimum.jacobian.T
        found_scales = scatter_scales(noise, aside, deviation, believed)
        found_aside = outliers(noise, found_scales, deviation, believed)
        settled = bool(
            np.all(np.abs(found_scales / scales - 1.0) < SETTLED) and np.array_equal(found_aside, aside)
        )
        if settled:
            break
        scales, aside = found_scales, found_aside
    return Settled(
        optimum,
        noise,
        scales,
        aside,
        standardised(noise, scales, aside, deviation, believed),
        measured - answer.bend - optimum.residuals,
        measured - differences(noise, scales, aside, deviation, believed),
        settled,
    )


def groups_of(airplane: Airplane, points: Points) -> tuple[Group, ...]:
    """The figures of every point that the model speaks about, group by group; empty groups left out."""
    idle_stalls = [point for point in points.stalls if point.power == "idle"]
    full = [point for point in points.levels if point.full_throttle]
    with_power = [
        point
        for point in points.levels
        if point.power is not None and not point.full_throttle and not point.power_by_fuel
    ]
    with_fuel = [point for point in points.levels if point.fuel_flow is not None]
    climbs = [point for point in points.climbs if point.power == "full"]
    glides = [point for point in points.climbs if point.power == "idle"]
    found = (
        stall_group(airplane, idle_stalls, points.position_error) if idle_stalls else None,
        level_power_group(airplane, with_power) if with_power else None,
        full_throttle_group(airplane, full) if full else None,
        fuel_flow_group(airplane, with_fuel) if with_fuel and airplane.engine.kind != "electric" else None,
        climb_group(airplane, climbs, idle=False) if climbs else None,
        climb_group(airplane, glides, idle=True) if glides else None,
        take_off_group(airplane, points.takeoffs) if points.takeoffs else None,
        landing_group(airplane, points.landings) if points.landings else None,
    )
    return tuple(group for group in found if group is not None)
