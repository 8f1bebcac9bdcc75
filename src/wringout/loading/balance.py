"""The lever law by itself: mass added, taken off or shifted, ballast, and CG on the mean chord.

Masses in kg and arms in m; with any other unit of mass or length the same functions hold, as long as each is
used throughout. NaN gives NaN.
"""


def cg_after_change(mass: float, cg: float, change: float, arm: float) -> float:
    """CG after a mass is added at an arm, or taken off it where `change` is negative.

    x' = x + Δ (arm − x)/(W + Δ) [FAA-H-8083-25, weight and balance]. ValueError where nothing is left.

    Examples
    --------
    >>> print(f"{cg_after_change(6860.0, 80.0, 140.0, 150.0):.1f}")
    81.4
    """
    if mass + change <= 0.0:
        raise ValueError(f"a change of {change:g} leaves nothing of {mass:g}")
    return cg + change * (arm - cg) / (mass + change)


def cg_after_shift(mass: float, cg: float, shifted: float, from_arm: float, to_arm: float) -> float:
    """CG after a mass that is aboard is moved from one arm to another.

    x' = x + w (to − from)/W [FAA-H-8083-25, weight and balance]. ValueError where the mass is not positive.

    Examples
    --------
    >>> print(f"{cg_after_shift(8000.0, 77.0, 100.0, 30.0, 150.0):.1f}")
    78.5
    """
    if mass <= 0.0:
        raise ValueError(f"the mass must be positive, found {mass:g}")
    return cg + shifted * (to_arm - from_arm) / mass


def mass_to_shift(mass: float, cg: float, wanted_cg: float, from_arm: float, to_arm: float) -> float:
    """Mass to move from one arm to another to bring the CG where it is wanted; negative means the other way.

    w = W (x' − x)/(to − from) [FAA-H-8083-25, weight and balance]. ValueError where the two arms are equal.

    Examples
    --------
    >>> print(f"{mass_to_shift(7800.0, 81.5, 80.5, 150.0, 30.0):.0f}")
    65
    """
    if to_arm == from_arm:
        raise ValueError("moving a mass to the arm that it has moves no CG")
    return mass * (wanted_cg - cg) / (to_arm - from_arm)


def ballast_mass(mass: float, cg: float, limit: float, arm: float) -> float:
    """Mass at an arm that brings a CG exactly to a limit.

    b = W (limit − x)/(arm − limit) [FAA-H-8083-1, ch. 5; AC43.13-1B, ch. 10]. ValueError where no ballast at
    that arm can do it: the arm lies at the limit or on its wrong side.

    Examples
    --------
    >>> print(f"{ballast_mass(4954.0, 30.5, 32.0, 162.0):.2f}")
    57.16
    """
    needed, lever = limit - cg, arm - limit
    if lever == 0.0 or needed * lever < 0.0:
        raise ValueError(f"ballast at {arm:g} does not bring a CG of {cg:g} to {limit:g}")
    return mass * needed / lever


def chord_fraction(cg: float, mean_chord: float, leading_edge: float) -> float:
    """CG as a fraction of the mean chord aft of its leading edge.

    (x − LEMAC)/MAC [FAA-H-8083-1, ch. 3]. ValueError where the chord is not positive.

    Examples
    --------
    >>> print(f"{100.0 * chord_fraction(161.0, 62.0, 144.0):.1f} %")
    27.4 %
    """
    if mean_chord <= 0.0:
        raise ValueError(f"the mean chord must be positive, found {mean_chord:g}")
    return (cg - leading_edge) / mean_chord
