"""An invented mission, strips and performance for the tests."""

import numpy as np

from wringout.dossier.dossier import Load, Mission, Strip
from wringout.missions import Allowances, Cruise, Performance
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

LITRE_AN_HOUR = 1e-3 / 3600.0

CRUISE = Cruise(
    Estimate(56.0, 0.6, Dimension.SPEED, "fitted"),
    Estimate(38.0 * LITRE_AN_HOUR, 1.0 * LITRE_AN_HOUR, Dimension.VOLUME_FLOW, "fitted"),
    Allowances(taxi_fuel=0.004, climb_fuel=0.006, climb_time=480.0, climb_distance=20e3),
)


def performance(draws: int = 400, seed: int = 3) -> Performance:
    """An airplane that climbs at 4 m/s low and 2 m/s high, and cruises as `CRUISE`, draw by draw."""
    rng = np.random.default_rng(seed)
    one = np.ones(draws)
    return Performance(
        1500.0,
        56.0 + 0.6 * rng.standard_normal(draws),
        (38.0 + 1.0 * rng.standard_normal(draws)) * LITRE_AN_HOUR,
        (0.0, 1500.0),
        (4.0 * one, 2.0 * one),
        41.0 * one,
        60.0 * LITRE_AN_HOUR,
        2.5,
        20.0 * LITRE_AN_HOUR * one,
        0.004,
    )


PERFORMANCE = performance()

LOADS = (
    Load("vet", 80.0, ("front seats",)),
    Load("nurse", 70.0, ("front seats",)),
    Load("X-ray set", 45.0, ("bay",)),
    Load("tool roll", 6.0, ("tail locker", "bay")),
    Load("sick dog", 35.0, ("bay",), must=False),
)

STRIP = Strip("Upper Meadow", 900.0, 520.0, 1.0, 0.02, "dry grass")
STRIPS = {STRIP.name: STRIP}

MISSION = Mission(
    "rounds",
    "Can the practice do its rounds?",
    "tail wheel",
    LOADS,
    distance=300e3,
    head_wind=5.0,
    cruise_altitude=1500.0,
    reserve=1800.0,
    strip="Upper Meadow",
    temperature=293.15,
)
