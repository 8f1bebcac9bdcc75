"""What is left for people, things and fuel: by mass alone, before any CG."""

from wringout.airplane.airplane import Airplane
from wringout.airplane.lookups import configuration_envelope
from wringout.loading.equipment import empty_mass
from wringout.loading.loading_report import maximum_mass
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate


def useful_load(airplane: Airplane, configuration: str) -> Estimate:
    """Highest take-off mass, or ramp mass where one is stated, less empty mass [kg].

    Its uncertainty is that of the empty mass [FAA-H-8083-1, glossary]. InputError as `empty_mass`.
    """
    empty = empty_mass(airplane, configuration)
    envelope = configuration_envelope(airplane, configuration)
    highest = maximum_mass(envelope, "ramp")
    value = highest - empty.mass.value
    return Estimate(
        value, empty.mass.sd, Dimension.MASS, f"{highest:.1f} kg less the empty mass, {empty.mass.source}"
    )


def payload_with_fuel(airplane: Airplane, configuration: str, fuel: float) -> Estimate:
    """What the useful load leaves for people and things [kg] with `fuel` [m³] aboard; negative where none.

    By mass alone; station limits, CG and the zero-fuel limit may allow less. InputError as `empty_mass`, or
    where the tanks cannot hold the fuel.
    """
    capacity = sum(tank.usable for tank in airplane.tanks)
    if not 0.0 <= fuel <= capacity + 1e-9:
        raise InputError(
            Problem(
                f"{fuel * 1000:g} L of fuel are asked for and the tanks hold {capacity * 1000:.1f} L usable",
                "ask for fuel that the tanks hold",
                field="fuel",
            )
        )
    load = useful_load(airplane, configuration)
    mass = fuel * airplane.fuel.density
    return Estimate(load.value - mass, load.sd, Dimension.MASS, f"{load.source}, less {mass:.1f} kg of fuel")
