"""The folder of one evaluation: read it, check it, make a new one, write into it safely."""

from wringout.dossier.creation import create
from wringout.dossier.dossier import Dossier, Load, Mission, Strip, Units
from wringout.dossier.editing import set_value
from wringout.dossier.files import read_file, write_file
from wringout.dossier.reading import check, examine, load

__all__ = [
    "Dossier",
    "Load",
    "Mission",
    "Strip",
    "Units",
    "check",
    "create",
    "examine",
    "load",
    "read_file",
    "set_value",
    "write_file",
]
