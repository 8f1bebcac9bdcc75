"""Test points in the columns and words in which pages show them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from wringout.dossier.dossier import Units
from wringout.evaluation.point_rows import Kind, PointRow
from wringout.model.fit import Residual
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate
from wringout.reduction.points import (
    CameraEvidence,
    ClimbPoint,
    LandingPoint,
    LevelPoint,
    Origin,
    PositionErrorCurve,
    StallPoint,
    TakeoffPoint,
)
from wringout.report.appendix import outlier_words
from wringout.report.blocks import Cell, Column, clock, estimates, table

Estimates = Sequence[Estimate | None]
_TITLES: Mapping[Kind, str] = {
    "level": "Level flight",
    "climb": "Climbs, full power",
    "glide": "Glides, engine idle",
    "stall": "Stalls, reduced to an entry at 1 kt/s",
    "take-off": "Take-offs",
    "landing": "Landings from 15 m",
}


def title_of(kind: Kind) -> str:
    """The heading over the points of a kind."""
    return _TITLES[kind]


def span_of(origin: Origin) -> str:
    """Where in its recording a point lies, as the end of an address: seconds, with tenths."""
    return f"{origin.start:.1f}-{origin.end:.1f}"


def point_table(kind: Kind, rows: Sequence[PointRow], units: Units) -> dict[str, Any]:
    """A row a point: where it was flown, its figures with standard uncertainty, how far off the fit it lies.

    The first cell of each row has an `origin`, whose link opens the recording at the point's span.
    """
    points = [row.point for row in rows]
    words, figures = _COLUMNS[kind](points, units)
    mass = ("mass", units.mass, [point.conditions.mass for point in points], 0)
    columns: list[Column] = [Column("point and origin", stretch=1)]
    cells: list[Sequence[Cell]] = [[_origin(row) for row in rows]]
    for name, said in words:
        columns.append(Column(name))
        cells.append(said)
    for title, unit, values, digits in (mass, *figures):
        columns.append(Column(title, unit, "estimate"))
        cells.append(estimates(values, unit, digits))
    columns.append(Column("off the fit", "sd", "number"))
    cells.append([_off(row) for row in rows])
    return table(columns, zip(*cells, strict=True), title=title_of(kind))


def _origin(row: PointRow) -> dict[str, Any]:
    origin = row.point.origin
    return {
        "text": f"{origin.card}, {origin.point}",
        "origin": origin,
        "span": span_of(origin),
        "under": f"{clock(origin.start)}–{clock(origin.end)}, {origin.recording}",
        "notes": list(origin.notes),
        "why": "; ".join(outlier_words(one) for one in row.residuals if one.outlier),
    }


def _off(row: PointRow) -> Cell:
    worst = row.furthest
    if worst is None:
        return {"text": "–", "says": "the fit compares no figure of it"}
    text = f"{worst.standardised:+.1f}".replace("-", "−")
    return {"text": text, "says": worst.what, "fail": worst.outlier}


Columns = tuple[list[tuple[str, list[Cell]]], list[tuple[str, str, Estimates, int | None]]]


def _configuration(points: Sequence[Any]) -> tuple[str, list[Cell]]:
    return "configuration", [point.conditions.configuration for point in points]


def _level(points: Sequence[LevelPoint], units: Units) -> Columns:
    return [_configuration(points)], [
        ("true airspeed", units.speed, [point.true_airspeed for point in points], None),
        ("calibrated", units.speed, [point.calibrated_airspeed for point in points], None),
        ("power", units.power, [point.power for point in points], None),
        ("fuel flow", units.fuel_flow, [point.fuel_flow for point in points], None),
    ]


def _climb(points: Sequence[ClimbPoint], units: Units) -> Columns:
    return [_configuration(points)], [
        ("true airspeed", units.speed, [point.true_airspeed for point in points], None),
        ("rate of climb", units.vertical_speed, [point.rate_of_climb for point in points], None),
        ("density", "kg/m³", [point.conditions.density for point in points], 3),
    ]


def _stall(points: Sequence[StallPoint], units: Units) -> Columns:
    flaps: list[Cell] = [point.conditions.flap for point in points]
    return [("flaps", flaps)], [
        ("stall speed", units.speed, [point.stall_speed for point in points], None),
        ("entry", "kt/s", [point.entry_rate for point in points], None),
        ("warning", units.speed, [point.warning_speed for point in points], None),
    ]


def _manner(points: Sequence[TakeoffPoint | LandingPoint]) -> list[tuple[str, list[Cell]]]:
    return [
        _configuration(points),
        ("technique, surface", [f"{point.technique}, {point.surface}" for point in points]),
    ]


def _take_off(points: Sequence[TakeoffPoint], units: Units) -> Columns:
    return _manner(points), [
        ("head wind", units.speed, [point.head_wind for point in points], 0),
        ("roll", units.distance, [point.ground_roll for point in points], 0),
        ("to 15 m", units.distance, [point.air_distance for point in points], 0),
        ("lift-off", units.speed, [point.lift_off_speed for point in points], None),
    ]


def _landing(points: Sequence[LandingPoint], units: Units) -> Columns:
    return _manner(points), [
        ("head wind", units.speed, [point.head_wind for point in points], 0),
        ("from 15 m", units.distance, [point.air_distance for point in points], 0),
        ("roll", units.distance, [point.ground_roll for point in points], 0),
        ("touchdown", units.speed, [point.touchdown_speed for point in points], None),
        ("braking", "", [point.mean_braking for point in points], None),
    ]


_COLUMNS: Mapping[str, Any] = {
    "level": _level,
    "climb": _climb,
    "glide": _climb,
    "stall": _stall,
    "take-off": _take_off,
    "landing": _landing,
}


def position_error_table(curves: Sequence[PositionErrorCurve], units: Units) -> dict[str, Any]:
    """A row a group of legs at one speed: what was indicated, and what is to be added."""
    rows = [(curve.flap, *point) for curve in curves for point in curve.points]
    indicated = [Estimate(speed, None, Dimension.SPEED, "") for _, speed, _, _ in rows]
    corrections = [Estimate(value, sd, Dimension.SPEED, "") for _, _, value, sd in rows]
    cells = zip(
        [flap for flap, *_ in rows],
        estimates(indicated, units.speed, 1),
        estimates(corrections, units.speed),
        strict=True,
    )
    columns = (
        Column("flaps"),
        Column("indicated", units.speed, "estimate"),
        Column("calibrated minus indicated", units.speed, "estimate"),
    )
    return table(columns, cells, title="Position error")


def camera_table(films: Sequence[CameraEvidence], units: Units) -> dict[str, Any]:
    """A row a figure of a film, beside the recording's, and what was used."""
    rows = [(film, name) for film in films for name in film.measures]
    unit = {name: units.speed if "speed" in name else units.distance for _, name in rows}
    body: list[list[Cell]] = []
    for film, name in rows:
        seen, logged = estimates([film.measures[name], film.recorded.get(name)], unit[name], 1)
        used = {"weighted": "the mean of both", "preferred": "the film", "alone": "the film, alone"}
        body.append(
            [
                f"{film.card}, {film.point}",
                name.replace("_", " "),
                unit[name],
                seen,
                logged,
                used.get(film.use.get(name, ""), "neither"),
                film.source.removeprefix("camera, "),
            ]
        )
    columns = (
        Column("card, point"),
        Column("figure"),
        Column("unit"),
        Column("film", kind="estimate"),
        Column("recording", kind="estimate"),
        Column("used"),
        Column("frames", stretch=1),
    )
    return table(columns, body, title="Cameras beside the strip")


def outlier_rows(residuals: Iterable[Residual]) -> list[dict[str, str]]:
    """Every figure that was set aside, with its origin and the reason."""
    return [
        {
            "card": one.origin.card,
            "point": one.origin.point,
            "span": span_of(one.origin),
            "why": outlier_words(one),
        }
        for one in residuals
        if one.outlier
    ]
