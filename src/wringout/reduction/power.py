"""Shaft power in level flight, from the maker's part-power table or from the fuel that went in."""

from dataclasses import replace

import numpy as np

from wringout.airplane.airplane import Airplane
from wringout.physics.power_chart import fit_power_chart
from wringout.physics.propulsion import power_from_fuel_flow
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

CHART_SD = 0.03  # relative, of one engine against its maker's table; common practice
CONSUMPTION_SD = 0.07  # relative, of specific consumption with the mixture set by hand; common practice


def shaft_power(
    airplane: Airplane,
    *,
    full_throttle: bool,
    pressure: float,
    temperature: float,
    engine_speed: Estimate | None,
    manifold_pressure: Estimate | None,
    fuel_flow: Estimate | None,
) -> tuple[Estimate | None, bool]:
    """Shaft power with an uncertainty that says its source, and whether it is by the fuel flow alone.

    None where neither table nor fuel flow gives one.

    From the table at fixed manifold pressure, by √(T_std/T) to the day's temperature [GaggFerrar1934; the
    square root from memory]; else fuel flow over specific consumption. Where both are to be had the source
    names the other figure.
    """
    by_chart = _by_chart(airplane, pressure, temperature, engine_speed, manifold_pressure)
    by_fuel = _by_fuel(airplane, full_throttle, fuel_flow)
    if by_chart is None or by_fuel is None:
        return by_chart or by_fuel, by_chart is None and by_fuel is not None
    gap = abs(by_chart.value - by_fuel.value) / float(np.hypot(by_chart.sd or 0.0, by_fuel.sd or 0.0))
    agreement = "agrees" if gap < 2.0 else f"differs by {gap:.1f} standard uncertainties"
    told = f"{by_chart.source}; the fuel flow gives {by_fuel.value / 1000.0:.1f} kW, which {agreement}"
    return replace(by_chart, source=told), False


def _by_chart(
    airplane: Airplane,
    pressure: float,
    temperature: float,
    engine_speed: Estimate | None,
    manifold_pressure: Estimate | None,
) -> Estimate | None:
    rows = airplane.engine.chart
    if len(rows) < 3 or engine_speed is None or manifold_pressure is None:
        return None
    columns = [(row.engine_speed, row.manifold_pressure, row.pressure_altitude, row.power) for row in rows]
    chart = fit_power_chart(*np.array(columns).T)
    try:
        power = float(chart.power(engine_speed.value, manifold_pressure.value, pressure, temperature))
    except ValueError:
        return None
    relative = np.sqrt(
        CHART_SD**2
        + chart.scatter**2
        + ((engine_speed.sd or 0.0) / engine_speed.value) ** 2
        + ((manifold_pressure.sd or 0.0) / manifold_pressure.value) ** 2
    )
    return Estimate(
        power,
        power * float(relative),
        Dimension.POWER,
        f"maker's part-power table at {60.0 * engine_speed.value:.0f} rpm, "
        f"{manifold_pressure.value / 100.0:.0f} hPa, by √(T_std/T); engine ± {100.0 * CHART_SD:.0f} %",
    )


def _by_fuel(airplane: Airplane, full_throttle: bool, fuel_flow: Estimate | None) -> Estimate | None:
    engine = airplane.engine
    consumption = engine.specific_consumption
    if full_throttle and engine.specific_consumption_full is not None:
        consumption = engine.specific_consumption_full
    if fuel_flow is None or consumption is None or not fuel_flow.value > 0.0:
        return None
    power = float(power_from_fuel_flow(fuel_flow.value, airplane.fuel.density, consumption))
    relative = float(np.hypot(CONSUMPTION_SD, (fuel_flow.sd or 0.0) / fuel_flow.value))
    return Estimate(
        power,
        power * relative,
        Dimension.POWER,
        f"fuel flow over the maker's specific consumption; ± {100.0 * CONSUMPTION_SD:.0f} % for the mixture",
    )
