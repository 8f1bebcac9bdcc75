"""What cameras beside the strip saw: a line for each film, against the recording of the same run."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wringout.report.blocks import Block, Cell, Column, estimates, table

if TYPE_CHECKING:
    from wringout.dossier.dossier import Units
    from wringout.evaluation.evaluation import Evaluation
    from wringout.quantity.estimate import Estimate
    from wringout.reduction.points import CameraEvidence

_USES = {
    "weighted": "weighted",
    "preferred": "they disagree, the camera's used",
    "alone": "camera alone",
}
_SPEEDS = ("lift_off_ground_speed", "touchdown_ground_speed")
_SHORT = {"lift_off_ground_speed": "speed", "touchdown_ground_speed": "speed", "ground_roll": "roll"}


def camera_blocks(evaluation: Evaluation, units: Units) -> list[Block]:
    """A table of films: which frames, roll and ground speed by camera and by recording, and what was used."""
    films = evaluation.points.cameras
    if not films:
        return []
    rows: list[list[Cell]] = [
        [film.point, _short(film.source), *figures, _used(film)]
        for film, *figures in zip(
            films,
            estimates([film.measures.get("ground_roll") for film in films], units.distance, 1),
            estimates([film.recorded.get("ground_roll") for film in films], units.distance, 1),
            estimates([_speed(film, recorded=False) for film in films], units.speed, 1),
            estimates([_speed(film, recorded=True) for film in films], units.speed, 1),
            strict=True,
        )
    ]
    columns = (
        Column("point"),
        Column("frames of the film", stretch=6),
        Column("roll, film", units.distance, "estimate"),
        Column("recording", units.distance, "estimate"),
        Column("speed, film", units.speed, "estimate"),
        Column("recording", units.speed, "estimate"),
        Column("used", stretch=2),
    )
    under = "± one standard uncertainty; roll on the ground, ground speed at lift-off or touchdown"
    return [table(columns, rows, under, title="Cameras beside the strip")]


def _short(source: str) -> str:
    """What a film is in the words of its figures' source, as short as a line of the table wants it."""
    return source.removeprefix("camera, frames ").replace(" frames/s", "/s").replace(" as ruler", "")


def _speed(film: CameraEvidence, *, recorded: bool) -> Estimate | None:
    figures = film.recorded if recorded else film.measures
    return next((figures[name] for name in _SPEEDS if name in figures), None)


def _used(film: CameraEvidence) -> str:
    """What was done with each figure, together where it was the same, and what the frames did not say."""
    by_use: dict[str, list[str]] = {}
    for name, use in film.use.items():
        by_use.setdefault(use, []).append(_SHORT.get(name, name.replace("_", " ")))
    if len(by_use) == 1:
        words = [_USES[use] for use in by_use]
    else:
        words = [f"{' and '.join(names)}: {_USES[use]}" for use, names in by_use.items()]
    return "; ".join((*words, *film.refused))
