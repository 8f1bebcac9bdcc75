"""An outside camera on a card: the template's example is right, and each fault is told with its line."""

from pathlib import Path

import pytest

from tests.dossier.broken import Patient, patient
from wringout.dossier import load

CARD = "cards/flight-1.toml"


@pytest.fixture
def filmed(tmp_path: Path) -> Patient:
    """A new dossier with the template's camera no longer behind '#'."""
    dossier = patient(tmp_path)
    path = tmp_path / CARD
    before, camera = path.read_text(encoding="utf-8").split("# [[camera]]", 1)
    camera, after = camera.split("\n\n", 1)
    shown = camera.replace("\n# ", "\n")
    path.write_text(f"{before}[[camera]]{shown}\n\n{after}", encoding="utf-8")
    return dossier


def test_the_camera_of_a_new_dossier_is_right(filmed: Patient) -> None:
    """What the template shows behind '#' reads as a camera with marks, a ruler and events."""
    assert filmed.problems() == ()
    (camera,) = load(filmed.root).cards[0].cameras
    assert (camera.point, camera.frame_rate.value, camera.frames) == ("T1", 50.0, (55, 372))
    assert [mark.distance.value for mark in camera.marks] == [20.0, 40.0, 60.0]
    assert {mark.offset for mark in camera.marks} == {12.0}
    assert camera.rulers[0].tail_frame - camera.rulers[0].nose_frame == 18
    assert camera.events[1].distance is None
    assert camera.frame_zero is not None


FAULTS = [
    ("frame = 273", "frame = 200", "not after the frame of the mark before", 0),
    ('"40 m ± 0.05 m"', '"20 m ± 0.05 m"', "not farther than the mark before", 0),
    ('"40 m ± 0.05 m"', '"40 m"', "needs its uncertainty", 0),
    ('"40 m ± 0.05 m"', "40", "a length needs a unit", 0),
    ("frame = 273", "frame = 273.5", "a whole number is expected", 0),
    ('point = "T1"\nframe_rate', 'point = "T7"\nframe_rate', "no point of this card 'T7'", 0),
    ('point = "T1"\nframe_rate', 'point = "S1"\nframe_rate', "a camera films take-offs and landings", 0),
    ('point = "T1"\nframe_rate', 'point = "D1"\nframe_rate', 'Write "touchdown" or "full stop"', 19),
    ('what_passes = "main wheel"', 'what_passes = "wing"', "is not one of", 0),
    ("frame_rate = 50 ", "frame_rate = 50000 ", "no camera takes 50000 frames", 0),
    ('camera_distance = "55 m ± 0.5 m"', "", "the parallax of the marks is not known", 5),
    ('abeam = "60 m ± 1 m"', "", "Add abeam =", 5),
    ('marks_offset = "12 m"', 'marks_offset = "70 m"', "stands behind the camera", 0),
    ('lateral = "0 m ± 0.5 m"', 'lateral = "60 m ± 0.5 m"', "ran behind the camera", 0),
    ('kind = "lift-off", frame = 372', 'kind = "lift-off", frame = 37200', "longer apart than a run", 20),
    ("tail_frame = 336", "tail_frame = 300", "the tail passes after the nose", 0),
    ('kind = "lift-off", frame = 372', 'kind = "lift-off", frame = 3', "not after start of roll", 0),
    ('kind = "lift-off", frame = 372', 'kind = "start of roll", frame = 372', "stands here twice", 0),
    ("frame_zero = 2026-05-12", "frame_zero = 2026-05-02", "not the day of the card", 0),
]


@pytest.mark.parametrize(("old", "new", "says", "away"), FAULTS)
def test_each_fault_of_a_camera_is_told(filmed: Patient, old: str, new: str, says: str, away: int) -> None:
    """The sentence names the card and the line, and what would mend it."""
    line = filmed.replace(CARD, old, new, after="[[camera]]")
    told = [problem for problem in filmed.problems() if says in problem.sentence()]
    assert told, "\n".join(problem.sentence() for problem in filmed.problems())
    assert told[0].file == CARD
    assert told[0].line is not None
    assert abs(told[0].line - line) <= max(away, 1)


def test_neither_marks_nor_ruler_tell_nothing(tmp_path: Path) -> None:
    """One mark alone is no distance; the sentence says what to add."""
    dossier = patient(tmp_path)
    line = dossier.add(
        CARD,
        '\n[[camera]]\npoint = "T1"\nframe_rate = 50\ncamera_distance = "50 m ± 1 m"\nabeam = "0 m ± 1 m"\n'
        'mark = [{ distance = "20 m ± 0.1 m", frame = 10 }]\n',
    )
    problem = dossier.only()
    assert "fewer than two marks and no ruler" in problem.sentence()
    assert problem.line is not None
    assert abs(problem.line - line) <= 1


def test_a_ruler_alone_needs_no_camera_place(tmp_path: Path) -> None:
    """An airplane that is its own ruler has no parallax."""
    dossier = patient(tmp_path)
    dossier.add(
        CARD,
        '\n[[camera]]\npoint = "T1"\nframe_rate = 50\n'
        'ruler = [{ length = "7.35 m ± 0.03 m", nose_frame = 10, tail_frame = 28 }]\n',
    )
    assert dossier.problems() == ()
