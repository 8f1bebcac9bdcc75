"""Claims of stopping: the deceleration that arithmetic asks for, against what tyres and pilots give."""

from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from wringout.claims.case import TAUGHT, Case, Opinion
from wringout.claims.grip import grip_of, most_braking
from wringout.claims.relation import interval, probability_of_samples
from wringout.claims.verdict import Evidence
from wringout.model.surfaces import surface_prior
from wringout.physics.constants import GRAVITY
from wringout.physics.ground import stopping_deceleration
from wringout.quantity.dimensions import Dimension
from wringout.quantity.estimate import Estimate

FloatArray = NDArray[np.float64]

DRAWS = 4000
AIR_DRAG = 0.02  # g, mean over the stop at such speeds, generous (common practice, no source)


def stopping_opinion(case: Case) -> Opinion:
    """Whether the airplane can stop from the claim's speed in the claim's distance.

    Uniform deceleration asks the least: a/g = (V − V_w)²/(2 s g). Against it stand the grip of the surface
    on these wheels, a bound with its own uncertainty, and the braking that pilots used in the landings flown.
    """
    claim, words = case.claim, case.words
    speed = claim.conditions.speed
    if speed is None:
        return Opinion(None, "the claim does not say from what speed, so nothing can be reckoned", ())
    wind = claim.conditions.head_wind
    needed = float(stopping_deceleration(speed, claim.value, wind))
    available = _available(case)
    # Judged with the rounding given to the maker, told as published.
    possible = float(np.mean(available >= stopping_deceleration(speed, interval(claim)[1], wind)))
    physics = Evidence(
        "physics",
        Estimate(needed, None, Dimension.RATIO, "deceleration over g"),
        possible,
        f"{_stop(case, speed, wind, claim.value)} needs {_g(needed)}, {_compared(needed, available)} on "
        f"{case.assumed.surface} with this undercarriage ({_g(float(np.median(available)))}, of a "
        "friction of "
        f"{_friction(case)}); {_other_wind(case, speed)}",
    )
    evidence = (physics, *_flown(case, needed))
    gap = f"a stop needs {_g(needed)} and the wheels give {_g(float(np.median(available)))}"
    if possible <= 0.10:
        return Opinion(possible, f"{gap}: more than tyres and undercarriage allow", evidence)
    shown = _by_model(case, speed, wind)
    if shown is None:
        return Opinion(None, f"{gap}: possible, but no landing flown shows that it is done", evidence)
    likely = probability_of_samples(claim, shown)
    model = Evidence(
        "model",
        Estimate(float(np.median(shown)), float(np.std(shown)), Dimension.LENGTH, "fitted braking"),
        likely,
        f"braked as in the landings flown: {words.distance(float(np.median(shown)))}",
    )
    return Opinion(
        min(likely, possible),
        f"{gap}; braked as in the landings flown it takes {words.distance(float(np.median(shown)))}",
        (*evidence, model),
    )


def _available(case: Case) -> FloatArray:
    """Draws of the most deceleration over g on this surface with these wheels, slope and air drag helping."""
    grip = grip_of(case.assumed.surface)
    rng = np.random.default_rng(crc32(case.assumed.surface.encode()))
    friction = np.maximum(grip.value + (grip.sd or 0.0) * rng.standard_normal(DRAWS), 0.01)
    return most_braking(case, friction) + AIR_DRAG + case.claim.conditions.slope


def _other_wind(case: Case, speed: float) -> str:
    """The other half: still air where a wind is claimed, a round wind where none is."""
    wind = case.claim.conditions.head_wind
    other = 0.0 if wind else case.words.round_wind()
    needed = float(stopping_deceleration(speed, case.claim.value, other))
    verb = "would ask for" if wind else "bring it to"
    said = "still air" if wind else f"{case.words.speed(other)} of head wind would"
    return f"{said} {verb} {_g(needed)}"


def _stop(case: Case, speed: float, wind: float, distance: float) -> str:
    words = case.words
    air = "in still air" if not wind else f"against {words.speed(wind)} of wind"
    return f"a stop in {words.distance(distance)} from {words.speed(speed)} {air}"


def _compared(needed: float, available: FloatArray) -> str:
    low, high = np.quantile(available, [0.05, 0.95])
    if needed > high:
        return "more than tyres give"
    return "less than tyres give" if needed < low else "about what tyres give"


def _friction(case: Case) -> str:
    grip = grip_of(case.assumed.surface)
    return f"{grip.value:.2f} ± {grip.sd or 0.0:.2f}, {grip.source}"


def _g(value: float) -> str:
    return f"{value:.2f} g" if value < 0.1 else f"{value:.1f} g" if value >= 1.0 else f"{value:.2f} g"


def _flown(case: Case, needed: float) -> tuple[Evidence, ...]:
    """The hardest braking measured in this configuration."""
    name = case.assumed.configuration.name
    landings = [point for point in case.points.landings if point.conditions.configuration == name]
    if not landings:
        return ()
    hardest = max(landings, key=lambda point: point.mean_braking.value)
    return (
        Evidence(
            "measured",
            hardest.mean_braking,
            None,
            f"the hardest of {len(landings)} landings measured as {name} braked at "
            f"{_g(hardest.mean_braking.value)} on {hardest.surface}; {_g(needed)} are needed",
            (hardest.origin,),
        ),
    )


def _by_model(case: Case, speed: float, wind: float) -> FloatArray | None:
    """Stopping distances with the braking effort of the hardest technique flown; None without any."""
    if not any(
        row.kind == "landing" and row.configuration == case.assumed.configuration.name
        for row in case.fit.flown
    ):
        return None
    stem = "braking effort: "
    learnt = {
        result.parameter.name: result
        for result in case.fit.parameters
        if result.parameter.name.startswith(stem) and result.taught >= TAUGHT
    }
    if not learnt:
        return None
    hardest = max(learnt, key=lambda name: learnt[name].posterior.value)
    names = [result.parameter.name for result in case.fit.parameters]
    effort = case.fit.draws[:, names.index(hardest)]
    change = f"braking change: {case.assumed.configuration.name}"
    if change in names:
        effort = effort * case.fit.draws[:, names.index(change)]
    slowing = most_braking(case, effort * surface_prior(case.assumed.surface).braking)
    slowing = np.maximum(slowing + AIR_DRAG + case.claim.conditions.slope, 1e-3)
    return np.asarray(max(speed - wind, 0.0) ** 2 / (2.0 * GRAVITY * slowing))
