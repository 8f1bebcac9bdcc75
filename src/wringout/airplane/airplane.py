"""An airplane as described by its owner and its maker: frozen, in SI, complete."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

from wringout.airplane.machine import Bus, FloatSet, Generator, TrailingArm
from wringout.problems import InputError
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

# Arms are metres aft of the datum; the datum is whatever the airplane's own record uses.


@dataclass(frozen=True, slots=True)
class Geometry:
    """Wing and body; `wing_height` is that of the wing's quarter chord above the ground, wheels on it [m]."""

    span: float
    wing_area: float
    wing_height: float
    mean_chord: float | None = None
    mean_chord_leading_edge: float | None = None
    length: float | None = None
    height: float | None = None
    nose_arm: float | None = None  # of the foremost point
    tail_span: float | None = None  # of the tailplane
    side_area: float | None = None  # as the side wind sees it [m²]
    side_area_arm: float | None = None  # of that area's middle


@dataclass(frozen=True, slots=True)
class Item:
    """A thing with mass [kg] and arm [m]."""

    name: str
    mass: float
    arm: float


@dataclass(frozen=True, slots=True)
class Station:
    """A place for people or things; `arm_aft` differs from `arm` where the load may lie anywhere between."""

    name: str
    arm: float
    arm_aft: float
    mass_limit: float | None
    holds: Literal["people", "things", "either"]
    seats: int = 0
    floor_area: float | None = None
    floor_load_limit: float | None = None


@dataclass(frozen=True, slots=True)
class CombinedLimit:
    """A mass limit over several stations together."""

    name: str
    stations: tuple[str, ...]
    mass_limit: float


@dataclass(frozen=True, slots=True)
class Fuel:
    """A fuel and its density [kg/m³]."""

    name: str
    density: float


@dataclass(frozen=True, slots=True)
class Tank:
    """A tank.

    `arms` are (usable contents [m³], arm [m]) pairs, rising, linear between; one pair where the arm is fixed.
    """

    name: str
    usable: float
    unusable: float
    arms: tuple[tuple[float, float], ...]
    burn_order: int = 1  # tanks with the same number are drawn together


@dataclass(frozen=True, slots=True)
class Envelope:
    """The allowed (CG [m], mass [kg]) polygon; the mass limits are None where the polygon says all."""

    name: str
    vertices: tuple[tuple[float, float], ...]
    maximum_takeoff_mass: float
    maximum_ramp_mass: float | None = None
    maximum_landing_mass: float | None = None
    maximum_zero_fuel_mass: float | None = None


@dataclass(frozen=True, slots=True)
class WheelReading:
    """One scale: reading and tare [kg, part of the reading] under the wheel at `arm` [m aft of datum]."""

    wheel: str
    reading: float
    tare: float
    arm: float


@dataclass(frozen=True, slots=True)
class Weighing:
    """Scale readings and what was aboard that empty mass does not count, or lacked that it does."""

    day: date
    configuration: str
    readings: tuple[WheelReading, ...]
    reading_sd: float  # standard uncertainty of one scale reading [kg]
    aboard_not_empty: tuple[Item, ...] = ()  # to be taken off, e.g. usable fuel, a toolbox
    missing_from_empty: tuple[Item, ...] = ()  # to be added, e.g. unusable fuel, full oil


@dataclass(frozen=True, slots=True)
class EmptyRecord:
    """Empty mass [kg] and arm [m] taken from a record instead of a weighing."""

    configuration: str
    mass: Estimate
    arm: Estimate
    source: str


@dataclass(frozen=True, slots=True)
class Undercarriage:
    """Where the wheels are and how they stop; `third` is the nose or the tail wheel.

    Lengths [m]. `measured_sd` is the standard uncertainty of arms, track and heights as measured,
    `cg_height_sd` that of the CG's height. `thrust_line_height` holds level, `ground_attitude` is the nose-up
    angle at rest [rad]. A static deflection is what leg and tyre give under the weight; a flat drop how far
    the axle comes down with the tyre flat and the strut bottomed. The tail's low point is what touches first
    when the tail goes down.
    """

    kind: Literal["tail wheel", "nose wheel", "skis"]
    main_arm: float
    third_arm: float
    track: float
    cg_height: float
    braking: bool = True
    main_wheel_radius: float | None = None
    third_wheel_radius: float | None = None
    castor_travel: float | None = None
    measured_sd: float | None = None
    cg_height_sd: float | None = None
    thrust_line_height: float | None = None
    ground_attitude: float = 0.0
    main_static_deflection: float | None = None
    third_static_deflection: float | None = None
    main_flat_drop: float | None = None
    third_flat_drop: float | None = None
    tail_low_arm: float | None = None
    tail_low_height: float | None = None
    main_tyre_width: float | None = None
    third_tyre_width: float | None = None
    main_tyre_pressure: float | None = None  # [Pa]
    third_tyre_pressure: float | None = None
    main_ski_area: float | None = None  # of both [m²]
    third_ski_area: float | None = None
    trailing_arm: TrailingArm | None = None  # of each main leg


@dataclass(frozen=True, slots=True)
class ExchangeKit:
    """An exchange of gear or equipment: what comes off, what goes on, the work and the price."""

    name: str
    off: tuple[Item, ...]
    on: tuple[Item, ...]
    hours: float | None = None  # [s] of work
    people: int | None = None
    price: str | None = None  # as published, currency included
    needs: tuple[str, ...] = ()  # names of options that must be aboard with it
    excludes: tuple[str, ...] = ()  # names of options that cannot be aboard with it
    reason: str = ""  # why so, as the maker or the layout says


@dataclass(frozen=True, slots=True)
class Option:
    """Equipment that a build has or has not: what comes off and on for it, and what it goes with.

    `place` is where it sits: two options of one place exclude each other. `needs` and `excludes` name other
    options, kits or configurations; `fits` the configurations that can have it, empty for every one.
    `fitted` says that it was aboard when the airplane was weighed. `stations` and `tanks` are new ones, or
    stand in the place of those of the same name; `envelope` is the one that holds with it.
    """

    name: str
    off: tuple[Item, ...] = ()
    on: tuple[Item, ...] = ()
    fitted: bool = False
    hours: float | None = None  # [s] of work
    people: int | None = None
    price: str | None = None  # as published, currency included
    place: str | None = None
    needs: tuple[str, ...] = ()
    excludes: tuple[str, ...] = ()
    fits: tuple[str, ...] = ()
    reason: str = ""
    drag_area_change: Estimate | None = None  # belief, C_D·S [m²]
    envelope: str | None = None
    stations: tuple[Station, ...] = ()
    tanks: tuple[Tank, ...] = ()


@dataclass(frozen=True, slots=True)
class Configuration:
    """One build of the airplane that is flown and loaded: gear, kit and envelope."""

    name: str
    undercarriage: Undercarriage
    envelope: str
    kit: str | None = None  # None: as weighed
    drag_area_change: Estimate | None = None  # prior for the kit's drag against the reference, C_D·S [m²]


@dataclass(frozen=True, slots=True)
class FlapSetting:
    """A flap setting by its name and deflection [rad]."""

    name: str
    deflection: float
    limit_speed: float | None = None


@dataclass(frozen=True, slots=True)
class PowerChartRow:
    """One row of the maker's part-power table.

    Engine speed [1/s], manifold pressure [Pa], pressure altitude [m], power [W], fuel flow [m³/s].
    """

    engine_speed: float
    manifold_pressure: float
    pressure_altitude: float
    power: float
    fuel_flow: float | None = None


@dataclass(frozen=True, slots=True)
class Engine:
    """The engine as the maker states it."""

    kind: Literal["naturally aspirated", "turbocharged", "electric"]
    rated_power: float
    rated_speed: float  # [1/s]
    critical_altitude: float = 0.0
    specific_consumption: float | None = None  # best-power cruise [kg/J]
    specific_consumption_full: float | None = None  # full throttle, full rich [kg/J]
    chart: tuple[PowerChartRow, ...] = ()
    battery_energy: float | None = None


@dataclass(frozen=True, slots=True)
class Propeller:
    """The propeller; `slope` and `intercept` are the linear propeller polar of a fixed-pitch one."""

    kind: Literal["constant speed", "fixed pitch"]
    diameter: float
    gear_ratio: float = 1.0  # propeller turns per engine turn
    polar_slope: float | None = None
    polar_intercept: float | None = None
    arm: float | None = None  # of the disk


@dataclass(frozen=True, slots=True)
class Battery:
    """A battery: rated charge [A·s] over `rated_time` [s], Peukert exponent, nominal voltage."""

    name: str
    charge: float
    rated_time: float
    peukert_exponent: float
    voltage: float
    charge_lost_per_kelvin: float = 0.0  # fraction of rated charge lost per kelvin below 25 °C
    aged_fraction: float = 1.0  # fraction of rated charge left at this age
    charges_from: str | None = None
    usable_fraction: float = 1.0  # of what is left, down to the voltage at which things quit


@dataclass(frozen=True, slots=True)
class ElectricalLoad:
    """A consumer: current [A] at bus voltage, its sources or buses in order, and whether it may be shed.

    `shed_order` is the pilot's: 1 goes off first. An engine runs on as long as one `ignition` does.
    """

    name: str
    current: float
    fed_by: tuple[str, ...]
    essential: bool
    duty: float = 1.0
    shed_order: int | None = None
    ignition: bool = False


@dataclass(frozen=True, slots=True)
class Electrical:
    """Sources, buses and loads."""

    alternator_current: float
    batteries: tuple[Battery, ...]
    loads: tuple[ElectricalLoad, ...]
    alternator_driven_by: str | None = None
    alternator_needs_battery: bool = False  # it drops off line when the first battery is gone
    generators: tuple[Generator, ...] = ()
    buses: tuple[Bus, ...] = ()


@dataclass(frozen=True, slots=True)
class PriorOverride:
    """A prior that the dossier replaces, with its reason; value in the parameter's own SI unit.

    `dimension` is that of the unit as written, None where nobody wrote one.
    """

    parameter: str
    mean: float
    sd: float
    reason: str
    dimension: Dimension | None = None


@dataclass(frozen=True, slots=True)
class Airplane:
    """Everything described about one airplane.

    Raises
    ------
    InputError
        What is described cannot be an airplane; every Problem names the attribute at fault in its `field`.
    """

    name: str
    maker: str
    invented: bool
    geometry: Geometry
    stations: tuple[Station, ...]
    combined_limits: tuple[CombinedLimit, ...]
    fuel: Fuel
    tanks: tuple[Tank, ...]
    envelopes: tuple[Envelope, ...]
    empty: Weighing | EmptyRecord
    kits: tuple[ExchangeKit, ...]
    configurations: tuple[Configuration, ...]  # the first is the reference
    flaps: tuple[FlapSetting, ...]  # the first is flap up
    engine: Engine
    propeller: Propeller
    seats_weight: float  # mass of one occupant that claims of 'full seats' assume [kg]
    electrical: Electrical | None = None
    never_exceed_speed: float | None = None
    priors: tuple[PriorOverride, ...] = ()
    options: tuple[Option, ...] = ()
    floats: tuple[FloatSet, ...] = ()

    def __post_init__(self) -> None:
        # Imported late: the rules need these classes.
        from wringout.airplane.validation import airplane_problems

        problems = airplane_problems(self)
        if problems:
            raise InputError(*problems)
