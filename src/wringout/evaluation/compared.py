"""Comparisons of a dossier, kept under the hash of all they stand on; other dossiers as they are kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from wringout.dossier import load
from wringout.dossier.costs import Costs
from wringout.dossier.dossier import Dossier
from wringout.dossier.shelf import HEAD, place
from wringout.dossier.store import digest, load_result, save_result
from wringout.evaluation.codec import decode, encode, fingerprint
from wringout.evaluation.comparison import Comparison, candidates_of, compare
from wringout.evaluation.kept import kept
from wringout.evaluation.keys import stage_keys
from wringout.evaluation.measures import Candidate
from wringout.model.fit import Fit
from wringout.problems import InputError

COMPARED = "compared as asked"  # not the stage of the whole job, whose candidates are always the same
BESIDE = "compared with others"


@dataclass(frozen=True, slots=True)
class Beside:
    """A dossier that stands beside one; where it cannot be compared, `reason` says why and what mends it."""

    name: str
    dossier: Dossier | None
    fit: Fit | None
    reason: str


def compared(candidates: Sequence[Candidate], stage: str = COMPARED) -> Comparison:
    """The comparison, from the first dossier's store where the same candidates were compared before.

    Raises InputError as `compare`.
    """
    home = candidates[0].dossier
    key = comparison_key(candidates)
    data = load_result(home.root, stage, key)
    if data is not None:
        try:
            return decode(data, Comparison)
        except Exception:  # a damaged or foreign file in results/ only costs the time to compute it again
            pass
    found = compare(candidates)
    save_result(home.root, stage, key, encode(found, Comparison))
    return found


def beside(dossier: Dossier, names: Sequence[str] | None = None) -> tuple[Beside, ...]:
    """The dossiers beside this one, as their results are kept; those that it names, unless told."""
    return tuple(_beside(dossier, name) for name in (dossier.compared_with if names is None else names))


def with_others(dossier: Dossier, fit: Fit, others: Sequence[Beside]) -> Comparison | None:
    """The reference configuration against that of each other dossier; None where none can be compared."""
    candidates = [candidates_of(dossier, fit)[0]]
    candidates += [
        candidates_of(other.dossier, other.fit)[0]
        for other in others
        if other.dossier is not None and other.fit is not None
    ]
    return compared(candidates[:4], BESIDE) if len(candidates) > 1 else None


def state_of(other: Beside) -> bytes:
    """What of another dossier a comparison with it stands on, in a few bytes."""
    if other.dossier is None or other.fit is None:
        return f"{other.name}: {other.reason}".encode()
    return f"{other.name}: {stage_keys(other.dossier)['fit']}".encode() + fingerprint(
        other.dossier.costs, Costs | None
    )


def comparison_key(candidates: Sequence[Candidate]) -> str:
    """The hash of all that a comparison stands on."""
    dossiers = {item.dossier.root: item.dossier for item in candidates}
    keys = {root: stage_keys(dossier) for root, dossier in dossiers.items()}
    parts: list[bytes] = [keys[candidates[0].dossier.root]["answers"].encode()]
    for item in candidates:
        fit = keys[item.dossier.root]["fit"]
        parts += [item.owner.encode(), item.configuration.encode(), fit.encode()]
    parts += [fingerprint(dossier.costs, Costs | None) for dossier in dossiers.values()]
    return digest(*parts)


def _beside(dossier: Dossier, name: str) -> Beside:
    try:
        root = place(dossier.root.resolve().parent, name)
        if root == dossier.root.resolve():
            return Beside(name, None, None, "It is this dossier itself: name another.")
        if not (root / HEAD).is_file():
            return Beside(name, None, None, f"No dossier '{name}' stands beside this one.")
        other = load(root)
    except InputError as error:
        first = error.problems[0]
        where = f"{first.file}: " if first.file else ""
        return Beside(name, None, None, f"{where}{first.what}.")
    fit = kept(other).fit
    if fit is None:
        return Beside(name, other, None, f"It is not evaluated as it stands: run wringout fit {name}.")
    return Beside(name, other, fit, "")
