"""Finding manoeuvres in a recording, and measuring them."""

from wringout.manoeuvres.finding import find
from wringout.manoeuvres.manoeuvre import Event, Manoeuvre, ManoeuvreKind
from wringout.manoeuvres.mark import TimedMark

__all__ = ["Event", "Manoeuvre", "ManoeuvreKind", "TimedMark", "find"]
