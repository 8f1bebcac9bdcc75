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
from dataclasses import replace

import numpy as np
from tests.model.invented import airplane, flown_by, planned, true_vector

from wringout.model import candidates, design, fit, parameters, predict, sortie
from wringout.model.candidates import Candidate
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


def even(offered: Sequence[Candidate], longest: float) -> tuple[Origin, ...]:
    """One of each kind in turn, speeds and heights as they come, until the time is used."""
    kinds = {item.kind: [other for other in offered if other.kind == item.kind] for item in offered}
    chosen: list[Origin] = []
    left = longest
    while True:
        before = left
        for listed in kinds.values():
            if listed and listed[0].time <= left:
                step = max(1, len(listed) // 4)
                item = listed.pop((step * len(chosen)) % len(listed))
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


def main() -> None:
    """Print the table."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    longest = 60.0 * (float(sys.argv[2]) if len(sys.argv) > 2 else 40.0)
    made, plan = airplane(), planned()
    table = np.zeros((len(QUESTIONS), 3, 2, count))
    for number in range(count):
        rng = np.random.default_rng([11, number])
        vector = true_vector(made, plan, rng)
        points = flown_by(made, plan, vector, rng)
        fitted = fit(made, points, seed=1, draws=400)
        menu = candidates(made, fitted, (), "tail wheel")
        times = {item.origin: item.time for item in menu.candidates}
        for row, question in enumerate(QUESTIONS):
            truth = predict(made, exact(fitted, points, vector), question).estimate.value
            experiment = design(made, fitted, menu.points, question)
            planned_so = [step.origin for step in sortie(experiment, times, longest)]
            for column, chosen in enumerate(((), even(menu.candidates, longest), planned_so)):
                known = fitted
                if chosen:
                    taken = only(menu.points, chosen)
                    own = vector_for(taken, points, vector)
                    flight = flown_by(made, taken, own, np.random.default_rng(number))
                    known = fit(made, both(points, flight), seed=1, draws=400)
                answer = predict(made, known, question).estimate
                table[row, column, :, number] = answer.value / truth - 1.0, (answer.sd or 0.0) / truth
    print(f"{count} airplanes, {longest / 60.0:.0f} minutes; error rms and stated sd, per cent")
    print(f"{'':22s} {'before':>13s} {'even':>13s} {'next':>13s}")
    for question, cases in zip(QUESTIONS, table, strict=True):
        cells = [
            f"{100 * np.sqrt(np.mean(cell[0] ** 2)):5.2f} {100 * np.mean(cell[1]):6.2f} " for cell in cases
        ]
        print(f"{question.quantity:22s} {' '.join(cells)}")


if __name__ == "__main__":
    main()
