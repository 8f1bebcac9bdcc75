"""Marks, named spans, points not flown, what was written by hand: read, and refused where they contradict."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.dossier.broken import patient
from wringout.dossier import load

CARD = "cards/flight-1.toml"
DAY = "2026-05-12T"


def span(start: str, end: str, kind: str, more: str = "") -> str:
    """A named span as a card has it."""
    return f'\n[[manoeuvre]]\nstart = {DAY}{start}Z\nend = {DAY}{end}Z\nkind = "{kind}"\n{more}'


def test_everything_by_hand_is_read(tmp_path: Path) -> None:
    """Every kind of mark and span, times, a rating and all the readings stand in the card as written."""
    dossier = patient(tmp_path)
    kinds = (
        "start of roll",
        "lift-off",
        "obstacle",
        "touchdown",
        "full stop",
        "stall break",
        "stall warning",
        "exclude from",
        "exclude to",
    )
    for minute, kind in enumerate(kinds):
        dossier.add(CARD, f'\n[[mark]]\ntime = {DAY}09:{minute:02d}:00Z\nkind = "{kind}"\n')
    spans = ("level leg", "climb", "glide", "turn", "none")
    for minute, kind in enumerate(spans):
        dossier.add(CARD, span(f"10:{minute:02d}:00", f"10:{minute:02d}:40", kind))
    dossier.replace(
        CARD,
        "# ── Clock times",
        f"[times]\nstart_up = {DAY}08:41:00Z\nshut_down = {DAY}09:55:00Z\n\n# ── Clock times",
    )
    dossier.replace(
        CARD,
        'entry_rate = "1 kt/s"',
        'entry_rate = "1 kt/s"\nrating = 3\nread = { warning_speed = "49 kt", break_speed = "43 kt", '
        'height_lost = "180 ft", wing = "left", outside_air_temperature = "11 °C" }',
    )
    assert dossier.problems() == ()
    card = load(tmp_path).cards[0]
    assert [mark.kind for mark in card.marks] == list(kinds)
    assert [named.kind for named in card.manoeuvres] == list(spans)
    assert card.times.start_up == datetime(2026, 5, 12, 8, 41, tzinfo=UTC)
    assert (card.times.take_off, card.times.landing) == (None, None)
    stall = next(point for point in card.points if point.kind == "stall")
    assert stall.rating == 3
    assert stall.read is not None
    assert stall.read.break_speed == pytest.approx(43 * 1852 / 3600)
    assert stall.read.height_lost == pytest.approx(180 * 0.3048)
    assert stall.read.outside_air_temperature == pytest.approx(284.15)
    assert stall.read.wing == "left"


@pytest.mark.parametrize(
    ("text", "lines", "said"),
    [
        (span("10:05:00", "10:04:00", "climb"), 3, "is not after its start"),
        (
            span("10:00:00", "10:05:00", "climb") + span("10:04:00", "10:06:00", "glide"),
            7,
            "begins before the climb ends",
        ),
        (span("10:00:00", "10:05:00", "climb", 'point = "L1"\n'), 5, "a climb cannot be of 'L1'"),
        (
            span("10:00:00", "10:05:00", "climb", 'point = "T1"\n'),
            5,
            "the moments of a take-off are set by marks",
        ),
        (span("10:00:00", "10:05:00", "none", 'point = "L1"\n'), 5, "no point is made of 'none'"),
        (span("10:00:00", "10:05:00", "climb", 'point = "L9"\n'), 5, "'L9'"),
        (span("10:00:00", "10:05:00", "landing"), 4, "'landing'"),
        (f'\n[[mark]]\ntime = {DAY}09:00:00Z\nkind = "flare"\n', 3, "'flare'"),
        (
            f'\n[[mark]]\ntime = {DAY}09:00:00Z\nkind = "lift-off"\npoint = "D1"\n',
            4,
            "a landing point has no lift-off",
        ),
        (
            f'\n[[mark]]\ntime = {DAY}09:00:00Z\nkind = "lift-off"\npoint = "C1"\n',
            4,
            "a climb point has no lift-off",
        ),
        (span("10:00:00", "10:05:00", "turn").replace(f"start = {DAY}", "start = 2026-05-22T"), 2, ""),
    ],
)
def test_what_contradicts_is_told_with_its_line(tmp_path: Path, text: str, lines: int, said: str) -> None:
    """Each fault at the key that has it."""
    dossier = patient(tmp_path)
    line = dossier.add(CARD, text) + lines
    problem = dossier.problems()[0]
    assert problem.file == CARD
    assert said in problem.sentence()
    assert problem.line is not None
    assert abs(problem.line - line) <= 1


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (f"flown = false\nstart = {DAY}10:00:00Z\n", "yet has a time"),
        ("flown = false\nrating = 3\n", "yet was rated or read"),
        ("rating = 11\n", "between 1 and 10"),
        ('read = { break_speed = "60 kt", warning_speed = "50 kt" }\n', "is more than warning_speed"),
        ('read = { ground_roll = "300 m", distance = "200 m" }\n', "is more than distance"),
        ('read = { charge = "120 %" }\n', "between 0 % and 100 %"),
    ],
)
def test_a_point_that_contradicts_itself_is_told(tmp_path: Path, more: str, said: str) -> None:
    """Not flown and yet flown; readings that cannot be."""
    dossier = patient(tmp_path)
    dossier.replace(CARD, 'entry_rate = "1 kt/s"', f'{more}entry_rate = "1 kt/s"')
    assert said in dossier.only().sentence()


def test_a_mark_of_a_point_that_was_not_flown_is_told(tmp_path: Path) -> None:
    """Correct the point, or it was flown after all."""
    dossier = patient(tmp_path)
    dossier.replace(CARD, 'id = "S1"', 'id = "S1"\nflown = false')
    line = dossier.add(CARD, f'\n[[mark]]\ntime = {DAY}09:00:00Z\nkind = "stall break"\npoint = "S1"\n') + 4
    problem = dossier.only()
    assert "'S1' was not flown" in problem.sentence()
    assert problem.line == line


def test_points_beside_timed_ones_are_asked_when_they_were_flown(tmp_path: Path) -> None:
    """One warning each, none where a mark ties the point or nothing was recorded."""
    dossier = patient(tmp_path)
    times = f"start = {DAY}09:00:00Z\nend = {DAY}09:10:00Z\n"
    dossier.replace(CARD, 'id = "L1"\n', f'id = "L1"\n{times}')
    assert dossier.problems() == ()
    (tmp_path / "recordings").mkdir(exist_ok=True)
    rows = "\n".join(f"2026-05-12T09:00:{k:02d}Z,{50 + k % 3}" for k in range(60))
    (tmp_path / "recordings" / "a.csv").write_text(f"Time,IAS\n{rows}\n", encoding="utf-8")
    dossier.add(
        CARD,
        '\n[[recording]]\npath = "recordings/a.csv"\ntime_column = "Time"\ntime_format = "iso"\n'
        '[recording.columns]\nindicated_airspeed = { column = "IAS", unit = "kt" }\n'
        f'\n[[mark]]\ntime = {DAY}09:00:00Z\nkind = "stall break"\npoint = "S1"\n',
    )
    dossier.replace(CARD, 'id = "D1"', 'id = "D1"\nflown = false')
    problems = dossier.problems()
    assert [problem.severity for problem in problems] == ["warning"] * len(problems)
    assert sorted(problem.what.split("'")[1] for problem in problems) == ["C1", "T1"]
