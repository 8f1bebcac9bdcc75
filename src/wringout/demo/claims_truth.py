"""Which of an invented maker's claims are true: reckoned from the simulator and from plain arithmetic."""

import tomllib
from collections.abc import Iterator, Mapping
from typing import Any, Literal, get_args

from wringout.demo.nominal import true_answer
from wringout.demo.setup import Setup, text
from wringout.model.question import PredictedQuantity, Question
from wringout.quantity import Dimension, convert, parse

ClaimTruth = Literal["meets", "misses", "marginal", "not tested"]
Table = Mapping[str, Any]
# Of the claim: closer than this no evaluation of two days can decide.
MARGINAL = {"stall speed": 0.015, "cruise speed": 0.01, "fuel flow": 0.02, "service ceiling": 0.05}
MARGINAL_ELSE = 0.03
CLIMB_AND_TAXI = 0.005  # m³ beyond what the same time takes in cruise
WARM = 298.15  # K, at which a battery's charge is rated
UNITS: dict[str, tuple[Dimension, str]] = {
    "stall speed": (Dimension.SPEED, "kt"),
    "cruise speed": (Dimension.SPEED, "kt"),
    "full-throttle speed": (Dimension.SPEED, "kt"),
    "best climb speed": (Dimension.SPEED, "kt"),
    "best glide speed": (Dimension.SPEED, "kt"),
    "fuel flow": (Dimension.VOLUME_FLOW, "L/h"),
    "rate of climb": (Dimension.SPEED, "ft/min"),
    "service ceiling": (Dimension.LENGTH, "ft"),
    "glide ratio": (Dimension.RATIO, ""),
}


def claim_truths(setup: Setup) -> Iterator[tuple[str, ClaimTruth, str]]:
    """(id, truth, arithmetic) of each claim of claims.toml, in its order."""
    reckoned = {
        "stopping distance": _stopping,
        "useful load": _useful_load,
        "payload": _payload,
        "range": _range,
        "battery endurance": _battery,
    }
    for claim in tomllib.loads(text(setup.name, "claims.toml"))["claim"]:
        conditions = claim["conditions"]
        flown = {plan.configuration for plan in setup.plans}
        if claim["quantity"] in reckoned:
            yield claim["id"], *reckoned[claim["quantity"]](setup, claim, conditions)
        elif claim["quantity"] in get_args(PredictedQuantity) and conditions["configuration"] in flown:
            yield claim["id"], *_asked(setup, claim, conditions)
        else:
            yield claim["id"], "not tested", f"no flight as {conditions['configuration']}"


def _question(setup: Setup, quantity: PredictedQuantity, conditions: Table) -> Question:
    dimensions = {"pressure_altitude": Dimension.LENGTH, "temperature": Dimension.TEMPERATURE}
    given: dict[str, Any] = {
        name: parse(conditions[name], each) for name, each in dimensions.items() if name in conditions
    }
    given |= {name: conditions[name] for name in ("flap", "surface", "technique") if name in conditions}
    if "power" in conditions:
        given["power_fraction"] = parse(conditions["power"], Dimension.RATIO)
    mass = setup.machine.maximum_mass
    if "mass" in conditions:
        mass = parse(conditions["mass"], Dimension.MASS)
    return Question(quantity, conditions["configuration"], mass, **given)


def _asked(setup: Setup, claim: Table, conditions: Table) -> tuple[ClaimTruth, str]:
    quantity = claim["quantity"]
    dimension, unit = UNITS.get(quantity, (Dimension.LENGTH, "m"))
    true, claimed = (
        true_answer(setup, _question(setup, quantity, conditions)),
        parse(claim["value"], dimension),
    )
    if unit:
        true, claimed = convert(true, unit), convert(claimed, unit)
    digits = 0 if true > 1000.0 else 2
    arithmetic = f"{true:.{digits}f} {unit}".strip() + f" against {claimed:.6g} {unit}".rstrip()
    return _truth(true, claim["relation"], claimed, MARGINAL.get(quantity, MARGINAL_ELSE)), arithmetic


def _truth(true: float, relation: str, claimed: float, margin: float = MARGINAL_ELSE) -> ClaimTruth:
    gain = (true - claimed) / claimed * (1.0 if relation == "at least" else -1.0)
    if abs(gain) < margin:
        return "marginal"
    return "meets" if gain > 0.0 else "misses"


def _stopping(setup: Setup, claim: Table, conditions: Table) -> tuple[ClaimTruth, str]:
    speed, distance = parse(conditions["speed"], Dimension.SPEED), parse(claim["value"], Dimension.LENGTH)
    needed, grip = speed**2 / (2.0 * distance) / 9.80665, setup.strip.grip
    return (
        "misses" if needed > grip else "meets",
        f"{needed:.2f} g needed, a grip of {grip:g} on all wheels gives no more than {grip:g} g beside drag",
    )


def _useful_load(setup: Setup, claim: Table, conditions: Table) -> tuple[ClaimTruth, str]:
    empty, most = setup.empty[conditions["configuration"]][0], setup.machine.maximum_mass
    useful, claimed = most - empty, parse(claim["value"], Dimension.MASS)
    # A mass is weighed to a kilogram or so: no margin as for what must be flown.
    return _truth(useful, claim["relation"], claimed, 0.003), (
        f"{most:g} - {empty:g} = {useful:.1f} kg against {claimed:g} kg"
    )


def _payload(setup: Setup, claim: Table, conditions: Table) -> tuple[ClaimTruth, str]:
    useful = setup.machine.maximum_mass - setup.empty[conditions["configuration"]][0]
    fuel = parse(conditions["fuel"], Dimension.VOLUME) * setup.machine.fuel_density
    claimed = parse(claim["value"], Dimension.MASS)
    return _truth(useful - fuel, claim["relation"], claimed, 0.003), (
        f"{useful:.1f} - {fuel:.1f} kg of fuel = {useful - fuel:.1f} kg against {claimed:g} kg"
    )


def _range(setup: Setup, claim: Table, conditions: Table) -> tuple[ClaimTruth, str]:
    speed = true_answer(setup, _question(setup, "cruise speed", conditions))
    flow = true_answer(setup, _question(setup, "fuel flow", conditions))
    fuel, reserve = parse(conditions["fuel"], Dimension.VOLUME), parse(conditions["reserve"], Dimension.TIME)
    time = (fuel - CLIMB_AND_TAXI) / flow - reserve
    reach, claimed = speed * time / 1852.0, parse(claim["value"], Dimension.LENGTH) / 1852.0
    arithmetic = (
        f"({fuel * 1e3:g} L - {CLIMB_AND_TAXI * 1e3:g} L) / {flow * 3.6e6:.1f} L/h - {reserve / 60.0:g} min"
        f" = {time / 3600.0:.2f} h at {speed * 3600.0 / 1852.0:.1f} kt: {reach:.0f} nm"
    )
    return _truth(reach, claim["relation"], claimed), arithmetic


def _battery(setup: Setup, claim: Table, conditions: Table) -> tuple[ClaimTruth, str]:
    """Peukert's law on what the cold leaves: t = H (C / (I H))^k."""
    electrical = tomllib.loads(text(setup.name, "airplane.toml"))["electrical"]
    battery = next(one for one in electrical["battery"] if one["name"] == conditions["battery"])
    current = sum(
        parse(one["current"], Dimension.CURRENT) * one.get("duty", 1.0)
        for one in electrical["load"]
        if one["name"] in conditions["load"]
    )
    rated, hours = (
        parse(battery["charge"], Dimension.CHARGE) / 3600.0,
        parse(battery["rated_time"], Dimension.TIME),
    )
    hours /= 3600.0
    cold = 1.0 - battery["charge_lost_per_kelvin"] * (
        WARM - parse(conditions["temperature"], Dimension.TEMPERATURE)
    )
    charge = rated * battery["aged_fraction"] * cold
    lasts = 60.0 * hours * (charge / (current * hours)) ** battery["peukert_exponent"]
    claimed = parse(claim["value"], Dimension.TIME) / 60.0
    return _truth(lasts, claim["relation"], claimed), (
        f"{rated:g} Ah x {battery['aged_fraction']:g} x {cold:.2f} = {charge:.2f} Ah at {current:g} A: "
        f"{lasts:.0f} min against {claimed:g} min"
    )
