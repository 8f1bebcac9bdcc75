"""The surface codes and spellings of open runway tables → names of the friction table."""

from __future__ import annotations

import re

_SPELLINGS: dict[str, str] = {
    "dry concrete": "asp asph asphalt ashpalt con conc concrete bit bitum bitumen paved pav pem per mac "
    "macadam tar tarmac tarmacadam hard",
    "dry grass": "grs gras grass graas grassy turf torf sod herbe",
    "gravel": "gvl grvl gravel gre grav coral cor cinders",  # gre: gravel or graded earth, of one friction
    "firm dirt": "dirt earth cla clay lat laterite soil",
    "sand": "san sand",
    "snow": "snow sno",
    "icy concrete": "ice",
    "salt pan": "salt",
}  # fmt: skip
_NAMES = {word: name for name, words in _SPELLINGS.items() for word in words.split()}
# A word that only says more of the surface beside it: its condition, its treatment.
_BESIDE = {
    "e", "g", "f", "p", "l", "grvd", "grooved", "trtd", "treated", "good", "fair", "poor", "excellent",
    "hard", "crushed", "dry", "short", "surface",
}  # fmt: skip
# From the firmest: of two surfaces on one strip the later counts.
_ORDER = ("dry concrete", "salt pan", "firm dirt", "gravel", "dry grass", "icy concrete", "snow", "sand")


def surface_of(code: str) -> str | None:
    """The friction table's name for a code; None where it is not known, and nothing is guessed.

    Of several surfaces on one strip the softest counts.

    Examples
    --------
    >>> surface_of("TURF-G"), surface_of("ASPH-GRVL-F"), surface_of("Grass / Sod"), surface_of("UNK")
    ('dry grass', 'gravel', 'dry grass', None)
    """
    words = re.findall(r"[a-z]+", code.lower())
    meant = [word for word in words if word not in _BESIDE] or [word for word in words if word in _NAMES]
    found = [_NAMES.get(word) for word in meant]
    known = [name for name in found if name is not None]
    if not known or len(known) < len(found):
        return None
    return max(known, key=_ORDER.index)
