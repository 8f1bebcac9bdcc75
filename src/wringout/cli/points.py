"""`points`: test points reduced from the manoeuvres."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

from wringout.quantity.estimate import Estimate
from wringout.reduction.points import Point

KINDS = (
    ("stalls", "Stalls", (("stall_speed", "speed"), ("entry_rate", "kt/s"), ("warning_speed", "speed"))),
    ("levels", "Level speeds", (("calibrated_airspeed", "speed"), ("true_airspeed", "speed"), ("power", "power"), ("fuel_flow", "fuel_flow"))),
    ("climbs", "Climbs and glides", (("true_airspeed", "speed"), ("rate_of_climb", "vertical_speed"))),
    ("takeoffs", "Take-offs", (("lift_off_speed", "speed"), ("ground_roll", "distance"), ("air_distance", "distance"), ("head_wind", "speed"), ("standard_ground_roll", "distance"))),
    ("landings", "Landings", (("approach_speed", "speed"), ("touchdown_speed", "speed"), ("air_distance", "distance"), ("ground_roll", "distance"), ("head_wind", "speed"))),
)  # fmt: skip


def points(folder: Path = Path(), /, *, json: bool = False) -> int:
    """Test points reduced from the manoeuvres, each in its own conditions with its standard uncertainty.

    Parameters
    ----------
    folder
        The dossier.
    json
        Answer as JSON, in SI.
    """
    from wringout.cli.output import print_json, progress, table
    from wringout.evaluation import reduce_points
    from wringout.quantity import show

    with progress(quiet=json) as tell:
        dossier, reduced = reduce_points(folder, tell)
    if json:
        print_json(plain(reduced))
        return 0

    def figure(value: Estimate | None, kind: str) -> str:
        return "" if value is None else show(value.value, getattr(dossier.units, kind, kind), value.sd)

    for name, title, columns in KINDS:
        rows: tuple[Point, ...] = getattr(reduced, name)
        if rows:
            table(
                title,
                (
                    "card",
                    "point",
                    "configuration",
                    "flap",
                    "mass",
                    *(column.replace("_", " ") for column, _ in columns),
                ),
                (
                    (
                        p.origin.card,
                        p.origin.point,
                        p.conditions.configuration,
                        p.conditions.flap,
                        figure(p.conditions.mass, "mass"),
                        *(figure(getattr(p, column), kind) for column, kind in columns),
                    )
                    for p in rows
                ),
                words=4,
            )
    if reduced.left_out:
        table(
            "Left out",
            ("card", "point", "why"),
            ((x.card, x.point, x.reason) for x in reduced.left_out),
            words=3,
        )
    return 0


def plain(value: Any) -> Any:
    """Frozen results as plain JSON values; an estimate as value, unit, sd and source."""
    from wringout.quantity import as_json

    if isinstance(value, Estimate):
        return as_json(value)
    if is_dataclass(value):
        return {item.name: plain(getattr(value, item.name)) for item in fields(value)}
    if isinstance(value, tuple | list):
        return [plain(item) for item in value]
    if isinstance(value, dict):
        return {key: plain(item) for key, item in value.items()}
    if hasattr(value, "tolist"):
        return value.tolist()
    if value is None or isinstance(value, bool | int | float | str):
        return value
    return getattr(value, "value", str(value))
