"""Level flight: power required, speed at a power, and how far and how long the fuel lasts."""

import numpy as np

from wringout.physics.arrays import Array, Real, positive
from wringout.physics.constants import GRAVITY
from wringout.physics.vehicle import Air, Vehicle, drag, full_power, thrust

SECANT_STEPS = 16


def power_required(
    vehicle: Vehicle, air: Air, true_airspeed: Real, propeller_speed: Real | None = None
) -> Array:
    """Shaft power that holds level flight at a true airspeed.

    Parameters
    ----------
    vehicle, air : see `vehicle`
    true_airspeed : float or array
        [m/s]
    propeller_speed : float or array, optional
        Where it was measured; that which goes with the power where None. [1/s]

    Returns
    -------
    array
        [W]  May exceed what the engine gives.

    Raises
    ------
    ValueError
        Airspeed not positive.
    """
    speed = positive(true_airspeed, "true airspeed [m/s]")
    needed = drag(vehicle, air, speed)
    return vehicle.propeller.power(speed, air.density, needed, full_power(vehicle, air), propeller_speed)


def level_speed(vehicle: Vehicle, air: Air, power: Real | None = None) -> Array:
    """The faster true airspeed of level flight at a shaft power.

    Parameters
    ----------
    vehicle, air : see `vehicle`
    power : float or array, optional
        Shaft power; full throttle where None. [W]

    Returns
    -------
    array
        [m/s]  NaN where the power does not hold the airplane up at any speed.

    Notes
    -----
    T(V) V = D(V) V. Power available less power required is concave in V, and both starting speeds lie above
    the root: the least of them is where drag at zero lift alone takes the entire shaft power. A secant
    through two points beyond the fast root of a concave function falls on it from above, so it never
    crosses to the slow side; a fixed count of steps.

    Examples
    --------
    >>> from wringout.physics.propulsion import ConstantSpeedPropeller, NaturallyAspiratedEngine
    >>> airplane = Vehicle(
    ...     mass=1090.0, wing_area=17.6, span=10.9, wing_height=2.1,
    ...     zero_lift_drag=0.038, induced_factor=0.055, lift_at_minimum_drag=0.0,
    ...     maximum_lift_coefficient=1.5,
    ...     propeller=ConstantSpeedPropeller(2.03, 0.75, 0.88), engine=NaturallyAspiratedEngine(149e3))
    >>> print(f"{level_speed(airplane, Air.standard(0.0)) / (1852 / 3600):.1f} kt")
    127.2 kt
    """
    shaft = full_power(vehicle, air) if power is None else np.asarray(power, dtype=np.float64)
    parasite = 0.5 * np.asarray(air.density) * vehicle.wing_area * vehicle.zero_lift_drag

    def spare(speed: Array) -> Array:
        return (thrust(vehicle, air, speed, power) - drag(vehicle, air, speed)) * speed

    scale = np.maximum(shaft, 1.0)
    near = np.cbrt(scale / parasite) + 0.0 * np.asarray(vehicle.mass)
    far = 1.1 * near
    at_far, at_near = spare(far), spare(near)
    possible = ~(at_near > 0)
    for _ in range(SECANT_STEPS):
        change = at_near - at_far
        # On the fast side more speed leaves less power; what is settled to rounding stays.
        falling = (change * (near - far) < 0) & (np.abs(at_near) > 1e-12 * scale)
        step = np.where(falling, at_near * (near - far) / np.where(falling, change, 1.0), 0.0)
        far, at_far = near, at_near
        near = near - step
        near = np.where(near > 1.0, near, np.nan)
        at_near = spare(near)
    return np.where(possible & (np.abs(at_near) < 1e-6 * scale), near, np.nan)


def fuel_flow(power: Real, specific_consumption: Real, fuel_density: Real) -> Array:
    """Fuel flow [m³/s] at a shaft power [W], specific consumption [kg/J] and fuel density [kg/m³]."""
    return np.asarray(power * np.asarray(specific_consumption) / fuel_density)


def specific_range(true_airspeed: Real, fuel_flow: Real, head_wind: Real = 0.0) -> Array:
    """Ground distance per fuel volume [m/m³] at a true airspeed [m/s], fuel flow [m³/s] and head wind [m/s].

    Examples
    --------
    161 kt on 11.5 gal/h:

    >>> gallon = 3.785411784e-3
    >>> print(f"{specific_range(161 * 1852 / 3600, 11.5 * gallon / 3600) * gallon / 1852:.1f} nmi/gal")
    14.0 nmi/gal
    """
    return np.subtract(true_airspeed, head_wind) / positive(fuel_flow, "fuel flow [m³/s]")


def breguet_range(
    *,
    propulsive_efficiency: Real,
    specific_consumption: Real,
    lift_over_drag: Real,
    start_mass: Real,
    end_mass: Real,
) -> Array:
    """Still-air range at one lift coefficient.

    Parameters
    ----------
    propulsive_efficiency : float or array
        Thrust power over shaft power.
    specific_consumption : float or array
        Fuel mass per shaft energy, c. [kg/J]
    lift_over_drag : float or array
        At the lift coefficient held.
    start_mass, end_mass : float or array
        [kg]

    Returns
    -------
    array
        [m]

    Raises
    ------
    ValueError
        A consumption or mass that is not positive.

    Notes
    -----
    R = (η/(c g)) (L/D) ln(m₀/m₁) [Anderson ch. 6].
    """
    ratio = positive(start_mass, "start mass [kg]") / positive(end_mass, "end mass [kg]")
    consumption = positive(specific_consumption, "specific consumption [kg/J]")
    return propulsive_efficiency / (consumption * GRAVITY) * lift_over_drag * np.log(ratio)


def breguet_endurance(
    *,
    propulsive_efficiency: Real,
    specific_consumption: Real,
    lift_coefficient: Real,
    drag_coefficient: Real,
    density: Real,
    wing_area: Real,
    start_mass: Real,
    end_mass: Real,
) -> Array:
    """Endurance [s] at one lift coefficient and density.

    Arguments as `breguet_range`; density [kg/m³], wing area [m²].

    Notes
    -----
    E = (η/(c g)) (C_L^1.5/C_D) √(2 ρ S) (W₁^−½ − W₀^−½) [Anderson ch. 6].
    """
    consumption = positive(specific_consumption, "specific consumption [kg/J]")
    quality = np.power(lift_coefficient, 1.5) / drag_coefficient
    lighter = 1 / np.sqrt(positive(end_mass, "end mass [kg]") * GRAVITY)
    heavier = 1 / np.sqrt(positive(start_mass, "start mass [kg]") * GRAVITY)
    loading = np.sqrt(2 * positive(density, "air density [kg/m³]") * wing_area)
    return propulsive_efficiency / (consumption * GRAVITY) * quality * loading * (lighter - heavier)
