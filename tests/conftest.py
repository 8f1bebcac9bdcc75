"""What several packages share: the command line run in this process, and the demo evaluated once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from wringout.cli.main import run

if TYPE_CHECKING:
    from wringout.evaluation import Evaluation


@dataclass(frozen=True)
class Ran:
    """What a command left: exit code, standard output, standard error."""

    code: int
    out: str
    err: str


@pytest.fixture
def wringout(capsys: pytest.CaptureFixture[str]) -> Callable[..., Ran]:
    """Runs one command line."""

    def call(*arguments: str | Path) -> Ran:
        code = run([str(argument) for argument in arguments])
        captured = capsys.readouterr()
        return Ran(code, captured.out, captured.err)

    return call


@pytest.fixture(scope="session")
def demo_root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo dossier, written once."""
    from wringout.demo import write_demo

    root = tmp_path_factory.mktemp("demo") / "demo"
    write_demo(root)
    return root


@pytest.fixture(scope="session")
def demo(demo_root: Path) -> Evaluation:
    """The demo dossier, evaluated once."""
    from wringout.evaluation import evaluate

    return evaluate(demo_root)
