"""Many arrays as one run of bytes: what a page is sent, in one message instead of hundreds.

An array becomes {"array": [kind, first byte, count]}, flattened, and one that only counts from 0
on {"counted": [kind, count]}; everything else stays as it is. viz/js/arrays.js makes typed
arrays of them again, over the same bytes.
"""

from collections.abc import Mapping
from typing import Any

import numpy as np

ALIGNED = 8
LONG = 64
"""Arrays shorter than this go as they are, also where they only count."""

KINDS = ("float32", "float64", "int8", "int16", "int32", "uint8", "uint16", "uint32")
SENT_AS = {"int64": "int32", "bool": "uint8"}
"""Kinds a browser has no typed array for, and what goes in their place."""


def packed(value: Any) -> dict[str, Any]:
    """The same mappings and lists, their arrays in one run of bytes; TypeError for other arrays."""
    run = bytearray()
    data = _packed_into(run, value)
    return {"bytes": bytes(run), "data": data}


def _packed_into(run: bytearray, value: Any) -> Any:
    if isinstance(value, np.ndarray):
        return _appended(run, value)
    if isinstance(value, Mapping):
        return {key: _packed_into(run, each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [_packed_into(run, each) for each in value]
    return value


def _appended(run: bytearray, array: np.ndarray) -> dict[str, Any]:
    kind = SENT_AS.get(array.dtype.name, array.dtype.name)
    if kind not in KINDS:
        raise TypeError(f"an array of {array.dtype} cannot be sent")
    if array.size >= LONG and array.dtype.kind in "iu" and _counts(array):
        return {"counted": [kind, array.size]}
    run.extend(bytes(-len(run) % ALIGNED))
    first = len(run)
    run.extend(np.ascontiguousarray(array, dtype=kind).tobytes())
    return {"array": [kind, first, array.size]}


def _counts(array: np.ndarray) -> bool:
    """Whether an array is 0, 1, 2 and so on."""
    return bool((array.ravel() == np.arange(array.size)).all())
