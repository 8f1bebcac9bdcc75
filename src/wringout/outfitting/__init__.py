"""Options and exchange kits: any build of the airplane weighed and priced, or refused with the reason."""

from wringout.outfitting.build import CAUTION, Build, build, fitted_options
from wringout.outfitting.change import Change, Step, change, negligible
from wringout.outfitting.compatibility import refusals

__all__ = [
    "CAUTION",
    "Build",
    "Change",
    "Step",
    "build",
    "change",
    "fitted_options",
    "negligible",
    "refusals",
]
