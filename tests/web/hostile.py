"""A dossier whose every free text, and the name of a file of it, would be a script if it were not escaped."""

from __future__ import annotations

import csv
import io
import re
import shutil
from pathlib import Path
from typing import Any

import tomlkit

from wringout.dossier import examine

MARK = """<script>alert("1")</script><img src=x onerror='x'>&amp;"""
CARD = "flight-2a"
COLUMNS = "<script>alert(1)</script>"
# Words that the file format itself knows, names of columns and of files: everything else is free text.
FORMAT = frozenset(
    [
        "people",
        "either",
        "things",
        "tail wheel",
        "nose wheel",
        "skis",
        "constant speed",
        "alternator",
        "naturally aspirated",
        "stall speed",
        "at most",
        "cruise speed",
        "at least",
        "fuel flow",
        "rate of climb",
        "service ceiling",
        "glide ratio",
        "take-off ground roll",
        "take-off distance",
        "landing ground roll",
        "stopping distance",
        "useful load",
        "payload",
        "range",
        "battery endurance",
        "mean sea level",
        "iso",
        "rpm",
        "inHg",
        "stall",
        "idle",
        "stall warning",
        "stall break",
        "time_utc",
        "ias_kt",
        "pressure_altitude_ft",
        "oat_c",
        "manifold_inhg",
        "fuel_flow_lph",
        "kt",
        "ft/min",
        "ft",
        "m",
        "nm",
        "kg",
        "mm",
        "L",
        "L/h",
        "°C",
        "hPa",
        "kW",
        "EUR",
        "none",
        "gentle",
        "left",
        "right",
    ]
)
_PLAIN = re.compile(r"(?:EUR )?[+\-−]?[0-9].*|recordings/.*|[a-z_]+\.(?:toml|csv)", re.DOTALL)


def make_hostile(demo: Path, root: Path) -> None:
    """Write the dossier into a new folder: the demo, which lies in another, with one of its flights."""
    (root / "cards").mkdir(parents=True)
    (root / "recordings").mkdir()
    for path in (f"{CARD}.gpx", f"{CARD}-engine.csv"):
        shutil.copyfile(demo / "recordings" / path, root / "recordings" / path)
    table = f"Time,{COLUMNS}\n" + "".join(f"2025-06-17 09:00:{k:02d},{60 + k}\n" for k in range(40))
    (root / "recordings" / "<b onclick=x>&amp;'.csv").write_text(table, encoding="utf-8")
    names = [path.name for path in demo.iterdir() if path.suffix in {".toml", ".csv"}]
    texts = {name: (demo / name).read_text(encoding="utf-8") for name in (*names, f"cards/{CARD}.toml")}
    read = {name: tomlkit.parse(text).unwrap() for name, text in texts.items() if name.endswith(".toml")}
    free = {word for data in read.values() for word in _words(data)}
    for name, data in read.items():
        (root / name).write_text(tomlkit.dumps(_marked(data, free)), encoding="utf-8")
    (root / "strips.csv").write_text(_strips(texts["strips.csv"], free), encoding="utf-8")
    wrong = [problem.sentence() for problem in examine(root)[1] if problem.severity == "error"]
    assert not wrong, f"not free text but a word of the format: {wrong[:5]}"


def _words(data: Any) -> list[str]:
    """Every text in a file that is neither a quantity nor a word of the format."""
    if isinstance(data, dict):
        return [word for value in data.values() for word in _words(value)]
    if isinstance(data, list):
        return [word for value in data for word in _words(value)]
    is_free = isinstance(data, str) and data not in FORMAT and not _PLAIN.fullmatch(data)
    return [data] if is_free else []


def _marked(data: Any, free: set[str]) -> Any:
    """The file with the mark behind each free text, where it stands as a key too: the name of a tank, say."""
    if isinstance(data, dict):
        return {
            key + MARK if key in free and isinstance(value, str) else key: _marked(value, free)
            for key, value in data.items()
        }
    if isinstance(data, list):
        return [_marked(value, free) for value in data]
    return data + MARK if isinstance(data, str) and data in free else data


def _strips(text: str, free: set[str]) -> str:
    rows = list(csv.DictReader(io.StringIO(text)))
    out = io.StringIO()
    table = csv.DictWriter(out, list(rows[0]))
    table.writeheader()
    for row in rows:
        row["note"] += MARK
        row["name"] += MARK if row["name"] in free else ""
        row["surface"] += MARK if row["surface"] in free else ""
        table.writerow(row)
    return out.getvalue()
