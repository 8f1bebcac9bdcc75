"""Recordings made by others, outside the project: checked where they are, skipped where they are not."""

import os
from pathlib import Path

import pytest

ROOT = Path(os.environ.get("WRINGOUT_RECORDINGS", Path(__file__).parents[3] / "shared" / "recordings"))


def real(name: str) -> Path:
    """One of them; the test that asks is skipped where it is absent."""
    path = ROOT / name
    if not path.exists():
        pytest.skip(f"{name} is not there: set WRINGOUT_RECORDINGS to the folder of real recordings")
    return path
