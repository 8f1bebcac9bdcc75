"""Options and exchange kits: any build of the airplane weighed and priced, or refused with the reason."""

from wringout.outfitting.build import (
    CAUTION,
    Build,
    Refused,
    build,
    build_or_refused,
    configuration_builds,
    fitted_options,
)
from wringout.outfitting.change import Change, Step, change, negligible
from wringout.outfitting.compatibility import refusals

__all__ = [
    "CAUTION",
    "Build",
    "Change",
    "Refused",
    "Step",
    "build",
    "build_or_refused",
    "change",
    "configuration_builds",
    "fitted_options",
    "negligible",
    "refusals",
]
