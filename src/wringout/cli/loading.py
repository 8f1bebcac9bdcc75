"""`loading`: the airplane weighed and loaded."""

from __future__ import annotations

from pathlib import Path

from wringout.dossier.dossier import Units
from wringout.loading import LoadingReport, LoadingState, MassRow


def loading(folder: Path = Path(), /, *, card: str | None = None, json: bool = False) -> int:
    """Weigh and load: empty mass of each configuration, each card's loading, margins to the envelope.

    Parameters
    ----------
    folder
        The dossier.
    card
        Only this card's loading.
    json
        Answer as JSON, in SI.
    """
    from wringout.cli.output import caution, print_json, say, table
    from wringout.cli.points import plain
    from wringout.dossier import load
    from wringout.evaluation.loads import empty_masses, loadings_of
    from wringout.quantity import show_estimate

    dossier = load(folder)
    units = dossier.units
    empty = empty_masses(dossier.airplane)
    loadings = {name: item for name, item in loadings_of(dossier).items() if card in (None, name)}
    if json:
        print_json({"empty": plain(empty), "loadings": plain(loadings)})
        return 0
    table(
        "Empty",
        ("configuration", "mass", "arm"),
        (
            (name, show_estimate(item.mass, units.mass), show_estimate(item.arm, units.arm))
            for name, item in empty.items()
        ),
    )
    report: LoadingReport | None = None
    for name, report in loadings.items():
        say(f"{name} ({report.configuration}): {report.sentence(units.mass, units.arm)}")
        table("", ("item", "mass", "arm", "moment"), _rows(report.rows, units))
        table(
            "",
            ("state", "mass", "CG", "to forward limit", "to aft limit", "mass left", "nearest"),
            (_state(state, units) for state in report.states),
        )
        for limit in report.limits:
            if not limit.within:
                say(f"  Beyond a limit: {limit.kind} {limit.name}.")
        for note in report.notes:
            say(f"  {note}")
    if report is not None:
        caution(report.caution)
    return 0


def _rows(rows: tuple[MassRow, ...], units: Units) -> list[tuple[str, ...]]:
    from wringout.quantity import show

    return [
        (
            row.name,
            show(row.mass, units.mass, digits=1),
            show(row.arm, units.arm, digits=0),
            f"{row.moment:.1f} kg·m",
        )
        for row in rows
    ]


def _state(state: LoadingState, units: Units) -> tuple[str, ...]:
    from wringout.quantity import show, show_estimate

    return (
        state.name,
        show_estimate(state.mass, units.mass),
        show_estimate(state.cg, units.arm),
        show(state.forward, units.arm, digits=0),
        show(state.aft, units.arm, digits=0),
        show(state.mass_margin, units.mass, digits=0),
        state.nearest,
    )
