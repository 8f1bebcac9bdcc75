"""The points of a card in the order in which they are safely flown, with what their plan leaves out."""

from __future__ import annotations

from dataclasses import dataclass

from wringout.airplane.airplane import Airplane
from wringout.dossier.card import Card, CardPoint

_KNOT = 1852.0 / 3600.0
_FOOT = 0.3048
# Safe first: what can be left at once before what cannot [common practice, no source].
_KINDS = ("level", "climb", "glide", "stall", "take-off", "landing")
_POWERS = ("idle", "part", "full")

# Tolerances where a point states none [common practice, no source].
SPEED_TOLERANCE = {
    "level": 2 * _KNOT,
    "climb": 2 * _KNOT,
    "glide": 2 * _KNOT,
    "take-off": 3 * _KNOT,
    "landing": 3 * _KNOT,
}
LEVEL_TOLERANCE = 100 * _FOOT
# Stalls are told at a loss of one knot each second [14 CFR 23.49, pre-2017, from memory].
ENTRY_RATE = 1 * _KNOT


@dataclass(frozen=True, slots=True)
class PlannedPoint:
    """A point to be flown, SI; None where its kind has no such figure, or where the height is left open."""

    point: CardPoint
    speed_tolerance: float | None
    height_tolerance: float | None
    height_band: tuple[float, float] | None
    entry_rate: float | None


def build_up(card: Card, airplane: Airplane) -> tuple[PlannedPoint, ...]:
    """The card's points in build-up order.

    Parameters
    ----------
    card : Card
    airplane : Airplane
        For the order of its flap settings.

    Returns
    -------
    tuple of PlannedPoint
        Points with an `order` first, the lowest first; then level legs, climbs and glides, each from the
        fastest to the slowest; stalls from flaps up to down, idle before power, gentle before brisk; then
        take-offs and landings as the card lists them, those called short last [common practice, no source].
    """
    flaps = {flap.name: index for index, flap in enumerate(airplane.flaps)}

    def place(item: tuple[int, CardPoint]) -> tuple[float, ...]:
        listed, point = item
        ordered = (0, point.order) if point.order is not None else (1, 0)
        return (*ordered, *_rank(point, flaps), listed)

    return tuple(_filled(point) for _, point in sorted(enumerate(card.points), key=place))


def _rank(point: CardPoint, flaps: dict[str, int]) -> tuple[float, ...]:
    kind = _KINDS.index(point.kind)
    flap = flaps.get(point.flap, len(flaps))
    if point.kind == "stall":
        return kind, flap, _POWERS.index(point.power), point.entry_rate or ENTRY_RATE
    if point.kind in ("take-off", "landing"):
        return _KINDS.index("take-off"), "short" in (point.technique or "").casefold()
    slowest_last = 0.0 if point.target_speed is None else -point.target_speed
    return kind, flap, point.target_speed is not None, slowest_last


def _filled(point: CardPoint) -> PlannedPoint:
    speed = SPEED_TOLERANCE.get(point.kind) if point.target_speed is not None else None
    height = LEVEL_TOLERANCE if point.kind == "level" else None
    rate = ENTRY_RATE if point.kind == "stall" else None
    return PlannedPoint(
        point,
        point.speed_tolerance or speed,
        point.height_tolerance or height,
        point.height_band,
        point.entry_rate or rate,
    )
