"""What cameras beside the strip saw against what the recordings say of the same runs."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from wringout.charts.figure import Margins, Spec, figure
from wringout.charts.grammar import Frame, Layers, measured, segments, text_layer
from wringout.charts.scales import Scale, scale
from wringout.charts.theme import PAGE, Look
from wringout.quantity.estimate import Estimate
from wringout.reduction.points import CameraEvidence


def camera_figure(films: Sequence[CameraEvidence], *, look: Look = PAGE) -> Spec:
    """A row a figure of a film: how far it lies from the recording's, with the 90 % bar of the two together.

    Raises ValueError where no film shows what a recording shows too.
    """
    rows = [
        (f"{film.point}, {name.replace('_', ' ')}", seen, film.recorded[name])
        for film in films
        for name, seen in film.measures.items()
        if name in film.recorded and film.recorded[name].value
    ]
    if not rows:
        raise ValueError("no film shows what a recording shows too")
    apart = np.array([seen.value / logged.value - 1.0 for _, seen, logged in rows])
    spread = np.array([_relative(seen, logged) for _, seen, logged in rows])
    count, pitch, names = len(rows), look.body * 2.0, look.width * 0.36
    reach = max(0.01, float(np.max(np.abs(apart) + 1.645 * spread)))
    across = scale(
        "film against recording", "%", [[-reach, reach]], look.width - names - look.small * 2, companion=False
    )
    frame = Frame(across, Scale("", "", -0.5, count - 0.5, (), pitch * count), look)
    layers: Layers = [segments([(0.0, -0.5, 0.0, count - 0.5)], look.palette.ink, look.hairline * 1.5)]
    levels = np.arange(count)[::-1].astype(np.float64)
    notes = [
        f"film {seen.value:.4g}, recording {logged.value:.4g} {seen.dimension.value}"
        for _, seen, logged in rows
    ]
    layers += measured(frame, apart, levels, np.zeros(count), look.palette.series[0].mark, notes, x_sd=spread)
    for (words, _, _), level in zip(rows, levels, strict=True):
        at = frame.moved(across.low, float(level), right=-look.small)
        layers.append(text_layer(*at, words, look.palette.ink, look.small, align="right"))
    inside = int(np.count_nonzero(np.abs(apart) <= 1.645 * spread))
    title = f"Film and recording agree within the 90 % interval of the two in {inside} of {count} figures"
    alt = f"What cameras saw against what recordings say, in per cent. {title}."
    margins = Margins(left=names, right=look.small * 2, bottom=look.small * 3.4, top=look.small * 0.8)
    return figure(frame, layers, title=title, alt=alt, margins=margins)


def _relative(seen: Estimate, logged: Estimate) -> float:
    return float(np.hypot(seen.sd or 0.0, logged.sd or 0.0)) / abs(logged.value)
