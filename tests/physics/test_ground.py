"""Surface friction as printed; braking against moments worked from scratch."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.physics.airplanes import table
from wringout.physics.constants import GRAVITY
from wringout.physics.ground import SURFACES, nose_wheel_braking, stopping_deceleration, tail_wheel_braking


@pytest.mark.parametrize("row", table("ground_friction.csv"), ids=lambda row: row["surface"])
def test_friction_bounds_are_the_printed_ones(row: dict[str, str]) -> None:
    """Raymer's table, and our single value in the middle of it."""
    surface = SURFACES[row["surface"]]
    assert surface.rolling_bounds == (float(row["rolling_low"]), float(row["rolling_high"]))
    assert surface.braking_bounds == (float(row["braking_low"]), float(row["braking_high"]))
    assert surface.rolling == pytest.approx(np.mean(surface.rolling_bounds))
    assert surface.braking == pytest.approx(np.mean(surface.braking_bounds))


def test_every_surface_lies_within_its_bounds_and_names_its_source() -> None:
    """Names are their own keys, so that a dossier's word finds them."""
    for name, surface in SURFACES.items():
        assert surface.name == name
        assert surface.rolling_bounds[0] <= surface.rolling <= surface.rolling_bounds[1]
        assert surface.braking_bounds[0] <= surface.braking <= surface.braking_bounds[1]
        assert surface.source


frictions = st.floats(0.0, 0.9)


@given(frictions, st.floats(1.2, 2.5), st.floats(0.5, 1.3), st.floats(0.6, 0.95))
def test_nose_wheel_braking_balances_forces_and_moments(
    friction: float, base: float, height: float, share: float
) -> None:
    """The two wheel loads solved as a linear system, moments about the nose wheel's contact this time."""
    behind = share * base
    # Unknown N_n, N_m over the weight; the deceleration force μ N_m acts at the CG, at its height.
    loads = np.linalg.solve(np.array([[1.0, 1.0], [0.0, base + friction * height]]), np.array([1.0, behind]))
    assert float(nose_wheel_braking(friction, base, height, behind)) == pytest.approx(friction * loads[1])
    assert loads[0] >= 0.0


@given(frictions, st.floats(4.0, 7.0), st.floats(0.8, 1.6), st.floats(0.2, 0.7))
def test_tail_wheel_braking_stops_at_the_nose_over(
    friction: float, base: float, height: float, behind: float
) -> None:
    """Balanced on three wheels below the limit, x/h at it, never more and never less with more friction."""
    answer = float(tail_wheel_braking(friction, base, height, behind))
    limit = behind / height
    if friction < limit:
        loads = np.linalg.solve(
            np.array([[1.0, 1.0], [behind - friction * height, behind - base]]), np.array([1.0, 0.0])
        )
        assert answer == pytest.approx(friction * loads[0], abs=1e-12)
        assert loads[1] >= 0
    else:
        assert answer == pytest.approx(limit)
    assert float(tail_wheel_braking(friction + 0.05, base, height, behind)) >= answer - 1e-12


def test_a_tail_wheel_airplane_stops_worse_than_its_friction_promises() -> None:
    """With the CG 0.4 m behind the wheels and 1.2 m up a third of g is all, however good the brakes."""
    assert float(tail_wheel_braking(0.8, 6.0, 1.2, 0.4)) == pytest.approx(1 / 3)


def test_stopping_deceleration_is_that_of_the_energy() -> None:
    """From 25 m/s in 60 m; a quarter with half the speed as head wind; never negative."""
    assert float(stopping_deceleration(25.0, 60.0)) == pytest.approx(625 / (120 * GRAVITY))
    assert float(stopping_deceleration(25.0, 60.0, 12.5)) == pytest.approx(625 / (480 * GRAVITY))
    assert float(stopping_deceleration(25.0, 60.0, 30.0)) == 0.0
    with pytest.raises(ValueError, match="distance"):
        stopping_deceleration(25.0, 0.0)
    assert np.isnan(stopping_deceleration(np.nan, 60.0))
