"""What an exchange of gear or equipment changes: the missions and the claims asked of both builds."""

from __future__ import annotations

from dataclasses import dataclass, replace

from wringout.airplane.airplane import Airplane
from wringout.airplane.lookups import reference
from wringout.claims import judge
from wringout.claims.verdict import Verdict
from wringout.dossier.dossier import Dossier
from wringout.dossier.store import digest, software
from wringout.evaluation.codec import fingerprint
from wringout.evaluation.keys import stage_keys
from wringout.evaluation.stages import Stages
from wringout.evaluation.trips import answer_missions
from wringout.missions import MissionAnswer
from wringout.model.changed_drag import with_drag_change
from wringout.model.fit import Fit
from wringout.outfitting import Build, Change, change, configuration_builds
from wringout.reduction.points import Points

SEED = 20260513
STAGE = "exchange"
CHANGED = 0.05  # a claim's probability that moves by less has not changed [common practice, no source]


@dataclass(frozen=True, slots=True)
class MissionChange:
    """A mission answered by both builds, whatever configuration it names itself."""

    name: str
    configuration: str
    before: MissionAnswer
    after: MissionAnswer

    @property
    def changed(self) -> bool:
        """Whether the answer, what stays behind, or what binds is another."""
        return (self.before.outcome, _left(self.before)) != (self.after.outcome, _left(self.after))


@dataclass(frozen=True, slots=True)
class ClaimChange:
    """A claim held against both builds as though it were made of each."""

    before: Verdict
    after: Verdict

    @property
    def changed(self) -> bool:
        """Whether the finding is another, or its probability moved."""
        first, last = self.before.probability, self.after.probability
        if self.before.finding != self.after.finding or (first is None) != (last is None):
            return True
        return first is not None and last is not None and abs(first - last) >= CHANGED


@dataclass(frozen=True, slots=True)
class Consequences:
    """What an exchange does to the readers' missions and to what stands of the claims."""

    missions: tuple[MissionChange, ...]
    claims: tuple[ClaimChange, ...]
    notes: tuple[str, ...]

    def sentence(self) -> str:
        """How many answers and verdicts are others, in words."""
        missions, claims = (sum(item.changed for item in rows) for rows in (self.missions, self.claims))
        if not missions and not claims:
            return "It changes no mission's answer and no claim's verdict."
        return (
            f"It changes {_count(missions, 'mission', len(self.missions))} and "
            f"{_count(claims, 'verdict', len(self.claims))}."
        )


@dataclass(frozen=True, slots=True)
class Exchanged:
    """One gear exchanged for another, both flown, with what was fitted when the airplane was weighed."""

    before: str
    after: str
    found: Consequences


def flown_exchanges(dossier: Dossier, points: Points, fit: Fit) -> tuple[Exchanged, ...]:
    """What an exchange of the first configuration for each other one that was flown changes."""
    airplane, flown = dossier.airplane, {row.configuration for row in fit.flown}
    builds = {item.configuration: item for item in configuration_builds(airplane) if isinstance(item, Build)}
    first = builds.get(reference(airplane).name)
    if first is None:
        return ()
    return tuple(
        Exchanged(
            first.configuration, name, _consequences(dossier, points, fit, change(airplane, first, build))
        )
        for name, build in builds.items()
        if name in flown and name != first.configuration
    )


def consequences(dossier: Dossier, points: Points, fit: Fit, exchange: Change) -> Consequences:
    """The missions and claims of a dossier, asked of the build before and of the build after.

    Parameters
    ----------
    dossier : Dossier
    points : Points
    fit : Fit
        Of the airplane as it was flown; a build differs from it by mass, CG, limits and the dossier's belief
        in the options' drag.
    exchange : Change

    Returns
    -------
    Consequences
        Kept under `results/` until anything that it stands on changes.

    Raises
    ------
    InputError
        As `judge` and `answer_missions`.
    """
    builds = (exchange.before, exchange.after)
    parts = (part.encode() for build in builds for part in (build.configuration, *build.options, ""))
    key = digest(
        software().encode(),
        stage_keys(dossier)["answers"].encode(),
        fingerprint(dossier.airplane, Airplane),
        *parts,
    )
    stages = Stages(dossier.root, {STAGE: key})
    return stages.run(STAGE, Consequences, lambda: _consequences(dossier, points, fit, exchange))


def _consequences(dossier: Dossier, points: Points, fit: Fit, exchange: Change) -> Consequences:
    names = {exchange.before.configuration, exchange.after.configuration}
    about = tuple(
        claim
        for claim in dossier.claims
        if (claim.conditions.configuration or reference(dossier.airplane).name) in names
    )
    answers, verdicts = [], []
    for build in (exchange.before, exchange.after):
        built, fitted = _as_built(dossier, build), _fitted(fit, build)
        missions = tuple(replace(item, configuration=build.configuration) for item in dossier.missions)
        answers.append(answer_missions(replace(built, missions=missions), fitted))
        claims = tuple(
            replace(item, conditions=replace(item.conditions, configuration=build.configuration))
            for item in about
        )
        verdicts.append(judge(replace(built, claims=claims), points, fitted))
    return Consequences(
        tuple(
            MissionChange(mission.name, mission.configuration, first, last)
            for mission, first, last in zip(dossier.missions, *answers, strict=True)
        ),
        tuple(ClaimChange(first, last) for first, last in zip(*verdicts, strict=True)),
        _notes(fit, exchange),
    )


def _as_built(dossier: Dossier, build: Build) -> Dossier:
    return replace(dossier, airplane=build.airplane)


def _fitted(fit: Fit, build: Build) -> Fit:
    if build.drag_area_change is None:
        return fit
    return with_drag_change(fit, build.configuration, build.drag_area_change, SEED)


def _notes(fit: Fit, exchange: Change) -> tuple[str, ...]:
    flown = {row.configuration for row in fit.flown}
    notes = [
        f"Nobody flew '{name}': its drag is what the dossier believes."
        for name in dict.fromkeys((exchange.before.configuration, exchange.after.configuration))
        if name not in flown
    ]
    if exchange.drag_area_change is not None:
        notes.append("The options' drag is what the dossier believes; nobody flew them.")
    return tuple(notes)


def _left(answer: MissionAnswer) -> tuple[str, ...]:
    return () if answer.placement is None else tuple(item.load.name for item in answer.placement.left)


def _count(count: int, word: str, total: int) -> str:
    many = f"{word}s" if total != 1 else word
    return f"{'none' if count == 0 else count} of {total} {many}"
