"""Every test point by kind, beside what the fit makes of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from wringout.model.fit import Fit, Residual
from wringout.reduction.points import Point, Points

Kind = Literal["level", "climb", "glide", "stall", "take-off", "landing"]
KINDS: tuple[Kind, ...] = ("level", "climb", "glide", "stall", "take-off", "landing")


@dataclass(frozen=True, slots=True)
class PointRow:
    """A point with its residuals, one for each figure that the fit compares."""

    kind: Kind
    point: Point
    residuals: tuple[Residual, ...]

    @property
    def furthest(self) -> Residual | None:
        """The residual furthest off, in standard deviations; None where the fit compares nothing."""
        return max(self.residuals, key=lambda one: abs(one.standardised), default=None)

    @property
    def outlier(self) -> bool:
        """Whether any of its figures was set aside."""
        return any(one.outlier for one in self.residuals)


def point_rows(points: Points, fit: Fit | None) -> Mapping[Kind, tuple[PointRow, ...]]:
    """The points of each kind in the order flown; a kind that nobody flew has none."""
    by_origin: dict[tuple[str, str, float], list[Residual]] = {}
    for residual in () if fit is None else fit.residuals:
        origin = residual.origin
        by_origin.setdefault((origin.card, origin.point, origin.start), []).append(residual)

    def rows(kind: Kind, among: Sequence[Point]) -> tuple[PointRow, ...]:
        return tuple(
            PointRow(
                kind,
                point,
                tuple(by_origin.get((point.origin.card, point.origin.point, point.origin.start), ())),
            )
            for point in among
        )

    return {
        "level": rows("level", points.levels),
        "climb": rows("climb", [point for point in points.climbs if point.power == "full"]),
        "glide": rows("glide", [point for point in points.climbs if point.power == "idle"]),
        "stall": rows("stall", points.stalls),
        "take-off": rows("take-off", points.takeoffs),
        "landing": rows("landing", points.landings),
    }
