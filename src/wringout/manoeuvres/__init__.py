"""Finding manoeuvres in a recording, and measuring them."""

from wringout.manoeuvres.finding import find
from wringout.manoeuvres.manoeuvre import Event, Manoeuvre, ManoeuvreKind
from wringout.manoeuvres.mark import TimedMark, TimedSpan

__all__ = ["Event", "Manoeuvre", "ManoeuvreKind", "TimedMark", "TimedSpan", "find"]
