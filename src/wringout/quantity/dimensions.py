"""The kinds of quantity that the trade uses, each with the SI unit in which it is held inside."""

from enum import Enum


class Dimension(Enum):
    """A kind of quantity; the value is the symbol of the SI unit in which it is held."""

    LENGTH = "m"
    AREA = "m²"
    VOLUME = "m³"
    MASS = "kg"
    MASS_PER_AREA = "kg/m²"
    MOMENT = "kg·m"
    DENSITY = "kg/m³"
    SPEED = "m/s"
    ACCELERATION = "m/s²"
    FORCE = "N"
    PRESSURE = "Pa"
    TEMPERATURE = "K"
    TEMPERATURE_DIFFERENCE = "ΔK"
    POWER = "W"
    ENERGY = "J"
    VOLUME_FLOW = "m³/s"
    MASS_FLOW = "kg/s"
    SPECIFIC_CONSUMPTION = "kg/J"
    ROTATION = "1/s"
    ANGLE = "rad"
    RATIO = "1"
    SLOPE = "slope"
    TIME = "s"
    CURRENT = "A"
    CHARGE = "A·s"
    VOLTAGE = "V"
