"""The undercarriage asked: this gear, this CG and mass, this grip and ground; what it does and what binds."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from wringout.airplane.airplane import Airplane, Undercarriage
from wringout.airplane.lookups import configuration as configuration_named
from wringout.airplane.lookups import configuration_envelope, unknown_name
from wringout.dossier.dossier import Dossier
from wringout.evaluation.electrics import number_or_quantity
from wringout.evaluation.gear_spreads import gear_spreads
from wringout.evaluation.inquiry import InquiryError
from wringout.evaluation.on_water import OnWater, on_water, speaking, static_thrust
from wringout.evaluation.usual import maximum_mass
from wringout.model.fit import Fit
from wringout.physics.constants import GRAVITY
from wringout.physics.ground import SURFACES
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.undercarriage import (
    SOILS,
    Clearance,
    Rolling,
    Rule,
    SweptCircle,
    UndercarriageReport,
    WheelPath,
    braking_limit,
    castor_to_pivot,
    climbed_steps,
    door_width,
    dynamic_nose_load,
    motion_ratio,
    nose_down_to_touch,
    overturn_angle,
    propeller_clearances,
    rolling_in,
    ski_sinkage,
    skid_or_tip,
    spread_of,
    spring_load,
    static_loads,
    swept_circle,
    swing_growth,
    tail_down_to_touch,
    taxi_side_wind,
    thrust_to_nose_over,
    tip_angle,
    undercarriage_report,
    wheel_margin,
    wheel_path,
    wheelbase,
    yaw_inertia,
)

FRICTION = 0.4  # dry hard ground [Raymer's table, quoted second-hand]
SWING_SPEED = 15.0  # m/s at which a swing on the landing roll is told (common practice, no source)
FIELDS = ("configuration", "cg", "mass", "friction", "soil")


@dataclass(frozen=True, slots=True)
class GearAsked:
    """A configuration at a CG [m] and a mass [kg], a grip at the wheels, and a soft ground."""

    configuration: str
    cg: float
    mass: float
    friction: float = FRICTION
    soil: str = "dry sand"


@dataclass(frozen=True, slots=True)
class Standing:
    """What stands where at the asked CG and mass: loads [kg], angles [rad], with what the lengths leave."""

    main: float
    third: float
    third_share: Estimate
    tip_angle: Estimate
    overturn_angle: Estimate


@dataclass(frozen=True, slots=True)
class Wheel:
    """A wheel in the asked soft ground: load [kg], contact area [m²], gauge pressure [Pa], how it rolls."""

    name: str
    count: int
    load: float
    area: float
    pressure: float
    rolling: Rolling


@dataclass(frozen=True, slots=True)
class Leg:
    """A trailing arm: its wheel's path, spring over wheel load, and that with a blow of half the load."""

    path: WheelPath
    ratio: float
    with_blow: float


@dataclass(frozen=True, slots=True)
class Skis:
    """Skis on snow: pressure [Pa], sinkage [m], and friction over load with its bounds."""

    pressure: float
    sinkage: float
    friction: float
    bounds: tuple[float, float]


@dataclass(frozen=True, slots=True)
class GearAnswer:
    """The undercarriage of one configuration, over its envelope and at the asked CG and mass."""

    asked: GearAsked
    gear: Undercarriage
    report: UndercarriageReport
    standing: Standing
    clearances: tuple[Clearance, ...]
    nose_down: float | None
    tail_down: float | None
    braking: float
    braking_binds: str
    nose_load: float | None  # [kg] on a nose wheel while braking so
    thrust: Estimate
    nose_over_thrust: float | None
    circle: SweptCircle
    castor_needed: float
    door: float
    steps: tuple[tuple[str, float], ...]
    sideways: float
    skids_first: bool
    wheel_margin: float
    swing_growth: float | None
    side_wind: float | None
    side_wind_unbraked: float | None
    wheels: tuple[Wheel, ...]
    drag_share: float | None  # of the weight, rolling in the asked ground
    leg: Leg | None
    skis: Skis | None
    floats: tuple[OnWater, ...]
    spreads: Mapping[str, float]  # standard uncertainties by figure, see `gear_spreads`

    @property
    def failed(self) -> tuple[Rule, ...]:
        """The rules that do not hold."""
        return tuple(rule for rule in self.report.rules if not rule.holds)


def first_asked(airplane: Airplane, configuration: str | None = None) -> GearAsked:
    """The question before anyone moved anything: the aft limit at the maximum mass, dry ground, dry sand."""
    name = airplane.configurations[0].name if configuration is None else configuration
    gear = configuration_named(airplane, name).undercarriage
    low, high = sorted((gear.main_arm, gear.third_arm))
    arms = [cg for cg, _ in configuration_envelope(airplane, name).vertices if low < cg < high]
    soil = "snow" if gear.kind == "skis" else "dry sand"
    grip = SURFACES["snow"].rolling if gear.kind == "skis" else FRICTION
    return GearAsked(name, max(arms, default=0.5 * (low + high)), maximum_mass(airplane, name), grip, soil)


def answer_gear(dossier: Dossier, asked: GearAsked | None = None, fit: Fit | None = None) -> GearAnswer:
    """The undercarriage's answer.

    Parameters
    ----------
    dossier : Dossier
    asked : GearAsked, optional
        As `first_asked` where left out.
    fit : Fit, optional
        For thrust and for the run on water; without it the thrust is that of blades as they usually are.

    Raises
    ------
    InputError
        The configuration, its envelope or the soil is not known, or the CG is not between the wheels.
    """
    airplane = dossier.airplane
    question = asked or first_asked(airplane)
    gear = configuration_named(airplane, question.configuration).undercarriage
    if question.soil not in SOILS:
        raise InputError(unknown_name("soft ground", question.soil, list(SOILS)).at(field="soil"))
    low, high = sorted((gear.main_arm, gear.third_arm))
    if not low < question.cg < high:
        raise InputError(
            Problem(
                f"the CG must lie between the wheels, {low:g} and {high:g} m aft of the datum",
                "move it there",
                field="cg",
            )
        )
    known = speaking(airplane, fit)
    report = undercarriage_report(airplane, question.configuration, question.friction)
    pull = static_thrust(airplane, known)
    wheels = _wheels(gear, question)
    over = float(overturn_angle(gear, question.cg))
    sideways, skids = skid_or_tip(over, question.friction)
    weight = question.mass * GRAVITY
    drag = math.fsum(wheel.count * wheel.rolling.resistance * wheel.load for wheel in wheels) / question.mass
    limit = float(braking_limit(gear, question.cg, question.friction))
    diameter, arm = airplane.propeller.diameter, airplane.propeller.arm
    return GearAnswer(
        question,
        gear,
        report,
        _standing(gear, question),
        propeller_clearances(gear, diameter, arm),
        None if arm is None else nose_down_to_touch(gear, diameter, arm),
        tail_down_to_touch(gear),
        limit,
        _binding(gear, question, limit),
        _nose_load(gear, question, limit),
        pull,
        thrust_to_nose_over(gear, question.mass, question.cg),
        swept_circle(gear, airplane.geometry),
        castor_to_pivot(gear),
        door_width(airplane.geometry),
        climbed_steps(gear, question.mass, question.cg, min(pull.value, 2.0 * weight)),
        sideways,
        skids,
        wheel_margin(gear, question.cg),
        _swing(airplane, gear, question),
        taxi_side_wind(gear, airplane.geometry, question.mass, question.cg, friction=question.friction),
        taxi_side_wind(
            gear, airplane.geometry, question.mass, question.cg, friction=question.friction, braked=False
        ),
        wheels,
        drag if wheels else None,
        _leg(gear),
        _skis(gear, question.mass),
        tuple(on_water(airplane, known, item, question.mass) for item in airplane.floats),
        gear_spreads(
            airplane,
            gear,
            question.cg,
            question.mass,
            friction=question.friction,
            thrust=pull,
        ),
    )


def typed_gear(typed: Mapping[str, str], dossier: Dossier) -> GearAsked:
    """The question that a form's fields say; InquiryError with every field that is not understood.

    Parameters
    ----------
    typed : mapping
        'configuration', 'cg' and 'mass' as numbers with or without their unit, 'friction', 'soil'; what is
        empty is as in `first_asked`.
    dossier : Dossier
    """
    airplane, units = dossier.airplane, dossier.units
    faults: dict[str, Problem] = {}
    names = [item.name for item in airplane.configurations]
    name = typed.get("configuration", "").strip() or names[0]
    if name not in names:
        raise InquiryError({"configuration": unknown_name("configuration", name, names)})
    start = first_asked(airplane, name)
    values: dict[str, Any] = {}
    for field, unit, dimension in (
        ("cg", units.arm, Dimension.LENGTH),
        ("mass", units.mass, Dimension.MASS),
        ("friction", "", Dimension.RATIO),
    ):
        text = typed.get(field, "").strip()
        if not text:
            continue
        try:
            values[field] = number_or_quantity(text, unit, dimension)
        except InputError as error:
            faults[field] = error.problems[0]
    gear = configuration_named(airplane, name).undercarriage
    low, high = sorted((gear.main_arm, gear.third_arm))
    if not low < values.get("cg", start.cg) < high:
        faults["cg"] = Problem(
            f"the CG must lie between the wheels, {low:g} and {high:g} m aft of the datum", "move it there"
        )
    if not 0.0 < values.get("mass", start.mass) < 1e5:
        faults["mass"] = Problem("no light airplane has that mass", "give what it weighs, like '1000 kg'")
    if not 0.0 <= values.get("friction", start.friction) <= 1.5:
        faults["friction"] = Problem("friction lies between 0 and 1.5", "dry tarmac has 0.8, wet grass 0.2")
    soil = typed.get("soil", "").strip() or start.soil
    if soil not in SOILS:
        faults["soil"] = unknown_name("soft ground", soil, list(SOILS))
    if faults:
        raise InquiryError(faults)
    return GearAsked(
        name,
        values.get("cg", start.cg),
        values.get("mass", start.mass),
        values.get("friction", start.friction),
        soil,
    )


def _standing(gear: Undercarriage, asked: GearAsked) -> Standing:
    loads = static_loads(gear, asked.mass, asked.cg)

    def estimate(figure: Any, dimension: Dimension) -> Estimate:
        source = "lengths as measured" if gear.measured_sd else "no uncertainty of its lengths is described"
        return Estimate(figure(gear), spread_of(figure, gear), dimension, source)

    return Standing(
        float(loads.main),
        float(loads.third),
        estimate(lambda item: float(static_loads(item, asked.mass, asked.cg).third_share), Dimension.RATIO),
        estimate(lambda item: float(tip_angle(item, asked.cg)), Dimension.ANGLE),
        estimate(lambda item: float(overturn_angle(item, asked.cg)), Dimension.ANGLE),
    )


def _binding(gear: Undercarriage, asked: GearAsked, limit: float) -> str:
    if not gear.braking:
        return "nothing brakes"
    if gear.kind == "nose wheel":
        return "grip binds"
    nose_over = (asked.cg - gear.main_arm) / gear.cg_height
    return "geometry binds: the tail lifts" if asked.friction >= nose_over and limit > 0.0 else "grip binds"


def _nose_load(gear: Undercarriage, asked: GearAsked, limit: float) -> float | None:
    """Load on the nose wheel while the main wheels brake at the limit [kg]; None without a nose wheel."""
    if gear.kind != "nose wheel":
        return None
    added = dynamic_nose_load(asked.mass, limit * GRAVITY, gear.cg_height, wheelbase(gear))
    return float(static_loads(gear, asked.mass, asked.cg).third) + float(added) / GRAVITY


def _swing(airplane: Airplane, gear: Undercarriage, asked: GearAsked) -> float | None:
    if airplane.geometry.length is None or gear.kind == "skis":
        return None
    inertia = yaw_inertia(asked.mass, airplane.geometry)
    share = 1.0 - float(static_loads(gear, 1.0, asked.cg).third_share)
    return swing_growth(asked.mass, asked.cg - gear.main_arm, inertia, SWING_SPEED, share=share)


def _wheels(gear: Undercarriage, asked: GearAsked) -> tuple[Wheel, ...]:
    """Every wheel whose tyre is described, in the asked ground."""
    if gear.kind == "skis":
        return ()
    loads = static_loads(gear, asked.mass, asked.cg)
    third = "nose wheel" if gear.third_arm < gear.main_arm else "tail wheel"
    described = (
        (
            "main wheel",
            2,
            0.5 * float(loads.main),
            gear.main_wheel_radius,
            gear.main_tyre_width,
            gear.main_tyre_pressure,
        ),
        (
            third,
            1,
            float(loads.third),
            gear.third_wheel_radius,
            gear.third_tyre_width,
            gear.third_tyre_pressure,
        ),
    )
    found = []
    for name, count, load, radius, width, pressure in described:
        if radius is None or width is None or pressure is None or load <= 0.0:
            continue
        weight = load * GRAVITY
        rolling = rolling_in(SOILS[asked.soil], weight, width, 2.0 * radius, pressure)
        found.append(Wheel(name, count, load, weight / pressure, pressure, rolling))
    return tuple(found)


def _leg(gear: Undercarriage) -> Leg | None:
    arm = gear.trailing_arm
    if arm is None:
        return None
    return Leg(wheel_path(arm), motion_ratio(arm), float(spring_load(arm, 1.0, 0.5)))


def _skis(gear: Undercarriage, mass: float) -> Skis | None:
    if gear.main_ski_area is None:
        return None
    snow = SURFACES["snow"]
    # A ski of the usual shape is five times as long as wide (common practice, no source).
    width = math.sqrt(0.5 * gear.main_ski_area / 5.0)
    return Skis(
        mass * GRAVITY / gear.main_ski_area,
        ski_sinkage(SOILS["snow"], mass, gear.main_ski_area, width),
        snow.rolling,
        snow.rolling_bounds,
    )
