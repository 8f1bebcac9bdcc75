"""A PNG as an array, for tests that look at what was drawn."""

import re
import struct
import zlib

import numpy as np
from numpy.typing import NDArray

Picture = NDArray[np.uint8]

_SIGNATURE = b"\x89PNG\r\n\x1a\n"


def pixels(png: bytes) -> Picture:
    """Rows × columns × channels of an 8-bit PNG, not interlaced [PNG specification, 2nd edition, ch. 9]."""
    assert png[:8] == _SIGNATURE
    position, compressed, header = 8, b"", b""
    while position < len(png):
        size, kind = struct.unpack(">I4s", png[position : position + 8])
        body = png[position + 8 : position + 8 + size]
        position += size + 12
        if kind == b"IHDR":
            header = body
        elif kind == b"IDAT":
            compressed += body
    width, height, depth, colour, _, _, interlaced = struct.unpack(">IIBBBBB", header)
    channels = {0: 1, 2: 3, 4: 2, 6: 4}[colour]
    assert depth == 8
    assert not interlaced
    raw = np.frombuffer(zlib.decompress(compressed), np.uint8).reshape(height, 1 + width * channels)
    return _unfiltered(raw, channels).reshape(height, width, channels)


def _unfiltered(raw: Picture, channels: int) -> Picture:
    rows = raw[:, 1:].astype(np.int64)
    above = np.zeros(rows.shape[1], np.int64)
    for number, kind in enumerate(raw[:, 0]):
        row = rows[number]
        if kind == 2:
            row = (row + above) % 256
        elif kind == 1:
            row = (row.reshape(-1, channels).cumsum(axis=0) % 256).reshape(-1)
        elif kind in {3, 4}:
            row = _slow(row, above, channels, paeth=kind == 4)
        rows[number] = above = row
    return rows.astype(np.uint8)


def _slow(
    row: NDArray[np.int64], above: NDArray[np.int64], channels: int, *, paeth: bool
) -> NDArray[np.int64]:
    done, upper = row.tolist(), above.tolist()
    for at, value in enumerate(done):
        left = done[at - channels] if at >= channels else 0
        if paeth:
            corner = upper[at - channels] if at >= channels else 0
            guess = left + upper[at] - corner
            sides = (left, upper[at], corner)
            near = min((abs(guess - side), turn, side) for turn, side in enumerate(sides))
            done[at] = (value + near[2]) % 256
        else:
            done[at] = (value + (left + upper[at]) // 2) % 256
    return np.array(done)


def beyond(drawing: str, reach: float = 6.0) -> dict[str, int]:
    """How much an SVG drawing inks outside its own frame, by side, where a viewer would cut it off."""
    import vl_convert

    found = re.search(r'<svg[^>]*? width="([\d.]+)" height="([\d.]+)" viewBox="([^"]+)"', drawing)
    assert found is not None
    width, height = float(found[1]), float(found[2])
    strips = {
        "left": (-reach, 0.0, reach, height),
        "right": (width, 0.0, reach, height),
        "above": (0.0, -reach, width, reach),
        "below": (0.0, height, width, reach),
    }
    counts = {}
    for side, (x, y, wide, high) in strips.items():
        head = found[0].replace(
            f'width="{found[1]}" height="{found[2]}"', f'width="{wide:g}" height="{high:g}"'
        )
        head = head.replace(f'viewBox="{found[3]}"', f'viewBox="{x:g} {y:g} {wide:g} {high:g}"')
        picture = pixels(vl_convert.svg_to_png(drawing.replace(found[0], head, 1)))
        counts[side] = int((picture[:, :, 3] > 12).sum())
    return counts


def ink(picture: Picture, ground: str) -> NDArray[np.bool_]:
    """Where a picture differs visibly from its ground colour '#RRGGBB'."""
    paper = np.array([int(ground[k : k + 2], 16) for k in (1, 3, 5)])
    apart: NDArray[np.bool_] = np.abs(picture[:, :, :3].astype(int) - paper).max(axis=2) > 12
    return apart
