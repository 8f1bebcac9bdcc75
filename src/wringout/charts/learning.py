"""What the flights taught: prior → posterior of each parameter, and each measured point against the fit."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from wringout.charts.figure import Margins, Spec, figure
from wringout.charts.grammar import Frame, Layer, Layers, rows, segments, text_layer
from wringout.charts.scales import Scale
from wringout.charts.theme import PAGE, Look
from wringout.model.fit import ParameterResult, Residual

NINE_IN_TEN = 1.645
WIDEST = 3.5  # standard deviations shown to each side


def learning_figure(parameters: Sequence[ParameterResult], *, look: Look = PAGE) -> Spec:
    """A row a parameter, across in standard deviations of its prior: what was believed, what is known now.

    Parameters
    ----------
    parameters : sequence of ParameterResult
        In the order in which they are to stand.
    look : Look
        Medium and palette.
    """
    count = len(parameters)
    pitch = look.body * (1.75 if count <= 20 else 1.4)
    names, figures = look.width * 0.36, look.small * 4.2
    width = look.width - names - figures
    frame = Frame(
        Scale(
            "standard deviations of the prior, from its mean",
            "",
            -WIDEST,
            WIDEST,
            (-3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0),
            width,
        ),
        Scale("", "", -0.5, count - 0.5, (), pitch * count),
        look,
    )
    layers: Layers = []
    prior, posterior = look.palette.stone, look.palette.series[0]
    for index, result in enumerate(parameters):
        level = count - 1 - index
        low, middle, high = _standing(result)
        layers.append(_bar((-NINE_IN_TEN, NINE_IN_TEN), level, prior.mark, pitch * 0.5))
        layers.append(segments([(0.0, level - 0.25, 0.0, level + 0.25)], prior.mark, look.hairline * 1.5))
        layers.append(
            segments([(max(low, -WIDEST), level, min(high, WIDEST), level)], posterior.mark, look.line)
        )
        if abs(middle) <= WIDEST:
            layers.append(_dot(middle, level, posterior.mark, look))
        at = frame.moved(-WIDEST, level, right=-look.small)
        layers.append(text_layer(*at, result.parameter.name, look.palette.ink, look.small, align="right"))
        at = frame.moved(WIDEST, level, right=figures)
        taught = f"{100 * max(result.taught, 0.0):.0f} %"
        layers.append(text_layer(*at, taught, look.palette.muted, look.small, align="right"))
    head = frame.moved(WIDEST, count - 1, right=figures, up=pitch * 0.95)
    layers.append(text_layer(*head, "taught", look.palette.muted, look.small, align="right"))
    title = _title(parameters)
    alt = "Prior and posterior of each parameter. " + "; ".join(
        f"{result.parameter.name}: moved by {_standing(result)[1]:+.1f} prior standard deviations, "
        f"{100 * max(result.taught, 0.0):.0f} % of its uncertainty gone"
        for result in parameters
    )
    margins = Margins(left=names, right=figures, bottom=look.small * 3.4, top=look.small * 1.6)
    return figure(frame, layers, title=title, alt=f"{alt}.", margins=margins)


def _standing(result: ParameterResult) -> tuple[float, float, float]:
    """The posterior's 90 % interval and middle in standard deviations of the prior about its mean."""
    prior, value, sd = result.parameter, result.posterior.value, result.posterior.sd or 0.0
    if prior.log and value > 0 and prior.mean > 0:
        # Held as a logarithm in the fit: a factor of two up and down then looks alike.
        unit = prior.sd / prior.mean
        middle, reach = float(np.log(value / prior.mean)) / unit, NINE_IN_TEN * sd / value / unit
    else:
        middle, reach = (value - prior.mean) / prior.sd, NINE_IN_TEN * sd / prior.sd
    return middle - reach, middle, middle + reach


def _title(parameters: Sequence[ParameterResult]) -> str:
    learnt = [result for result in parameters if result.taught >= 0.5]
    rest = len(parameters) - len(learnt)
    kept = "; the others rest mostly on their priors" if rest else ""
    return (
        f"The flights more than halved the uncertainty of {len(learnt)} of {len(parameters)} parameters{kept}"
    )


def residual_figure(residuals: Sequence[Residual], *, look: Look = PAGE) -> Spec:
    """Every measured figure against the fit, in standard deviations of both together, a row a kind.

    Nine in ten are expected between the two thin uprights; outliers are drawn in the accent and named.
    """
    kinds = list(dict.fromkeys(residual.what for residual in residuals))
    pitch, count = look.body * 2.0, len(kinds)
    names = look.width * 0.3
    frame = Frame(
        Scale(
            "measured minus fitted, standard deviations",
            "",
            -4.0,
            4.0,
            (-4.0, -2.0, 0.0, 2.0, 4.0),
            look.width - names - look.small * 2,
        ),
        Scale("", "", -0.5, count - 0.5, (), pitch * count),
        look,
    )
    edges = [(at, -0.5, at, count - 0.5) for at in (-NINE_IN_TEN, NINE_IN_TEN)]
    layers: Layers = [
        segments(edges, look.palette.muted, look.hairline),
        segments([(0.0, -0.5, 0.0, count - 0.5)], look.palette.ink, look.hairline * 1.5),
    ]
    for index, kind in enumerate(kinds):
        level = count - 1 - index
        mine = [residual for residual in residuals if residual.what == kind]
        at = frame.moved(-4.0, level, right=-look.small)
        layers.append(text_layer(*at, kind, look.palette.ink, look.small, align="right"))
        for stack, residual in _stacked(mine):
            colour = look.palette.rust if residual.outlier else look.palette.series[0].mark
            x = float(np.clip(residual.standardised, -3.95, 3.95))
            layers.append(_dot(x, level + stack, colour, look))
            if residual.outlier:
                place = frame.moved(x, level, right=look.body * (0.6 if x < 0 else -0.6))
                words = f"{residual.origin.card}, {residual.origin.point}"
                layers.append(
                    text_layer(
                        *place, words, look.palette.rust, look.small, align="left" if x < 0 else "right"
                    )
                )
    inside = sum(abs(residual.standardised) <= NINE_IN_TEN for residual in residuals)
    odd = sum(residual.outlier for residual in residuals)
    outliers = f"; {odd} named as outliers" if odd > 1 else "; one named as an outlier" if odd else ""
    title = f"{inside} of {len(residuals)} measured figures lie within the 90 % interval of the fit{outliers}"
    alt = f"Measured minus fitted in standard deviations, by kind: {', '.join(kinds)}. {title}."
    margins = Margins(left=names, right=look.small * 2, bottom=look.small * 3.4, top=look.small * 0.8)
    return figure(frame, layers, title=title, alt=alt, margins=margins)


def _stacked(residuals: Sequence[Residual]) -> list[tuple[float, Residual]]:
    """Neighbours that would hide each other step up and down by turns."""
    found = []
    last, step = -np.inf, 0
    for residual in sorted(residuals, key=lambda item: item.standardised):
        step = step + 1 if residual.standardised - last < 0.16 else 0
        last = residual.standardised
        found.append(((-1) ** step * 0.13 * ((step + 1) // 2), residual))
    return found


def _bar(ends: tuple[float, float], level: float, colour: str, thickness: float) -> Layer:
    tint = {"fill": colour, "fillOpacity": 0.22, "stroke": None}
    mark = {"type": "bar", **tint, "height": thickness, "orient": "horizontal"}
    data = rows(x=[ends[0]], x2=[ends[1]], y=[level])
    return {"data": {"values": data}, "mark": mark, "encoding": {"x2": {"field": "x2"}}}


def _dot(x: float, y: float, colour: str, look: Look) -> Layer:
    mark = {
        "type": "point",
        "filled": True,
        "fill": colour,
        "stroke": look.palette.paper,
        "strokeWidth": look.hairline,
        "size": look.dot**2,
    }
    return {"data": {"values": rows(x=[x], y=[y])}, "mark": mark}
