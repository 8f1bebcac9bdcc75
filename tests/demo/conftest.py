"""One demo dossier and one set of flights for all tests of this folder."""

from pathlib import Path

import pytest

from wringout.demo import write_demo
from wringout.demo.flights import Flown, fly
from wringout.demo.setup import setup
from wringout.demo.write import SEED


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo dossier as people get it."""
    root: Path = tmp_path_factory.mktemp("demo") / "shepherd"
    write_demo(root)
    return root


@pytest.fixture(scope="session")
def flights() -> tuple[Flown, ...]:
    """The five flights of the demo as they truly were."""
    return tuple(fly(setup(), plan, SEED) for plan in setup().plans)
