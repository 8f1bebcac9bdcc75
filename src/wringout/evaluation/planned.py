"""A card before its flight: what to load, the points in build-up order, and what to expect of each."""

from __future__ import annotations

from dataclasses import dataclass

from wringout.dossier.build_up import PlannedPoint, build_up
from wringout.dossier.card import Card, CardPoint
from wringout.dossier.dossier import Dossier
from wringout.evaluation.usual import SURFACE
from wringout.loading import PlannedLoading, planned_loading
from wringout.model import predict_each
from wringout.model.fit import Fit
from wringout.model.question import PredictedQuantity, Prediction, Question
from wringout.quantity.estimate import Estimate

# Above the ground, where a card leaves the height open [common practice, no source].
OPEN_HEIGHT = 2000 * 0.3048


@dataclass(frozen=True, slots=True)
class Expected:
    """One figure to expect of a point, with its central 90 % interval, SI."""

    quantity: PredictedQuantity
    estimate: Estimate
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class PlannedFlight:
    """A card made ready to fly; `expected` has one entry a point, empty where the model says nothing of it.

    `expected_from` says on what the figures rest.
    """

    card: Card
    loading: PlannedLoading
    points: tuple[PlannedPoint, ...]
    expected: tuple[tuple[Expected, ...], ...]
    expected_from: str


def planned_flight(dossier: Dossier, card: Card, fit: Fit | None) -> PlannedFlight:
    """A card's loading, points and expectations.

    Parameters
    ----------
    dossier : Dossier
    card : Card
        One of its cards, flown or not.
    fit : Fit, optional
        What is known so far, from priors alone where nothing is flown; left out, nothing is expected.

    Returns
    -------
    PlannedFlight
        Expectations hold at the take-off mass of the planned loading on a standard day in still air, in the
        middle of the point's height band; where the height is open, 2000 ft above the ground. Off a strip
        downhill, onto it uphill [common practice, no source].

    Raises
    ------
    InputError
        The loading cannot be reckoned; `check` tells where it stands.
    """
    plan, units = card.plan, dossier.units
    loading = planned_loading(
        dossier.airplane,
        card.configuration,
        card.loading,
        wanted_cg=plan.wanted_cg,
        wanted_mass=plan.wanted_mass,
        station=plan.ballast_station,
        taxi_fuel=plan.taxi_fuel,
        landing_fuel=plan.landing_fuel,
        mass_unit=units.mass,
        arm_unit=units.arm,
    )
    points = build_up(card, dossier.airplane)
    if fit is None:
        return PlannedFlight(card, loading, points, ((),) * len(points), "")
    mass = loading.report.state("take-off").mass.value
    asked = [_questions(dossier, card, fit, planned, mass) for planned in points]
    answers = iter(predict_each(dossier.airplane, fit, [question for each in asked for question in each]))
    expected = tuple(tuple(_expected(next(answers)) for _ in each) for each in asked)
    source = (
        "the points flown so far" if fit.residuals else "what such airplanes usually do; nothing is flown yet"
    )
    return PlannedFlight(card, loading, points, expected, source)


def _expected(answer: Prediction) -> Expected:
    return Expected(answer.question.quantity, answer.estimate, answer.low, answer.high)


def _questions(
    dossier: Dossier, card: Card, fit: Fit, planned: PlannedPoint, mass: float
) -> tuple[Question, ...]:
    point = planned.point
    if point.kind in ("take-off", "landing"):
        return _field(dossier, card, fit, point, mass)
    quantity = _in_the_air(point)
    if quantity is None:
        return ()
    band = planned.height_band
    height = _ground(dossier, card) + OPEN_HEIGHT if band is None else 0.5 * (band[0] + band[1])
    speed = point.target_speed if quantity in ("rate of climb", "glide ratio") else None
    return (
        Question(quantity, card.configuration, mass, flap=point.flap, pressure_altitude=height, speed=speed),
    )


def _in_the_air(point: CardPoint) -> PredictedQuantity | None:
    """What the model can say of a point; it knows stalls at idle, and level flight with the throttle open."""
    known: dict[tuple[str, str], PredictedQuantity] = {
        ("level", "full"): "full-throttle speed",
        ("climb", "full"): "rate of climb",
        ("glide", "idle"): "glide ratio",
        ("stall", "idle"): "stall speed",
    }
    return known.get((point.kind, point.power))


def _field(dossier: Dossier, card: Card, fit: Fit, point: CardPoint, mass: float) -> tuple[Question, ...]:
    strip = next((item for item in dossier.strips if item.name == point.strip), None)
    slope = 0.0 if strip is None else abs(strip.slope)
    quantities: tuple[PredictedQuantity, PredictedQuantity] = (
        ("take-off ground roll", "take-off distance")
        if point.kind == "take-off"
        else ("landing ground roll", "landing distance")
    )
    stem = "lift-off speed ratio" if point.kind == "take-off" else "touchdown speed ratio"
    known = {result.parameter.name for result in fit.parameters}
    technique = point.technique if f"{stem}: {point.technique}" in known else None
    return tuple(
        Question(
            quantity,
            card.configuration,
            mass,
            flap=point.flap,
            pressure_altitude=_ground(dossier, card) if strip is None else strip.elevation,
            slope=-slope if point.kind == "take-off" else slope,
            surface=SURFACE if strip is None else strip.surface,
            technique=technique,
        )
        for quantity in quantities
    )


def _ground(dossier: Dossier, card: Card) -> float:
    """Where the flight starts from [m]: the weather reading's ground, a strip's of the card, or sea level."""
    if card.weather:
        return card.weather[0].elevation
    named = {point.strip for point in card.points}
    return next((strip.elevation for strip in dossier.strips if strip.name in named), 0.0)
