"""The invented maker's claims and made-up verdicts, one of each finding, for the report's tests."""

from typing import Literal

from tests.report.sample_airplane import estimate
from tests.report.sample_points import FPM, KNOT
from wringout.claims.verdict import Evidence, Finding, Verdict
from wringout.dossier.claim import Claim, ClaimConditions, ClaimQuantity
from wringout.quantity import Dimension
from wringout.reduction.points import Points

D = Dimension


Relation = Literal["at least", "at most", "about"]


def _claim(
    name: str,
    statement: str,
    quantity: ClaimQuantity,
    says: tuple[Relation, float, str],
    conditions: ClaimConditions | None = None,
) -> Claim:
    relation, value, text = says
    assumed = conditions or ClaimConditions()
    return Claim(name, statement, quantity, relation, value, None, assumed, "brochure, p. 3", text)


def verdicts(made: Points) -> tuple[Verdict, ...]:
    """One of each finding, with arithmetic of every kind."""
    stall, level, takeoff = made.stalls[8].origin, made.levels[3].origin, made.takeoffs[0].origin
    rows: tuple[tuple[Claim, Finding, float | None, str, tuple[Evidence, ...], tuple[str, ...]], ...] = (
        (
            _claim(
                "stall",
                "Stalls at 36 kt with full flap",
                "stall speed",
                ("at most", 36 * KNOT, "36 kt"),
                ClaimConditions(mass=1090.0, flap="45°"),
            ),
            "not borne out",
            0.02,
            "Three stalls and the fit agree on 38.8 kt at this mass.",
            (
                Evidence(
                    "measured",
                    estimate(38.9 * KNOT, 0.3, D.SPEED),
                    0.01,
                    "37.9 kt at 958 kg × √(1 090/958) = 40.4 kt; mean of three 38.9 ± 0.4 kt, against 36 kt",
                    (stall,),
                ),
                Evidence(
                    "model",
                    estimate(38.8 * KNOT, 0.25, D.SPEED),
                    0.02,
                    "fit at 1 090 kg: 38.8 kt, nine in ten 38.3 to 39.2 kt",
                ),
            ),
            ("engine idle",),
        ),
        (
            _claim(
                "takeoff",
                "Takes off over 15 m in 250 m",
                "take-off distance",
                ("at most", 250.0, "250 m"),
                ClaimConditions(mass=1000.0),
            ),
            "leaning no",
            0.22,
            "",
            (
                Evidence(
                    "measured",
                    estimate(259.0, 11.0, D.LENGTH),
                    0.2,
                    "118 + 141 = 259 m as flown; at 1 000 kg and sea level: 263 ± 12 m, against 250 m",
                    (takeoff,),
                ),
            ),
            ("dry grass, level", "short-field technique, as flown"),
        ),
        (
            _claim(
                "cruise",
                "Cruises at 128 kt on 75 % power",
                "cruise speed",
                ("at least", 128 * KNOT, "128 kt"),
                ClaimConditions(power_fraction=0.75),
            ),
            "not borne out",
            0.004,
            "",
            (
                Evidence(
                    "model",
                    estimate(120.0 * KNOT, 0.6, D.SPEED),
                    0.004,
                    "fit at 112 kW, 6 562 ft, 1 090 kg: 120 kt, nine in ten 118 to 122 kt, against 128 kt",
                    (level,),
                ),
            ),
            ("the altitude of best cruise", "big tyres"),
        ),
        (
            _claim(
                "climb", "Climbs at 1 100 ft/min", "rate of climb", ("at least", 1100 * FPM, "1 100 ft/min")
            ),
            "leaning yes",
            0.81,
            "",
            (
                Evidence(
                    "model",
                    estimate(1130 * FPM, 0.2, D.SPEED),
                    0.81,
                    "fit at sea level: 1 130 ft/min, nine in ten 1 066 to 1 194 ft/min, against 1 100 ft/min",
                ),
            ),
            (),
        ),
        (
            _claim("useful", "Useful load of 420 kg", "useful load", ("at least", 420.0, "420 kg")),
            "borne out",
            0.97,
            "",
            (
                Evidence(
                    "arithmetic",
                    estimate(424.0, 1.8, D.MASS),
                    0.97,
                    "1 090 kg maximum − 666.0 kg empty as weighed = 424.0 ± 1.8 kg, against 420 kg",
                ),
            ),
            (),
        ),
        (
            _claim(
                "full",
                "Two people, full tanks and 160 kg of cargo together",
                "payload",
                ("at least", 332.0, "332 kg"),
            ),
            "not borne out",
            0.0,
            "No flying can change a sum.",
            (
                Evidence(
                    "arithmetic",
                    None,
                    0.0,
                    "2 × 86 kg + 180 L × 0.72 kg/L + 160 kg = 461.6 kg, 37.6 kg above the 424.0 kg",
                ),
            ),
            (),
        ),
        (
            _claim(
                "ceiling", "Service ceiling 16 000 ft", "service ceiling", ("at least", 4876.8, "16 000 ft")
            ),
            "open",
            0.47,
            "",
            (
                Evidence(
                    "model",
                    estimate(4850.0, 190.0, D.LENGTH),
                    0.47,
                    "fit: 15 900 ft, nine in ten 14 900 to 16 900 ft, against 16 000 ft; flown to 5 000 ft",
                ),
            ),
            (),
        ),
        (
            _claim("glide", "Glides 11 to 1", "glide ratio", ("at least", 11.0, "11")),
            "not tested",
            None,
            "No glide was flown.",
            (),
            (),
        ),
    )
    return tuple(
        Verdict(claim, finding, p, reason, evidence, assumed)
        for claim, finding, p, reason, evidence, assumed in rows
    )
