"""`fit`: the model fitted to the points."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from wringout.airplane.airplane import Airplane
    from wringout.model.fit import Fit
    from wringout.reduction.points import Points


def fit(folder: Path = Path(), /, *, sampler: bool = False, steps: int = 2000, json: bool = False) -> int:
    """Fit the performance model: prior, posterior, how much the flights taught, and points that do not fit.

    Parameters
    ----------
    folder
        The dossier.
    sampler
        Hold the fit against an ensemble of walkers instead; takes a minute or more.
    steps
        Of each walker.
    json
        Answer as JSON, in SI.
    """
    from wringout.cli.output import print_json, progress, say, table
    from wringout.cli.points import plain
    from wringout.evaluation import fit_model

    with progress(quiet=json) as tell:
        dossier, points, result = fit_model(folder, tell)
    if sampler:
        return _sampled(dossier.airplane, points, result, steps, json=json)
    if json:
        print_json(
            {
                "parameters": [
                    {
                        "name": row.parameter.name,
                        "meaning": row.parameter.meaning,
                        "prior": {
                            "value": row.parameter.mean,
                            "unit": row.parameter.dimension.value,
                            "sd": row.parameter.sd,
                            "source": row.parameter.source,
                        },
                        "posterior": plain(row.posterior),
                        "taught": row.taught,
                    }
                    for row in result.parameters
                ],
                "residuals": plain(result.residuals),
                "messages": list(result.messages),
            }
        )
        return 0
    for message in result.messages:
        say(message)
    table(
        "Prior → posterior",
        ("parameter", "meaning", "prior", "posterior", "taught"),
        (
            (
                row.parameter.name,
                row.parameter.meaning,
                f"{row.parameter.mean:.4g} ± {row.parameter.sd:.2g}",
                f"{row.posterior.value:.4g} ± {row.posterior.sd or 0.0:.2g}",
                f"{row.taught:.0%}",
            )
            for row in result.parameters
        ),
        words=2,
    )
    odd = [residual for residual in result.residuals if residual.outlier]
    if not odd:
        say("Every point fits within what its uncertainty allows.")
        return 0
    table(
        "Points that do not fit",
        ("card", "point", "figure", "measured", "fitted", "in sd"),
        (
            (
                residual.origin.card,
                residual.origin.point,
                residual.what,
                f"{residual.measured.value:.4g}",
                f"{residual.fitted:.4g}",
                f"{residual.standardised:+.1f}",
            )
            for residual in odd
        ),
        words=3,
    )
    return 0


def _sampled(airplane: Airplane, points: Points, fitted: Fit, steps: int, *, json: bool) -> int:
    """The normal approximation beside the ensemble, a parameter a row."""
    from wringout.cli.output import print_json, say, table
    from wringout.cli.points import plain
    from wringout.evaluation.pipeline import SEED
    from wringout.model.sampling import sample

    found = sample(airplane, points, fitted, seed=SEED, steps=steps)
    walked = found.ensemble
    if json:
        print_json(
            {
                "effective": walked.effective,
                "autocorrelation": walked.autocorrelation,
                "acceptance": walked.acceptance,
                "parameters": plain(found.comparisons),
            }
        )
        return 0
    say(
        f"{walked.effective:.0f} effective draws of the slowest parameter, whose autocorrelation lasts "
        f"{walked.autocorrelation:.0f} steps; {walked.acceptance:.0%} of the moves taken."
    )
    table(
        "Normal approximation against the ensemble",
        ("parameter", "mean off, in sd", "sd over sd"),
        ((row.name, f"{row.shift:+.2f}", f"{row.ratio:.2f}") for row in found.comparisons),
        words=1,
    )
    worst = max(found.comparisons, key=lambda row: abs(row.shift))
    say(f"Farthest off: {worst.name}, {worst.shift:+.2f} of its standard deviation.")
    return 0
