"""What takes seconds to reckon of a yard: begun when first asked for, in a process of its own.

The server answers others meanwhile. It is kept until the yard is another one.
"""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context
from typing import Generic, TypeVar

from viz.owner import end_with_owner

Made = TypeVar("Made")
Result = TypeVar("Result")


class AtVisit(Generic[Made, Result]):
    """The result of some work on the yard as it stands."""

    def __init__(self, yard: Callable[[], Made], work: Callable[[Made], Result]) -> None:
        """`yard` gives the yard as it stands; `work` is pickled, and done in the process."""
        self._yard = yard
        self._work = work
        self._of: Made | None = None
        self._future: Future[Result] | None = None
        self._pool: ProcessPoolExecutor | None = None

    def found(self) -> Result | None:
        """The result; None while it is being reckoned. Raises what the work raised."""
        yard = self._yard()
        if self._future is None or yard is not self._of:
            self._of, self._future = yard, self._begun(yard)
        if not self._future.done():
            return None
        try:
            return self._future.result()
        except BrokenProcessPool:  # somebody ended the process: begun anew at the next visit
            self._future = self._pool = None
            return None

    def close(self) -> None:
        """Stop what is being reckoned."""
        if self._pool is not None:
            self._pool.shutdown(wait=False, cancel_futures=True)

    def _begun(self, yard: Made) -> Future[Result]:
        """In one process, no copy of this one: that would wait for the threads this one has."""
        self._pool = self._pool or ProcessPoolExecutor(
            max_workers=1, mp_context=get_context("spawn"), initializer=end_with_owner
        )
        return self._pool.submit(self._work, yard)
