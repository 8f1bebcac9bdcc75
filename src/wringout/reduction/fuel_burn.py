"""How much fuel had been burnt at any moment of a flight, and how surely."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wringout.airplane.airplane import Airplane
from wringout.problems import InputError, Problem
from wringout.reduction.flown import Flight

FloatArray = NDArray[np.float64]

FLOW_METER_SD = 0.05  # relative, of a flow meter that nobody has calibrated; common practice
UNEVEN_BURN_SD = (
    0.10  # relative, of a burn taken as even in time between start-up and shutdown; common practice
)
TYPICAL_CONSUMPTION = 8.5e-8  # [kg/J] of a piston engine, 0.31 kg/kWh; from memory


@dataclass(frozen=True, slots=True)
class FuelBurn:
    """Fuel burnt since start-up [m³] with its standard uncertainty at times [s], and whence known."""

    time: FloatArray
    volume: FloatArray
    sd: FloatArray
    source: str

    def at(self, time: float) -> tuple[float, float]:
        """Volume burnt and its standard uncertainty [m³] at a time [s].

        The ends hold beyond the recording.
        """
        return float(np.interp(time, self.time, self.volume)), float(np.interp(time, self.time, self.sd))


def fuel_burn(flight: Flight, airplane: Airplane) -> FuelBurn:
    """Fuel burnt over a flight from whatever the card and the recording tell.

    With a fuel-flow channel its integral, scaled to the tank readings where there is one at shutdown too (a
    weighted mean of the meter's own scale, 1 ± 0.05, and the tanks'); where meter and tanks disagree beyond
    four standard deviations the tanks are believed. Without the channel, even in time between start-up and
    shutdown readings. With neither, half of what three-quarters power could burn, with an uncertainty to
    match.

    Raises InputError where the tanks held more at shutdown than at start-up.
    """
    loading = flight.card.loading
    time = flight.recording.time
    aboard = sum(loading.fuel.values())
    used: float | None = None
    used_sd = 0.0
    if loading.fuel_at_shutdown is not None:
        used = aboard - sum(loading.fuel_at_shutdown.values())
        used_sd = loading.fuel_sd * float(np.sqrt(2.0 * max(1, len(loading.fuel))))
        if used < -2.0 * used_sd:
            raise InputError(
                Problem(
                    f"the tanks held {-1000.0 * used:.1f} L more at shutdown than at start-up",
                    "correct the fuel readings of the card",
                    field=f"{flight.card.name}, loading",
                )
            )
    flow = flight.recording.channels.get("fuel_flow")
    if flow is not None and np.count_nonzero(np.isfinite(flow)) >= 2:
        return _from_flow(time, flow, used, used_sd)
    if used is not None:
        return _even(time, used, used_sd)
    return _assumed(time, airplane, aboard)


def _from_flow(time: FloatArray, flow: FloatArray, used: float | None, used_sd: float) -> FuelBurn:
    known = np.isfinite(flow)
    steady = np.interp(time, time[known], flow[known])
    steps = 0.5 * (steady[1:] + steady[:-1]) * np.diff(time)
    volume = np.concatenate([[0.0], np.cumsum(steps)])
    total = float(volume[-1])
    scale, scale_sd, words = 1.0, FLOW_METER_SD, "integral of the recorded fuel flow"
    if used is not None and total > 0.0:
        by_tanks, by_tanks_sd = used / total, max(used_sd / total, 1e-6)
        if abs(by_tanks - 1.0) > 4.0 * np.hypot(FLOW_METER_SD, by_tanks_sd):
            scale, scale_sd = by_tanks, by_tanks_sd
            words = (
                f"recorded fuel flow × {scale:.2f} to agree with the tank readings, which it contradicts by "
                f"{100.0 * (1.0 - by_tanks):+.0f} %"
            )
        else:
            weights = np.array([FLOW_METER_SD**-2, by_tanks_sd**-2])
            scale = float(weights @ [1.0, by_tanks] / weights.sum())
            scale_sd = float(weights.sum() ** -0.5)
            words = f"recorded fuel flow × {scale:.3f}, its meter set against the tank readings"
    return FuelBurn(time, scale * volume, scale_sd * volume, words)


def _even(time: FloatArray, used: float, used_sd: float) -> FuelBurn:
    share = (time - time[0]) / max(time[-1] - time[0], 1e-9)
    uneven = UNEVEN_BURN_SD * used * np.sqrt(4.0 * share * (1.0 - share))
    return FuelBurn(
        time,
        share * used,
        np.hypot(share * used_sd, uneven),
        "burn taken as even between the tank readings at start-up and shutdown",
    )


def _assumed(time: FloatArray, airplane: Airplane, aboard: float) -> FuelBurn:
    consumption = airplane.engine.specific_consumption or TYPICAL_CONSUMPTION
    rate = 0.75 * airplane.engine.rated_power * consumption / airplane.fuel.density
    most = np.minimum(rate * (time - time[0]), aboard)
    # Anything from nothing to the most is as likely: a rectangle.
    return FuelBurn(
        time,
        0.5 * most,
        most / np.sqrt(12.0),
        "no fuel flow and no fuel reading at shutdown: half of a burn at 75 % power, uncertain by all of it",
    )
