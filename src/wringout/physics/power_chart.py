"""Part power from a maker's table of engine speed, manifold pressure and altitude."""

from dataclasses import dataclass

import numpy as np

from wringout.physics.arrays import Array, Real
from wringout.physics.atmosphere import altitude_of_pressure, standard_pressure
from wringout.physics.constants import SEA_LEVEL_PRESSURE
from wringout.physics.propulsion import temperature_correction


@dataclass(frozen=True, slots=True)
class PowerChart:
    """A surface through a maker's part-power table, with how well it fits and where it holds.

    The surface is P/n = c₀ + c₁ MP + c₂ p + c₃ n + c₄ n², from the physics of a throttled engine: indicated
    torque rises with manifold pressure MP and falls with the back pressure p of the outside air, friction
    torque grows with engine speed n.
    """

    coefficients: Array  # shape (5,), of the scaled terms
    scatter: float  # root mean square of (row − surface)/row
    engine_speed_range: tuple[float, float]
    manifold_pressure_range: tuple[float, float]
    altitude_range: tuple[float, float]

    def power(
        self, engine_speed: Real, manifold_pressure: Real, pressure: Real, temperature: Real | None = None
    ) -> Array:
        """Shaft power from what the tachometer and the manifold gauge say.

        Parameters
        ----------
        engine_speed : float or array
            [1/s]
        manifold_pressure : float or array
            [Pa]
        pressure : float or array
            Static pressure of the outside air. [Pa]
        temperature : float or array, optional
            Of the outside air; standard where None. [K]

        Returns
        -------
        array
            [W]

        Raises
        ------
        ValueError
            Outside the table's rows by more than a tenth of their range.
        """
        for value, (low, high), what in (
            (engine_speed, self.engine_speed_range, "engine speed [1/s]"),
            (manifold_pressure, self.manifold_pressure_range, "manifold pressure [Pa]"),
            (altitude_of_pressure(pressure), self.altitude_range, "pressure altitude [m]"),
        ):
            slack = 0.1 * (high - low) + 1e-9 * abs(high)
            values = np.asarray(value, dtype=np.float64)
            outside = (values < low - slack) | (values > high + slack)
            if outside.any():
                raise ValueError(
                    f"the power chart covers {what} {low:g} to {high:g}, found {values[outside].flat[0]:g}"
                )
        turns = np.asarray(engine_speed, dtype=np.float64)
        torque = sum(
            c * t
            for c, t in zip(self.coefficients, _chart_terms(turns, manifold_pressure, pressure), strict=True)
        )
        standard = turns * torque
        return np.asarray(
            standard if temperature is None else standard * temperature_correction(pressure, temperature)
        )


def fit_power_chart(
    engine_speed: Array, manifold_pressure: Array, pressure_altitude: Array, power: Array
) -> PowerChart:
    """The `PowerChart` surface through rows of a maker's table, by least squares in relative error.

    Parameters
    ----------
    engine_speed, manifold_pressure, pressure_altitude, power : array, shape (rows,)
        [1/s], [Pa], [m], [W], in standard air.

    Returns
    -------
    PowerChart
        Where rows lie all at one speed or altitude the surface does not vary with it, and the range says so.

    Raises
    ------
    ValueError
        Fewer than three rows, or rows of unequal length, or a value that is not positive.
    """
    rows = [np.asarray(column, dtype=np.float64) for column in (engine_speed, manifold_pressure, power)]
    if len({column.shape for column in rows} | {np.shape(pressure_altitude)}) != 1 or rows[0].size < 3:
        raise ValueError(
            "a power chart needs at least three rows, each with speed, pressure, altitude and power"
        )
    if not all(np.all(column > 0) for column in rows):
        raise ValueError("a power chart's speeds, manifold pressures and powers must be positive")
    turns, manifold, shaft = rows
    terms = np.stack(_chart_terms(turns, manifold, standard_pressure(pressure_altitude)), axis=-1)
    relative = terms * (turns / shaft)[:, None]
    coefficients, *_ = np.linalg.lstsq(relative, np.ones(shaft.size), rcond=1e-9)
    return PowerChart(
        coefficients=np.asarray(coefficients, dtype=np.float64),
        scatter=float(np.sqrt(np.mean((relative @ coefficients - 1) ** 2))),
        engine_speed_range=(float(turns.min()), float(turns.max())),
        manifold_pressure_range=(float(manifold.min()), float(manifold.max())),
        altitude_range=(float(np.min(pressure_altitude)), float(np.max(pressure_altitude))),
    )


def _chart_terms(engine_speed: Real, manifold_pressure: Real, pressure: Real) -> list[Array]:
    turns = np.asarray(engine_speed) / 40.0  # scaled to about one, so that none outweighs the others
    manifold = np.asarray(manifold_pressure) / SEA_LEVEL_PRESSURE
    outside = np.asarray(pressure) / SEA_LEVEL_PRESSURE
    ones = np.ones(np.broadcast_shapes(turns.shape, manifold.shape, outside.shape))
    return [ones, manifold * ones, outside * ones, turns * ones, turns**2 * ones]
