"""A whole made-up evaluation of the invented airplane, for the report's and the charts' tests."""

from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path

import numpy as np

from tests.report.sample_airplane import airplane, estimate
from tests.report.sample_flights import circuits, flight, legs_and_climbs, stalls
from tests.report.sample_points import FPM, KNOT, curves, fit, points
from wringout.airplane.airplane import Airplane
from wringout.claims.verdict import Evidence, Finding, Verdict
from wringout.dossier.card import Card, CardLoading, CardPoint, Rating, RecordingRef, WeatherReading
from wringout.dossier.claim import Claim, ClaimConditions, ClaimQuantity
from wringout.dossier.dossier import Dossier, Load, Mission, Strip, Units
from wringout.evaluation.evaluation import Evaluation, Headline
from wringout.loading import empty_mass, loading_report
from wringout.missions import Cruise, FieldDistances, answer, payload_range
from wringout.model.question import Prediction, Question
from wringout.quantity import Dimension
from wringout.recordings import health
from wringout.reduction import Flight
from wringout.reduction.points import Points

D = Dimension


def _card(
    name: str, title: str, configuration: str, front: float, bay: float, ratings: tuple[Rating, ...]
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
        name, title, date(2026, 5, 12), "A. Evaluator", configuration, (RecordingRef(f"recordings/{name}.csv"),), loading,
        (weather,), (CardPoint("L1", "level", "up", "part"),), (), ratings,
        "Smooth air above 900 m; light chop below. The fuel selector is hard to see behind the left knee." if name == "flight-1" else "",
    )  # fmt: skip


def cards() -> tuple[Card, ...]:
    return (
        _card("flight-1", "Level legs and climbs", "big tyres", 168.0, 120.0,
              (Rating("trimming at 75 kt, full flap", 3, "Nose-up force until the trim catches up; one hand is enough."),)),
        _card("flight-2", "Stalls at two loadings", "big tyres", 168.0, 60.0,
              (Rating("recovery from the stall, flaps 45°", 2, "A clear buffet 4 kt before the break; no wing drop in nine stalls."),
               Rating("visibility over the nose, three-point", None, "Nothing ahead until the tail is up; weave."))),
        _card("flight-3", "Six take-offs and eight landings", "nose wheel", 172.0, 90.0,
              (Rating("short-field landing, cross wind 8 kt", 4, "Aileron is heavy at approach speed with full flap."),)),
    )  # fmt: skip


def _claim(
    name: str,
    statement: str,
    quantity: ClaimQuantity,
    relation: str,
    value: float,
    text: str,
    conditions: ClaimConditions | None = None,
) -> Claim:
    return Claim(
        name,
        statement,
        quantity,
        relation,
        value,
        None,
        conditions or ClaimConditions(),
        "brochure, p. 3",
        text,
    )  # type: ignore[arg-type]


def verdicts(made: Points) -> tuple[Verdict, ...]:
    """One of each finding, with arithmetic of every kind."""
    stall, level, takeoff = made.stalls[8].origin, made.levels[3].origin, made.takeoffs[0].origin
    rows: tuple[tuple[Claim, Finding, float | None, str, tuple[Evidence, ...], tuple[str, ...]], ...] = (
        (
            _claim("stall", "Stalls at 36 kt with full flap", "stall speed", "at most", 36 * KNOT, "36 kt", ClaimConditions(mass=1090.0, flap="45°")),
            "not borne out", 0.02, "Three stalls and the fit agree on 38.8 kt at this mass.",
            (Evidence("measured", estimate(38.9 * KNOT, 0.3, D.SPEED), 0.01, "37.9 kt at 958 kg × √(1 090/958) = 40.4 kt; mean of three 38.9 ± 0.4 kt, against 36 kt", (stall,)),
             Evidence("model", estimate(38.8 * KNOT, 0.25, D.SPEED), 0.02, "fit at 1 090 kg: 38.8 kt, nine in ten 38.3 to 39.2 kt")),
            ("engine idle",),
        ),
        (
            _claim("takeoff", "Takes off over 15 m in 250 m", "take-off distance", "at most", 250.0, "250 m", ClaimConditions(mass=1000.0)),
            "leaning no", 0.22, "",
            (Evidence("measured", estimate(259.0, 11.0, D.LENGTH), 0.2, "118 + 141 = 259 m as flown; brought to 1 000 kg, sea level, still air: 263 ± 12 m, against 250 m", (takeoff,)),),
            ("dry grass, level", "short-field technique, as flown"),
        ),
        (
            _claim("cruise", "Cruises at 128 kt on 75 % power", "cruise speed", "at least", 128 * KNOT, "128 kt", ClaimConditions(power_fraction=0.75)),
            "not borne out", 0.004, "",
            (Evidence("model", estimate(120.0 * KNOT, 0.6, D.SPEED), 0.004, "fit at 112 kW, 6 562 ft, 1 090 kg: 120 kt, nine in ten 118 to 122 kt, against 128 kt", (level,)),),
            ("the altitude of best cruise", "big tyres"),
        ),
        (
            _claim("climb", "Climbs at 1 100 ft/min", "rate of climb", "at least", 1100 * FPM, "1 100 ft/min"),
            "leaning yes", 0.81, "",
            (Evidence("model", estimate(1130 * FPM, 0.2, D.SPEED), 0.81, "fit at sea level: 1 130 ft/min, nine in ten 1 066 to 1 194 ft/min, against 1 100 ft/min"),), (),
        ),
        (
            _claim("useful", "Useful load of 420 kg", "useful load", "at least", 420.0, "420 kg"),
            "borne out", 0.97, "",
            (Evidence("arithmetic", estimate(424.0, 1.8, D.MASS), 0.97, "1 090 kg maximum − 666.0 kg empty as weighed = 424.0 ± 1.8 kg, against 420 kg"),), (),
        ),
        (
            _claim("full", "Two people, full tanks and 160 kg of cargo together", "payload", "at least", 332.0, "332 kg"),
            "not borne out", 0.0, "No flying can change a sum.",
            (Evidence("arithmetic", None, 0.0, "2 × 86 kg + 180 L × 0.72 kg/L + 160 kg = 461.6 kg, and 424.0 kg may be loaded: 37.6 kg too much"),), (),
        ),
        (
            _claim("ceiling", "Service ceiling 16 000 ft", "service ceiling", "at least", 4876.8, "16 000 ft"),
            "open", 0.47, "",
            (Evidence("model", estimate(4850.0, 190.0, D.LENGTH), 0.47, "fit: 15 900 ft, nine in ten 14 900 to 16 900 ft, against 16 000 ft; climbs were flown to 5 000 ft"),), (),
        ),
        (_claim("glide", "Glides 11 to 1", "glide ratio", "at least", 11.0, "11"), "not tested", None, "No glide was flown.", (), ()),
    )  # fmt: skip
    return tuple(
        Verdict(claim, finding, p, reason, evidence, assumed)
        for claim, finding, p, reason, evidence, assumed in rows
    )


def _predictions() -> tuple[Prediction, ...]:
    rows = (
        (Question("stall speed", "big tyres", 1090.0, flap="45°"), 38.8 * KNOT, 0.25, D.SPEED),
        (Question("rate of climb", "big tyres", 1090.0), 1130 * FPM, 0.2, D.SPEED),
        (Question("service ceiling", "big tyres", 1090.0), 4850.0, 190.0, D.LENGTH),
        (Question("cruise speed", "big tyres", 1090.0, pressure_altitude=2000.0, power_fraction=0.75), 120 * KNOT, 0.6, D.SPEED),
        (Question("fuel flow", "big tyres", 1090.0, pressure_altitude=2000.0, power_fraction=0.75), 0.0412 / 3600, 3e-7, D.VOLUME_FLOW),
        (Question("glide ratio", "big tyres", 1090.0), 9.1, 0.5, D.RATIO),
        (Question("take-off distance", "big tyres", 1090.0), 306.0, 13.0, D.LENGTH),
        (Question("take-off distance", "nose wheel", 1090.0, pressure_altitude=1500.0, temperature=298.15), 478.0, 24.0, D.LENGTH),
        (Question("landing distance", "big tyres", 1090.0), 287.0, 12.0, D.LENGTH),
    )  # fmt: skip
    return tuple(
        Prediction(
            question, estimate(value, sd, kind), value - 1.645 * sd, value + 1.645 * sd, np.array([value])
        )
        for question, value, sd, kind in rows
    )


def _missions(plane: Airplane) -> tuple[Mission, Mission, Strip]:
    strip = Strip("Upper Corran", 640.0, 520.0, 0.8, 0.02, "dry grass", note="trees at the far end")
    loads = (
        Load("vet", 82.0, ("front seats",)), Load("nurse", 70.0, ("front seats",)), Load("medicine cooler", 24.0, ("cargo bay",)),
        Load("X-ray set", 46.0, ("cargo bay",)), Load("sick dog in crate", 38.0, ("cargo bay", "aft bay"), must=False),
        Load("spare crates", 60.0, ("cargo bay", "aft bay"), must=False),
    )  # fmt: skip
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
        Path("/nowhere"), "Shepherd 200: two days of evaluation", "A. Evaluator", "Corran uplands", date(2026, 5, 14), True, Units(), plane,
        tuple(verdict.claim for verdict in found), every, (strip,), (clinic, transfer),
        tuple((f"recordings/flight-{k}.csv", f"{k}" * 64) for k in (1, 2, 3)) + (("airplane.toml", "ab" * 32), ("claims.toml", "cd" * 32)),
    )  # fmt: skip
    flow, speed = estimate(0.0412 / 3600, 3e-7, D.VOLUME_FLOW), estimate(120 * KNOT, 0.6, D.SPEED)
    cruise = Cruise(speed, flow)
    distances = FieldDistances(
        lambda mass: estimate(330.0 * (mass / 1000) ** 2, 15.0, D.LENGTH),
        lambda mass: estimate(300.0 * mass / 1000, 14.0, D.LENGTH),
    )
    return Evaluation(
        dossier=dossier,
        software="0.1.0 (sample)",
        key="0" * 64,
        empty={item.name: empty_mass(plane, item.name) for item in plane.configurations},
        loadings={card.name: loading_report(plane, card.configuration, card.loading, 0.002) for card in every},
        flights=flights,
        health={item.card.name: health(item.recording) for item in flights},
        points=made,
        fit=fit(made, rng),
        answer=(
            "It lifts 424 kg in the big tyres configuration; with full tanks 294 kg of that is left for people and things.",
            "At 1 090 kg on level dry grass, 4 921 ft and 25 °C, it needs 455 m (nine in ten: 414 to 496 m) to clear 15 m, and 352 m "
            "(nine in ten: 318 to 386 m) from 15 m to a stop.",
            "It climbs at 1 130 ft/min from sea level and cruises at 120 kt on 41 L/h; of the maker's 8 claims: 1 borne out, "
            "1 leaning yes, 1 open, 1 leaning no, 3 not borne out, 1 not tested.",
        ),
        headlines=(
            Headline("useful load", "big tyres, to 1 090 kg", 424.0, 421.0, 427.0, D.MASS, "kg", "weighing"),
            Headline("take-off over 15 m", "1 090 kg, sea level, standard day, level dry grass, still air", 306.0, 285.0, 328.0, D.LENGTH, "m", "fit"),
            Headline("landing over 15 m", "1 090 kg, sea level, standard day, level dry grass, still air", 287.0, 267.0, 307.0, D.LENGTH, "m", "fit"),
            Headline("cruise", "75 % power, 6 562 ft, standard day", 120 * KNOT, 118.1 * KNOT, 121.9 * KNOT, D.SPEED, "kt", "fit"),
            Headline("stall, landing flap", "1 090 kg, calibrated, idle", 38.8 * KNOT, 38.0 * KNOT, 39.6 * KNOT, D.SPEED, "kt", "fit"),
        ),
        predictions=_predictions(),
        curves=curves(),
        payload_range={
            item.name: payload_range(plane, item.name, fuel_flow=flow, true_airspeed=speed) for item in plane.configurations
        },
        missions=(
            answer(clinic, plane, cruise, strip=strip, distances=distances),
            answer(transfer, plane, cruise),
        ),
        verdicts=found,
    )  # fmt: skip
