"""The most payload with given fuel, and the CGs that loadings can reach, under every limit at once."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wringout.airplane.airplane import Airplane, Envelope, Station
from wringout.airplane.lookups import configuration_envelope
from wringout.airplane.lookups import station as station_named
from wringout.loading.empty import EmptyMass
from wringout.loading.envelope import ARM_ROUNDING, MASS_ROUNDING, margins
from wringout.loading.equipment import empty_mass
from wringout.loading.fuel import contents_during_burn, fuel_arm
from wringout.loading.loading_report import maximum_mass
from wringout.problems import InputError, Problem

FloatArray = NDArray[np.float64]

_TRIALS = 401
_HALVINGS = 30


@dataclass(frozen=True, slots=True)
class Pilot:
    """Who must be aboard whatever else is: a station and a mass [kg]."""

    station: str
    mass: float


@dataclass(frozen=True, slots=True)
class Capacity:
    """Most payload [kg], pilot counted, for each fuel [m³]; NaN where not even the pilot can go.

    `by_mass` [kg] is what the mass limits alone would allow. `binding` says in words what stops more.
    """

    fuel: FloatArray
    payload: FloatArray
    by_mass: FloatArray
    binding: tuple[str, ...]


def usual_pilot(airplane: Airplane) -> Pilot:
    """An occupant of the airplane's usual mass in its first seat; InputError where it has no seat."""
    for station in airplane.stations:
        if station.seats > 0 and station.holds != "things":
            limit = airplane.seats_weight if station.mass_limit is None else station.mass_limit
            return Pilot(station.name, min(airplane.seats_weight, limit))
    raise InputError(
        Problem("no station has a seat for the pilot", "give the front station its seats", field="stations")
    )


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
    carried = burn.feasible(tried)  # payloads × fuels
    payload = np.full(volumes.shape, np.nan)
    for index in range(len(volumes)):
        good = np.flatnonzero(carried[:, index])
        if len(good):
            last = int(good[-1])
            payload[index] = tried[last] if last == _TRIALS - 1 else burn.narrowed(tried, last, index)
    return Capacity(
        volumes,
        payload,
        burn.by_mass,
        tuple(burn.binding(float(most), index) for index, most in enumerate(payload)),
    )


@dataclass(frozen=True, slots=True)
class StationMoments:
    """Least and greatest moment [kg·m] that a payload [kg] can have about the datum, as broken lines.

    The payload of `crew` counts in both. Exact where combined limits lie inside one another or apart.
    """

    masses_forward: FloatArray
    moments_forward: FloatArray
    masses_aft: FloatArray
    moments_aft: FloatArray

    @property
    def most(self) -> float:
        """The payload that fills every station [kg]."""
        return float(min(self.masses_forward[-1], self.masses_aft[-1]))

    def between(self, payload: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Least and greatest moment [kg·m] of each payload [kg]; NaN where stations cannot hold it."""
        least = np.interp(payload, self.masses_forward, self.moments_forward, left=np.nan, right=np.nan)
        greatest = np.interp(payload, self.masses_aft, self.moments_aft, left=np.nan, right=np.nan)
        return least, greatest


def station_moments(airplane: Airplane, pilot: Pilot, highest: float) -> StationMoments:
    """What moments the stations allow beside the pilot; a station without a limit holds up to `highest` [kg].

    Raises InputError where the pilot alone is beyond a limit.
    """
    seat = station_named(airplane, pilot.station)
    if not 0.0 <= pilot.mass <= _room(seat, highest) + MASS_ROUNDING:
        raise InputError(
            Problem(
                f"{seat.name} may hold {_room(seat, highest):g} kg, the pilot has {pilot.mass:g} kg",
                "correct the limit or the pilot's mass",
                field="pilot",
            )
        )
    pilot_arms = (seat.arm, seat.arm_aft)
    forward = sorted(airplane.stations, key=lambda station: station.arm)
    aft = sorted(airplane.stations, key=lambda station: -station.arm_aft)
    fill_forward = _filling(airplane, forward, pilot, highest)
    fill_aft = _filling(airplane, aft, pilot, highest)
    return StationMoments(
        *_line([station.arm for station in forward], fill_forward, pilot.mass, pilot.mass * pilot_arms[0]),
        *_line([station.arm_aft for station in aft], fill_aft, pilot.mass, pilot.mass * pilot_arms[1]),
    )


@dataclass(frozen=True, slots=True)
class _Burn:
    """One airplane's limits at nodes of the fuel burn, and at which node each fuel asked for begins."""

    empty: EmptyMass
    envelope: Envelope
    moments: StationMoments
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
        moments = station_moments(airplane, pilot, max(highest, pilot.mass))
        return _Burn(
            empty,
            envelope,
            moments,
            nodes * density,
            fuel_moment,
            np.searchsorted(nodes, np.minimum(volumes, held)),
            by_mass,
            max(min(moments.most, float(by_mass.max())), 0.0),
        )

    def allowed(self, payload: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Payload moments allowed from each node to the last drop, from and to: (payloads, nodes)."""
        mass = self.empty.mass.value + payload[:, np.newaxis] + self.fuel_mass
        least, greatest = self.moments.between(payload)
        others = self.empty.moment + self.fuel_moment
        middle = (others + 0.5 * (least + greatest)[:, np.newaxis]) / mass
        found = margins(self.envelope, mass, middle)
        light = found.minimum < -MASS_ROUNDING
        low = np.where(light, np.inf, (found.forward_limit - ARM_ROUNDING) * mass - others)
        high = np.where(light, -np.inf, (found.aft_limit + ARM_ROUNDING) * mass - others)
        return np.maximum.accumulate(low, axis=1), np.minimum.accumulate(high, axis=1)

    def feasible(self, payload: FloatArray) -> NDArray[np.bool_]:
        """Whether each payload can be carried with each fuel asked for: (payloads, fuels)."""
        least, greatest = self.moments.between(payload)
        low, high = self.allowed(payload)
        meets = np.maximum(low, least[:, np.newaxis]) <= np.minimum(high, greatest[:, np.newaxis])
        light_enough = payload[:, np.newaxis] <= self.by_mass + MASS_ROUNDING
        return np.asarray(meets[:, self.last] & light_enough)

    def narrowed(self, tried: FloatArray, last: int, index: int) -> float:
        """The greatest payload between one that can be carried and the next tried, which cannot."""
        good, bad = float(tried[last]), float(tried[last + 1])
        for _ in range(_HALVINGS):
            middle = 0.5 * (good + bad)
            if self.feasible(np.array([middle]))[0, index]:
                good = middle
            else:
                bad = middle
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
        if more > self.moments.most:
            return "every station is full"
        low, high = self.allowed(np.array([more]))
        least, greatest = self.moments.between(np.array([more]))
        at = self.last[index]
        too_far_aft = float(least[0] - high[0, at])
        too_far_forward = float(low[0, at] - greatest[0])
        if max(too_far_aft, too_far_forward) <= 0.0:
            return "forward and aft limits together"
        return "aft limit" if too_far_aft >= too_far_forward else "forward limit"


def _room(station: Station, highest: float) -> float:
    room = highest if station.mass_limit is None else min(station.mass_limit, highest)
    if station.floor_load_limit is not None and station.floor_area:
        room = min(room, station.floor_load_limit * station.floor_area)
    return room


def _filling(airplane: Airplane, order: list[Station], pilot: Pilot, highest: float) -> list[float]:
    """What each station takes when they are filled in that order beside the pilot, every limit held."""
    taken = {pilot.station: pilot.mass}
    filling = []
    for station in order:
        room = _room(station, highest) - taken.get(station.name, 0.0)
        for combined in airplane.combined_limits:
            if station.name in combined.stations:
                together = sum(taken.get(name, 0.0) for name in combined.stations)
                room = min(room, combined.mass_limit - together)
        room = max(room, 0.0)
        taken[station.name] = taken.get(station.name, 0.0) + room
        filling.append(room)
    return filling


def _line(
    arms: list[float], filling: list[float], mass: float, moment: float
) -> tuple[FloatArray, FloatArray]:
    steps = np.array(filling)
    masses = mass + np.concatenate(([0.0], np.cumsum(steps)))
    moments = moment + np.concatenate(([0.0], np.cumsum(steps * np.array(arms))))
    kept = np.concatenate(([True], steps > 0.0))
    return masses[kept], moments[kept]
