"""A take-off that nobody recorded: the card and its film go through the whole way to a point."""

from __future__ import annotations

import math
import re
import shutil
from pathlib import Path

from wringout.dossier import check
from wringout.evaluation import Evaluation, reduce_points


def test_a_filmed_take_off_without_a_recording_is_a_point(
    demo: Evaluation, demo_root: Path, tmp_path: Path
) -> None:
    """The film of 3b.T2 on a card without recordings: the same roll as there, what was not seen unknown."""
    root = tmp_path / "demo"
    shutil.copytree(demo_root, root)
    text = (root / "cards/flight-3b.toml").read_text(encoding="utf-8")
    head, rest = text.split("[[recording]]", 1)
    loading = rest[rest.index("[loading]") : rest.index("[[point]]")]
    point = next(part for part in re.split(r"(?=\[\[)", rest) if part.startswith('[[point]]\nid = "3b.T2"'))
    film = re.search(r'\[\[camera\]\]\npoint = "3b\.T2".*?\nevent = \[.*?\n\]\n', rest, re.DOTALL)
    assert film is not None
    (root / "cards/flight-4.toml").write_text(head + loading + point + film[0], encoding="utf-8")
    assert check(root) == ()

    _, points = reduce_points(root)
    (alone,) = [off for off in points.takeoffs if off.origin.card == "flight-4"]
    (there,) = [film for film in points.cameras if (film.card, film.point) == ("flight-3b", "3b.T2")]
    assert alone.ground_roll.value == there.measures["ground_roll"].value
    assert alone.origin.recording.startswith("camera, frames ")
    assert math.isnan(alone.air_distance.value)
    assert len(points.takeoffs) == len(demo.points.takeoffs) + 1

    told: list[bool] = []
    _, again = reduce_points(root, lambda _stage, _done, _total, fresh: told.append(fresh))
    assert not any(told)
    assert again.cameras == points.cameras
    assert again.left_out == points.left_out
