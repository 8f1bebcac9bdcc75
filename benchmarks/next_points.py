"""Is a flight planned by `next` worth more than one spread evenly over every kind of point?

Run: .venv/bin/python -m benchmarks.next_points [airplanes] [minutes]
Invented airplanes are drawn from their priors, flown over three days of points, and then fly one sortie
more, chosen either way from the same menu. Prints, for each question, the root mean square error of the
answer in per cent before the sortie and after each, and the standard deviation stated; a sortie that pays has
both below the even one's.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass, replace
from string import ascii_lowercase

import numpy as np
from tests.model.invented import airplane, flown_by, planned, true_vector

from wringout.model import candidates, design, fit, parameters, predict, sortie
from wringout.model.candidates import KINDS, Candidate, Kind, Limits
from wringout.model.fit import Fit
from wringout.model.question import Question
from wringout.model.vehicles import FloatArray, theta_of
from wringout.reduction.points import Origin, Points

QUESTIONS = (
    Question("rate of climb", "tail wheel", 1050.0, pressure_altitude=2000.0),
    Question("landing ground roll", "tail wheel", 1050.0, technique="short", cg=0.55),
    Question("stall speed", "tail wheel", 1050.0, flap="15"),
    Question("full-throttle speed", "tail wheel", 1050.0, pressure_altitude=2500.0),
)


@dataclass(frozen=True, slots=True)
class Flown:
    """What an airplane flew first, what it truly is, and the errors that it keeps."""

    points: Points
    vector: FloatArray
    shared: dict[object, float]


def even(offered: Sequence[Candidate], longest: float) -> tuple[Origin, ...]:
    """One of each kind in turn, and its speeds, heights and flaps in turn, until the time is used."""
    kinds: dict[str, list[Candidate]] = {}
    for repeat in ascii_lowercase:  # every point once before any is flown again
        for item in offered:
            if item.origin.point.endswith(repeat):
                kinds.setdefault(item.kind, []).append(item)
    for kind, listed in kinds.items():
        kinds[kind] = [item for start in range(3) for item in listed[start::3]]
    chosen: list[Origin] = []
    left = longest
    while True:
        before = left
        for listed in kinds.values():
            if listed and listed[0].time <= left:
                item = listed.pop(0)
                chosen.append(item.origin)
                left -= item.time
        if left == before:
            return tuple(chosen)


def only(points: Points, chosen: Sequence[Origin]) -> Points:
    """The points of these origins."""
    wanted = set(chosen)
    return replace(
        points,
        stalls=tuple(point for point in points.stalls if point.origin in wanted),
        levels=tuple(point for point in points.levels if point.origin in wanted),
        climbs=tuple(point for point in points.climbs if point.origin in wanted),
        takeoffs=tuple(point for point in points.takeoffs if point.origin in wanted),
        landings=tuple(point for point in points.landings if point.origin in wanted),
    )


def both(first: Points, second: Points) -> Points:
    """The points of two flights."""
    return replace(
        first,
        stalls=first.stalls + second.stalls,
        levels=first.levels + second.levels,
        climbs=first.climbs + second.climbs,
        takeoffs=first.takeoffs + second.takeoffs,
        landings=first.landings + second.landings,
    )


def vector_for(taken: Points, points: Points, vector: FloatArray) -> FloatArray:
    """The true airplane's vector in the order of the parameters that some points speak about."""
    names = [prior.name for prior in parameters(airplane(), points)]
    return np.array([vector[names.index(prior.name)] for prior in parameters(airplane(), taken)])


def exact(fitted: Fit, points: Points, vector: FloatArray) -> Fit:
    """The true airplane as a fit of one draw."""
    theta = theta_of(parameters(airplane(), points), vector[None, :])
    draw = [theta[result.parameter.name][0, 0] for result in fitted.parameters]
    none = {"performance": 0.0, "take-off": 0.0, "landing": 0.0}
    return replace(fitted, draws=np.array([draw]), scatter_scales=none)


def campaign(number: int, plan: Points, questions: Sequence[Question], longest: float) -> FloatArray:
    """One invented airplane, shape (questions, 3, 2): before, after the even sortie and after the ranked one,
    the answer's error and its stated standard deviation, relative to the truth."""
    made = airplane()
    rng = np.random.default_rng([11, number])
    vector = true_vector(made, plan, rng)
    shared: dict[object, float] = {}
    points = flown_by(made, plan, vector, rng, shared)
    first = Flown(points, vector, shared)
    fitted = fit(made, points, seed=1, draws=400)
    kinds: tuple[Kind, ...] = KINDS if plan.landings else ("level", "climb", "glide", "stall")
    menu = candidates(made, fitted, (), "tail wheel", Limits(kinds=kinds))
    times = {item.origin: item.time for item in menu.candidates}
    table = np.zeros((len(questions), 3, 2))
    spread = even(menu.candidates, longest)
    after_even = flown_too(first, menu.points, spread, seed=number)
    for row, question in enumerate(questions):
        truth = predict(made, exact(fitted, points, vector), question).estimate.value
        steps = sortie(design(made, fitted, menu.points, question), times, longest)
        ranked = [step.origin for step in steps]
        known = flown_too(first, menu.points, ranked, seed=number) if ranked else fitted
        for column, each in enumerate((fitted, after_even, known)):
            answer = predict(made, each, question).estimate
            table[row, column] = answer.value / truth - 1.0, (answer.sd or 0.0) / truth
    return table


def flown_too(first: Flown, offered: Points, chosen: Sequence[Origin], *, seed: int) -> Fit:
    """The fit to what was flown first and to the points chosen, as the true airplane gives them."""
    taken = only(offered, chosen)
    own = vector_for(taken, first.points, first.vector)
    rng = np.random.default_rng(seed)
    flight = flown_by(airplane(), taken, own, rng, dict(first.shared))
    return fit(airplane(), both(first.points, flight), seed=1, draws=400)


def main() -> None:
    """Print the table."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    longest = 60.0 * (float(sys.argv[2]) if len(sys.argv) > 2 else 40.0)
    every = [campaign(number, planned(), QUESTIONS, longest) for number in range(count)]
    table = np.stack(every, axis=-1)
    print(f"{count} airplanes, {longest / 60.0:.0f} minutes; error rms and stated sd, per cent")
    print(f"{'':22s} {'before':>13s} {'even':>13s} {'next':>13s}")
    for question, cases in zip(QUESTIONS, table, strict=True):
        cells = [
            f"{100 * np.sqrt(np.mean(cell[0] ** 2)):5.2f} {100 * np.mean(cell[1]):6.2f} " for cell in cases
        ]
        print(f"{question.quantity:22s} {' '.join(cells)}")
    errors = np.sqrt(np.mean(table[:, :, 0] ** 2, axis=-1))
    print(
        f"after the ranked sortie the error is {np.mean(errors[:, 2] / errors[:, 1]):.2f} of the even one's"
    )


if __name__ == "__main__":
    main()
