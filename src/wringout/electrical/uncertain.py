"""How well the time of a failure is known: charge, exponent, currents and temperature brought through it."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace

from wringout.airplane.airplane import Electrical
from wringout.electrical.battery import CHARGE_SPREAD, EXPONENT_SPREAD
from wringout.electrical.failure import THE_ALTERNATOR, Played, Shedding, play
from wringout.electrical.network import Failure
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

CURRENT_SPREAD = 0.05  # relative, of consumers' stated currents, all alike (common practice, no source)
TEMPERATURE_SD = 3.0  # K, of a battery told from the air around it (common practice, no source)
_STEP = 1e-4  # of a standard uncertainty, for the slopes


@dataclass(frozen=True, slots=True)
class PlayedEstimate:
    """A failure played through, and its times with their standard uncertainties.

    `dark` by load, in the order in which the loads kept go; `engine` None where the engine runs on or needs
    no electricity; `endurance` None where nothing that is kept goes dark.
    """

    played: Played
    endurance: Estimate | None
    engine: Estimate | None
    dark: tuple[tuple[str, Estimate], ...]


def play_estimate(
    electrical: Electrical,
    temperature: Estimate,
    failures: Sequence[Failure] = THE_ALTERNATOR,
    *,
    kept: Collection[str] | None = None,
    shedding: Shedding = "to the essential",
    recognition_time: float = 0.0,
    shed_interval: float = 0.0,
) -> PlayedEstimate:
    """Failures played through, with the standard uncertainty of each time; arguments as `play`.

    `temperature` is an Estimate [K]; a missing sd counts as `TEMPERATURE_SD`.

    Notes
    -----
    Linear propagation [GUM, 5.1.2] by the slopes of the played times: each battery's charge (10 %) and
    exponent (0.03), all currents together (5 %), temperature. Where an order of events lies nearer than its
    uncertainty the true spread is wider to one side.
    """

    def at(system: Electrical, kelvin: float) -> Played:
        return play(
            system,
            kelvin,
            failures,
            kept=kept,
            shedding=shedding,
            recognition_time=recognition_time,
            shed_interval=shed_interval,
        )

    played = at(electrical, temperature.value)
    kelvin = TEMPERATURE_SD if temperature.sd is None else temperature.sd
    systems = [(electrical, temperature.value + _STEP * kelvin), (_currents(electrical, _STEP), None)]
    systems += [
        (change(electrical, number), None)
        for number in range(len(electrical.batteries))
        for change in (_charge, _exponent)
    ]
    moved = [at(system, temperature.value if warm is None else warm) for system, warm in systems]
    source = f"Peukert's law at {temperature.value - 273.15:.0f} °C, played through"

    def estimate(time: Callable[[Played], float]) -> Estimate:
        slopes = [(time(item) - time(played)) / _STEP for item in moved]
        sd = math.sqrt(math.fsum(slope * slope for slope in slopes))
        return Estimate(time(played), sd if math.isfinite(sd) else None, Dimension.TIME, source)

    def of_load(name: str) -> Callable[[Played], float]:
        return lambda item: next(load.end for load in item.loads if load.name == name)

    engine = played.engine
    return PlayedEstimate(
        played,
        estimate(lambda item: item.endurance) if math.isfinite(played.endurance) else None,
        estimate(lambda item: math.inf if item.engine is None else item.engine)
        if engine is not None and math.isfinite(engine)
        else None,
        tuple((name, estimate(of_load(name))) for name, _ in played.dark),
    )


def _charge(electrical: Electrical, number: int) -> Electrical:
    charge = electrical.batteries[number].charge
    return _with(electrical, number, charge=charge * (1.0 + _STEP * CHARGE_SPREAD))


def _exponent(electrical: Electrical, number: int) -> Electrical:
    exponent = electrical.batteries[number].peukert_exponent
    return _with(electrical, number, peukert_exponent=exponent + _STEP * EXPONENT_SPREAD)


def _with(electrical: Electrical, number: int, **changed: float) -> Electrical:
    batteries = list(electrical.batteries)
    batteries[number] = replace(batteries[number], **changed)  # type: ignore[arg-type]  # floats alone
    return replace(electrical, batteries=tuple(batteries))


def _currents(electrical: Electrical, share: float) -> Electrical:
    loads = tuple(
        replace(load, current=load.current * (1.0 + share * CURRENT_SPREAD)) for load in electrical.loads
    )
    return replace(electrical, loads=loads)
