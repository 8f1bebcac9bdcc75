"""From parameters to the airplane that the equations of motion know."""

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.model.fit import Fit, Parameter
from wringout.physics.aerodynamics import induced_drag_factor
from wringout.physics.propulsion import (
    ConstantSpeedPropeller,
    ElectricMotor,
    Engine,
    FixedPitchPropeller,
    NaturallyAspiratedEngine,
    Propeller,
    TurbochargedEngine,
)
from wringout.physics.vehicle import Vehicle

FloatArray = NDArray[np.float64]
Theta = Mapping[
    str, FloatArray
]  # parameter → natural values, shape (k, 1): a column for cases to broadcast with


def theta_of(parameters: Sequence[Parameter], vectors: FloatArray) -> dict[str, FloatArray]:
    """Fit-space vectors, shape (k, P), as natural values by name, each of shape (k, 1)."""
    return {
        parameter.name: (np.exp(column) if parameter.log else column)[:, None]
        for parameter, column in zip(parameters, vectors.T, strict=True)
    }


def theta_of_draws(fit: Fit) -> dict[str, FloatArray]:
    """The draws of a fit by parameter name, each of shape (draws, 1)."""
    return {
        result.parameter.name: column[:, None]
        for result, column in zip(fit.parameters, fit.draws.T, strict=True)
    }


def vehicle(
    airplane: Airplane,
    theta: Theta,
    configurations: Sequence[str],
    flaps: Sequence[str],
    mass: FloatArray | float,
) -> Vehicle:
    """The point-mass airplane for k parameter vectors and n cases, each with its configuration and flaps.

    Parameters
    ----------
    airplane : Airplane
        Its geometry, engine and propeller.
    theta : mapping
        Parameter name → natural values, shape (k, 1).
    configurations, flaps : sequence of str, length n
        Of each case.
    mass : float or ndarray, broadcastable to (k, n)
        [kg]

    Returns
    -------
    Vehicle
        Fields broadcast to (k, n).

    Raises
    ------
    KeyError
        A configuration or flap setting that the parameters do not know.
    """
    geometry = airplane.geometry
    area = theta["zero-lift drag area"] + columns(theta, "drag-area change: ", configurations, airplane)
    area = area + columns(theta, "drag-area change: flap ", flaps, airplane)
    # A wild draw of a kit's change must not make an airplane that pushes itself along.
    area = np.maximum(area, 0.005 * geometry.wing_area)
    lift = np.concatenate([theta[f"maximum lift coefficient: flap {flap}"] for flap in flaps], axis=1)
    return Vehicle(
        mass=mass,
        wing_area=geometry.wing_area,
        span=geometry.span,
        wing_height=geometry.wing_height,
        zero_lift_drag=area / geometry.wing_area,
        induced_factor=induced_drag_factor(geometry.span, geometry.wing_area, theta["span efficiency"]),
        lift_at_minimum_drag=0.0,
        maximum_lift_coefficient=lift,
        propeller=propeller(airplane, theta),
        engine=engine(airplane, theta),
    )


def columns(
    theta: Theta, stem: str, names: Sequence[str], airplane: Airplane, reference: float = 0.0
) -> FloatArray:
    """Values of one parameter a name, side by side, shape (k, n).

    The first configuration and the first flap setting have no parameter of changes against themselves: they
    take the value `reference`.

    Raises
    ------
    KeyError
        A name that is neither the reference nor a parameter's.
    """
    plain = np.full_like(theta["zero-lift drag area"], reference)
    references = (airplane.configurations[0].name, airplane.flaps[0].name)
    return np.concatenate(
        [plain if name in references and stem + name not in theta else theta[stem + name] for name in names],
        axis=1,
    )


def propeller(airplane: Airplane, theta: Theta) -> Propeller:
    """The propeller of each parameter vector."""
    described = airplane.propeller
    if described.kind == "constant speed":
        rated = airplane.engine.rated_speed * described.gear_ratio
        return ConstantSpeedPropeller(
            described.diameter,
            theta["propeller static efficiency"],
            theta["propeller cruise efficiency"],
            rated,
            np.minimum(theta["cruise engine speed"] * described.gear_ratio, rated),
        )
    return FixedPitchPropeller(
        described.diameter,
        theta["propeller polar slope"],
        -theta["propeller polar intercept"],
        airplane.engine.rated_speed * described.gear_ratio,
        theta["full-throttle engine speed"] * described.gear_ratio,
    )


def engine(airplane: Airplane, theta: Theta) -> Engine:
    """The engine of each parameter vector."""
    described = airplane.engine
    power = described.rated_power * theta["engine power factor"]
    if described.kind == "electric":
        return ElectricMotor(power)
    rich, drop, heat = (
        theta[name] for name in ("full-rich power", "engine altitude drop", "engine heat exponent")
    )
    if described.kind == "turbocharged":
        return TurbochargedEngine(power * rich, described.critical_altitude, drop, heat)
    return NaturallyAspiratedEngine(power * rich, drop, heat)
