"""Kernels compiled by numba when first called, and kept as files from then on.

A kernel is kept beside its module, or in the user's own folder; where neither can be written
it is compiled anew in every process. Kernels release the interpreter, so that plain threads
share their work.
"""

import os
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from functools import cache, partial
from typing import Any, TypeVar, cast

Result = TypeVar("Result")

THREADS = min(8, os.cpu_count() or 1)
"""More share of the work than this is not worth the waiting for each other."""

_FREELY = {"nsz", "contract", "reassoc"}
"""What fast arithmetic may do. Not among it: to assume that all numbers are finite; and to divide
and take roots by estimates, which come out otherwise where lines are worked on in eights than
where one is left over, so that a line's answer would depend on those beside it."""


def compiled(function: Callable[..., Any]) -> Callable[..., Any]:
    """The function as compiled code that rounds freely, as single precision does anyway.

    It may make no arrays, and so need not count who holds those it is given: threads that count
    the same array wait for each other, which made two slower than one.
    """
    from numba import njit  # a quarter of a second: only for modules that hold kernels

    make = partial(njit, nogil=True, error_model="numpy", fastmath=_FREELY, _nrt=False)
    try:
        return cast(Callable[..., Any], make(cache=True)(function))
    except RuntimeError:  # no folder to keep it in
        return cast(Callable[..., Any], make()(function))


def in_parts(work: Callable[[int, int], Any], count: int, *, least: int = 1) -> None:
    """Call work(first, end) for parts of 0..count on all processors, of `least` and more."""
    parts = min(max(1, count // least), 4 * THREADS)
    if parts <= 1 or THREADS == 1:
        work(0, count)
        return
    edges = [count * part // parts for part in range(parts + 1)]
    list(_threads().map(work, edges[:-1], edges[1:]))


def beside(make: Callable[[], Result]) -> Future[Result]:
    """Begin something while the caller goes on: the one computes while the other prepares."""
    return _aside().submit(make)


@cache
def _aside() -> ThreadPoolExecutor:
    return ThreadPoolExecutor(1, thread_name_prefix="beside")


@cache
def _threads() -> ThreadPoolExecutor:
    return ThreadPoolExecutor(THREADS, thread_name_prefix="kernel")
