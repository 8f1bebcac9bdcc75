"""Manoeuvres found → manoeuvres of card points, each with the mass and the air it was flown in."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from wringout.airplane.airplane import Airplane
from wringout.dossier.card import CardPoint
from wringout.dossier.dossier import Strip
from wringout.manoeuvres.manoeuvre import Manoeuvre
from wringout.problems import InputError
from wringout.reduction.assign import assign
from wringout.reduction.conditions import conditions, height_offset
from wringout.reduction.flown import Flight, Flown
from wringout.reduction.fuel_burn import fuel_burn
from wringout.reduction.level_groups import as_one
from wringout.reduction.points import LeftOut


def in_conditions(
    flights: Sequence[Flight], airplane: Airplane, strips: Sequence[Strip]
) -> tuple[list[tuple[Flown, tuple[Manoeuvre, ...]]], list[LeftOut]]:
    """Every manoeuvre that belongs to a card point, in its conditions, with the manoeuvres it is made of.

    The level legs of one point are one manoeuvre. What belongs to nothing, or whose conditions cannot be
    known, is left out with the reason.
    """
    by_name = {strip.name: strip for strip in strips}
    known_flaps = {flap.name for flap in airplane.flaps}
    result: list[tuple[Flown, tuple[Manoeuvre, ...]]] = []
    left: list[LeftOut] = []
    for flight in flights:
        assigned, unassigned = assign(flight)
        left.extend(unassigned)
        try:
            burn = fuel_burn(flight, airplane)
        except InputError as error:
            left.extend(_refused(flight, (point for point, _ in assigned), error))
            continue
        offset = height_offset(flight, assigned, strips)
        for point, manoeuvres in assigned:
            if point.flap not in known_flaps:
                left.append(
                    LeftOut(
                        flight.card.name,
                        point.id,
                        f"flap setting '{point.flap}' is not one of the airplane's",
                    )
                )
                continue
            together = (
                [(_noted(manoeuvres), manoeuvres)]
                if point.kind == "level"
                else [(m, (m,)) for m in manoeuvres]
            )
            try:
                for manoeuvre, parts in together:
                    air = conditions(
                        flight,
                        airplane,
                        point,
                        manoeuvre,
                        burn=burn,
                        offset=offset,
                        strip=by_name.get(point.strip or ""),
                    )
                    result.append((Flown(flight, point, manoeuvre, air), parts))
            except (InputError, ValueError) as error:
                left.extend(_refused(flight, (point,), error))
    return result, left


def _noted(legs: Sequence[Manoeuvre]) -> Manoeuvre:
    """Several legs as one, with the notes of each."""
    return replace(as_one(legs), notes=tuple(dict.fromkeys(note for leg in legs for note in leg.notes)))


def _refused(flight: Flight, points: Iterable[CardPoint], error: Exception) -> list[LeftOut]:
    reason = error.problems[0].sentence() if isinstance(error, InputError) else str(error)
    return [LeftOut(flight.card.name, point.id, reason) for point in points]
