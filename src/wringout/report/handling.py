"""The report on handling: ratings as given, forces as read, stalls and impressions in the pilots' words."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from math import degrees
from typing import TYPE_CHECKING

from wringout.charts.figure import Spec
from wringout.charts.handling import ForceRow, RatingRow, forces_figure, ratings_figure
from wringout.charts.theme import Look
from wringout.dossier.handling import Impression, StallNote
from wringout.dossier.rating_scale import DESCRIPTIONS, QUESTIONS, path_to
from wringout.evaluation.handling import (
    CAUTION,
    ForceSeries,
    HandlingRecord,
    RatedTask,
    ReadTrim,
    Told,
    handling_record,
)
from wringout.quantity.showing import show
from wringout.quantity.units import to_si
from wringout.report.blocks import Block, Cell, Column, bare, caution, fail, lead, number, table
from wringout.report.words import capital, counted

if TYPE_CHECKING:
    from wringout.dossier.dossier import Units
    from wringout.evaluation.evaluation import Evaluation

RATINGS, FORCES = "handling ratings", "stick forces"
TABLES = ("ratings", "forces", "trim", "stalls", "impressions")
NOTHING = "No handling ratings were given, and none are made up here."


def handling_blocks(evaluation: Evaluation, figures: dict[str, Block]) -> list[Block]:
    """Sentence, figures, tables and caution; without notes the sentence that says so."""
    record = handling_record(evaluation.dossier.cards)
    if record.empty:
        return [lead(NOTHING)]
    blocks: list[Block] = [
        lead(handling_sentence(record), "the published ten-point scale [NASA-TN-D-5153]; 1 best")
    ]
    for key, name in ((RATINGS, "ratings"), (FORCES, "forces")):
        if key in figures:
            blocks.append(figures[key])
        blocks += handling_tables(record, evaluation.dossier.units, name)
    for name in ("trim", "stalls", "impressions"):
        blocks += handling_tables(record, evaluation.dossier.units, name)
    return [*blocks, caution(CAUTION)]


def handling_sentence(record: HandlingRecord) -> str:
    """How many tasks were rated from where to where, and what was said of the worst."""
    rated = [task for task in record.tasks if task.high is not None]
    noted = len(record.tasks) - len(rated)
    if not rated:
        parts = [counted(noted, "task")] if noted else []
        words = f"{parts[0]} noted without a number" if parts else "Forces and impressions were noted"
        return f"{capital(words)}; nobody gave a rating, and none is made up here."
    low, high = min(task.low or 0 for task in rated), max(task.high or 0 for task in rated)
    span = f"rated {low}" if low == high else f"rated from {low} to {high}"
    worst = rated[0]
    given = next(item for item in worst.given if item.rating == worst.high)
    quote = f": ‘{given.note}’" if given.note else ""
    rest = f" {capital(counted(noted, 'task'))} noted without a number." if noted else ""
    return (
        f"{capital(counted(len(rated), 'task'))} {span} on the ten-point scale; the worst is "
        f"‘{worst.task}’ ({worst.configuration}), rated {worst.high}{quote}.{rest}"
    )


def handling_tables(record: HandlingRecord, units: Units, name: str) -> list[Block]:
    """The table 'ratings', 'forces', 'trim', 'stalls' or 'impressions'; none where nothing was said."""
    made: dict[str, Callable[[], list[Block]]] = {
        "ratings": lambda: _ratings(record.tasks),
        "forces": lambda: _forces(record.forces, units),
        "trim": lambda: _trims(record.trims, units),
        "stalls": lambda: _stalls(record.stalls),
        "impressions": lambda: _impressions(record.impressions),
    }
    return made[name]()


def handling_figures(
    record: HandlingRecord, units: Units, look: Look
) -> Iterator[tuple[str, Callable[[], Spec]]]:
    """The figures that there is enough for, by the report's key."""
    rated = [
        RatingRow(
            task.task,
            task.configuration,
            tuple(item.rating for item in task.given if item.rating is not None),
            task.median,
        )
        for task in record.tasks
        if task.high is not None
    ]
    if rated:
        yield RATINGS, partial(ratings_figure, rated, title=ratings_title(record), look=look)
    drawn = [series for series in record.forces if series.control == "stick" and len(series.readings) >= 3]
    if drawn:
        rows = [_force_row(series, units) for series in drawn]
        yield FORCES, partial(forces_figure, rows, units, title=forces_title(drawn, units), look=look)


def ratings_title(record: HandlingRecord) -> str:
    """How many tasks are satisfactory as they are, by their worst rating."""
    rated = [task for task in record.tasks if task.high is not None]
    good = sum((task.high or 10) <= 3 for task in rated)
    return f"{good} of {len(rated)} tasks are satisfactory without improvement, by the worst rating"


def forces_title(series: list[ForceSeries], units: Units) -> str:
    """How the force goes with speed, of each series that is drawn."""
    said = "; ".join(f"flap\u00a0{item.flap} {_slope(item, units, digits=2)}" for item in series)
    return f"Stick force with speed, pull positive: {said}"


def _ratings(tasks: tuple[RatedTask, ...]) -> list[Block]:
    rows: list[list[Cell]] = []
    for task in tasks:
        for place, item in enumerate(task.given):
            middle = " or ".join(map(str, task.median)) or "–"
            span = f"{task.low}" if task.low == task.high else f"{task.low} to {task.high}"
            first = place == 0
            value = "–" if item.rating is None else str(item.rating)
            rows.append(
                [
                    f"{task.task}, {task.configuration}" if first else "",
                    (f"{middle}; {span}" if len(task.given) > 1 and task.median else "") if first else "",
                    fail(value) if item.rating is not None and item.rating >= 7 else value,
                    item.note,
                    ", ".join(part for part in (item.card, item.point, item.pilot) if part),
                ]
            )
    if not rows:
        return []
    columns = (
        Column("task", stretch=1.2),
        Column("median; range"),
        Column("rating", kind="number"),
        Column("what the pilot wrote", stretch=1.4),
        Column("card"),
    )
    return [table(columns, rows, title="Ratings")]


def _forces(every: tuple[ForceSeries, ...], units: Units) -> list[Block]:
    rows: list[list[Cell]] = []
    for series in every:
        for place, item in enumerate(series.readings):
            reading = item.reading
            first = place == 0
            trimmed = "" if series.trimmed_at is None else number(series.trimmed_at, units.speed, 0)
            rows.append(
                [
                    f"{series.control}, {series.configuration}" if first else "",
                    f"{series.flap}, {series.power}" if first else "",
                    trimmed if first else "",
                    number(reading.speed, units.speed, 0),
                    _force(item.signed.value, item.signed.sd),
                    reading.direction,
                    _slope(series, units) if first else "",
                    ", ".join(part for part in (item.card, reading.note) if part),
                ]
            )
    if not rows:
        return []
    columns = (
        Column("control"),
        Column("flap, power"),
        Column("trimmed at", units.speed, "number"),
        Column("at", units.speed, "number"),
        Column("force", "N", "estimate"),
        Column(""),
        Column("with speed"),
        Column("card", stretch=1),
    )
    note = "± is the reading alone: the scale's step over √12; pull and right count positive"
    return [table(columns, rows, note, title="Forces as read off the spring scale")]


def _trims(every: tuple[ReadTrim, ...], units: Units) -> list[Block]:
    rows: list[list[Cell]] = []
    for item in every:
        change = item.change
        force: Cell = "–"
        if item.signed is not None:
            force = _force(item.signed.value, item.signed.sd)
        settles = "–" if change.settles_at is None else number(change.settles_at, units.speed, 0)
        rows.append(
            [
                f"{change.from_flap} → {change.to_flap}, {change.power}, {item.configuration}",
                number(change.speed, units.speed, 0),
                force,
                change.direction or "",
                settles,
                ", ".join(part for part in (item.card, change.note) if part),
            ]
        )
    if not rows:
        return []
    columns = (
        Column("flap, power"),
        Column("at", units.speed, "number"),
        Column("force that holds it", "N", "estimate"),
        Column(""),
        Column("settles at", units.speed, "number"),
        Column("card", stretch=1),
    )
    return [table(columns, rows, title="What the flaps do to the trim, trim left alone")]


def _stalls(every: tuple[Told, ...]) -> list[Block]:
    rows: list[list[Cell]] = []
    for item in every:
        said = item.said
        assert isinstance(said, StallNote)
        wing = "none drops" if said.wing == "none" else f"{said.wing} drops"
        bank = "" if said.bank is None else f", {degrees(said.bank):.0f}°"
        rows.append(
            [
                f"{said.flap}, {said.power}, {item.configuration}",
                said.warning,
                said.stall_break,
                f"{wing}{bank}",
                "; ".join(part for part in (said.recovery, said.note) if part) or "–",
                ", ".join(part for part in (item.card, said.point or "", item.pilot) if part),
            ]
        )
    if not rows:
        return []
    columns = (
        Column("flap, power"),
        Column("warning", stretch=1),
        Column("break"),
        Column("wing"),
        Column("recovery and notes", stretch=1),
        Column("card"),
    )
    return [table(columns, rows, title="Stalls")]


def _impressions(every: tuple[Told, ...]) -> list[Block]:
    rows: list[list[Cell]] = []
    told = [(item, item.said) for item in every if isinstance(item.said, Impression)]
    for item, said in sorted(told, key=lambda pair: pair[1].subject):
        rows.append(
            [
                said.subject,
                said.phase or "–",
                said.note,
                said.measured or "–",
                f"{item.configuration}, {item.card}, {item.pilot}",
            ]
        )
    if not rows:
        return []
    columns = (
        Column("of"),
        Column("when"),
        Column("what was said", stretch=3),
        Column("read", stretch=1),
        Column("card", stretch=2),
    )
    return [table(columns, rows, title="Seen, heard and felt")]


def _force(value: float, sd: float | None) -> Cell:
    if not sd:
        return bare(show(value, "N", digits=0), "N")
    shown, _, spread = bare(show(value, "N", sd, digits=1), "N").partition(" ± ")
    return {"text": shown, "sd": f"± {spread}"}


def _force_row(series: ForceSeries, units: Units) -> ForceRow:
    trimmed = series.trimmed_at
    trim = "" if trimmed is None else f", trimmed at {show(trimmed, units.speed, digits=0)}"
    sds = [item.signed.sd or 0.0 for item in series.readings]
    return ForceRow(
        f"flap {series.flap}{trim}",
        tuple(item.reading.speed for item in series.readings),
        tuple(item.signed.value for item in series.readings),
        max(sds),
    )


def _slope(series: ForceSeries, units: Units, digits: int | None = None) -> str:
    """Newtons for each unit of speed, with what the readings leave open; a dash where there is one speed."""
    if series.slope is None:
        return "–"
    step = to_si(1.0, units.speed)
    sd = None if digits is not None else (series.slope_sd or 0.0) * step or None
    return f"{show(series.slope * step, '', sd, digits)} N/{units.speed}"


def scale_rows() -> list[list[str]]:
    """The whole scale: rating, the answers that lead to it, character and demands."""
    rows = []
    for item in DESCRIPTIONS:
        path = zip(QUESTIONS, path_to(item.rating), strict=False)
        answers = ", ".join(f"{question.key} {'yes' if answer else 'no'}" for question, answer in path)
        rows.append([str(item.rating), answers, item.character, item.demands])
    return rows
