"""Constants of the standard atmosphere and exact unit values; each number has its only home here."""

GRAVITY = 9.80665  # standard acceleration of free fall [m/s²] [ISO2533]
GAS_CONSTANT_AIR = 287.05287  # specific gas constant of dry air [J/(kg·K)] [ISO2533]
HEAT_CAPACITY_RATIO = 1.4
EARTH_RADIUS = 6_356_766.0  # nominal radius of the geopotential [m] [ISO2533]

SEA_LEVEL_TEMPERATURE = 288.15  # [K] [ISO2533]
SEA_LEVEL_PRESSURE = 101_325.0  # [Pa] [ISO2533]
SEA_LEVEL_DENSITY = SEA_LEVEL_PRESSURE / (GAS_CONSTANT_AIR * SEA_LEVEL_TEMPERATURE)  # 1.2250 kg/m³
SEA_LEVEL_SPEED_OF_SOUND = (
    HEAT_CAPACITY_RATIO * GAS_CONSTANT_AIR * SEA_LEVEL_TEMPERATURE
) ** 0.5  # 340.294 m/s
LAPSE_RATE = 0.0065  # fall of temperature with geopotential altitude in the troposphere [K/m] [ISO2533]
TROPOPAUSE = 11_000.0  # geopotential altitude [m] [ISO2533]

CELSIUS_ZERO = 273.15  # [K]
# 50 ft: where take-off distances end and landing distances begin [m] [CFR23 §23.53, §23.75]
OBSTACLE_HEIGHT = 15.24

FOOT = 0.3048  # [m], exact
NAUTICAL_MILE = 1852.0  # [m], exact
KNOT = NAUTICAL_MILE / 3600  # [m/s], exact
POUND = 0.45359237  # [kg], exact
INCH_OF_MERCURY = 3386.389  # [Pa], conventional
HORSEPOWER = 550 * FOOT * POUND * GRAVITY  # mechanical [W], 745.70
