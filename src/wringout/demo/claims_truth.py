"""Which of the invented maker's claims are true: reckoned from the simulator and from plain arithmetic."""

from collections.abc import Iterator
from typing import Literal

from wringout.demo import machine
from wringout.demo.flights import EMPTY
from wringout.demo.nominal import true_answer
from wringout.model.question import Question
from wringout.quantity import convert

ClaimTruth = Literal["meets", "misses", "marginal", "not tested"]
# Of the claim: closer than this no evaluation of two days can decide.
MARGINAL = {"stall speed": 0.015, "cruise speed": 0.01, "fuel flow": 0.02, "service ceiling": 0.05}
MARGINAL_ELSE = 0.03
MOST = machine.MAXIMUM_MASS
FULL_TANKS = 0.180  # m³
CLIMB_AND_TAXI = 0.005  # m³ beyond what the same time takes in cruise


def claim_truths() -> Iterator[tuple[str, ClaimTruth, str]]:
    """(id, truth, arithmetic) of each claim of claims.toml, in its order."""
    yield _asked("stall, full flap", Question("stall speed", "tail wheel", MOST, "45"), "at most", 41.0, "kt")
    for identifier, gear, value in (
        ("cruise, 29-inch tyres", "tail wheel", 123.0),
        ("cruise, nose wheel", "nose wheel", 119.0),
    ):
        question = Question("cruise speed", gear, MOST, pressure_altitude=1500.0, power_fraction=0.75)
        yield _asked(identifier, question, "at least", value, "kt")
    question = Question("fuel flow", "tail wheel", MOST, pressure_altitude=1500.0, power_fraction=0.75)
    yield _asked("fuel at 75 %", question, "at most", 46.0, "L/h")
    yield _asked(
        "climb, sea level", Question("rate of climb", "tail wheel", MOST), "at least", 950.0, "ft/min"
    )
    yield _asked("ceiling", Question("service ceiling", "tail wheel", MOST), "at least", 17500.0, "ft")
    yield _asked("glide", Question("glide ratio", "tail wheel", MOST), "at least", 10.0, "")
    short = "short field"
    question = Question("take-off ground roll", "tail wheel", MOST, technique=short)
    yield _asked("take-off roll", question, "at most", 140.0, "m")
    question = Question("take-off distance", "tail wheel", MOST, technique=short)
    yield _asked("take-off distance", question, "at most", 290.0, "m")
    question = Question("landing ground roll", "nose wheel", MOST, technique=short)
    yield _asked("landing roll, nose wheel", question, "at most", 85.0, "m")
    yield _stopping()
    yield from _loads()
    yield _range()
    yield _battery()
    yield "climb, skis", "not tested", "no flight on skis"


def _asked(
    identifier: str, question: Question, relation: str, claimed: float, unit: str
) -> tuple[str, ClaimTruth, str]:
    true = true_answer(question)
    shown = convert(true, unit) if unit else true
    digits = 0 if shown > 1000.0 else 2
    arithmetic = f"{shown:.{digits}f} {unit}".strip() + f" against {claimed:g} {unit}".rstrip()
    margin = MARGINAL.get(question.quantity, MARGINAL_ELSE)
    return identifier, _truth(shown, relation, claimed, margin), arithmetic


def _truth(true: float, relation: str, claimed: float, margin: float = MARGINAL_ELSE) -> ClaimTruth:
    gain = (true - claimed) / claimed * (1.0 if relation == "at least" else -1.0)
    if abs(gain) < margin:
        return "marginal"
    return "meets" if gain > 0.0 else "misses"


def _stopping() -> tuple[str, ClaimTruth, str]:
    speed, distance = 45.0 * 1852.0 / 3600.0, 30.0
    needed = speed**2 / (2.0 * distance) / 9.80665
    return (
        "stopping, nose wheel",
        "misses",
        f"{needed:.2f} g needed, a grip of 0.42 on all wheels gives no more than 0.42 g beside drag",
    )


def _loads() -> Iterator[tuple[str, ClaimTruth, str]]:
    empty = EMPTY["tail wheel"][0]
    useful = MOST - empty
    yield "useful load", "meets", f"{MOST:g} - {empty:g} = {useful:.1f} kg against 420 kg"
    left = useful - FULL_TANKS * machine.FUEL_DENSITY
    yield "seats, tanks and bay", "misses", f"{useful:.1f} - 129.6 kg of fuel = {left:.1f} kg against 332 kg"


def _range() -> tuple[str, ClaimTruth, str]:
    speed = true_answer(
        Question("cruise speed", "tail wheel", MOST, pressure_altitude=2000.0, power_fraction=0.65)
    )
    flow = true_answer(
        Question("fuel flow", "tail wheel", MOST, pressure_altitude=2000.0, power_fraction=0.65)
    )
    time = (FULL_TANKS - CLIMB_AND_TAXI) / flow - 2700.0
    reach = speed * time / 1852.0
    arithmetic = (
        f"(180 L - 5 L) / {flow * 3.6e6:.1f} L/h - 45 min = {time / 3600.0:.2f} h "
        f"at {speed * 3600.0 / 1852.0:.1f} kt: {reach:.0f} nm"
    )
    return "range", _truth(reach, "at least", 400.0), arithmetic


def _battery() -> tuple[str, ClaimTruth, str]:
    """Peukert's law on what the cold leaves: t = H (C / (I H))^k."""
    charge = 4.0 * 0.85 * (1.0 - 0.010 * 35.0)
    hours = 20.0 * (charge / (2.1 * 20.0)) ** 1.15
    return (
        "ignition battery",
        _truth(60.0 * hours, "at least", 60.0),
        f"4 Ah x 0.85 x 0.65 = {charge:.2f} Ah at 2.1 A: {60.0 * hours:.0f} min against 60 min",
    )
