"""The most payload with given fuel, and the CGs that loadings can reach, under every limit at once."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wringout.airplane.airplane import Airplane, Envelope
from wringout.airplane.lookups import configuration_envelope
from wringout.loading.empty import EmptyMass
from wringout.loading.envelope import ARM_ROUNDING, MASS_ROUNDING, margins
from wringout.loading.equipment import empty_mass
from wringout.loading.fuel import contents_during_burn, fuel_arm
from wringout.loading.loading_report import maximum_mass
from wringout.loading.reach import Pilot, StationReach, station_reach, usual_pilot
from wringout.problems import InputError, Problem

FloatArray = NDArray[np.float64]

_TRIALS = 401
_HALVINGS = 30


@dataclass(frozen=True, slots=True)
class Capacity:
    """Most payload [kg], pilot counted, for each fuel [m³]; NaN where not even the pilot can go.

    `by_mass` [kg] is what the mass limits alone would allow. `binding` says in words what stops more.
    """

    fuel: FloatArray
    payload: FloatArray
    by_mass: FloatArray
    binding: tuple[str, ...]


def capacity(airplane: Airplane, configuration: str, fuel: ArrayLike, pilot: Pilot | None = None) -> Capacity:
    """Most payload that can be carried with given fuel, people and things together.

    Parameters
    ----------
    airplane : Airplane
    configuration : str
    fuel : array_like, shape (n,)
        Usable fuel at take-off [m³]. Part fuel lies in the tanks as a burn from full tanks would leave it.
    pilot : Pilot, optional
        Who must be aboard; left out, `usual_pilot`.

    Returns
    -------
    Capacity

    Raises
    ------
    InputError
        As `empty_mass`; more fuel than the tanks hold; a pilot beyond the station's limit.

    Notes
    -----
    Payload may be divided and laid at will over the stations, each range of arms, up to every station,
    floor and combined limit, so that this is a bound that real people and boxes may fall short of. For a
    payload P the moments that stations can give run from filling them from the front to filling them from
    the back; P can be carried where that range meets the moments that the envelope allows from take-off to
    the last drop [derived].
    """
    volumes = np.atleast_1d(np.asarray(fuel, dtype=np.float64))
    crew = pilot or usual_pilot(airplane)
    burn = _Burn.of(airplane, configuration, volumes, crew)
    tried = np.linspace(crew.mass, max(burn.most, crew.mass), _TRIALS)
    carried = burn.feasible(np.broadcast_to(tried[:, np.newaxis], (_TRIALS, len(volumes))))
    any_carried = carried.any(axis=0)
    last = np.where(any_carried, _TRIALS - 1 - np.argmax(carried[::-1], axis=0), 0)
    payload = np.where(any_carried, burn.narrowed(tried, last), np.nan)
    return Capacity(
        volumes,
        payload,
        burn.by_mass,
        tuple(burn.binding(float(most), index) for index, most in enumerate(payload)),
    )


@dataclass(frozen=True, slots=True)
class _Burn:
    """One airplane's limits at nodes of the fuel burn, and at which node each fuel asked for begins."""

    empty: EmptyMass
    envelope: Envelope
    reach: StationReach
    fuel_mass: FloatArray  # (nodes,), rising from none
    fuel_moment: FloatArray
    last: NDArray[np.intp]  # (fuels,): the node of each asked fuel
    by_mass: FloatArray
    most: float

    @staticmethod
    def of(airplane: Airplane, configuration: str, volumes: FloatArray, pilot: Pilot) -> "_Burn":
        empty = empty_mass(airplane, configuration)
        envelope = configuration_envelope(airplane, configuration)
        full = {tank.name: tank.usable for tank in airplane.tanks}
        held = sum(full.values())
        if not np.all((volumes >= 0.0) & (volumes <= held + 1e-9)):
            raise InputError(
                Problem(
                    f"the tanks hold {held * 1000:.1f} L, asked for are {np.nanmax(volumes) * 1000:.1f} L",
                    "ask for fuel that the tanks hold",
                    field="fuel",
                )
            )
        nodes = np.unique(np.concatenate((np.linspace(0.0, held, 31), np.minimum(volumes, held))))
        contents = contents_during_burn(airplane.tanks, full, held - nodes)
        density = airplane.fuel.density
        fuel_moment = np.zeros_like(nodes)
        for tank in airplane.tanks:
            fuel_moment = fuel_moment + density * contents[tank.name] * fuel_arm(tank, contents[tank.name])
        highest = maximum_mass(envelope, "take-off") - empty.mass.value
        by_mass = np.minimum(
            highest - volumes * density, maximum_mass(envelope, "zero fuel") - empty.mass.value
        )
        reach = station_reach(airplane, pilot, max(highest, pilot.mass))
        return _Burn(
            empty,
            envelope,
            reach,
            nodes * density,
            fuel_moment,
            np.searchsorted(nodes, np.minimum(volumes, held)),
            by_mass,
            max(min(reach.most, float(by_mass.max())), 0.0),
        )

    def allowed(self, payload: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Payload moments allowed from each fuel to the last drop, from and to; shape of payloads × fuels.

        `payload` has one column a fuel asked for.
        """
        rows, inverse = np.unique(payload, return_inverse=True)
        mass = self.empty.mass.value + rows[:, np.newaxis] + self.fuel_mass
        least, greatest = self.reach.moments(rows)
        others = self.empty.moment + self.fuel_moment
        middle = (others + 0.5 * (least + greatest)[:, np.newaxis]) / mass
        found = margins(self.envelope, mass, middle)
        light = found.minimum < -MASS_ROUNDING
        low = np.where(light, np.inf, (found.forward_limit - ARM_ROUNDING) * mass - others)
        high = np.where(light, -np.inf, (found.aft_limit + ARM_ROUNDING) * mass - others)
        low, high = np.maximum.accumulate(low, axis=1), np.minimum.accumulate(high, axis=1)
        place = inverse.reshape(payload.shape)
        return low[place, self.last], high[place, self.last]

    def feasible(self, payload: FloatArray) -> NDArray[np.bool_]:
        """Whether payloads can be carried; one column a fuel asked for."""
        least, greatest = self.reach.moments(payload)
        low, high = self.allowed(payload)
        meets = np.maximum(low, least) <= np.minimum(high, greatest)
        return np.asarray(meets & (payload <= self.by_mass + MASS_ROUNDING))

    def narrowed(self, tried: FloatArray, last: NDArray[np.intp]) -> FloatArray:
        """The greatest payload between one that can be carried and the next tried; one for each fuel."""
        good, bad = tried[last], tried[np.minimum(last + 1, len(tried) - 1)]
        for _ in range(_HALVINGS):
            middle = 0.5 * (good + bad)
            carried = self.feasible(middle[np.newaxis, :])[0]
            good, bad = np.where(carried, middle, good), np.where(carried, bad, middle)
        return good

    def binding(self, payload: float, index: int) -> str:
        """What stops a little more, in words."""
        if np.isnan(payload):
            return "not even the pilot alone is inside the envelope"
        more = payload + 0.01
        if more > self.by_mass[index] + MASS_ROUNDING:
            at_takeoff = maximum_mass(self.envelope, "take-off") - self.fuel_mass[self.last[index]]
            zero_fuel = self.envelope.maximum_zero_fuel_mass
            limited = zero_fuel is not None and zero_fuel < at_takeoff
            return "highest zero-fuel mass" if limited else "highest take-off mass"
        if more > self.reach.most:
            return "every station is full"
        low, high = self.allowed(np.full((1, len(self.last)), more))
        least, greatest = self.reach.moments(np.array([more]))
        too_far_aft = float(least[0] - high[0, index])
        too_far_forward = float(low[0, index] - greatest[0])
        if max(too_far_aft, too_far_forward) <= 0.0:
            return "forward and aft limits together"
        return "aft limit" if too_far_aft >= too_far_forward else "forward limit"
