"""An electric airplane is evaluated as far as nothing is asked of a fuel that it has not."""

from pathlib import Path

from wringout.dossier import create
from wringout.evaluation import evaluate
from wringout.report.composing import content


def test_an_electric_airplane_is_evaluated_to_its_report(tmp_path: Path) -> None:
    """The example dossier with a motor of 70 kW and 28 kWh: everything but range, missions and costs is
    answered. At three quarters of 70 kW, 28 kWh last 28/52.5 h = 32 min at most."""
    root = tmp_path / "electric"
    create(root)
    described = root / "airplane.toml"
    text = described.read_text(encoding="utf-8")
    engine, propeller = text.index("[engine]\nkind"), text.index("[propeller]\nkind")
    motor = (
        '[engine]\nkind = "electric"\nrated_power = "70 kW"\nrated_speed = "2400 rpm"\n'
        'battery_energy = "28 kWh"\n\n'
    )
    text = text[:engine] + motor + text[propeller:]
    tank = text.index("[[tank]]")
    described.write_text(text[:tank] + text[text.index("# ──", tank) :], encoding="utf-8")
    card = root / "cards" / "flight-1.toml"
    fuelled = ("left = ", "right = ", "taxi_fuel", "landing_fuel")
    lines = card.read_text(encoding="utf-8").splitlines(keepends=True)
    card.write_text("".join(line for line in lines if not line.startswith(fuelled)), encoding="utf-8")
    found = evaluate(root)
    assert "gives for 32 min at most" in found.answer[2]
    assert "full tanks" not in found.answer[0]
    assert found.missions == ()
    assert found.payload_range == {}
    assert {item.question.quantity for item in found.predictions} >= {"cruise speed", "rate of climb"}
    assert content(found)["sections"]
