"""Killed at random moments of its work, the workbench's dossier loses nothing that was told as saved."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

KILLS = 10  # the benchmark itself does two hundred


def test_killed_at_random_moments_nothing_is_lost() -> None:
    """Edits, recordings that come in and runs, each child killed with all that it began."""
    script = Path(__file__).parent.parent.parent / "benchmarks" / "killed.py"
    done = subprocess.run(
        [sys.executable, str(script), str(KILLS)], capture_output=True, text=True, timeout=600, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    killed = {
        work: int(count) for work, count in re.findall(r"^(\w+) +(\d+) +\d+$", done.stdout, re.MULTILINE)
    }
    assert sum(killed.values()) == KILLS
    assert killed["edits"] >= KILLS // 2
    assert killed["recordings"] > 0
    assert "lost 0;" in done.stdout
    left = re.search(r"half-written files (\d+), swept (\d+)", done.stdout)
    assert left
    assert left[1] == left[2]
