"""Priors: which there are, where they come from, how a dossier replaces them, and that their page is true."""

from pathlib import Path

import numpy as np
import pytest

from tests.model.invented import airplane, planned
from wringout.airplane.airplane import Engine, PriorOverride, Propeller
from wringout.airplane.prior_names import OPEN_STEMS, named_parameters
from wringout.model.parameters import in_fit_space, parameters, prior_moments, techniques_flown
from wringout.problems import InputError
from wringout.quantity.dimensions import Dimension

PAGE = Path(__file__).parents[2] / "docs" / "methods" / "model.md"


def test_every_prior_names_its_source() -> None:
    """No prior without a meaning, a positive spread and a source; positive parameters have positive means."""
    for prior in parameters(airplane(), planned()):
        assert prior.meaning
        assert prior.source
        assert prior.sd > 0.0
        assert prior.mean > 0.0 or not prior.log, prior.name


def test_names_are_unique_and_follow_what_was_flown() -> None:
    """One rolling friction a surface, three ratios a take-off technique, five a landing technique."""
    names = [prior.name for prior in parameters(airplane(), planned())]
    assert len(set(names)) == len(names)
    assert [name for name in names if name.startswith("rolling")] == ["rolling friction: dry grass"]
    assert sum(name.endswith(": short") for name in names) == 8


def test_techniques_stand_in_the_order_of_use() -> None:
    """The most flown first; 'normal' where nobody took off or landed."""
    assert techniques_flown(planned())["take-off"] == ("short", "normal")
    assert techniques_flown(planned(field=False)) == {"take-off": ("normal",), "landing": ("normal",)}


def test_a_dossier_replaces_a_prior_with_its_reason() -> None:
    """The override's mean, sd and reason stand in place of the table's."""
    override = PriorOverride("span efficiency", 0.8, 0.02, "measured on a sister airplane")
    found = {prior.name: prior for prior in parameters(airplane(priors=(override,)), planned())}
    assert (found["span efficiency"].mean, found["span efficiency"].sd) == (0.8, 0.02)
    assert "sister airplane" in found["span efficiency"].source


def test_an_override_may_name_a_surface_not_flown() -> None:
    """Friction of snow believed beforehand becomes a parameter of its own."""
    override = PriorOverride("rolling friction: snow", 0.1, 0.03, "last winter's tow test")
    names = [prior.name for prior in parameters(airplane(priors=(override,)), planned())]
    assert "rolling friction: snow" in names


@pytest.mark.parametrize(
    ("override", "words"),
    [
        (PriorOverride("wing span", 1.0, 0.1, "?"), "there is no parameter 'wing span'"),
        (PriorOverride("span eficiency", 0.8, 0.1, "?"), "Write 'span efficiency' if that is meant"),
        (PriorOverride("rolling friction", 0.1, 0.1, "?"), "there is no parameter 'rolling friction'"),
        (PriorOverride("span efficiency", -0.8, 0.1, "?"), "never -0.8"),
        (PriorOverride("span efficiency", 0.8, 0.0, "?"), "sd"),
        (PriorOverride("zero-lift drag area", 0.7, 0.1, "?", Dimension.RATIO), "the parameter in m²"),
    ],
)
def test_an_override_that_cannot_be_meant_is_refused(override: PriorOverride, words: str) -> None:
    """Unknown names and priors that are none are told, with what would mend them."""
    with pytest.raises(InputError, match=words):
        parameters(airplane(priors=(override,)), planned())


def test_the_names_that_a_dossier_may_use_are_the_parameters() -> None:
    """Every parameter of three airplanes is known by name and dimension to the description's rules, and no
    name of theirs is without its parameter."""
    fixed = Propeller("fixed pitch", 1.9, polar_slope=1.7, polar_intercept=-0.056)
    electric = Engine("electric", 80e3, 40.0, battery_energy=2e8)
    for made in (airplane(), airplane(propeller=fixed), airplane(engine=electric)):
        known = named_parameters(made)
        found = {prior.name: prior for prior in parameters(made, planned())}
        assert set(known) <= set(found)
        for name, prior in found.items():
            stem = name.partition(": ")[0]
            if name in known:
                assert known[name] is prior.dimension
            else:
                assert stem in OPEN_STEMS
                assert prior.dimension is (Dimension.ANGLE if stem == "approach angle" else Dimension.RATIO)


def test_a_habit_may_be_believed_before_a_second_pilot_flies() -> None:
    """An override of a pilot's habit makes that pilot's habits parameters."""
    override = PriorOverride("approach speed habit: B", 1.05, 0.02, "always fast")
    names = [prior.name for prior in parameters(airplane(priors=(override,)), planned())]
    assert sum(name.endswith("habit: B") for name in names) == 5


def test_an_unflown_flap_setting_between_flown_ones_is_no_longer_wide() -> None:
    """With flaps up and 45 known exactly, flaps 15 (e = 0.374 of the way) is left with its own distance from
    the line and theirs: 0.25 √(1 + (1 − e)² + e²) of √((1 − e)² + e² + 0.6 e (1 − e) + 0.25²), 36 % of its
    prior; with an override in place of the shared belief it is as wide as that says.
    """
    names = ("0", "15", "45")
    alone = PriorOverride("maximum lift coefficient: flap 15", 1.9, 0.2, "?")
    for priors, share in (((), 0.36), ((alone,), 1.0)):
        found = parameters(airplane(priors=priors), planned())
        _, covariance = prior_moments(found)
        rows = [
            [prior.name for prior in found].index(f"maximum lift coefficient: flap {name}") for name in names
        ]
        part = covariance[np.ix_(rows, rows)]
        flown = part[np.ix_([0, 2], [0, 2])]
        left = part[1, 1] - part[1, [0, 2]] @ np.linalg.solve(flown, part[[0, 2], 1])
        assert (left / part[1, 1]) ** 0.5 == pytest.approx(share, abs=0.01)


def test_beliefs_shared_leave_each_prior_as_wide_as_the_table_says() -> None:
    """The diagonal of the priors' covariance is the table's; the covariance is one that errors can have."""
    found = parameters(airplane(), planned())
    mean, covariance = prior_moments(found)
    moments = np.array([in_fit_space(prior) for prior in found])
    np.testing.assert_allclose(mean, moments[:, 0])
    np.testing.assert_allclose(np.sqrt(np.diag(covariance)), moments[:, 1])
    assert np.linalg.eigvalsh(covariance).min() > 0.0


def test_a_fixed_pitch_propeller_has_its_polar() -> None:
    """Slope and intercept take the place of the blade efficiencies."""
    fixed = airplane(propeller=Propeller("fixed pitch", 1.9, polar_slope=1.7, polar_intercept=-0.056))
    found = {prior.name: prior for prior in parameters(fixed, planned())}
    assert found["propeller polar intercept"].mean == pytest.approx(0.056)
    assert "propeller static efficiency" not in found


def test_a_positive_parameter_is_held_as_its_logarithm() -> None:
    """0.05 ± 0.015 becomes ln 0.05 ± ln 1.3."""
    friction = next(p for p in parameters(airplane(), planned()) if p.name.startswith("rolling"))
    mean, sd = in_fit_space(friction)
    assert mean == pytest.approx(-2.9957, abs=1e-4)
    assert sd == pytest.approx(0.2624, abs=1e-4)


def test_the_page_of_priors_is_the_table_in_use() -> None:
    """Every prior of the tests' airplane stands on the page with its figures and source, and no other."""
    rows = [line for line in PAGE.read_text(encoding="utf-8").splitlines() if line.startswith("| `")]
    assert rows == [prior_row(prior) for prior in parameters(airplane(), planned())]


def prior_row(prior: object) -> str:
    """One row of the page's table; print them all to renew the page."""
    from wringout.model.fit import Parameter

    assert isinstance(prior, Parameter)
    unit = "" if prior.dimension.value == "1" else f" {prior.dimension.value}"
    held = "log" if prior.log else "plain"
    figures = f"{prior.mean:.3g} ± {prior.sd:.2g}{unit}"
    return f"| `{prior.name}` | {prior.meaning} | {figures} | {held} | {prior.source} |"
