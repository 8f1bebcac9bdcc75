"""A volume of fuel ↔ its mass."""


def volume_to_mass(volume: float, density: float) -> float:
    """Mass [kg] of `volume` [m³] of a fuel of `density` [kg/m³].

    Examples
    --------
    >>> from wringout.quantity import convert, to_si
    >>> print(f"{convert(volume_to_mass(to_si(25, 'US gal'), to_si(6, 'lb/US gal')), 'lb'):.1f} lb")
    150.0 lb
    """
    return volume * density


def mass_to_volume(mass: float, density: float) -> float:
    """Volume [m³] of `mass` [kg] of a fuel of `density` [kg/m³]; the inverse of `volume_to_mass`."""
    return mass / density
