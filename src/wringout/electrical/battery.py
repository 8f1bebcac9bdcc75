"""How long a battery lasts: Peukert's law with cold and age taken off."""

import math

from wringout.airplane.airplane import Battery
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

_WARM = 298.15  # K, 25 °C, at which batteries are rated
CHARGE_SPREAD = 0.10  # relative, of the charge at a stated age (common practice, no source)
EXPONENT_SPREAD = 0.03  # of Peukert's exponent (common practice, no source)


def available_charge(battery: Battery, temperature: float) -> float:
    """Charge [A·s] to be had of the rated at this age and temperature [K]; none gained above 25 °C.

    C' = C · aged · usable · (1 − c (298.15 − T)), never below zero [Battery's own fields; common practice, no
    source]. ValueError where the temperature is not positive.

    Examples
    --------
    24 Ah, four fifths left by age, three quarters usable, and 12 A by charge over current:

    >>> worn = Battery("worn", 24 * 3600.0, 2 * 3600.0, 1.0, 12.0, aged_fraction=0.8, usable_fraction=0.75)
    >>> print(f"{available_charge(worn, 298.15) / 12.0 / 60:.1f} min")
    72.0 min
    """
    if temperature <= 0.0:
        raise ValueError(f"a temperature in kelvin is positive, found {temperature:g}")
    cold = battery.charge_lost_per_kelvin * max(_WARM - temperature, 0.0)
    return battery.charge * battery.aged_fraction * battery.usable_fraction * max(1.0 - cold, 0.0)


def battery_endurance(battery: Battery, current: float, temperature: float) -> float:
    """Time until a battery is empty at a steady current.

    Parameters
    ----------
    battery : Battery
        Rated charge [A·s] over its rated time [s], Peukert exponent, age and cold.
    current : float
        [A]
    temperature : float
        Of the battery [K].

    Returns
    -------
    float
        [s]. NaN where current or temperature is NaN.

    Raises
    ------
    ValueError
        Current or temperature not positive, or an exponent below one.

    Notes
    -----
    t = H (C'/(I H))^k, the form for a battery rated C over H [Peukert1897, from memory]. The form t = C/I^k
    with the same C is another law: it holds for a capacity stated at one ampere, and 5 A from 100 Ah at 20
    h and k = 1.2 gives 14.5 h in it where the battery gives its rated 20 h.

    Examples
    --------
    >>> from wringout.airplane.airplane import Battery
    >>> main = Battery("main", 24 * 3600.0, 20 * 3600.0, 1.15, 12.0)
    >>> print(f"{battery_endurance(main, 12.0, 298.15) / 60:.2f} min")
    84.95 min
    """
    if current <= 0.0:
        raise ValueError(f"a battery's endurance needs a current above zero, found {current:g} A")
    if battery.peukert_exponent < 1.0:
        raise ValueError(f"Peukert's exponent is one or more, found {battery.peukert_exponent:g}")
    if math.isnan(current) or math.isnan(temperature):
        return math.nan
    rated = available_charge(battery, temperature) / (current * battery.rated_time)
    return battery.rated_time * float(rated**battery.peukert_exponent)


def unit_current_endurance(charge: float, current: float, exponent: float) -> float:
    """Time [s] by Peukert's other form, t = C/I^k, for a charge stated at one ampere.

    Parameters
    ----------
    charge : float
        What the battery gives at 1 A [A·s]; never the charge of a rating over hours.
    current : float
        [A]
    exponent : float
        Peukert's.

    Returns
    -------
    float
        [s]

    Raises
    ------
    ValueError
        A charge or a current that is not positive, or an exponent below one.

    Notes
    -----
    [Peukert1897, from memory.] It is the rated form of a battery whose rated time is its charge over one
    ampere, and only of that one.

    Examples
    --------
    >>> print(f"{unit_current_endurance(250 * 3600.0, 20.0, 1.3) / 3600:.4f} h")
    5.0886 h
    """
    if charge <= 0.0 or current <= 0.0:
        raise ValueError(f"charge and current must be positive, found {charge:g} A·s and {current:g} A")
    if exponent < 1.0:
        raise ValueError(f"Peukert's exponent is one or more, found {exponent:g}")
    return charge / float(current**exponent)


def battery_endurance_estimate(
    battery: Battery,
    current: Estimate,
    temperature: Estimate,
    *,
    charge_uncertainty: float = CHARGE_SPREAD,
    exponent_uncertainty: float = EXPONENT_SPREAD,
) -> Estimate:
    """Endurance with its standard uncertainty, from those of current, temperature, charge and exponent.

    Parameters
    ----------
    battery : Battery
    current, temperature : Estimate
        [A] and [K]; a missing sd counts as none.
    charge_uncertainty : float
        Relative standard uncertainty of the charge at this age [common practice, no source].
    exponent_uncertainty : float
        Standard uncertainty of Peukert's exponent [common practice, no source].

    Returns
    -------
    Estimate
        [s]

    Raises
    ------
    ValueError
        As `battery_endurance`.

    Notes
    -----
    Linear propagation [GUM, 5.1.2]: with r = C'/(I H), δt/t = k (δC/C − δI/I) + ln r δk, and the cold's
    part by its derivative.
    """
    time = battery_endurance(battery, current.value, temperature.value)
    exponent = battery.peukert_exponent
    charge = available_charge(battery, temperature.value)
    if charge <= 0.0:
        return Estimate(0.0, 0.0, Dimension.TIME, f"{battery.name}: no charge left in this cold")
    ratio = charge / (current.value * battery.rated_time)
    by_kelvin = 0.0
    if temperature.value < _WARM:
        held = battery.charge * battery.aged_fraction * battery.usable_fraction
        by_kelvin = held * battery.charge_lost_per_kelvin / charge
    relative = math.hypot(
        exponent * charge_uncertainty,
        exponent * (current.sd or 0.0) / current.value,
        math.log(ratio) * exponent_uncertainty,
        exponent * by_kelvin * (temperature.sd or 0.0),
    )
    return Estimate(
        time,
        time * relative,
        Dimension.TIME,
        f"{battery.name}: Peukert's law at {current.value:g} A and {temperature.value - 273.15:.0f} °C; "
        f"{current.source}",
    )
