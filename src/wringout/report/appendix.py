"""What the flights taught, and the appendix: every point, what was left out, recordings, files, software."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.quantity.showing import arm_digits
from wringout.report.blocks import (
    Block,
    Cell,
    Column,
    clock,
    estimates,
    fail,
    heading,
    lead,
    number,
    table,
    text,
)
from wringout.report.flights import manoeuvre_table
from wringout.report.hand import hand_blocks
from wringout.report.words import listed

if TYPE_CHECKING:
    from wringout.dossier.dossier import Units
    from wringout.evaluation.evaluation import Evaluation
    from wringout.model.fit import Fit, Residual
    from wringout.reduction.points import ClimbPoint, LevelPoint, Point, StallPoint

CAUTIONS = (
    (
        "The approved flight manual and the weight-and-balance record govern. This report is for evaluation, "
        "not for dispatch."
    ),
    (
        "Test flying (stalls, short-field work at the limit, aft centre of gravity) needs a qualified pilot, "
        "an airworthy airplane, the insurer's and the authority's consent, and a build-up; local regulations "
        "and licensed practice come first."
    ),
    "A conversion of gear needs a licensed mechanic and an updated record.",
)


def learnt_blocks(evaluation: Evaluation, figures: dict[str, Block]) -> list[Block]:
    """Prior → posterior, and every figure against the fit."""
    fit = evaluation.fit
    blocks: list[Block] = []
    if "learning" in figures:
        blocks.append(figures["learning"])
    if fit.parameters:
        blocks.append(learnt_table(fit))
    if "points against fit" in figures:
        blocks.append(figures["points against fit"])
    blocks += [text(message) for message in fit.messages]
    return blocks


def learnt_table(fit: Fit) -> Block:
    """Each parameter with its prior, where that is from, its posterior, and how much the flights taught."""
    rows: list[list[Cell]] = []
    for result in fit.parameters:
        prior = result.parameter
        unit = {Dimension.AREA: "m²", Dimension.ANGLE: "°"}.get(prior.dimension, "")
        pair = estimates(
            [Estimate(prior.mean, prior.sd, prior.dimension, ""), result.posterior],
            unit,
            digits=3 if not unit else 2,
        )
        rows.append(
            [prior.name, prior.meaning, unit, *pair, f"{100 * max(result.taught, 0.0):.0f}", prior.source]
        )
    columns = (
        Column("parameter", stretch=2),
        Column("meaning", stretch=3),
        Column("unit"),
        Column("prior", kind="estimate"),
        Column("posterior", kind="estimate"),
        Column("taught", "%", "number"),
        Column("prior from", stretch=3),
    )
    return table(
        columns,
        rows,
        "± one standard uncertainty; taught: how much of the prior's uncertainty is gone",
    )


def appendix_blocks(evaluation: Evaluation, missing: Sequence[tuple[str, str]] = ()) -> list[Block]:
    """Every reduced point; what was left out and why; health of the recordings; files; software; cautions.

    `missing` are figures that could not be drawn, with the reason.
    """
    units = evaluation.dossier.units
    made = evaluation.points
    blocks: list[Block] = [
        lead("Every figure's origin: what was measured, what was left out, and from which files.")
    ]
    blocks += _stalls(made.stalls, units) + _levels(made.levels, units) + _climbs(made.climbs, units)
    blocks += _winds(evaluation, units)
    blocks += [
        manoeuvre_table(f"Manoeuvres found: {flight.card.title}", flight.manoeuvres, units)
        for flight in evaluation.flights
    ]
    blocks += _noted(evaluation) + hand_blocks(evaluation) + _left_out(evaluation)
    if missing:
        columns = (Column("figure"), Column("why it is not drawn", stretch=1))
        blocks.append(table(columns, [list(row) for row in missing], title="Figures not drawn", dense=True))
    blocks += _health(evaluation)
    blocks += _files(evaluation)
    blocks.append(heading("Cautions"))
    blocks += [{"type": "caution", "text": words} for words in CAUTIONS]
    return blocks


def _origin(point: StallPoint | LevelPoint | ClimbPoint) -> list[Cell]:
    origin = point.origin
    return [f"{origin.card}, {origin.point}", f"{clock(origin.start)}–{clock(origin.end)}"]


_ORIGIN = (Column("card, point"), Column("span", "min:s", "number"))


def _stalls(points: tuple[StallPoint, ...], units: Units) -> list[Block]:
    if not points:
        return []
    rows = [
        [
            *_origin(point),
            point.conditions.flap,
            mass,
            number(point.conditions.cg, units.arm, arm_digits(units.arm)),
            speed,
            rate,
            warning,
        ]
        for point, mass, speed, rate, warning in zip(
            points,
            estimates([point.conditions.mass for point in points], units.mass, 0),
            estimates([point.stall_speed for point in points], units.speed),
            estimates([point.entry_rate for point in points], "kt/s"),
            estimates([point.warning_speed for point in points], units.speed),
            strict=True,
        )
    ]
    columns = (
        *_ORIGIN,
        Column("flaps"),
        Column("mass", units.mass, "estimate"),
        Column("CG", units.arm, "number"),
        Column("stall speed, calibrated", units.speed, "estimate"),
        Column("entry rate", "kt/s", "estimate"),
        Column("warning", units.speed, "estimate"),
    )
    return [table(columns, rows, title="Stalls, reduced to 1 kt/s")]


def _levels(points: tuple[LevelPoint, ...], units: Units) -> list[Block]:
    if not points:
        return []
    rows = [
        [*_origin(point), point.conditions.configuration, mass, density, true, calibrated, power, flow]
        for point, mass, density, true, calibrated, power, flow in zip(
            points,
            estimates([point.conditions.mass for point in points], units.mass, 0),
            estimates([point.conditions.density for point in points], "kg/m³", 3),
            estimates([point.true_airspeed for point in points], units.speed),
            estimates([point.calibrated_airspeed for point in points], units.speed),
            estimates([point.power for point in points], units.power),
            estimates([point.fuel_flow for point in points], units.fuel_flow),
            strict=True,
        )
    ]
    columns = (
        *_ORIGIN,
        Column("configuration"),
        Column("mass", units.mass, "estimate"),
        Column("density", "kg/m³", "estimate"),
        Column("true airspeed", units.speed, "estimate"),
        Column("calibrated", units.speed, "estimate"),
        Column("power", units.power, "estimate"),
        Column("fuel flow", units.fuel_flow, "estimate"),
    )
    return [table(columns, rows, title="Level flight")]


def _climbs(points: tuple[ClimbPoint, ...], units: Units) -> list[Block]:
    if not points:
        return []
    rows = [
        [*_origin(point), point.conditions.configuration, point.power, mass, density, speed, rate]
        for point, mass, density, speed, rate in zip(
            points,
            estimates([point.conditions.mass for point in points], units.mass, 0),
            estimates([point.conditions.density for point in points], "kg/m³", 3),
            estimates([point.true_airspeed for point in points], units.speed),
            estimates([point.rate_of_climb for point in points], units.vertical_speed),
            strict=True,
        )
    ]
    columns = (
        *_ORIGIN,
        Column("configuration"),
        Column("power"),
        Column("mass", units.mass, "estimate"),
        Column("density", "kg/m³", "estimate"),
        Column("true airspeed", units.speed, "estimate"),
        Column("rate of climb", units.vertical_speed, "estimate"),
    )
    return [table(columns, rows, title="Climbs and glides")]


def _winds(evaluation: Evaluation, units: Units) -> list[Block]:
    winds = evaluation.points.winds
    if not winds:
        return []
    rows = [
        [name, direction, speed]
        for (name, _, _), direction, speed in zip(
            winds,
            estimates([item[1] for item in winds], "°", 0),
            estimates([item[2] for item in winds], units.speed),
            strict=True,
        )
    ]
    columns = (
        Column("card, point", stretch=1),
        Column("wind from, true", "°", "estimate"),
        Column("speed", units.speed, "estimate"),
    )
    return [table(columns, rows, title="Winds found from the GPS legs", wide=False)]


def _noted(evaluation: Evaluation) -> list[Block]:
    """What a reader must know of single points: how they came to their manoeuvre, what its record lacks."""
    made = evaluation.points
    every: tuple[Point, ...] = (
        *made.stalls,
        *made.levels,
        *made.climbs,
        *made.takeoffs,
        *made.landings,
    )
    rows: list[list[Cell]] = [
        list(row)
        for row in dict.fromkeys(
            (f"{point.origin.card}, {point.origin.point}", note)
            for point in every
            for note in point.origin.notes
        )
    ]
    if not rows:
        return []
    columns = (Column("card, point"), Column("what to know of it", stretch=1))
    return [table(columns, rows, title="Notes on single points")]


def _left_out(evaluation: Evaluation) -> list[Block]:
    rows: list[list[Cell]] = [
        [f"{item.card}, {item.point}" if item.point else item.card, item.reason]
        for item in evaluation.points.left_out
    ]
    rows += [
        [f"{residual.origin.card}, {residual.origin.point}", fail(outlier_words(residual))]
        for residual in evaluation.fit.residuals
        if residual.outlier
    ]
    if not rows:
        return [text("Nothing that was planned or found was left out.")]
    return [table((Column("card, point"), Column("why", stretch=1)), rows, title="Left out, or out of line")]


def outlier_words(residual: Residual) -> str:
    """Why a figure is called an outlier, and what became of it."""
    size = f"{residual.standardised:+.1f}".replace("-", "−")
    return f"{residual.what} is an outlier: {size} standard deviations from the fit; kept, with little weight"


_HEALTH = (
    ("samples", ""),
    ("rate", "Hz"),
    ("gaps", ""),
    ("longest", "s"),
    ("jumps", ""),
    ("frozen", ""),
    ("repeated", ""),
    ("unreadable", ""),
)


def _health(evaluation: Evaluation) -> list[Block]:
    rows: list[list[Cell]] = []
    for card, channels in evaluation.health.items():
        alike: dict[tuple[str, ...], list[str]] = {}
        for row in channels:
            counts = (row.gaps, round(row.longest_gap), row.jumps, row.frozen, row.repeated, row.unreadable)
            figures = (f"{row.samples}", f"{row.rate:.2g}", *(f"{count}" for count in counts))
            alike.setdefault(figures, []).append(row.channel.replace("_", " "))
        rows += [[card, listed(names), *figures] for figures, names in alike.items()]
    blocks: list[Block] = []
    if rows:
        columns = (
            Column("recording"),
            Column("channel", stretch=1),
            *(Column(title, unit, "number") for title, unit in _HEALTH),
        )
        blocks.append(table(columns, rows, title="Health of the recordings"))
    known: list[list[Cell]] = [
        [flight.card.name, note] for flight in evaluation.flights for note in flight.recording.notes
    ]
    if known:
        columns = (Column("recording"), Column("clocks, heights and tracks", stretch=1))
        blocks.append(table(columns, known, title="What the recordings count from"))
    excluded: list[list[Cell]] = [
        [
            flight.card.name,
            f"{clock(item.start)}–{clock(item.end)}",
            (item.channel or "whole samples").replace("_", " "),
            f"{item.samples}",
            item.reason,
        ]
        for flight in evaluation.flights
        for item in flight.recording.exclusions
    ]
    if excluded:
        columns = (
            Column("recording"),
            Column("span", "min:s", "number"),
            Column("channel"),
            Column("samples", kind="number"),
            Column("why they were left out", stretch=1),
        )
        blocks.append(table(columns, excluded, title="Samples left out"))
    return blocks


def _files(evaluation: Evaluation) -> list[Block]:
    rows: list[list[Cell]] = [[path, digest] for path, digest in evaluation.dossier.files]
    blocks: list[Block] = [heading("Files and software")]
    if rows:
        blocks.append(table((Column("file"), Column("SHA-256", stretch=1)), rows))
    blocks.append(text(f"Computed by wringout {evaluation.software}."))
    return blocks
