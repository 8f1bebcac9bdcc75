"""What a fit says of itself: whether it settled, what it set aside, what the flights could not tell."""

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from wringout.model.covariances import FAMILIES
from wringout.model.figures import Figure
from wringout.model.fit import ParameterResult
from wringout.model.optimum import Optimum
from wringout.model.parameters import READ_OFF, in_fit_space
from wringout.model.scatter import BETWEEN_PILOTS
from wringout.quantity.showing import show

FloatArray = NDArray[np.float64]

SILENT = 0.10  # taught less than this: the prior stands
INSEPARABLE = 0.95  # absolute correlation beyond which two parameters act as one
FLAP_MENDS = {
    "maximum lift coefficient": "stalls with flaps",
    "drag-area change": "glides or climbs at three speeds with flaps",
}
MENDS = {
    "zero-lift drag area": "level legs with the engine's log, or climbs, would mend it",
    "span efficiency": "slow level legs, climbs and glides would mend it",
    "idle propeller drag area": "glides at idle at three speeds would mend it",
    "drag-area change": "level legs at full throttle as {} would mend it",
    "braking change": "landings as {} with the same technique would mend it",
    "engine power factor": "climbs and level legs at full throttle with fuel flow logged would mend it",
    "engine altitude drop": "climbs or full-throttle legs at heights far apart would mend it",
    "engine heat exponent": "climbs or full-throttle legs on warm and on cool days would mend it",
    "full-rich power": "level legs at full throttle, rich and leaned, would mend it",
    "full-rich consumption factor": "level legs at full throttle with fuel flow logged would mend it",
    "cruise engine speed": "level legs at part power with engine speed logged would mend it",
    "full-throttle engine speed": "level legs at full throttle with engine speed logged would mend it",
    "specific consumption factor": "level legs with fuel flow logged would mend it",
    "propeller static efficiency": "glides, to tell its thrust from drag, and slow climbs would mend it",
    "propeller cruise efficiency": "fast level legs with the engine's log would mend it",
    "propeller polar slope": "glides, to tell its thrust from drag, and slow climbs would mend it",
    "propeller polar intercept": "fast level legs at full throttle would mend it",
    "rolling friction": "take-offs from {} would mend it",
    "lift-off speed ratio": "take-offs with the technique '{}' would mend it",
    "obstacle speed ratio": "take-offs with the technique '{}' would mend it",
    "rotation load increment": "an accelerometer in take-offs, for distances hardly show it, would mend it",
    "approach speed ratio": "landings with the technique '{}' would mend it",
    "approach angle": "landings with the technique '{}' would mend it",
    "touchdown speed ratio": "landings with the technique '{}' would mend it",
    "braking effort": "landings with the technique '{}' would mend it",
    "flare load increment": "an accelerometer in landings, for distances hardly show it, would mend it",
} | {
    f"{kind} habit": "take-offs or landings of both pilots on one day would mend it"
    for kind in BETWEEN_PILOTS
}
SURPRISING = 2.5  # prior standard deviations
UNLIKE = 1.5  # a scale beyond this, or below its inverse, is worth a word


def convergence(optimum: Optimum, settled: bool, set_aside: Sequence[str], figures: int) -> str:
    """One sentence on convergence and outliers."""
    if not optimum.converged:
        return (
            f"the fit did not converge: after {optimum.evaluations} looks the misfit was still falling "
            f"({optimum.message.rstrip('.')}); do not use its figures; look for a point far from the others"
        )
    first = f"fitted to {figures} figures"
    if not settled:
        first += ", though the split between scatter and outliers had not settled when the passes ended"
    if not set_aside:
        return f"{first}; no figure disagrees with the others by more than four standard deviations"
    were = "was" if len(set_aside) == 1 else "were"
    return f"{first}; {'; '.join(set_aside)} {were} set aside"


def outlier_words(name: str, figure: Figure, expected: float, deviations: float) -> str:
    """Why a figure does not count: 'roll of 3a.T1 (330 m where all else leads to expect 112 m, 6.1 sd)'."""
    unit = figure.measured.dimension.value
    measured = show(figure.measured.value, unit, figure.measured.sd, dimension=figure.measured.dimension)
    by_others = float(np.exp(expected)) if figure.log else expected
    shown = show(by_others, unit, dimension=figure.measured.dimension)
    return (
        f"{name} ({measured} where all else leads to expect {shown}, {abs(deviations):.1f} standard "
        "deviations off)"
    )


def surprises(results: Sequence[ParameterResult]) -> Iterable[str]:
    """Parameters that the flights put where hardly anybody believed them to be."""
    for result in results:
        mean, sd = in_fit_space(result.parameter)
        value = result.posterior.value
        found = float(np.log(value)) if result.parameter.log else value
        off = (found - mean) / sd
        if abs(off) > SURPRISING:
            side = "above" if off > 0.0 else "below"
            name = result.parameter.name
            yield (
                f"{name} comes out {abs(off):.1f} standard deviations {side} what was believed: look for "
                "a fault in the description or the points, or give a prior of your own"
            )


def scatter_words(scales: FloatArray, families: Sequence[str]) -> Iterable[str]:
    """One sentence for each family whose figures scatter much more or less than such figures usually do."""
    for name, scale in zip(FAMILIES, scales, strict=True):
        if name in families and not 1.0 / UNLIKE < scale < UNLIKE:
            manner = "more" if scale > 1.0 else "less"
            yield f"{name} figures scatter {manner} than usual: {scale:.1f} times the size set beforehand"


def identifiability(results: Sequence[ParameterResult], covariance: FloatArray) -> Iterable[str]:
    """Parameters of which the flights said nothing, and pairs that they could not tell apart, each with the
    flight that would mend it.
    """
    silent = [
        result.parameter.name
        for result in results
        if result.taught < SILENT and result.parameter.source != READ_OFF
    ]
    for mend, names in _by_mend(silent).items():
        yield f"the flights say next to nothing of {', '.join(names)}: the priors stand; {mend}"
    deviations = np.sqrt(np.diag(covariance))
    correlation = covariance / np.outer(deviations, deviations)
    for first in range(len(results)):
        for second in range(first):
            if abs(correlation[first, second]) > INSEPARABLE:
                one, other = results[second].parameter.name, results[first].parameter.name
                what = "ratio" if correlation[first, second] > 0.0 else "product"
                mends = " or ".join(dict.fromkeys((mending(one), mending(other))))
                yield f"the flights fix the {what} of {one} and {other} better than either; {mends}"


def _by_mend(names: Sequence[str]) -> dict[str, list[str]]:
    gathered: dict[str, list[str]] = {}
    for name in names:
        gathered.setdefault(mending(name), []).append(name)
    return gathered


def mending(name: str) -> str:
    """What to fly, or else to find out, to know a parameter better.

    Examples
    --------
    >>> mending("maximum lift coefficient: flap 15")
    'stalls with flaps 15 would mend it'
    >>> mending("rolling friction: snow")
    'take-offs from snow would mend it'
    """
    stem, _, rest = name.partition(": ")
    if rest.startswith("flap ") and stem in FLAP_MENDS:
        return f"{FLAP_MENDS[stem]} {rest.removeprefix('flap ')} would mend it"
    words = MENDS.get(stem)
    if words is None:
        return "more points of every kind would mend it"
    return words.format(rest)
