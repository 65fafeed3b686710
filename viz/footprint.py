"""How much memory a process that lives long keeps hold of.

The C library of Linux gives every thread a heap of its own and keeps what is freed in each; a yard
is made by a few threads at a time that free nearly all they take. Elsewhere nothing is done.
"""

import ctypes
from contextlib import suppress
from functools import cache
from typing import Any

HEAPS = -8
"""The number by which glibc's mallopt knows the most heaps a process may have."""


def one_heap() -> None:
    """Have all threads to come share one heap."""
    with suppress(AttributeError):  # not glibc
        _library().mallopt(HEAPS, 1)


def give_back() -> None:
    """Give the system back what is free at this moment."""
    with suppress(AttributeError):
        _library().malloc_trim(0)


@cache
def _library() -> Any:
    with suppress(OSError, TypeError):  # where a process has no such thing
        return ctypes.CDLL(None)
    return None
