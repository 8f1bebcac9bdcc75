"""The figures of the test points: each kind with its fitted line, for any medium."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import TypeVar

from wringout.charts.climb import climb_altitude_figure, climb_speed_figure
from wringout.charts.field import FieldQuantity, field_figure
from wringout.charts.figure import Spec
from wringout.charts.glide import glide_figure
from wringout.charts.lines import Line, named
from wringout.charts.power import speed_power_figure
from wringout.charts.speeds import position_error_figure, stall_figure
from wringout.charts.theme import Look
from wringout.charts.touchdowns import touchdown_figure
from wringout.dossier.dossier import Dossier
from wringout.model.fit import Fit
from wringout.model.touchdowns import touchdown_spreads
from wringout.reduction.points import Points

FIELD: tuple[FieldQuantity, ...] = (
    "take-off ground roll",
    "take-off distance",
    "landing ground roll",
    "landing distance",
)
AT_ONCE = 4  # series in one figure

Making = Iterator[tuple[str, Callable[[], Spec]]]
T = TypeVar("T")


def point_figures(
    dossier: Dossier, points: Points, fit: Fit, lines: Sequence[Line], *, look: Look, half: Look
) -> Making:
    """Every figure of the points by its key, with what draws it; what it draws may raise ValueError.

    Parameters
    ----------
    dossier : Dossier
    points : Points
    fit : Fit
    lines : sequence of Line
        The fitted lines.
    look : Look
        Of figures across the text.
    half : Look
        Of the figures of the field, which stand in pairs.
    """
    residuals, units, claims = fit.residuals, dossier.units, dossier.claims
    for mark, errors in few(points.position_error):
        yield f"position error{mark}", partial(position_error_figure, errors, units, look=look)
    for mark, flaps in few(tuple(dict.fromkeys(point.conditions.flap for point in points.stalls))):
        stalls = [point for point in points.stalls if point.conditions.flap in flaps]
        yield f"stall{mark}", partial(stall_figure, lines, stalls, claims, units, look=look)
    for mark, some in few(named(lines, "cruise speed against power")):
        draw = partial(speed_power_figure, claims=claims, rated_power=dossier.airplane.engine.rated_power)
        yield f"speed and power{mark}", partial(draw, some, points.levels, residuals, units=units, look=look)
    for mark, some in few(named(lines, "rate of climb against speed")):
        yield (
            f"climb and speed{mark}",
            partial(climb_speed_figure, some, points.climbs, residuals, units, look=look),
        )
    for mark, some in few(named(lines, "rate of climb against altitude")):
        yield (
            f"climb and altitude{mark}",
            partial(climb_altitude_figure, some, points.climbs, residuals, claims, units, look=look),
        )
    for mark, some in few(named(lines, "glide ratio against speed")):
        yield (
            f"glide{mark}",
            partial(glide_figure, some, points.climbs, residuals, claims=claims, units=units, look=look),
        )
    for quantity in FIELD:
        flown = points.takeoffs if quantity.startswith("take-off") else points.landings
        on_field = partial(field_figure, claims=claims, units=units, look=half)
        for mark, some in few(named(lines, f"{quantity} against elevation")):
            yield f"{quantity}{mark}", partial(on_field, quantity, some, flown, residuals)
    spreads = touchdown_spreads(points)
    about_lines = [one for one in spreads if one.offset is not None]
    about_means = [one for one in spreads if one.offset is None]
    for number, places in enumerate((part for part in (about_lines, about_means) if part), start=1):
        key = "touchdowns" if number == 1 else f"touchdowns {number}"
        yield key, partial(touchdown_figure, places, units, look=look)


def few(items: Sequence[T]) -> Iterator[tuple[str, Sequence[T]]]:
    """At most four at once: what does not fit in one figure goes to a further one, marked with its number."""
    for number, start in enumerate(range(0, len(items), AT_ONCE), start=1):
        yield "" if number == 1 else f" {number}", items[start : start + AT_ONCE]
