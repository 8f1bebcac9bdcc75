"""`air`: atmosphere and airspeeds at a condition."""

from __future__ import annotations

from typing import Annotated

from cyclopts import Parameter

from wringout.cli.options import quantity_option
from wringout.quantity import Dimension, show


def air(
    *,
    elevation: Annotated[str, Parameter(help="Above mean sea level, as '1870 m'.")] = "0 m",
    qnh: Annotated[str, Parameter(help="Altimeter setting, as '29.92 inHg'.")] = "1013.25 hPa",
    temperature: Annotated[
        str | None, Parameter(help="Of the air, e.g. '25 °C'; standard without it.")
    ] = None,
    dew_point: Annotated[str | None, Parameter(help="e.g. '12 °C'; dry air without it.")] = None,
    calibrated: Annotated[
        str | None, Parameter(help="A calibrated airspeed to convert, e.g. '100 kt'.")
    ] = None,
    true: Annotated[str | None, Parameter(help="A true airspeed to convert, e.g. '60 m/s'.")] = None,
    json: bool = False,
) -> int:
    """Atmosphere and airspeeds at a condition: pressure and density altitude, density, airspeeds."""
    from wringout.cli.output import print_json, table
    from wringout.physics import airspeed, atmosphere

    height = quantity_option("elevation", elevation, Dimension.LENGTH)
    pressure = float(atmosphere.pressure_at(quantity_option("qnh", qnh, Dimension.PRESSURE), height))
    altitude = float(atmosphere.altitude_of_pressure(pressure))
    kelvin = (
        float(atmosphere.standard_temperature(altitude))
        if temperature is None
        else quantity_option("temperature", temperature, Dimension.TEMPERATURE)
    )
    dew = quantity_option("dew-point", dew_point, Dimension.TEMPERATURE)
    density = float(atmosphere.air_density(pressure, kelvin, dew))
    figures: list[tuple[str, float, Dimension, tuple[str, str]]] = [
        ("static pressure", pressure, Dimension.PRESSURE, ("hPa", "inHg")),
        ("temperature", kelvin, Dimension.TEMPERATURE, ("°C", "°F")),
        ("pressure altitude", altitude, Dimension.LENGTH, ("m", "ft")),
        (
            "density altitude",
            float(atmosphere.density_altitude(pressure, kelvin, dew)),
            Dimension.LENGTH,
            ("m", "ft"),
        ),
        ("density", density, Dimension.DENSITY, ("kg/m³", "kg/m³")),
    ]
    speeds: list[float] = []
    if calibrated is not None:
        speeds.append(quantity_option("calibrated", calibrated, Dimension.SPEED))
    if true is not None:
        speeds.append(
            float(
                airspeed.calibrated_from_true(
                    quantity_option("true", true, Dimension.SPEED), pressure, kelvin
                )
            )
        )
    for speed in speeds:
        figures += [
            ("calibrated airspeed", speed, Dimension.SPEED, ("kt", "km/h")),
            (
                "equivalent airspeed",
                float(airspeed.equivalent_from_calibrated(speed, pressure)),
                Dimension.SPEED,
                ("kt", "km/h"),
            ),
            (
                "true airspeed",
                float(airspeed.true_from_calibrated(speed, pressure, kelvin)),
                Dimension.SPEED,
                ("kt", "km/h"),
            ),
            (
                "Mach number",
                float(airspeed.mach_from_calibrated(speed, pressure)),
                Dimension.RATIO,
                ("", ""),
            ),
        ]
    if json:
        print_json(
            {
                name.replace(" ", "_"): {
                    "value": value,
                    "unit": dimension.value,
                    "sd": None,
                    "source": "computed from the given air",
                }
                for name, value, dimension, _ in figures
            }
        )
        return 0
    table(
        "Air",
        ("figure", "metric", "customary"),
        (
            (name, show(value, units[0]), show(value, units[1]) if units[1] != units[0] else "")
            for name, value, _, units in figures
        ),
    )
    return 0
