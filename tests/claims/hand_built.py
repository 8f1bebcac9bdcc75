"""Dossiers built by hand, small enough to judge on paper."""

from dataclasses import replace
from datetime import date
from pathlib import Path

from tests.model.invented import airplane
from wringout.airplane.airplane import Airplane
from wringout.dossier.claim import CLAIM_DIMENSIONS, Claim, ClaimConditions, ClaimQuantity
from wringout.dossier.dossier import Dossier, Units
from wringout.quantity import parse
from wringout.reduction.points import Points

NO_POINTS = Points((), (), (), (), (), (), (), ())
AMERICAN = Units(
    speed="mph",
    vertical_speed="ft/min",
    height="ft",
    distance="ft",
    range="sm",
    mass="lb",
    fuel="US gal",
    fuel_flow="US gal/h",
    temperature="°C",
)


def claim(
    quantity: ClaimQuantity, relation: str, text: str, tolerance: float | None = None, **conditions: object
) -> Claim:
    """A claim of a figure as typed, its identifier the quantity."""
    return Claim(
        quantity,
        f"{quantity} {relation} {text}",
        quantity,
        relation,  # type: ignore[arg-type]  # tests name the three relations
        parse(text, CLAIM_DIMENSIONS[quantity]),
        tolerance,
        ClaimConditions(**conditions),  # type: ignore[arg-type]  # tests give fields by name
        "an invented brochure",
        text,
    )


def dossier(*claims: Claim, made: Airplane | None = None, units: Units | None = None) -> Dossier:
    """A dossier of one airplane and these claims."""
    return Dossier(
        root=Path(),
        title="By hand",
        evaluator="nobody",
        place="nowhere",
        day=date(2026, 5, 12),
        invented=True,
        units=units or Units(),
        airplane=made or airplane(),
        claims=tuple(replace(item, id=f"{number}: {item.id}") for number, item in enumerate(claims)),
        cards=(),
        strips=(),
        missions=(),
        files=(),
    )
