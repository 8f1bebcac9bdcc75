"""`fit`: the model fitted to the points."""

from __future__ import annotations

from pathlib import Path


def fit(folder: Path = Path(), /, *, json: bool = False) -> int:
    """Fit the performance model: prior, posterior, how much the flights taught, and points that do not fit.

    Parameters
    ----------
    folder
        The dossier.
    json
        Answer as JSON, in SI.
    """
    from wringout.cli.output import print_json, progress, say, table
    from wringout.cli.points import plain
    from wringout.evaluation import fit_model

    with progress(quiet=json) as tell:
        _, _, result = fit_model(folder, tell)
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
