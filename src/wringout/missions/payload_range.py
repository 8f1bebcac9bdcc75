"""Payload against range: what is left for people and things as fuel buys distance."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.dossier.dossier import Units
from wringout.loading import Pilot, capacity, usual_pilot
from wringout.missions.trip import DAY_RESERVE, Allowances, range_with
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.quantity.showing import show
from wringout.reduction.propagation import propagate

FloatArray = NDArray[np.float64]

_NO_ALLOWANCES = Allowances()
_UNITS = Units()
_DROP = 1e-4  # m³
_HALF_WIDTH_90 = 1.6449  # central 90 % of a normal distribution, in standard deviations


@dataclass(frozen=True, slots=True)
class PayloadRange:
    """Payload against range for one configuration; arrays of one shape, by rising fuel.

    `fuel` usable at the ramp [m³]; `payload` most people and things, pilot counted [kg], NaN where nothing
    can be carried; `payload_by_mass` [kg] what mass alone would allow; `range` [m] with the central 90 %
    from `range_low` to `range_high`; `binding` what stops more payload at each.
    """

    configuration: str
    fuel: FloatArray
    payload: FloatArray
    payload_by_mass: FloatArray
    range: FloatArray
    range_low: FloatArray
    range_high: FloatArray
    binding: tuple[str, ...]
    head_wind: float
    reserve: float
    sentence: str
    assumptions: tuple[str, ...]

    def furthest_with(self, payload: float) -> Estimate | None:
        """The greatest range with at least that payload [kg]; None where it cannot be carried."""
        return _furthest(self, payload)


def payload_range(
    airplane: Airplane,
    configuration: str,
    *,
    fuel_flow: Estimate,
    true_airspeed: Estimate,
    reserve: float = DAY_RESERVE,
    head_wind: float = 0.0,
    allowances: Allowances = _NO_ALLOWANCES,
    pilot: Pilot | None = None,
    units: Units = _UNITS,
    points: int = 61,
) -> PayloadRange:
    """Payload against range under mass, CG, station and floor limits, in still air or wind.

    Parameters
    ----------
    airplane : Airplane
    configuration : str
    fuel_flow, true_airspeed : Estimate
        At cruise [m³/s], [m/s]; their errors are taken as independent.
    reserve : float
        Kept at cruise flow [s].
    head_wind : float
        [m/s], negative where it helps.
    allowances : Allowances
        Taxi and climb. Taxi fuel counts as aboard at take-off, which costs its mass in payload.
    pilot : Pilot, optional
        As in `wringout.loading.capacity`.
    units : Units
        For the sentence.
    points : int
        How many fuels, from what climb and reserve take to full tanks.

    Returns
    -------
    PayloadRange

    Raises
    ------
    InputError
        As `capacity`; tanks that do not hold climb and reserve.
    ValueError
        As `range_with`.

    Notes
    -----
    `capacity` gives the payload and `range_with` the distance; the interval is the central 90 % of a normal
    distribution with the standard uncertainty of linear propagation [GUM, 5.1.2].
    """
    full = sum(tank.usable for tank in airplane.tanks)
    least = allowances.taxi_fuel + allowances.climb_fuel + reserve * fuel_flow.value
    if least >= full:
        raise InputError(
            Problem(
                f"taxi, climb and reserve take {least * 1000:.0f} L and the tanks hold {full * 1000:.0f} L",
                "check the fuel flow and the reserve",
                field="reserve",
            )
        )
    crew = pilot or usual_pilot(airplane)
    fuel = np.linspace(least, full, points)
    most = capacity(airplane, configuration, fuel, crew)

    # A drop more than climb and reserve take: with a drop less there is no range, and no slope to go by.
    some = np.maximum(fuel, least + _DROP)

    def ranges(arguments: FloatArray) -> FloatArray:
        flow, speed = arguments
        return range_with(some, flow, speed, reserve, head_wind=head_wind, allowances=allowances)

    found, covariance = propagate(
        ranges, [fuel_flow.value, true_airspeed.value], [fuel_flow.sd or 0.0, true_airspeed.sd or 0.0]
    )
    nothing = allowances.climb_distance - head_wind * allowances.climb_time
    distance = np.where(fuel < some, max(nothing, 0.0), found)
    half = _HALF_WIDTH_90 * np.sqrt(np.diag(covariance))
    result = PayloadRange(
        configuration,
        fuel,
        most.payload,
        most.by_mass,
        distance,
        np.maximum(distance - half, 0.0),
        distance + half,
        most.binding,
        head_wind,
        reserve,
        "",
        (
            f"Everyone aboard is payload; pilot: {show(crew.mass, units.mass, digits=0)} in {crew.station}.",
            "It may be divided and laid at will within every limit: a bound that real loads may miss.",
            f"Cruise: {true_airspeed.source}. Fuel flow: {fuel_flow.source}.",
            "The climb counts as allowed for, the descent as cruise; no contingency beyond the reserve.",
        ),
    )
    return _with_sentence(result, airplane, units)


def _with_sentence(result: PayloadRange, airplane: Airplane, units: Units) -> PayloadRange:
    wind = "in still air" if result.head_wind == 0.0 else _wind(result.head_wind, units)
    kept = f"{result.reserve / 60.0:.0f} min of fuel kept"
    seats = sum(station.seats for station in airplane.stations if station.holds != "things")
    occupants = seats * airplane.seats_weight
    with_people = result.furthest_with(occupants) if seats else None
    full = float(result.payload[-1])
    distance = show(float(result.range[-1]), units.range, digits=0)
    fuel = show(float(result.fuel[-1]), units.fuel, digits=0)
    if np.isnan(full):
        first = f"With full tanks ({fuel}) not even the pilot is inside the limits"
    else:
        carried = show(full, units.mass, digits=0)
        first = f"With full tanks ({fuel}) it carries {carried} over {distance} {wind}, {kept}"
    if with_people is None:
        second = f"every seat taken ({show(occupants, units.mass, digits=0)}) is more than it carries at all."
    elif full >= occupants:
        spare = show(full - occupants, units.mass, digits=0)
        second = f"every seat taken ({show(occupants, units.mass, digits=0)}) leaves {spare} for things."
    else:
        second = (
            f"with every seat taken ({show(occupants, units.mass, digits=0)}) it goes "
            f"{show(with_people.value, units.range, digits=0)}."
        )
    return replace(result, sentence=f"{first}; {second}" if seats else f"{first}.")


def _furthest(result: PayloadRange, payload: float) -> Estimate | None:
    enough = np.flatnonzero(result.payload >= payload - 1e-9)
    if not len(enough):
        return None
    last = int(enough[-1])
    sd = (result.range_high - result.range) / _HALF_WIDTH_90
    value, spread = float(result.range[last]), float(sd[last])
    if last + 1 < len(result.fuel) and np.isfinite(result.payload[last + 1]):
        share = (result.payload[last] - payload) / (result.payload[last] - result.payload[last + 1])
        value += float(share * (result.range[last + 1] - result.range[last]))
        spread += float(share * (sd[last + 1] - sd[last]))
    return Estimate(value, spread, Dimension.LENGTH, f"payload–range, {result.configuration}")


def _wind(head_wind: float, units: Units) -> str:
    if head_wind > 0.0:
        return f"against {show(head_wind, units.speed, digits=0)} of head wind"
    return f"with {show(-head_wind, units.speed, digits=0)} of tail wind"
