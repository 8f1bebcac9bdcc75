"""The report's figures, each drawn from the evaluation as it stands."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from wringout.charts.airplane import airplane_drawing
from wringout.charts.climb import climb_altitude_figure, climb_speed_figure
from wringout.charts.field import FieldQuantity, field_figure
from wringout.charts.figure import Spec, untitled
from wringout.charts.flight import flight_figure
from wringout.charts.learning import learning_figure, residual_figure
from wringout.charts.lines import named
from wringout.charts.loading import loading_figure
from wringout.charts.payload import payload_range_figure
from wringout.charts.power import speed_power_figure
from wringout.charts.rendering import svg, titled
from wringout.charts.speeds import position_error_figure, stall_figure
from wringout.charts.theme import PRINT, Look
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


@dataclass(frozen=True, slots=True)
class Drawn:
    """A figure: its title as a sentence, its words for those who cannot see it, its drawing without title."""

    name: str
    title: str
    alt: str
    svg: str
    spec: Spec | None = None

    @property
    def titled(self) -> str:
        """The drawing to stand by itself, its title inside."""
        return self.svg if self.spec is None else titled(self.svg, self.spec)


def figures(evaluation: Evaluation) -> Mapping[str, bytes]:
    """Every figure of the report as SVG, by name, each with its title inside."""
    return {drawn.name: drawn.titled.encode() for drawn in drawn_figures(evaluation)}


def drawn_figures(evaluation: Evaluation) -> tuple[Drawn, ...]:
    """Every figure for which the evaluation has something to show, in the order of the report."""
    return (
        *_airplane(evaluation),
        *_loadings(evaluation),
        *_flights(evaluation),
        *_performance(evaluation),
        *_field(evaluation),
        *_trips(evaluation),
        *_learnt(evaluation),
    )


def _figure(name: str, spec: Spec) -> Drawn:
    return Drawn(name, " ".join(spec["title"]["text"]), spec["description"], svg(untitled(spec)), spec)


def _airplane(evaluation: Evaluation) -> Iterator[Drawn]:
    airplane, units = evaluation.dossier.airplane, evaluation.dossier.units
    configuration = airplane.configurations[0].name
    empty = evaluation.empty.get(configuration)
    arm = None if empty is None else empty.arm.value
    geometry = airplane.geometry
    if geometry.length is None or geometry.mean_chord is None or geometry.mean_chord_leading_edge is None:
        return
    drawing = airplane_drawing(airplane, configuration, units, empty_arm=arm, look=WIDE)
    alt = drawing.split('aria-label="', 1)[1].split('"', 1)[0]
    yield Drawn("airplane", f"{airplane_words(airplane)}, to scale", alt, drawing)


def _loadings(evaluation: Evaluation) -> Iterator[Drawn]:
    units = evaluation.dossier.units
    for card, report in evaluation.loadings.items():
        title = f"{_title_of(evaluation, card)}: {_lower(report.sentence(units.mass, units.arm))}"
        yield _figure(f"loading-{_slug(card)}", loading_figure(report, units, title=title, look=PRINT))


def _flights(evaluation: Evaluation) -> Iterator[Drawn]:
    units = evaluation.dossier.units
    for flight in evaluation.flights:
        minutes = (float(flight.track.time[-1]) - float(flight.track.time[0])) / 60.0
        found = counted_kinds(flight.manoeuvres)
        name = _slug(flight.card.name)
        title = f"{flight.card.title}: {found} in {minutes:.0f} minutes"
        common: dict[str, Any] = {"units": units}
        yield _figure(
            f"flight-{name}",
            flight_figure(
                flight.recording, flight.track, flight.manoeuvres, title=title, look=WIDE, **common
            ),
        )
        yield _figure(
            f"track-{name}",
            track_figure(
                flight.track, flight.manoeuvres, title=f"{flight.card.title}: the track", look=PRINT, **common
            ),
        )


def _performance(evaluation: Evaluation) -> Iterator[Drawn]:
    dossier, made, curves = evaluation.dossier, evaluation.points, evaluation.curves
    residuals, units = evaluation.fit.residuals, dossier.units
    if made.position_error:
        yield _figure("position-error", position_error_figure(made.position_error, units, look=PRINT))
    if made.stalls:
        yield _figure("stall", stall_figure(curves, made.stalls, dossier.claims, units, look=PRINT))
    if named(curves, "cruise speed against power"):
        rated = dossier.airplane.engine.rated_power
        spec = speed_power_figure(
            curves, made.levels, residuals, claims=dossier.claims, rated_power=rated, units=units, look=PRINT
        )
        yield _figure("speed-power", spec)
    if named(curves, "rate of climb against speed"):
        yield _figure("climb-speed", climb_speed_figure(curves, made.climbs, residuals, units, look=PRINT))
    if named(curves, "rate of climb against altitude"):
        spec = climb_altitude_figure(curves, made.climbs, residuals, dossier.claims, units, look=PRINT)
        yield _figure("climb-altitude", spec)


def _field(evaluation: Evaluation) -> Iterator[Drawn]:
    dossier, made = evaluation.dossier, evaluation.points
    for quantity in FIELD:
        points = made.takeoffs if quantity.startswith("take-off") else made.landings
        if named(evaluation.curves, f"{quantity} against elevation"):
            look: Look = HALF
            yield _figure(
                _slug(quantity),
                field_figure(
                    quantity,
                    evaluation.curves,
                    points,
                    evaluation.fit.residuals,
                    claims=dossier.claims,
                    units=dossier.units,
                    look=look,
                ),
            )


def _trips(evaluation: Evaluation) -> Iterator[Drawn]:
    results = tuple(evaluation.payload_range.values())
    if results:
        yield _figure("payload-range", payload_range_figure(results, evaluation.dossier.units, look=PRINT))


def _learnt(evaluation: Evaluation) -> Iterator[Drawn]:
    if evaluation.fit.parameters:
        yield _figure("learning", learning_figure(evaluation.fit.parameters, look=WIDE))
    if evaluation.fit.residuals:
        yield _figure("points-against-fit", residual_figure(evaluation.fit.residuals, look=WIDE))


def _title_of(evaluation: Evaluation, card: str) -> str:
    return next((item.title for item in evaluation.dossier.cards if item.name == card), card)


def _lower(sentence: str) -> str:
    return (sentence[:1].lower() + sentence[1:]).rstrip(".")


def _slug(name: str) -> str:
    """A name that any file system takes."""
    kept = "".join(letter if letter.isalnum() else "-" for letter in name.lower())
    return "-".join(part for part in kept.split("-") if part) or "figure"
