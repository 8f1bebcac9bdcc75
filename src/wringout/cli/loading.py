"""`loading`: the airplane weighed and loaded."""

from __future__ import annotations

from pathlib import Path

from wringout.dossier.dossier import Units
from wringout.loading import LoadingReport, LoadingState


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
    from wringout.cli.output import bare, caution, headed, print_json, say, table
    from wringout.cli.points import plain
    from wringout.dossier import load
    from wringout.evaluation.loads import empty_masses, loadings_of
    from wringout.quantity import arm_digits

    dossier = load(folder)
    units = dossier.units
    empty = empty_masses(dossier.airplane)
    loadings = {name: item for name, item in loadings_of(dossier).items() if card in (None, name)}
    if json:
        print_json({"empty": plain(empty), "loadings": plain(loadings)})
        return 0
    mass, arm = units.mass, units.arm
    table(
        "Empty",
        ("configuration", headed("mass", mass), headed("arm", arm)),
        (
            (name, bare(item.mass.value, mass, item.mass.sd), bare(item.arm.value, arm, item.arm.sd))
            for name, item in empty.items()
        ),
    )
    report: LoadingReport | None = None
    for name, report in loadings.items():
        say(f"{name} ({report.configuration}): {report.sentence(units.mass, units.arm)}")
        table(
            "",
            ("item", headed("mass", mass), headed("arm", arm), headed("moment", "kg·m")),
            (
                (
                    row.name,
                    bare(row.mass, mass, digits=1),
                    bare(row.arm, arm, digits=arm_digits(arm)),
                    f"{row.moment:.1f}",
                )
                for row in report.rows
            ),
        )
        table(
            "",
            (
                "state",
                headed("mass", mass),
                headed("CG", arm),
                headed("to forward limit", arm),
                headed("to aft limit", arm),
                headed("mass left", mass),
                "nearest",
            ),
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


def _state(state: LoadingState, units: Units) -> tuple[str, ...]:
    from wringout.cli.output import bare
    from wringout.quantity import arm_digits

    return (
        state.name,
        bare(state.mass.value, units.mass, state.mass.sd),
        bare(state.cg.value, units.arm, state.cg.sd),
        bare(state.forward, units.arm, digits=arm_digits(units.arm)),
        bare(state.aft, units.arm, digits=arm_digits(units.arm)),
        bare(state.mass_margin, units.mass, digits=0),
        state.nearest,
    )
