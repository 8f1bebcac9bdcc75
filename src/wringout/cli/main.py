"""One program, one subcommand for each question; exit codes 0 fine, 1 the input has problems, 2 usage."""

from __future__ import annotations

import sys
from typing import Any

from cyclopts import App

from wringout.problems import InputError

# Commands are named by import path: nothing of a command is imported before it is called.
COMMANDS = {
    "demo": ("make", "Make the invented demo dossier, evaluate it and print its report."),
    "new": ("make", "Make a commented dossier to fill in."),
    "check": ("check", "List every problem of a dossier with file, line and what mends it."),
    "card": ("card", "Print the test cards for the knee: what to load, the points, blanks to write in."),
    "columns": ("columns", "What the columns of a table seem to mean, and the card's recording to paste."),
    "loading": ("loading", "Weigh and load: empty mass, CG, margins to the envelope, limits."),
    "gear": ("machine", "The undercarriage: loads, tipping, clearances, turning, soft ground, floats."),
    "electrics": ("machine", "What goes dark and when after a failure, and how far that carries."),
    "options": ("builds", "Options and exchange kits: each build weighed and priced, before against after."),
    "flights": ("flights", "Manoeuvres found in the recordings."),
    "points": ("points", "Test points reduced from the manoeuvres."),
    "fit": ("fit", "Fit the performance model: prior, posterior, residuals."),
    "predict": ("predict", "One performance figure at your mass, height, air, wind and ground."),
    "next": ("next", "What to fly next: the points that most narrow one answer or settle one claim."),
    "strips": ("strips", "How often each strip can be used through a year of weather, and what stops it."),
    "survey": ("survey", "The same for a whole table of runways, on every core or a cluster."),
    "cost": ("cost", "What an hour, a year and a trip cost, what that hangs on, and where two break even."),
    "compare": ("compare", "Configurations or airplanes on the same missions: what each gains and gives up."),
    "missions": ("missions", "What goes and stays on each mission, leg by leg, and what would help."),
    "claims": ("claims", "The maker's claims, each with its verdict and arithmetic."),
    "handling": (
        "handling",
        "How it handled: ratings on the ten-point scale, forces, stalls, what was said.",
    ),
    "report": ("report", "Print the report as PDF, with its figures as SVG."),
    "workbench": ("workbench", "Work on dossiers in the browser, on this machine and without network."),
    "air": ("air", "Atmosphere and airspeeds at a condition."),
}


def app() -> App:
    """The program with all its commands, none of them imported yet."""
    program = App(
        name="wringout",
        help="What will this airplane really do for your work? From its description, its maker's claims and "
        "its flight recordings.",
        version_flags=["--version"],
        result_action="return_value",
    )
    for name, (module, summary) in COMMANDS.items():
        program.command(f"wringout.cli.{module}:{name.replace('-', '_')}", name=name, help=summary)
    return program


def main(arguments: list[str] | None = None) -> None:
    """Run one command line and leave with its exit code."""
    sys.exit(run(sys.argv[1:] if arguments is None else arguments))


def run(arguments: list[str]) -> int:
    """Run one command line; the exit code."""
    from cyclopts import CycloptsError

    try:
        result: Any = app()(arguments, exit_on_error=False)
    except CycloptsError:
        return 2
    except InputError as error:
        from wringout.cli.output import show_problems

        show_problems(error.problems, as_json="--json" in arguments)
        return 1
    except BrokenPipeError:  # the reader of our output has gone, e.g. `| head`
        sys.stderr.close()
        return 0
    except OSError as error:
        sys.stderr.write(f"{error.filename or 'A file'}: {error.strerror or error}.\n")
        return 1
    return int(result) if isinstance(result, int) else 0
