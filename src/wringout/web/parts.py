"""The parts of a dossier in the order of the work, and how each of them stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from wringout.evaluation.freshness import StageState
from wringout.problems import Problem


@dataclass(frozen=True, slots=True)
class Part:
    """A part: the last word of its address, its name in the margin, its files and the stages it shows.

    A stage or file that ends with '*' stands for all that begin so.
    """

    slug: str
    name: str
    files: tuple[str, ...]
    stages: tuple[str, ...]


PARTS = (
    Part("airplane", "Airplane", ("airplane.toml",), ()),
    Part("loading", "Loading", (), ()),
    Part("options", "Options", (), ()),
    Part("machine", "Machine", (), ()),
    Part("flights", "Flights", ("cards*", "recordings*"), ("flight *",)),
    Part("points", "Points", (), ("points",)),
    Part("model", "Model", (), ("fit",)),
    Part("next", "Next", (), ("fit",)),
    Part("missions", "Missions", ("missions.toml", "strips.csv"), ("answers",)),
    Part("strips", "Strips", ("strips.csv", "weather*"), ("fit",)),
    Part("handling", "Handling", (), ()),
    Part("cost", "Cost", ("costs.toml",), ("costs",)),
    Part("compare", "Compare", (), ("compared",)),
    Part("claims", "Claims", ("claims.toml",), ("claims",)),
    Part("report", "Report", (), ("answers", "claims", "exchanges", "costs", "compared")),
)


@dataclass(frozen=True, slots=True)
class PartState:
    """How a part stands: how many errors its files have, and whether a stage it shows is to be computed."""

    part: Part
    problems: int
    stale: bool


def part_states(problems: Sequence[Problem], stages: Sequence[StageState]) -> tuple[PartState, ...]:
    """Every part, in the order of the work."""
    return tuple(
        PartState(
            part,
            sum(
                problem.severity == "error" and _among(problem.file or "", part.files) for problem in problems
            ),
            any(not state.fresh and _among(state.stage, part.stages) for state in stages),
        )
        for part in PARTS
    )


def _among(name: str, patterns: tuple[str, ...]) -> bool:
    return any(
        name.startswith(pattern[:-1]) if pattern.endswith("*") else name == pattern for pattern in patterns
    )
