"""The report's figures, each drawn from the evaluation as it stands."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from html import unescape
from typing import TYPE_CHECKING, Any

from wringout.charts.airplane import airplane_drawing
from wringout.charts.exchange import exchange_figure
from wringout.charts.figure import Spec, untitled
from wringout.charts.flight import flight_figure
from wringout.charts.learning import learning_figure, residual_figure
from wringout.charts.loading import loading_figure
from wringout.charts.payload import payload_range_figure
from wringout.charts.rendering import svg, titled
from wringout.charts.strips import heats_drawing
from wringout.charts.theme import PRINT, Look
from wringout.charts.track import track_figure
from wringout.charts.trip import trip_drawing, trip_title
from wringout.evaluation.cost_figures import break_even_of, tornado_of, tradeoff_of
from wringout.evaluation.handling import handling_record
from wringout.evaluation.strips import strips_of
from wringout.report.handling import handling_figures
from wringout.report.options import change_sentence, described_exchanges
from wringout.report.people import trip_key
from wringout.report.point_figures import few, point_figures
from wringout.report.systems import system_drawings
from wringout.report.words import airplane_words, counted_kinds

if TYPE_CHECKING:
    from wringout.dossier.dossier import Units
    from wringout.evaluation.evaluation import Evaluation
    from wringout.missions import MissionAnswer

WIDE = replace(PRINT, width=487)
HALF = replace(PRINT, width=238)


@dataclass(frozen=True, slots=True)
class Looks:
    """The looks of one medium: across the page, across the text, and of figures that stand in pairs."""

    wide: Look
    column: Look
    half: Look


PRINTED = Looks(WIDE, PRINT, HALF)


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
    def shows(self) -> bool:
        """Whether there is something to show."""
        return bool(self.svg) or self.spec is not None

    @property
    def titled(self) -> str:
        """The drawing to stand by itself, its title inside."""
        return self.svg if self.spec is None else titled(self.svg, self.spec)


def figures(evaluation: Evaluation) -> Mapping[str, bytes]:
    """Every figure of the report as SVG, by name, each with its title inside."""
    return {item.name: item.titled.encode() for item in drawn_figures(evaluation) if item.svg}


def drawn_figures(evaluation: Evaluation) -> tuple[Drawn, ...]:
    """Every figure for which the evaluation has something to show, in the order of the report."""
    return tuple(_drawn(key, name, draw, svg) for key, name, draw in _every(evaluation, PRINTED))


def live_figures(evaluation: Evaluation, looks: Looks) -> tuple[Drawn, ...]:
    """The same figures in other looks as specifications alone: whoever shows them draws them."""
    return tuple(_drawn(key, name, draw, _undrawn) for key, name, draw in _every(evaluation, looks))


Making = Iterator[tuple[str, Callable[[], Spec | Drawn]]]


def _every(evaluation: Evaluation, looks: Looks) -> Iterator[tuple[str, str, Callable[[], Spec | Drawn]]]:
    """Key, name of the file and drawing of each figure."""
    taken: set[str] = set()
    described = (_airplane, _loadings, _exchanges, _handling)
    for make in (*described, _flights, _points, _trips, _strips, _systems, _costs, _compared, _learnt):
        for key, draw in make(evaluation, looks):
            name = _file_name(key, taken)
            taken.add(name)
            yield key, name, draw


def _undrawn(_: Mapping[str, Any]) -> str:
    return ""


def _drawn(
    key: str, name: str, draw: Callable[[], Spec | Drawn], svg: Callable[[Mapping[str, Any]], str]
) -> Drawn:
    try:
        made = draw()
    except ValueError as error:  # nothing finite to show, say: the report goes on, and tells what is missing
        return Drawn(key, name, reason=str(error))
    if isinstance(made, Drawn):
        return replace(made, name=name)
    return Drawn(key, name, " ".join(made["title"]["text"]), made["description"], svg(untitled(made)), made)


def _airplane(evaluation: Evaluation, looks: Looks) -> Making:
    airplane, units = evaluation.dossier.airplane, evaluation.dossier.units
    configuration = airplane.configurations[0].name
    empty = evaluation.empty.get(configuration)
    arm = None if empty is None else empty.arm.value

    def draw() -> Drawn:
        drawing = airplane_drawing(airplane, configuration, units, empty_arm=arm, look=looks.wide)
        alt = unescape(drawing.split('aria-label="', 1)[1].split('"', 1)[0])
        return Drawn("airplane", "", f"{airplane_words(airplane)}, to scale", alt, drawing)

    yield "airplane", draw


def _loadings(evaluation: Evaluation, looks: Looks) -> Making:
    units = evaluation.dossier.units
    for card, report in evaluation.loadings.items():
        title = f"{_title_of(evaluation, card)}: {_lower(report.sentence(units.mass, units.arm))}"
        yield f"loading {card}", partial(loading_figure, report, units, title=title, look=looks.column)


def _exchanges(evaluation: Evaluation, looks: Looks) -> Making:
    units = evaluation.dossier.units
    for found in described_exchanges(evaluation):
        yield (
            f"exchange for {found.after.configuration}",
            partial(
                exchange_figure,
                found,
                units,
                title=change_sentence(found, units).rstrip("."),
                look=looks.column,
            ),
        )


def _handling(evaluation: Evaluation, looks: Looks) -> Making:
    record = handling_record(evaluation.dossier.cards)
    yield from handling_figures(record, evaluation.dossier.units, looks.column)


def _flights(evaluation: Evaluation, looks: Looks) -> Making:
    units = evaluation.dossier.units
    for flight in evaluation.flights:
        card, track, found = flight.card, flight.track, flight.manoeuvres
        minutes = (float(track.time[-1]) - float(track.time[0])) / 60.0
        title = f"{card.title}: {counted_kinds(found)} in {minutes:.0f}\u00a0minutes"
        yield (
            f"flight {card.name}",
            partial(flight_figure, flight.recording, track, found, units, title=title, look=looks.wide),
        )
        yield (
            f"track {card.name}",
            partial(track_figure, track, found, units, title=f"{card.title}: the track", look=looks.column),
        )


def _points(evaluation: Evaluation, looks: Looks) -> Making:
    yield from point_figures(
        evaluation.dossier,
        evaluation.points,
        evaluation.fit,
        evaluation.curves,
        look=looks.column,
        half=looks.half,
    )


def _trips(evaluation: Evaluation, looks: Looks) -> Making:
    for mark, results in few(tuple(evaluation.payload_range.values())):
        yield (
            f"payload and range{mark}",
            partial(payload_range_figure, results, evaluation.dossier.units, look=looks.column),
        )
    for found in evaluation.missions:
        yield trip_key(found), partial(_trip, found, evaluation.dossier.units, looks.wide)


def _trip(found: MissionAnswer, units: Units, look: Look) -> Drawn:
    drawing = trip_drawing(found, units, look=look)
    alt = unescape(drawing.split('aria-label="', 1)[1].split('"', 1)[0])
    return Drawn(trip_key(found), "", trip_title(found, units), alt, drawing)


def _costs(evaluation: Evaluation, looks: Looks) -> Making:
    costing = evaluation.costing
    if costing is not None:
        yield "cost", partial(tornado_of, costing.configurations[0], look=looks.column)
        yield "break-even", partial(break_even_of, costing, evaluation.dossier.units, look=looks.column)


def _compared(evaluation: Evaluation, looks: Looks) -> Making:
    for key, found in (("trade-off", evaluation.comparison), ("trade-off beside others", evaluation.beside)):
        if found is not None:
            yield key, partial(tradeoff_of, found, evaluation.dossier.units, look=looks.column)


def _systems(evaluation: Evaluation, looks: Looks) -> Making:
    for key, title, alt, drawing in system_drawings(evaluation, looks.wide, looks.column):
        yield key, partial(Drawn, key, "", title, alt, drawing)


def _strips(evaluation: Evaluation, looks: Looks) -> Making:
    answer = strips_of(evaluation)
    judged = [found.answer for found in answer.found if found.answer is not None] if answer else []
    if not judged:
        return

    def draw() -> Drawn:
        drawing = heats_drawing(judged, look=looks.wide)
        alt = unescape(drawing.split('aria-label="', 1)[1].split('"', 1)[0])
        title = "Usable hours of each strip's year, January to December downwards, the day's hours across"
        return Drawn("strips", "", title, alt, drawing)

    yield "strips", draw


def _learnt(evaluation: Evaluation, looks: Looks) -> Making:
    if evaluation.fit.parameters:
        yield "learning", partial(learning_figure, evaluation.fit.parameters, look=looks.wide)
    if evaluation.fit.residuals:
        yield "points against fit", partial(residual_figure, evaluation.fit.residuals, look=looks.wide)


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
