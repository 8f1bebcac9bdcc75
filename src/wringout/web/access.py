"""What the pages ask of the workbench: its folder, the dossier of an address, what is known of it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

from fastapi import Depends, Request

from wringout.dossier.shelf import HEAD, place
from wringout.problems import InputError, Problem
from wringout.web.jobs import Jobs
from wringout.web.refusals import MissingError
from wringout.web.state import State, States


@dataclass(frozen=True, slots=True)
class Workbench:
    """What lives as long as the server does."""

    shelf: Path
    jobs: Jobs
    states: States


def workbench_of(request: Request) -> Workbench:
    """The workbench that answers this request."""
    found: Workbench = request.app.state.workbench
    return found


def root_of(request: Request, name: str) -> Path:
    """The folder of the dossier `name`.

    Raises MissingError where the name leads out of the shelf or there is no such dossier.
    """
    try:
        root = place(workbench_of(request).shelf, name)
    except InputError as error:
        raise MissingError(*error.problems) from None
    if not (root / HEAD).is_file():
        raise MissingError(Problem(f"there is no dossier '{name}' on the shelf", "choose one of the shelf"))
    return root


def state_of(request: Request, name: str) -> State:
    """How the dossier `name` stands; errors as `root_of`."""
    return workbench_of(request).states.of(root_of(request, name))


Bench = Annotated[Workbench, Depends(workbench_of)]
Root = Annotated[Path, Depends(root_of)]
Standing = Annotated[State, Depends(state_of)]
