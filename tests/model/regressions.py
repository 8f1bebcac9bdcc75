"""Certified nonlinear regressions: data, models and the certified starts [NIST-StRD]."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from wringout.model.optimum import FloatArray


@dataclass(frozen=True)
class Regression:
    """x and y of a data set, its model for a batch of parameter vectors, and both certified starts."""

    x: FloatArray
    y: FloatArray
    model: Callable[[tuple[FloatArray, ...], FloatArray], FloatArray]
    starts: tuple[tuple[float, ...], tuple[float, ...]]

    def figures(self, parameters: FloatArray) -> FloatArray:
        """Parameter vectors (k, P) → figures (k, N)."""
        columns = tuple(column[:, None] for column in parameters.T)
        return np.asarray(self.model(columns, self.x))


_MISRA_X = np.array(
    [77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0]
)
_MISRA_Y = np.array(
    [10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78]
)
REGRESSIONS = {
    "Misra1a": Regression(
        _MISRA_X, _MISRA_Y, lambda b, x: b[0] * -np.expm1(-b[1] * x), ((500.0, 1e-4), (250.0, 5e-4))
    ),
    "Misra1b": Regression(
        _MISRA_X,
        _MISRA_Y,
        lambda b, x: b[0] * (1.0 - (1.0 + b[1] * x / 2.0) ** -2),
        ((500.0, 1e-4), (300.0, 2e-4)),
    ),
    "Misra1c": Regression(
        _MISRA_X,
        _MISRA_Y,
        lambda b, x: b[0] * (1.0 - (1.0 + 2.0 * b[1] * x) ** -0.5),
        ((500.0, 1e-4), (600.0, 2e-4)),
    ),
    "Misra1d": Regression(
        _MISRA_X,
        _MISRA_Y,
        lambda b, x: b[0] * b[1] * x / (1.0 + b[1] * x),
        ((500.0, 1e-4), (450.0, 3e-4)),
    ),
    "DanWood": Regression(
        np.array([1.309, 1.471, 1.490, 1.565, 1.611, 1.680]),
        np.array([2.138, 3.421, 3.597, 4.340, 4.882, 5.660]),
        lambda b, x: b[0] * x ** b[1],
        ((1.0, 5.0), (0.7, 4.0)),
    ),
    "Rat42": Regression(
        np.array([9.0, 14.0, 21.0, 28.0, 42.0, 57.0, 63.0, 70.0, 79.0]),
        np.array([8.93, 10.8, 18.59, 22.33, 39.35, 56.11, 61.73, 64.62, 67.08]),
        lambda b, x: b[0] / (1.0 + np.exp(b[1] - b[2] * x)),
        ((100.0, 1.0, 0.1), (75.0, 2.5, 0.07)),
    ),
    "Rat43": Regression(
        np.arange(1.0, 16.0),
        np.array(
            [
                16.08,
                33.83,
                65.8,
                97.2,
                191.55,
                326.2,
                386.87,
                520.53,
                590.03,
                651.92,
                724.93,
                699.56,
                689.96,
                637.56,
                717.41,
            ]
        ),
        lambda b, x: b[0] / (1.0 + np.exp(b[1] - b[2] * x)) ** (1.0 / b[3]),
        ((100.0, 10.0, 1.0, 1.0), (700.0, 5.0, 0.75, 1.3)),
    ),
    "BoxBOD": Regression(
        np.array([1.0, 2.0, 3.0, 5.0, 7.0, 10.0]),
        np.array([109.0, 149.0, 149.0, 191.0, 213.0, 224.0]),
        lambda b, x: b[0] * -np.expm1(-b[1] * x),
        ((1.0, 1.0), (100.0, 0.75)),
    ),
    "MGH09": Regression(
        np.array([4.0, 2.0, 1.0, 0.5, 0.25, 0.167, 0.125, 0.1, 0.0833, 0.0714, 0.0625]),
        np.array([0.1957, 0.1947, 0.1735, 0.16, 0.0844, 0.0627, 0.0456, 0.0342, 0.0323, 0.0235, 0.0246]),
        lambda b, x: b[0] * (x**2 + x * b[1]) / (x**2 + x * b[2] + b[3]),
        ((25.0, 39.0, 41.5, 39.0), (0.25, 0.39, 0.415, 0.39)),
    ),
    "MGH10": Regression(
        np.arange(50.0, 126.0, 5.0),
        np.array(
            [
                34780.0,
                28610.0,
                23650.0,
                19630.0,
                16370.0,
                13720.0,
                11540.0,
                9744.0,
                8261.0,
                7030.0,
                6005.0,
                5147.0,
                4427.0,
                3820.0,
                3307.0,
                2872.0,
            ]
        ),
        lambda b, x: b[0] * np.exp(b[1] / (x + b[2])),
        ((2.0, 400000.0, 25000.0), (0.02, 4000.0, 250.0)),
    ),
}
