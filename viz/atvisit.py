"""What takes seconds to reckon of a yard: begun when first asked for, in a process of its own.

The server answers others meanwhile. It is kept until the yard is another one.
"""

from __future__ import annotations

import pickle
from collections.abc import Callable
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context
from typing import Any, Generic, TypeVar

from growth.errors import GrowthError
from scenes.errors import SceneError
from viz.errors import WrongYardError
from viz.owner import end_with_owner

Result = TypeVar("Result")


class Worker:
    """A process that does one piece of work after the other, begun when it is first needed."""

    def __init__(self) -> None:
        """Nothing is begun yet."""
        self._pool: ProcessPoolExecutor | None = None

    def begun(self, work: Callable[[Any], Result], yard: bytes) -> Future[Result]:
        """Work on a pickled yard. The process is no copy of this one: that would wait for the
        threads this one has."""
        try:
            if self._pool is not None:
                return self._pool.submit(_done, work, yard)
        except BrokenProcessPool:  # somebody ended the process: another one takes its place
            pass
        self._pool = ProcessPoolExecutor(
            max_workers=1, mp_context=get_context("spawn"), initializer=end_with_owner
        )
        return self._pool.submit(_done, work, yard)

    def close(self) -> None:
        """Stop what is being reckoned."""
        if self._pool is not None:
            self._pool.shutdown(wait=False, cancel_futures=True)


class AtVisit(Generic[Result]):
    """The result of some work on the yard as it stands."""

    def __init__(
        self,
        yard: Callable[[], bytes],
        work: Callable[[Any], Result],
        worker: Worker | None = None,
    ) -> None:
        """`yard` gives the yard as it stands, pickled; `work` is pickled too, and done in the
        process, which loads the yard for it: one of its own, or one that several share."""
        self._yard = yard
        self._work = work
        self._of: bytes | None = None
        self._future: Future[Result] | None = None
        self._worker = worker or Worker()
        self.close = self._worker.close

    def found(self) -> Result | None:
        """The result; None while it is being reckoned. Raises WrongYardError for a wrong yard."""
        yard = self._yard()
        if self._future is None or yard is not self._of:
            if self._future is not None:
                self._future.cancel()  # where it was not begun yet
            self._of, self._future = yard, self._worker.begun(self._work, yard)
        if not self._future.done():
            return None
        try:
            return self._future.result()
        except BrokenProcessPool:  # somebody ended the process: begun anew at the next visit
            self._future = None
            return None


def _done(work: Callable[[Any], Result], kept: bytes) -> Result:
    """The work on a pickled yard; its mistakes as lines, which can go from process to process."""
    try:
        return work(pickle.loads(kept))
    except (SceneError, GrowthError) as mistake:
        raise WrongYardError(str(mistake)) from None
