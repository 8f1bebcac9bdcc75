"""What a form asks of the strips: fields as they were typed → the question, or each field's fault."""

from __future__ import annotations

from collections.abc import Mapping

from wringout.airplane.lookups import unknown_name
from wringout.dossier.dossier import Dossier
from wringout.evaluation.inquiry import InquiryError, surfaces, typed_quantity
from wringout.evaluation.strips import USUAL_STEP, StripsAsked
from wringout.missions.leaflet import PUBLISHED
from wringout.missions.practice import Practice
from wringout.model.fit import Fit
from wringout.physics.constants import KNOT
from wringout.problems import InputError, Problem
from wringout.quantity.dimensions import Dimension

METHODS = ("physics", *PUBLISHED)
AS_DESCRIBED = "as described"
_TAIL = 10.0 * KNOT


def typed_strips(typed: Mapping[str, str], dossier: Dossier, fit: Fit) -> StripsAsked:
    """The question that a form of fields by name says.

    Parameters
    ----------
    typed : mapping
        'configuration', 'load', 'fuel', 'surface', 'take_off', 'landing', 'method', 'take_off_factor',
        'landing_factor', 'cross_wind', 'tail_wind', 'step'; one that is empty or missing is the usual.
    dossier : Dossier
    fit : Fit

    Raises
    ------
    InquiryError
        With every field that is not understood.
    """
    units = dossier.units
    faults: dict[str, Problem] = {}

    def chosen(field: str, known: tuple[str, ...], kind: str) -> str | None:
        name = typed.get(field, "").strip()
        if name and name not in known:
            faults[field] = unknown_name(kind, name, known)
        return name or None

    def figure(field: str, unit: str, dimension: Dimension) -> float | None:
        text = typed.get(field, "").strip()
        if not text:
            return None
        try:
            return typed_quantity(text, unit, dimension)
        except InputError as error:
            faults[field] = error.problems[0]
            return None

    def plain(field: str) -> float | None:
        text = typed.get(field, "").strip().replace(",", ".").lstrip("×x ")
        try:
            return float(text) if text else None
        except ValueError:
            faults[field] = Problem(f"'{text[:40]}' is no factor", "write it like 1.33")
            return None

    configurations = tuple(item.name for item in dossier.airplane.configurations)
    configuration = chosen("configuration", configurations, "configuration")
    surface = chosen("surface", (AS_DESCRIBED, *surfaces(dossier)), "surface")
    take_off = chosen("take_off", fit.techniques["take-off"], "take-off technique")
    landing = chosen("landing", fit.techniques["landing"], "landing technique")
    method = chosen("method", METHODS, "method") or "physics"
    load, fuel = figure("load", units.mass, Dimension.MASS), figure("fuel", units.fuel, Dimension.VOLUME)
    cross, tail = (figure(field, units.speed, Dimension.SPEED) for field in ("cross_wind", "tail_wind"))
    step = figure("step", units.arm, Dimension.LENGTH)
    margins = [plain("take_off_factor"), plain("landing_factor")]
    if faults:
        raise InquiryError(faults)
    published = PUBLISHED.get(method)
    off, down = (1.33, 1.43) if published is None else published.margin
    try:
        practice = Practice(
            method,  # type: ignore[arg-type]  # one of METHODS
            off if margins[0] is None else margins[0],
            down if margins[1] is None else margins[1],
            cross_wind=cross,
            tail_wind=_TAIL if tail is None else tail,
        )
    except InputError as error:
        raise InquiryError({problem.field or "method": problem for problem in error.problems}) from None
    return StripsAsked(
        configuration,
        load,
        fuel,
        None if surface in (None, AS_DESCRIBED) else surface,
        take_off,
        landing,
        USUAL_STEP if step is None else max(step, 0.0),
        practice=practice,
    )
