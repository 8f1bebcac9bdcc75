"""The report's figures, each drawn from the evaluation as it stands."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from html import unescape
from typing import TYPE_CHECKING, TypeVar

from wringout.charts.airplane import airplane_drawing
from wringout.charts.climb import climb_altitude_figure, climb_speed_figure
from wringout.charts.field import FieldQuantity, field_figure
from wringout.charts.figure import Spec, untitled
from wringout.charts.flight import flight_figure
from wringout.charts.learning import learning_figure, residual_figure
from wringout.charts.lines import Line, named
from wringout.charts.loading import loading_figure
from wringout.charts.payload import payload_range_figure
from wringout.charts.power import speed_power_figure
from wringout.charts.rendering import svg, titled
from wringout.charts.speeds import position_error_figure, stall_figure
from wringout.charts.theme import PRINT
from wringout.charts.track import track_figure
from wringout.report.words import airplane_words, counted_kinds

if TYPE_CHECKING:
    from wringout.evaluation.evaluation import Evaluation

WIDE = replace(PRINT, width=487)
HALF = replace(PRINT, width=238)
FIELD: tuple[FieldQuantity, ...] = (
    "take-off ground roll",
    "take-off distance",
    "landing ground roll",
    "landing distance",
)


AT_ONCE = 4  # series in one figure


@dataclass(frozen=True, slots=True)
class Drawn:
    """A figure: its title as a sentence, its words for those who cannot see it, its drawing without title.

    `key` is what the report calls it, `name` that of its file. Where it could not be drawn, `reason` says
    why and the rest is empty.
    """

    key: str
    name: str
    title: str = ""
    alt: str = ""
    svg: str = ""
    spec: Spec | None = None
    reason: str = ""

    @property
    def titled(self) -> str:
        """The drawing to stand by itself, its title inside."""
        return self.svg if self.spec is None else titled(self.svg, self.spec)


def figures(evaluation: Evaluation) -> Mapping[str, bytes]:
    """Every figure of the report as SVG, by name, each with its title inside."""
    return {item.name: item.titled.encode() for item in drawn_figures(evaluation) if item.svg}


def drawn_figures(evaluation: Evaluation) -> tuple[Drawn, ...]:
    """Every figure for which the evaluation has something to show, in the order of the report."""
    makers = (_airplane, _loadings, _flights, _performance, _field, _trips, _learnt)
    drawn: list[Drawn] = []
    for make in makers:
        for key, draw in make(evaluation):
            name = _file_name(key, {item.name for item in drawn})
            drawn.append(_drawn(key, name, draw))
    return tuple(drawn)


Making = Iterator[tuple[str, Callable[[], Spec | Drawn]]]


def _drawn(key: str, name: str, draw: Callable[[], Spec | Drawn]) -> Drawn:
    try:
        made = draw()
    except ValueError as error:  # nothing finite to show, say: the report goes on, and tells what is missing
        return Drawn(key, name, reason=str(error))
    if isinstance(made, Drawn):
        return replace(made, name=name)
    return Drawn(key, name, " ".join(made["title"]["text"]), made["description"], svg(untitled(made)), made)


def _airplane(evaluation: Evaluation) -> Making:
    airplane, units = evaluation.dossier.airplane, evaluation.dossier.units
    configuration = airplane.configurations[0].name
    empty = evaluation.empty.get(configuration)
    arm = None if empty is None else empty.arm.value

    def draw() -> Drawn:
        drawing = airplane_drawing(airplane, configuration, units, empty_arm=arm, look=WIDE)
        alt = unescape(drawing.split('aria-label="', 1)[1].split('"', 1)[0])
        return Drawn("airplane", "", f"{airplane_words(airplane)}, to scale", alt, drawing)

    yield "airplane", draw


def _loadings(evaluation: Evaluation) -> Making:
    units = evaluation.dossier.units
    for card, report in evaluation.loadings.items():
        title = f"{_title_of(evaluation, card)}: {_lower(report.sentence(units.mass, units.arm))}"
        yield f"loading {card}", partial(loading_figure, report, units, title=title, look=PRINT)


def _flights(evaluation: Evaluation) -> Making:
    units = evaluation.dossier.units
    for flight in evaluation.flights:
        card, track, found = flight.card, flight.track, flight.manoeuvres
        minutes = (float(track.time[-1]) - float(track.time[0])) / 60.0
        title = f"{card.title}: {counted_kinds(found)} in {minutes:.0f}\u00a0minutes"
        yield (
            f"flight {card.name}",
            partial(flight_figure, flight.recording, track, found, units, title=title, look=WIDE),
        )
        yield (
            f"track {card.name}",
            partial(track_figure, track, found, units, title=f"{card.title}: the track", look=PRINT),
        )


def _performance(evaluation: Evaluation) -> Making:
    dossier, made = evaluation.dossier, evaluation.points
    residuals, units, claims = evaluation.fit.residuals, dossier.units, dossier.claims
    for mark, errors in _few(made.position_error):
        yield f"position error{mark}", partial(position_error_figure, errors, units, look=PRINT)
    for mark, flaps in _few(tuple(dict.fromkeys(point.conditions.flap for point in made.stalls))):
        stalls = [point for point in made.stalls if point.conditions.flap in flaps]
        yield f"stall{mark}", partial(stall_figure, evaluation.curves, stalls, claims, units, look=PRINT)
    for mark, curves in _few_configurations(evaluation, "cruise speed against power"):
        draw = partial(speed_power_figure, claims=claims, rated_power=dossier.airplane.engine.rated_power)
        yield f"speed and power{mark}", partial(draw, curves, made.levels, residuals, units=units, look=PRINT)
    for mark, curves in _few_configurations(evaluation, "rate of climb against speed"):
        yield (
            f"climb and speed{mark}",
            partial(climb_speed_figure, curves, made.climbs, residuals, units, look=PRINT),
        )
    for mark, curves in _few_configurations(evaluation, "rate of climb against altitude"):
        yield (
            f"climb and altitude{mark}",
            partial(climb_altitude_figure, curves, made.climbs, residuals, claims, units, look=PRINT),
        )


def _field(evaluation: Evaluation) -> Making:
    dossier, made = evaluation.dossier, evaluation.points
    for quantity in FIELD:
        points = made.takeoffs if quantity.startswith("take-off") else made.landings
        draw = partial(field_figure, claims=dossier.claims, units=dossier.units, look=HALF)
        for mark, curves in _few_configurations(evaluation, f"{quantity} against elevation"):
            yield f"{quantity}{mark}", partial(draw, quantity, curves, points, evaluation.fit.residuals)


def _trips(evaluation: Evaluation) -> Making:
    for mark, results in _few(tuple(evaluation.payload_range.values())):
        yield (
            f"payload and range{mark}",
            partial(payload_range_figure, results, evaluation.dossier.units, look=PRINT),
        )


def _learnt(evaluation: Evaluation) -> Making:
    if evaluation.fit.parameters:
        yield "learning", partial(learning_figure, evaluation.fit.parameters, look=WIDE)
    if evaluation.fit.residuals:
        yield "points against fit", partial(residual_figure, evaluation.fit.residuals, look=WIDE)


T = TypeVar("T")


def _few(items: Sequence[T]) -> Iterator[tuple[str, Sequence[T]]]:
    """At most four at once: what does not fit in one figure goes to a further one, marked with its number."""
    for number, start in enumerate(range(0, len(items), AT_ONCE), start=1):
        yield "" if number == 1 else f" {number}", items[start : start + AT_ONCE]


def _few_configurations(evaluation: Evaluation, name: str) -> Iterator[tuple[str, Sequence[Line]]]:
    return _few(named(evaluation.curves, name))


def _title_of(evaluation: Evaluation, card: str) -> str:
    return next((item.title for item in evaluation.dossier.cards if item.name == card), card)


def _lower(sentence: str) -> str:
    return (sentence[:1].lower() + sentence[1:]).rstrip(".")


def _file_name(key: str, taken: set[str]) -> str:
    """A name that any file system takes, and that no other figure has."""
    kept = "".join(letter if letter.isalnum() else "-" for letter in key.lower())
    plain = "-".join(part for part in kept.split("-") if part) or "figure"
    name, number = plain, 1
    while name in taken:
        number += 1
        name = f"{plain}-{number}"
    return name
