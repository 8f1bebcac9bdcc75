"""A reader's mission answered: what goes, what stays, the fuel it takes, whether the strip is enough."""

import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Literal

from wringout.airplane.airplane import Airplane
from wringout.dossier.dossier import Mission, Strip, Units
from wringout.loading import capacity, fuel_in_tanks
from wringout.missions.field import Distance, FieldFinding, field_finding
from wringout.missions.placement import Placement, place
from wringout.missions.trip import Allowances, TripFuel, trip_fuel
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.quantity.showing import show
from wringout.reduction.propagation import propagate_scalar

Outcome = Literal["yes", "no", "uncertain"]

CAUTION = (
    "The approved flight manual and the weight-and-balance record govern; local regulations and licensed "
    "practice come first. This is for evaluation and reporting, not for dispatch."
)

_UNITS = Units()
_SURE = 0.90
_Finding = tuple[Outcome, str]


@dataclass(frozen=True, slots=True)
class FuelRow:
    """One part of the trip's fuel: volume [m³] and mass [kg]."""

    name: str
    volume: float
    mass: float


@dataclass(frozen=True, slots=True)
class Cruise:
    """How the airplane cruises on the trip, and what happens beside the cruise."""

    true_airspeed: Estimate
    fuel_flow: Estimate
    allowances: Allowances = field(default_factory=Allowances)


@dataclass(frozen=True, slots=True)
class FieldDistances:
    """Distances over 15 m on the mission's strip in its conditions, each as a function of mass [kg]."""

    take_off: Callable[[float], Distance]
    landing: Callable[[float], Distance]
    take_off_factor: float | None = None
    landing_factor: float | None = None


@dataclass(frozen=True, slots=True)
class MissionAnswer:
    """A mission's answer, the sentence first.

    `fuel` is what the trip takes at the ramp [m³]; `reasons` say what binds or fails, one clause each, most
    weighty first; `placement` None where the tanks do not hold the fuel.
    """

    mission: Mission
    outcome: Outcome
    sentence: str
    reasons: tuple[str, ...]
    fuel: Estimate
    fuel_rows: tuple[FuelRow, ...]
    placement: Placement | None
    fields: tuple[FieldFinding, ...]
    notes: tuple[str, ...]
    caution: str = CAUTION


def answer(
    mission: Mission,
    airplane: Airplane,
    cruise: Cruise,
    *,
    strip: Strip | None = None,
    distances: FieldDistances | None = None,
    units: Units = _UNITS,
) -> MissionAnswer:
    """Whether a mission can be flown, with what aboard, and what binds.

    Parameters
    ----------
    mission : Mission
    airplane : Airplane
    cruise : Cruise
        At the mission's cruise altitude; errors of speed [m/s] and flow [m³/s] are taken as independent.
    strip : Strip, optional
        The one that the mission names.
    distances : FieldDistances, optional
        Left out, the strip is not tested, and the answer says so.
    units : Units
        For the words.

    Returns
    -------
    MissionAnswer
        'yes' where all that must go is inside limits, the tanks hold the fuel and the factored distances
        fit with a probability of 0.90 or more; 'no' where something fails with a probability of 0.90 or
        more; else 'uncertain'.

    Raises
    ------
    InputError
        The mission names a strip that is not given; as `place`.
    ValueError
        As `trip_fuel`.

    Notes
    -----
    The fuel carried is the expected fuel of the trip, reserve included. Loads are placed first fit, not
    optimally. The mission does not say at which end of the trip its strip lies:
    take-off is reckoned at take-off mass, landing with half the cruise still to fly, which is the worse for
    a trip there and back.
    """
    if mission.strip is not None and (strip is None or strip.name != mission.strip):
        raise InputError(
            Problem(
                f"the mission uses the strip '{mission.strip}', which is not given",
                "describe it in strips.csv or correct the name",
                field=f"mission '{mission.name}'",
            )
        )
    fuel, rows = _fuel(mission, airplane, cruise)
    findings = [*_tank_findings(fuel, airplane, units)]
    notes = ["Placed first fit, not optimised: other places might carry more or leave more margin."]
    if fuel.value > sum(tank.usable for tank in airplane.tanks):
        return _composed(mission, findings, fuel, rows, units=units)
    reserve = next(row.volume for row in rows if row.name == "reserve")
    placement = place(
        airplane,
        mission.configuration,
        mission.loads,
        fuel_in_tanks(airplane.tanks, fuel.value),
        cruise.allowances.taxi_fuel,
        landing_fuel=reserve,
        units=units,
    )
    findings.append(_placement_finding(placement, units))
    notes.extend(_room_left(airplane, mission, fuel, placement, units))
    fields: tuple[FieldFinding, ...] = ()
    if strip is not None and distances is None:
        findings.append(("uncertain", f"{strip.name} is not tested: no distance is known for it"))
    elif strip is not None and distances is not None:
        fields = _fields(placement, strip, distances, _half_way(rows))
        findings.extend(_field_outcome(finding, units) for finding in fields)
        notes.extend(note for finding in fields for note in finding.notes)
    composed = _composed(mission, findings, fuel, rows, units=units, placement=placement)
    return replace(composed, fields=fields, notes=tuple(dict.fromkeys(notes)))


def _composed(
    mission: Mission,
    findings: list[_Finding],
    fuel: Estimate,
    rows: tuple[FuelRow, ...],
    *,
    units: Units,
    placement: Placement | None = None,
) -> MissionAnswer:
    order: tuple[Outcome, ...] = ("no", "uncertain", "yes")
    ranked = sorted(findings, key=lambda finding: order.index(finding[0]))
    outcome = ranked[0][0]
    reasons = tuple(words for _, words in ranked)
    goes = "" if placement is None else f"{_goes(mission, fuel, placement, units)}; "
    sentence = f"{outcome.capitalize()}: {goes}{reasons[0]}."
    return MissionAnswer(mission, outcome, sentence, reasons, fuel, rows, placement, (), ())


def _goes(mission: Mission, fuel: Estimate, placement: Placement, units: Units) -> str:
    distance = show(mission.distance, units.range, digits=0)
    trip = f"{show(fuel.value, units.fuel, digits=0)} of fuel for {distance}"
    mass = show(sum(item.load.mass for item in placement.placed), units.mass, digits=0)
    if not placement.left:
        return f"all {len(placement.placed)} loads ({mass}) with {trip}"
    stay = ", ".join(item.load.name for item in placement.left)
    return f"{len(placement.placed)} of {len(mission.loads)} loads ({mass}) with {trip}, {stay} left behind"


def _tank_findings(fuel: Estimate, airplane: Airplane, units: Units) -> list[_Finding]:
    """What the tanks say, where it is not a plain yes."""
    full = sum(tank.usable for tank in airplane.tanks)
    probability = float(fuel.value <= full)
    if fuel.sd:
        probability = 0.5 * math.erfc((fuel.value - full) / (fuel.sd * math.sqrt(2.0)))
    if probability >= _SURE:
        return []
    words = (
        f"the trip takes {show(fuel.value, units.fuel, sd=fuel.sd)} and the tanks hold "
        f"{show(full, units.fuel, digits=0)}"
    )
    return [("no" if probability <= 1.0 - _SURE else "uncertain", words)]


def _fuel(mission: Mission, airplane: Airplane, cruise: Cruise) -> tuple[Estimate, tuple[FuelRow, ...]]:
    def parts(flow: float, speed: float) -> TripFuel:
        return trip_fuel(
            mission.distance,
            flow,
            speed,
            mission.reserve,
            head_wind=mission.head_wind,
            allowances=cruise.allowances,
        )

    flow, speed = cruise.fuel_flow, cruise.true_airspeed
    value, sd = propagate_scalar(
        lambda arguments: parts(float(arguments[0]), float(arguments[1])).total,
        [flow.value, speed.value],
        [flow.sd or 0.0, speed.sd or 0.0],
    )
    found = parts(flow.value, speed.value)
    density = airplane.fuel.density
    rows = tuple(
        FuelRow(name, float(volume), float(volume) * density)
        for name, volume in (
            ("taxi", found.taxi),
            ("climb", found.climb),
            ("cruise", found.cruise),
            ("reserve", found.reserve),
        )
    )
    return Estimate(value, sd, Dimension.VOLUME, f"trip; {flow.source}; {speed.source}"), rows


def _room_left(
    airplane: Airplane, mission: Mission, fuel: Estimate, placement: Placement, units: Units
) -> list[str]:
    """How much more could go with this fuel, where everything asked for goes."""
    most = capacity(airplane, mission.configuration, fuel.value)
    carried = sum(item.load.mass for item in placement.placed)
    more = float(most.payload[0]) - carried
    if placement.left or not more > 0.0:
        return []
    words = show(more, units.mass, digits=0)
    return [f"With this fuel at most {words} more could go, laid as it best suits; then: {most.binding[0]}."]


def _placement_finding(placement: Placement, units: Units) -> tuple[Outcome, str]:
    words = placement.report.sentence(units.mass, units.arm)
    if placement.complete:
        return "yes", _clause(words)
    stays = [item for item in placement.left if item.load.must]
    if not stays:
        return "no", _clause(words)
    names = ", ".join(item.load.name for item in stays)
    return "no", f"{names} cannot go ({stays[0].reason})"


def _half_way(rows: tuple[FuelRow, ...]) -> float:
    """Mass of fuel aboard [kg] with half the cruise still to fly."""
    masses = {row.name: row.mass for row in rows}
    return 0.5 * masses["cruise"] + masses["reserve"]


def _fields(
    placement: Placement, strip: Strip, distances: FieldDistances, fuel_at_landing: float
) -> tuple[FieldFinding, ...]:
    off = placement.report.state("take-off").mass.value
    down = placement.report.state("zero fuel").mass.value + fuel_at_landing
    return (
        field_finding("take-off", strip, off, distances.take_off(off), distances.take_off_factor),
        field_finding("landing", strip, down, distances.landing(down), distances.landing_factor),
    )


def _field_outcome(finding: FieldFinding, units: Units) -> tuple[Outcome, str]:
    distance = show(finding.distance.value, units.distance, digits=0)
    reach = f"{show(finding.low, units.distance, digits=0)} to {show(finding.high, units.distance, digits=0)}"
    words = (
        f"{finding.movement} at {finding.strip} needs {distance} (90 %: {reach}), × {finding.factor:.2f} = "
        f"{show(finding.required, units.distance, digits=0)} "
        f"of {show(finding.available, units.distance, digits=0)}"
    )
    if finding.probability is None:
        return ("yes" if finding.enough else "no"), words
    words = f"{words}, probability {_told(finding.probability)}"
    if finding.probability < _SURE and (finding.probability_unfactored or 0.0) >= _SURE:
        words += "; without the factor it fits"
    if finding.probability >= _SURE:
        return "yes", words
    return ("no" if finding.probability <= 1.0 - _SURE else "uncertain"), words


def _clause(sentence: str) -> str:
    """A sentence as a clause inside another."""
    return sentence[:1].lower() + sentence[1:].rstrip(".")


def _told(probability: float) -> str:
    if probability > 0.99:
        return "above 0.99"
    return "below 0.01" if probability < 0.01 else f"{probability:.2f}"
