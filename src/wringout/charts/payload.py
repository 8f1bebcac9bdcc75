"""Payload against range."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from wringout.charts.figure import Spec, figure, margins_for
from wringout.charts.grammar import Frame, Label, Layers, fitted, labels, polyline, series_of
from wringout.charts.scales import scale
from wringout.charts.theme import PAGE, Look
from wringout.dossier.dossier import Units
from wringout.missions import PayloadRange


def payload_range_figure(results: Sequence[PayloadRange], units: Units, *, look: Look = PAGE) -> Spec:
    """How much goes how far, by configuration, with the 90 % band of the range.

    The thin line beside each is what mass alone would allow; where the two part, the centre of
    gravity, a station or a floor binds.

    Parameters
    ----------
    results : sequence of PayloadRange
        One a configuration.
    units : Units
        Display units.
    look : Look
        Medium and palette.

    Raises
    ------
    ValueError
        Nothing can be carried in any of them.
    """
    ranges = [*(item.range for item in results), *(item.range_high for item in results)]
    payloads = [item.payload for item in results]
    width, height = look.width - look.small * 7.2, look.width * 0.42
    frame = Frame(
        scale("range with reserve", units.range, ranges, width, from_zero=True, tight=True, room=0.02),
        scale("payload, pilot counted", units.mass, payloads, height, from_zero=True),
        look,
    )
    layers: Layers = []
    wanted: list[Label] = []
    for index, item in enumerate(results):
        colour = series_of(look, index)
        known = np.isfinite(item.payload) & np.isfinite(item.range)
        if not known.any():
            continue
        x, y = item.range[known], item.payload[known]
        rim_x = np.concatenate([item.range_low[known], item.range_high[known][::-1]])
        rim_y = np.concatenate([y, y[::-1]])
        tint = {"fill": colour.mark, "fillOpacity": 0.16, "strokeOpacity": 0, "interpolate": "linear-closed"}
        layers.append(polyline(frame.x.shown(rim_x), frame.y.shown(rim_y), tint))
        bare = {"stroke": look.palette.muted, "strokeWidth": look.hairline}
        by_mass = np.minimum(item.payload_by_mass, np.nanmax(item.payload) * 1.5)[known]
        inside = frame.y.shown(by_mass) <= frame.y.high
        layers.append(polyline(frame.x.shown(x[inside]), frame.y.shown(by_mass[inside]), bare))
        layers += fitted(frame, x, y, colour.mark)
        middle = len(x) // 2
        wanted.append(
            Label(
                float(x[middle]),
                float(y[middle]),
                item.configuration,
                colour.text,
                "above" if index == 0 else "below",
                "left" if index == 0 else "right",
            )
        )
    layers += labels(frame, wanted)
    alt = "Payload against range. " + " ".join(f"{item.configuration}: {item.sentence}" for item in results)
    return figure(
        frame, layers, title=results[0].sentence.rstrip("."), alt=alt, margins=margins_for(look, frame)
    )
