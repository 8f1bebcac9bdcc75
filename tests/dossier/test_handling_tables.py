"""What a card says of the handling is read whole, and refused at its field where it cannot be."""

from pathlib import Path

import pytest

from tests.dossier.broken import Patient, patient
from wringout.dossier import load

NOTES = """
[[rating]]
task = "hold 60 kt"
rating = 4
controllable = true
adequate = true
satisfactory = false
note = "works"

[spring_scale]
resolution = "1 N"

[[stick_force]]
force = "14 N"
direction = "pull"
speed = "60 kt"
flap = "up"
power = "part"
trimmed_at = "75 kt"

[[trim_change]]
speed = "65 kt"
from_flap = "up"
to_flap = "landing"
power = "idle"
settles_at = "54 kt"

[[stall_note]]
flap = "landing"
power = "idle"
warning = "buffet"
stall_break = "gentle"
wing = "left"
bank = "15 °"

[[impression]]
subject = "noise"
note = "a headset is needed"
measured = "92 dB, a phone"
"""


CARD = "cards/flight-1.toml"


@pytest.fixture
def noted(tmp_path: Path) -> Patient:
    """A sound dossier whose card has notes on the handling at its end."""
    made = patient(tmp_path)
    made.add(CARD, NOTES)
    return made


def test_notes_are_read_in_si(noted: Patient) -> None:
    """Forces in newtons, speeds in metres a second, angles in radians."""
    notes = load(noted.root).cards[0].handling
    assert notes.resolution == 1.0
    assert (notes.stick_forces[0].force, notes.stick_forces[0].control) == (14.0, "stick")
    assert notes.trim_changes[0].settles_at == pytest.approx(54 * 1852 / 3600)
    assert notes.stalls[0].bank == pytest.approx(0.2618, abs=1e-4)
    assert notes.impressions[0].measured == "92 dB, a phone"


@pytest.mark.parametrize(
    ("old", "new", "wanted"),
    [
        ("satisfactory = false", "satisfactory = true", "was answered yes, which does not lead to 4"),
        ("rating = 4", "rating = 11", "between 1 and 10"),
        ('[spring_scale]\nresolution = "1 N"\n', "", "the card has no spring scale"),
        ('to_flap = "landing"', 'to_flap = "up"', "is the setting that it began with"),
        ('settles_at = "54 kt"\n', "", "says neither a force nor where the speed settles"),
        ('force = "14 N"', 'force = "14"', "needs a unit"),
        ('flap = "up"\npower = "part"\ntrimmed', 'flap = "upp"\npower = "part"\ntrimmed', "there is no flap"),
        ('direction = "pull"', 'direction = "upwards"', "direction"),
    ],
)
def test_what_cannot_be_is_told_with_its_line(noted: Patient, old: str, new: str, wanted: str) -> None:
    """File, line and field, and what mends it."""
    noted.replace(CARD, old, new, after='task = "hold 60 kt"')
    problem = noted.only()
    assert wanted in problem.sentence()
    assert problem.file == CARD
    assert problem.line
