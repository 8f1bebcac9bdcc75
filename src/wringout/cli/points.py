"""`points`: test points reduced from the manoeuvres."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from pathlib import Path
from typing import Any

from wringout.quantity.estimate import Estimate
from wringout.reduction.points import Point

# Field of `Points`, its title, and the columns of its table with the kind of figure each is.
KINDS: tuple[tuple[str, str, dict[str, str]], ...] = (
    ("stalls", "Stalls", {"stall_speed": "speed", "entry_rate": "kt/s", "warning_speed": "speed"}),
    (
        "levels",
        "Level speeds",
        {
            "calibrated_airspeed": "speed",
            "true_airspeed": "speed",
            "power": "power",
            "fuel_flow": "fuel_flow",
        },
    ),
    ("climbs", "Climbs and glides", {"true_airspeed": "speed", "rate_of_climb": "vertical_speed"}),
    (
        "takeoffs",
        "Take-offs",
        {
            "lift_off_speed": "speed",
            "ground_roll": "distance",
            "air_distance": "distance",
            "head_wind": "speed",
            "standard_ground_roll": "distance",
        },
    ),
    (
        "landings",
        "Landings",
        {
            "approach_speed": "speed",
            "touchdown_speed": "speed",
            "air_distance": "distance",
            "ground_roll": "distance",
            "mean_braking": "",
            "head_wind": "speed",
        },
    ),
)


def points(folder: Path = Path(), /, *, json: bool = False) -> int:
    """Test points reduced from the manoeuvres, each in its own conditions with its standard uncertainty.

    Parameters
    ----------
    folder
        The dossier.
    json
        Answer as JSON, in SI.
    """
    from wringout.charts.touchdowns import touchdown_sentence
    from wringout.cli.output import bare, headed, print_json, progress, say, table
    from wringout.evaluation import reduce_points
    from wringout.model.touchdowns import touchdown_spreads

    with progress(quiet=json) as tell:
        dossier, reduced = reduce_points(folder, tell)
    if json:
        print_json(plain(reduced) | {"touchdowns": plain(touchdown_spreads(reduced))})
        return 0

    units = dossier.units

    def unit(kind: str) -> str:
        return str(getattr(units, kind, kind))

    def figure(value: Estimate | None, kind: str) -> str:
        return "" if value is None else bare(value.value, unit(kind), value.sd)

    if not any(getattr(reduced, name) for name, _, _ in KINDS):
        say("No point is reduced yet: no card names a recording that shows one.")
    for name, title, columns in KINDS:
        rows: tuple[Point, ...] = getattr(reduced, name)
        if not rows:
            continue
        headings = (headed(column.replace("_", " "), unit(kind)) for column, kind in columns.items())
        table(
            title,
            ("point", "configuration", "flap", headed("mass", units.mass), *headings),
            (
                (
                    f"{point.origin.card} {point.origin.point}",
                    point.conditions.configuration,
                    point.conditions.flap,
                    figure(point.conditions.mass, "mass"),
                    *(figure(getattr(point, column), kind) for column, kind in columns.items()),
                )
                for point in rows
            ),
            words=3,
        )
    for spread in touchdown_spreads(reduced):
        say(touchdown_sentence(spread, units))
    notes = [
        (point.origin.card, point.origin.point, f"{note}.")
        for name, _, _ in KINDS
        for point in getattr(reduced, name)
        for note in point.origin.notes
    ]
    if notes:
        table("Notes", ("card", "point", "what to know of it"), dict.fromkeys(notes), words=3)
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
        result: Any = as_json(value)
    elif isinstance(value, Mapping):
        result = {key: plain(item) for key, item in value.items()}
    elif isinstance(value, tuple | list):
        result = [plain(item) for item in value]
    elif isinstance(value, Enum):
        result = value.value
    elif is_dataclass(value):
        result = {item.name: plain(getattr(value, item.name)) for item in fields(value)}
    elif value is None or isinstance(value, bool | int | float):
        result = value
    else:
        result = value.tolist() if hasattr(value, "tolist") else str(value)
    return result
