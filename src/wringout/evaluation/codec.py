"""Frozen results ↔ bytes (JSON beside plain arrays), by their types; reading executes nothing."""

from __future__ import annotations

import io
import json
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar, get_origin

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from cattrs import Converter

T = TypeVar("T")


def _is_array(kind: Any) -> bool:
    return kind is np.ndarray or get_origin(kind) is np.ndarray


def _converter(arrays: list[NDArray[Any]]) -> Converter:
    """A converter that sets arrays aside on `arrays` and leaves their index in the text."""
    from cattrs import Converter

    def put(array: NDArray[Any]) -> int:
        arrays.append(array)
        return len(arrays) - 1

    converter = Converter()
    converter.register_unstructure_hook_func(_is_array, put)
    converter.register_structure_hook_func(_is_array, lambda index, _: arrays[index])
    converter.register_unstructure_hook(datetime, datetime.isoformat)
    converter.register_structure_hook(datetime, lambda text, _: datetime.fromisoformat(text))
    converter.register_unstructure_hook(date, date.isoformat)
    converter.register_structure_hook(date, lambda text, _: date.fromisoformat(text))
    converter.register_unstructure_hook(Path, str)
    converter.register_structure_hook(Path, lambda text, _: Path(text))
    return converter


def encode(result: object, kind: Any) -> bytes:
    """`result` of type `kind` as one archive: `result.json` and one plain array a member."""
    arrays: list[NDArray[Any]] = []
    plain = _converter(arrays).unstructure(result, unstructure_as=kind)
    members: dict[str, Any] = {f"array_{index}": array for index, array in enumerate(arrays)}
    members["text"] = np.frombuffer(json.dumps(plain).encode(), dtype=np.uint8)
    buffer = io.BytesIO()
    np.savez(buffer, allow_pickle=False, **members)
    return buffer.getvalue()


def decode(data: bytes, kind: type[T]) -> T:
    """The result of type `kind` that `encode` wrote.

    Raises ValueError or KeyError where the bytes are not such an archive, or of another type.
    """
    with np.load(io.BytesIO(data), allow_pickle=False) as archive:
        arrays = [archive[f"array_{index}"] for index in range(len(archive.files) - 1)]
        plain = json.loads(archive["text"].tobytes())
    result: T = _converter(arrays).structure(plain, kind)
    return result


def fingerprint(value: object, kind: Any) -> bytes:
    """The same bytes for equal values of type `kind`, whatever process computes them."""
    arrays: list[NDArray[Any]] = []
    plain = _converter(arrays).unstructure(value, unstructure_as=kind)
    return json.dumps(plain, sort_keys=True).encode() + b"".join(array.tobytes() for array in arrays)
