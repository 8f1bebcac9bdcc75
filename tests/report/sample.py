"""A whole made-up evaluation of the invented airplane, for the report's and the charts' tests."""

from collections.abc import Sequence
from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path

import numpy as np

from tests.report.sample_airplane import airplane, estimate
from tests.report.sample_claims import verdicts
from tests.report.sample_flights import circuits, flight, legs_and_climbs, stalls
from tests.report.sample_points import FPM, KNOT, curves, fit, points
from wringout.airplane.airplane import Airplane
from wringout.dossier.card import Card, CardLoading, CardPoint, Rating, RecordingRef, WeatherReading
from wringout.dossier.dossier import Dossier, Load, Mission, Strip, Units
from wringout.evaluation.evaluation import Evaluation, Headline
from wringout.loading import empty_mass, loading_report
from wringout.missions import FieldAsked, Performance, answer, payload_range
from wringout.model.question import Prediction, Question
from wringout.quantity import Dimension
from wringout.quantity.estimate import Estimate
from wringout.recordings import health
from wringout.reduction import Flight

D = Dimension


def _card(
    name: str, title: str, configuration: str, *, front: float, bay: float, ratings: tuple[Rating, ...]
) -> Card:
    loading = CardLoading(
        {"front seats": front, "cargo bay": bay, "aft bay": 0.0},
        {"cargo bay": 3.2},
        {"left wing": 0.08, "right wing": 0.08},
        1.5,
        0.002,
        {"left wing": 0.03, "right wing": 0.05},
    )
    weather = WeatherReading(
        datetime(2026, 5, 12, 7, 20, tzinfo=UTC), 310.0, 101_900.0, 284.6, 280.1, 4.19, 2.6, 0.6, 6.0
    )
    return Card(
        name,
        title,
        date(2026, 5, 12),
        "A. Evaluator",
        configuration,
        (RecordingRef(f"recordings/{name}.csv"),),
        loading,
        (weather,),
        (CardPoint("L1", "level", "up", "part"),),
        (),
        ratings,
        "Smooth air above 900 m; light chop below. The fuel selector is hard to see behind the left knee."
        if name == "flight-1"
        else "",
    )


def cards() -> tuple[Card, ...]:
    return (
        _card(
            "flight-1",
            "Level legs and climbs",
            "big tyres",
            front=168.0,
            bay=120.0,
            ratings=(
                Rating(
                    "trimming at 75 kt, full flap",
                    3,
                    "Nose-up force until the trim catches up; one hand is enough.",
                ),
            ),
        ),
        _card(
            "flight-2",
            "Stalls at two loadings",
            "big tyres",
            front=168.0,
            bay=60.0,
            ratings=(
                Rating(
                    "recovery from the stall, flaps 45°",
                    2,
                    "A clear buffet 4 kt before the break; no wing drop in nine stalls.",
                ),
                Rating(
                    "visibility over the nose, three-point",
                    None,
                    "Nothing ahead until the tail is up; weave.",
                ),
            ),
        ),
        _card(
            "flight-3",
            "Six take-offs and eight landings",
            "nose wheel",
            front=172.0,
            bay=90.0,
            ratings=(
                Rating(
                    "short-field landing, cross wind 8 kt",
                    4,
                    "Aileron is heavy at approach speed with full flap.",
                ),
            ),
        ),
    )


def _predictions() -> tuple[Prediction, ...]:
    rows = (
        (Question("stall speed", "big tyres", 1090.0, flap="45°"), 38.8 * KNOT, 0.25, D.SPEED),
        (Question("rate of climb", "big tyres", 1090.0), 1130 * FPM, 0.2, D.SPEED),
        (Question("service ceiling", "big tyres", 1090.0), 4850.0, 190.0, D.LENGTH),
        (
            Question("cruise speed", "big tyres", 1090.0, pressure_altitude=2000.0, power_fraction=0.75),
            120 * KNOT,
            0.6,
            D.SPEED,
        ),
        (
            Question("fuel flow", "big tyres", 1090.0, pressure_altitude=2000.0, power_fraction=0.75),
            0.0412 / 3600,
            3e-7,
            D.VOLUME_FLOW,
        ),
        (Question("glide ratio", "big tyres", 1090.0), 9.1, 0.5, D.RATIO),
        (Question("take-off distance", "big tyres", 1090.0), 306.0, 13.0, D.LENGTH),
        (
            Question("take-off distance", "nose wheel", 1090.0, pressure_altitude=1500.0, temperature=298.15),
            478.0,
            24.0,
            D.LENGTH,
        ),
        (Question("landing distance", "big tyres", 1090.0), 287.0, 12.0, D.LENGTH),
    )
    return tuple(
        Prediction(
            question, estimate(value, sd, kind), value - 1.645 * sd, value + 1.645 * sd, np.array([value])
        )
        for question, value, sd, kind in rows
    )


def _missions(plane: Airplane) -> tuple[Mission, Mission, Strip]:
    strip = Strip("Upper Corran", 640.0, 520.0, 0.8, 0.02, "dry grass", note="trees at the far end")
    loads = (
        Load("vet", 82.0, ("front seats",)),
        Load("nurse", 70.0, ("front seats",)),
        Load("medicine cooler", 24.0, ("cargo bay",)),
        Load("X-ray set", 46.0, ("cargo bay",)),
        Load("sick dog in crate", 38.0, ("cargo bay", "aft bay"), must=False),
        Load("spare crates", 60.0, ("cargo bay", "aft bay"), must=False),
    )
    name = plane.configurations[0].name
    return (
        Mission(
            "Clinic day",
            "Can vet, nurse and their things go to Upper Corran and back?",
            name,
            loads,
            150_000.0,
            5.0,
            1800.0,
            1800.0,
            "Upper Corran",
            298.15,
        ),
        Mission(
            "Long transfer",
            "How far does the vet get alone?",
            name,
            loads[:1],
            620_000.0,
            0.0,
            2400.0,
            1800.0,
        ),
        strip,
    )


ANSWER = (
    "It lifts 424 kg in the big tyres configuration; with full tanks 294 kg are left for people and things.",
    (
        "At 1 090 kg on level dry grass, 4 921 ft and 25 °C, it needs 455 m (nine in ten: 414 to 496 m) to "
        "clear 15 m, and 352 m (nine in ten: 318 to 386 m) from 15 m to a stop."
    ),
    (
        "It climbs at 1 130 ft/min from sea level and cruises at 120 kt on 41 L/h; of the maker's 8 claims: "
        "1 borne out, 1 leaning yes, 1 open, 1 leaning no, 3 not borne out, 1 not tested."
    ),
)


@cache
def evaluation() -> Evaluation:
    """The whole sample, the same every time."""
    rng = np.random.default_rng(20260512)
    plane = airplane()
    made = points(rng)
    every = cards()
    flights = tuple(
        Flight(card, *flight(card.name, legs, rng))
        for card, legs in zip(every, (legs_and_climbs(), stalls(), circuits()), strict=True)
    )
    clinic, transfer, strip = _missions(plane)
    found = verdicts(made)
    dossier = Dossier(
        Path("/nowhere"),
        "Shepherd 200: two days of evaluation",
        "A. Evaluator",
        "Corran uplands",
        date(2026, 5, 14),
        True,
        Units(),
        plane,
        tuple(verdict.claim for verdict in found),
        every,
        (strip,),
        (clinic, transfer),
        (
            *((f"recordings/flight-{k}.csv", f"{k}" * 64) for k in (1, 2, 3)),
            ("airplane.toml", "ab" * 32),
            ("claims.toml", "cd" * 32),
        ),
    )
    flow, speed = estimate(0.0412 / 3600, 3e-7, D.VOLUME_FLOW), estimate(120 * KNOT, 0.6, D.SPEED)
    one = np.ones(200)
    cruise = Performance(
        1800.0,
        speed.value + (speed.sd or 0.0) * rng.standard_normal(200),
        flow.value + (flow.sd or 0.0) * rng.standard_normal(200),
        (0.0, 1800.0),
        (5.0 * one, 3.5 * one),
        38.0 * one,
        1.7e-5,
        2.54,
        0.6 * flow.value * one,
    )

    def distances(wanted: Sequence[FieldAsked]) -> list[Estimate]:
        return [
            estimate(330.0 * (item.mass / 1000) ** 2, 15.0, D.LENGTH)
            if item.movement == "take-off"
            else estimate(300.0 * item.mass / 1000, 14.0, D.LENGTH)
            for item in wanted
        ]

    return Evaluation(
        dossier=dossier,
        software="0.1.0 (sample)",
        key="0" * 64,
        empty={item.name: empty_mass(plane, item.name) for item in plane.configurations},
        loadings={
            card.name: loading_report(plane, card.configuration, card.loading, 0.002) for card in every
        },
        flights=flights,
        health={item.card.name: health(item.recording) for item in flights},
        points=made,
        fit=fit(made, rng),
        answer=ANSWER,
        headlines=(
            Headline("useful load", "big tyres, to 1 090 kg", 424.0, 421.0, 427.0, D.MASS, "kg", "weighing"),
            Headline(
                "take-off over 15 m",
                "1 090 kg, sea level, standard day, level dry grass, still air",
                306.0,
                285.0,
                328.0,
                D.LENGTH,
                "m",
                "fit",
            ),
            Headline(
                "landing over 15 m",
                "1 090 kg, sea level, standard day, level dry grass, still air",
                287.0,
                267.0,
                307.0,
                D.LENGTH,
                "m",
                "fit",
            ),
            Headline(
                "cruise",
                "75 % power, 6 562 ft, standard day",
                120 * KNOT,
                118.1 * KNOT,
                121.9 * KNOT,
                D.SPEED,
                "kt",
                "fit",
            ),
            Headline(
                "stall, landing flap",
                "1 090 kg, calibrated, idle",
                38.8 * KNOT,
                38.0 * KNOT,
                39.6 * KNOT,
                D.SPEED,
                "kt",
                "fit",
            ),
        ),
        predictions=_predictions(),
        curves=curves(),
        payload_range={
            item.name: payload_range(plane, item.name, fuel_flow=flow, true_airspeed=speed)
            for item in plane.configurations
        },
        missions=(
            answer(clinic, plane, cruise, strips={strip.name: strip}, distances=distances),
            answer(transfer, plane, cruise),
        ),
        verdicts=found,
    )
