"""Which beliefs about an airplane a dossier may replace: the performance model's parameters by name."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from wringout.airplane.bounds import must
from wringout.airplane.lookups import unknown_name
from wringout.problems import Problem
from wringout.quantity.dimensions import Dimension

if TYPE_CHECKING:
    from wringout.airplane.airplane import Airplane, PriorOverride

RATIO, AREA = Dimension.RATIO, Dimension.AREA
# Followed by ': ' and a surface, a technique or a pilot, whichever it be.
ROLLING = "rolling friction"
TAKE_OFF_STEMS = ("lift-off speed ratio", "rotation load increment", "obstacle speed ratio")
LANDING_STEMS = (
    "approach speed ratio",
    "approach angle",
    "flare load increment",
    "touchdown speed ratio",
    "braking effort",
)
TAKE_OFF_HABITS = ("lift-off speed habit", "rotation habit", "obstacle speed habit")
LANDING_HABITS = (
    "approach speed habit",
    "approach angle habit",
    "flare habit",
    "touchdown speed habit",
    "braking habit",
)
OPEN_STEMS = (ROLLING, *TAKE_OFF_STEMS, *LANDING_STEMS, *TAKE_OFF_HABITS, *LANDING_HABITS)


def named_parameters(airplane: Airplane) -> dict[str, Dimension]:
    """Parameters that the airplane's own description names, with the dimension of each."""
    found = {
        "zero-lift drag area": AREA,
        "span efficiency": RATIO,
        "idle propeller drag area": AREA,
        "engine power factor": RATIO,
        "specific consumption factor": RATIO,
    }
    if airplane.engine.kind != "electric":
        burning = (
            "engine altitude drop",
            "engine heat exponent",
            "full-rich power",
            "full-rich consumption factor",
        )
        found |= dict.fromkeys(burning, RATIO)
    governed = airplane.propeller.kind == "constant speed"
    own = (
        ("propeller static efficiency", "propeller cruise efficiency")
        if governed
        else ("propeller polar slope", "propeller polar intercept")
    )
    found |= dict.fromkeys(own, RATIO)
    found["cruise engine speed" if governed else "full-throttle engine speed"] = Dimension.ROTATION
    for configuration in airplane.configurations[1:]:
        found[f"drag-area change: {configuration.name}"] = AREA
        if configuration.undercarriage.braking:
            found[f"braking change: {configuration.name}"] = RATIO
    for flap in airplane.flaps:
        found[f"maximum lift coefficient: flap {flap.name}"] = RATIO
    for flap in airplane.flaps[1:]:
        found[f"drag-area change: flap {flap.name}"] = AREA
    return found


def prior_problems(airplane: Airplane) -> Iterator[Problem]:
    """Priors of no parameter, of another dimension, or impossible where the parameter is positive."""
    known = named_parameters(airplane)
    for index, prior in enumerate(airplane.priors):
        stem, _, rest = prior.parameter.partition(": ")
        place = f"priors[{index}]"
        if stem in OPEN_STEMS and rest:
            dimension = Dimension.ANGLE if stem == "approach angle" else RATIO
        elif prior.parameter in known:
            dimension = known[prior.parameter]
        else:
            names = (*known, *(f"{name}: …" for name in OPEN_STEMS))
            yield unknown_name("parameter", prior.parameter, names).at(field=f"{place}.parameter")
            continue
        yield from _value_problems(prior, dimension, {item.name for item in airplane.configurations}, place)


def _value_problems(
    prior: PriorOverride, dimension: Dimension, configurations: set[str], place: str
) -> Iterator[Problem]:
    stated = prior.dimension
    yield from must(
        stated is None or stated is dimension,
        f"{place}.value",
        f"the prior of '{prior.parameter}' is in {'' if stated is None else stated.value}, "
        f"the parameter in {dimension.value}",
        "write it with a unit of its kind" if dimension is not RATIO else "write it without a unit",
    )
    stem, _, rest = prior.parameter.partition(": ")
    yield from must(
        prior.mean > 0.0 or (stem == "drag-area change" and rest in configurations),
        f"{place}.value",
        f"'{prior.parameter}' is never {prior.mean:g}",
        "give a value above zero",
    )
