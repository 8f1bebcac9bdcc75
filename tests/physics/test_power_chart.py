"""Part power from a maker's table: an invented engine's physics recovered, and refusals."""

import numpy as np
import pytest

from wringout.physics.atmosphere import standard_pressure, standard_temperature
from wringout.physics.power_chart import fit_power_chart


def invented(turns: np.ndarray, manifold: np.ndarray, altitude: np.ndarray) -> np.ndarray:
    """An invented engine, not of the fitted form: friction by a power law, a curve in manifold pressure."""
    indicated = 520.0 * (manifold / 101_325.0) ** 1.02 - 45.0 * (standard_pressure(altitude) / 101_325.0)
    return np.asarray(2 * np.pi * turns * (indicated - 40.0 * (turns / 40.0) ** 1.6))


def grid() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Rows as such tables have them: 2,000–2,600 rpm, 17–25 inHg, sea level to 10,000 ft."""
    turns, inches, feet = np.meshgrid(
        np.arange(2000, 2700, 200) / 60, np.arange(17.0, 25.0, 2.0), np.arange(0, 10_001, 2500)
    )
    return turns.ravel(), inches.ravel() * 3386.389, feet.ravel() * 0.3048


def test_the_surface_recovers_powers_between_the_rows() -> None:
    """Fitted to coarse rows rounded to 1 hp it gives powers between them to 1 %; its scatter says as much."""
    turns, manifold, altitude = grid()
    rounded = np.round(invented(turns, manifold, altitude) / 745.7) * 745.7
    chart = fit_power_chart(turns, manifold, altitude, rounded)
    assert 0.0005 < chart.scatter < 0.01
    between = (2300 / 60, 22.0 * 3386.389, 1100.0)
    truth = float(invented(*(np.asarray(value) for value in between)))
    answer = float(chart.power(between[0], between[1], standard_pressure(between[2])))
    assert answer == pytest.approx(truth, rel=0.01)


def test_hot_air_costs_power_at_the_same_manifold_pressure() -> None:
    """By √(T_std/T)."""
    turns, manifold, altitude = grid()
    chart = fit_power_chart(turns, manifold, altitude, invented(turns, manifold, altitude))
    where = (40.0, 21.0 * 3386.389, standard_pressure(1500.0))
    standard = float(chart.power(*where))
    assert float(chart.power(*where, standard_temperature(1500.0))) == pytest.approx(standard)
    hot = float(chart.power(*where, 1.08 * standard_temperature(1500.0)))
    assert hot == pytest.approx(standard / np.sqrt(1.08))


def test_outside_its_rows_the_chart_refuses() -> None:
    """It names what is outside and what the rows cover."""
    turns, manifold, altitude = grid()
    chart = fit_power_chart(turns, manifold, altitude, invented(turns, manifold, altitude))
    with pytest.raises(ValueError, match=r"engine speed .* found 20"):
        chart.power(20.0, 70e3, standard_pressure(1000.0))
    with pytest.raises(ValueError, match="manifold pressure"):
        chart.power(40.0, 100e3, standard_pressure(1000.0))
    with pytest.raises(ValueError, match="pressure altitude"):
        chart.power(40.0, 70e3, standard_pressure(6000.0))
    assert np.isnan(chart.power(np.nan, 70e3, standard_pressure(1000.0)))


def test_a_chart_of_one_altitude_answers_there_only() -> None:
    """Few rows at sea level still make a chart."""
    turns = np.array([35.0, 40.0, 45.0, 40.0])
    manifold = np.array([70e3, 80e3, 90e3, 90e3])
    power = np.array([60e3, 85e3, 115e3, 100e3])
    chart = fit_power_chart(turns, manifold, np.zeros(4), power)
    assert float(chart.power(40.0, 80e3, 101_325.0)) == pytest.approx(85e3, rel=0.02)
    with pytest.raises(ValueError, match="pressure altitude"):
        chart.power(40.0, 80e3, standard_pressure(500.0))


def test_useless_rows_are_refused() -> None:
    """Too few, ragged, or not positive."""
    with pytest.raises(ValueError, match="at least three rows"):
        fit_power_chart(np.array([40.0]), np.array([80e3]), np.array([0.0]), np.array([90e3]))
    with pytest.raises(ValueError, match="positive"):
        fit_power_chart(np.full(3, 40.0), np.full(3, 80e3), np.zeros(3), np.array([1.0, 2.0, 0.0]))
