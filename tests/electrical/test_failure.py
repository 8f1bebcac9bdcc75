"""An alternator failure played through time."""

import math

import pytest

from wringout.airplane.airplane import Battery, Electrical, ElectricalLoad
from wringout.electrical import battery_endurance, endurance_after_alternator_failure
from wringout.problems import InputError

HOUR, WARM = 3600.0, 298.15
MAIN = Battery("main", 24.0 * HOUR, 20.0 * HOUR, 1.15, 12.0)
BACK_UP = Battery("back-up", 4.0 * HOUR, 20.0 * HOUR, 1.1, 12.0, charge_lost_per_kelvin=0.01)
SYSTEM = Electrical(
    60.0,
    (MAIN, BACK_UP),
    (
        ElectricalLoad("ignition A", 2.0, ("alternator", "main"), essential=True),
        ElectricalLoad("ignition B", 2.0, ("alternator", "main", "back-up"), essential=True),
        ElectricalLoad("radio", 4.0, ("alternator", "main"), essential=True, duty=0.25),
        ElectricalLoad("lights", 10.0, ("alternator", "main"), essential=False),
        ElectricalLoad("pitot heat", 8.0, ("alternator",), essential=False),
    ),
)


def test_essential_loads_on_the_main_battery() -> None:
    """Shed at once, 2 + 2 + 1 A last t(5 A); then ignition B goes on with the back-up."""
    found = endurance_after_alternator_failure(SYSTEM, WARM)
    main = battery_endurance(MAIN, 5.0, WARM)
    assert found.kept == ("ignition A", "ignition B", "radio")
    assert found.endurance == pytest.approx(main)
    assert found.first_dark == ("ignition A", "radio")
    assert dict(found.dark)["ignition B"] == pytest.approx(main + battery_endurance(BACK_UP, 2.0, WARM))
    assert found.meets_thirty_minutes
    assert "these go dark: ignition A and radio after" in found.sentence
    assert found.sentence.index("radio") < found.sentence.index("ignition B")


def test_recognition_costs_charge() -> None:
    """Ten minutes with the lights on take their share of the battery: 600 s of t(15 A), the rest at 5 A."""
    found = endurance_after_alternator_failure(SYSTEM, WARM, recognition_time=600.0)
    share = 600.0 / battery_endurance(MAIN, 15.0, WARM)
    assert found.endurance == pytest.approx(600.0 + (1.0 - share) * battery_endurance(MAIN, 5.0, WARM))
    shed = [(event.name, event.time) for event in found.events if event.what == "shed"]
    assert shed == [("lights", 600.0)]


def test_what_only_the_alternator_feeds_goes_at_once() -> None:
    """Pitot heat kept on a bus that only the alternator feeds is dark from the start."""
    found = endurance_after_alternator_failure(SYSTEM, WARM, kept=("ignition A", "pitot heat"))
    assert found.endurance == 0.0
    assert found.first_dark == ("pitot heat",)
    assert not found.meets_thirty_minutes


def test_cold_shortens_the_back_up() -> None:
    """With one ignition on its back-up alone, cold takes off what its rating says."""
    alone = Electrical(
        60.0, (BACK_UP,), (ElectricalLoad("ignition B", 2.0, ("alternator", "back-up"), essential=True),)
    )
    warm = endurance_after_alternator_failure(alone, WARM).endurance
    cold = endurance_after_alternator_failure(alone, 263.15).endurance
    assert cold / warm == pytest.approx((1.0 - 0.01 * 35.0) ** 1.1)


def test_nothing_kept_never_goes_dark() -> None:
    """With every load shed there is nothing to go dark."""
    found = endurance_after_alternator_failure(SYSTEM, WARM, kept=())
    assert math.isinf(found.endurance)
    assert found.dark == ()


def test_unknown_names_are_refused() -> None:
    """A load to keep, or a source, that is not described is refused by its name."""
    with pytest.raises(InputError, match="no load 'Radio'"):
        endurance_after_alternator_failure(SYSTEM, WARM, kept=("Radio",))
    wrong = Electrical(60.0, (MAIN,), (ElectricalLoad("radio", 4.0, ("bus 2",), essential=True),))
    with pytest.raises(InputError, match="no source 'bus 2'"):
        endurance_after_alternator_failure(wrong, WARM)
    with pytest.raises(ValueError, match="no negative time"):
        endurance_after_alternator_failure(SYSTEM, WARM, recognition_time=-1.0)
