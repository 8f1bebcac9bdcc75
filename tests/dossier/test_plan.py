"""Planning a flight on its card: defaults, build-up order, and what the check finds with its line."""

from dataclasses import replace
from pathlib import Path

import pytest

from tests.dossier.broken import patient
from wringout.dossier import load
from wringout.dossier.build_up import build_up
from wringout.dossier.card import CardPoint
from wringout.dossier.plan import FlightPlan

CARD = "cards/flight-1.toml"
KNOT, FOOT = 1852 / 3600, 0.3048


@pytest.mark.parametrize(
    ("old", "new", "severity", "said"),
    [
        ('wanted_cg = "0.94 m"', 'wanted_cg = "1.40 m"', "error", "outside the envelope, which reaches from"),
        ('wanted_cg = "0.94 m"', 'wanted_cg = "0.94"', "error", "a length needs a unit"),
        (
            'wanted_cg = "0.94 m"',
            'wanted_mass = "990 kg"',
            "error",
            "above the maximum take-off mass, 950 kg",
        ),
        ('ballast_station = "cargo bay"', 'ballast_station = "cargo bat"', "error", "'cargo bay' if"),
        ('taxi_fuel = "2 L"', 'taxi_fuel = "200 L"', "error", "the taxi takes 200 L and 120 L are aboard"),
        ('landing_fuel = "30 L"', 'landing_fuel = "119 L"', "error", "but only 118 L at take-off"),
        ('maximum_wind = "10 kt"', 'maximum_wnd = "10 kt"', "error", "Write 'maximum_wind' if that is meant"),
        (
            '["2500 ft", "3500 ft"]',
            '["3500 ft", "2500 ft"]',
            "error",
            "the upper height is not above the lower",
        ),
        ('["2500 ft", "3500 ft"]', '["2500 ft"]', "error", "two values are expected"),
        (
            'target_speed = "65 kt"',
            'target_speed = "150 kt"',
            "warning",
            "150 kt is above the limit of 140 kt",
        ),
        ('speed_tolerance = "2 kt"', 'entry_rate = "1 kt/s"', "error", "a climb has no entry rate"),
        ('entry_rate = "1 kt/s"', 'entry_rate = "-1 kt/s"', "error", "must be above zero"),
        (
            'entry_rate = "1 kt/s"',
            'height_band = ["3000 ft", "4000 ft"]',
            "warning",
            "2\u202f606 ft above ground is lower than the plan's limit for stalls",
        ),
    ],
)
def test_faults_of_a_plan_have_their_line(
    tmp_path: Path, old: str, new: str, severity: str, said: str
) -> None:
    """Each fault of what is planned is told once, in words, where it stands."""
    dossier = patient(tmp_path)
    line = dossier.replace(CARD, old, new)
    problem = dossier.only()
    assert (problem.file, problem.line, problem.severity) == (CARD, line, severity)
    assert said in problem.sentence()


def test_ballast_without_a_wish_and_a_wish_without_a_place(tmp_path: Path) -> None:
    """A station for ballast says what for; a wanted CG without one is a warning that offers a station."""
    dossier = patient(tmp_path / "one")
    dossier.replace(CARD, 'wanted_cg = "0.94 m"', "#")
    assert "nothing is wanted of the ballast" in dossier.only().sentence()
    dossier = patient(tmp_path / "two")
    dossier.replace(CARD, 'ballast_station = "cargo bay"', "#")
    problem = dossier.only()
    assert problem.severity == "warning"
    assert 'ballast_station = "cargo bay"' in problem.sentence()


def test_a_card_without_a_plan_has_the_usual_one(tmp_path: Path) -> None:
    """All of [plan] may be left out: stalls above 3000 ft, 10 kt of wind, 5 kt across, nothing wanted."""
    dossier = patient(tmp_path)
    text = (tmp_path / CARD).read_text(encoding="utf-8")
    begin, end = text.index("[plan]"), text.index("# ── The logs")
    (tmp_path / CARD).write_text(text[:begin] + text[end:], encoding="utf-8")
    assert dossier.problems() == ()
    plan = load(tmp_path).cards[0].plan
    assert plan == FlightPlan()
    assert plan.minimum_stall_height == pytest.approx(3000 * FOOT)
    assert (plan.maximum_wind, plan.maximum_crosswind) == pytest.approx((10 * KNOT, 5 * KNOT))


def test_plan_in_si(tmp_path: Path) -> None:
    """What the card says comes out in SI."""
    patient(tmp_path)
    card = load(tmp_path).cards[0]
    assert card.plan.wanted_cg == pytest.approx(0.94)
    assert card.plan.landing_fuel == pytest.approx(0.030)
    climb = next(point for point in card.points if point.id == "C1")
    assert climb.height_band == pytest.approx((2500 * FOOT, 3500 * FOOT))
    assert climb.speed_tolerance == pytest.approx(2 * KNOT)


def test_safe_points_first_and_tolerances_filled(tmp_path: Path) -> None:
    """Level, climbs, glides fast before slow; stalls flap up, idle, gentle first; short field last."""
    patient(tmp_path)
    dossier = load(tmp_path)
    points = (
        CardPoint("short", "landing", "landing", "idle", technique="short field"),
        CardPoint("off", "take-off", "take-off", "full", technique="normal"),
        CardPoint("down brisk", "stall", "landing", "idle", entry_rate=2 * KNOT),
        CardPoint("down", "stall", "landing", "idle"),
        CardPoint("power on", "stall", "up", "full"),
        CardPoint("clean", "stall", "up", "idle"),
        CardPoint("slow glide", "glide", "up", "idle", target_speed=30.0),
        CardPoint("fast glide", "glide", "up", "idle", target_speed=35.0, speed_tolerance=0.5),
        CardPoint("climb", "climb", "up", "full", target_speed=33.0),
        CardPoint("legs", "level", "up", "part"),
    )
    card = replace(dossier.cards[0], points=points)
    flown = build_up(card, dossier.airplane)
    assert [item.point.id for item in flown] == [
        *("legs", "climb", "fast glide", "slow glide"),
        *("clean", "power on", "down", "down brisk"),
        *("off", "short"),
    ]
    by_id = {item.point.id: item for item in flown}
    assert by_id["climb"].speed_tolerance == pytest.approx(2 * KNOT)
    assert by_id["fast glide"].speed_tolerance == 0.5
    assert by_id["legs"].height_tolerance == pytest.approx(100 * FOOT)
    assert by_id["clean"].entry_rate == pytest.approx(KNOT)
    assert by_id["down brisk"].entry_rate == 2 * KNOT
    assert by_id["legs"].speed_tolerance is None


def test_a_stated_order_goes_first(tmp_path: Path) -> None:
    """Points with an order are flown by it, before those without."""
    patient(tmp_path)
    dossier = load(tmp_path)
    points = (
        CardPoint("a", "level", "up", "part"),
        CardPoint("b", "stall", "up", "idle", order=2),
        CardPoint("c", "climb", "up", "full", order=1),
    )
    flown = build_up(replace(dossier.cards[0], points=points), dossier.airplane)
    assert [item.point.id for item in flown] == ["c", "b", "a"]
