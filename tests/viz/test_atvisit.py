"""Work done at the first visit: begun once, kept, done again for another yard or a lost process."""

import os
import pickle
import time
from contextlib import closing

import pytest

from growth.errors import GrowthError
from viz.atvisit import AtVisit
from viz.errors import WrongYardError


def named(yard: str) -> str:
    """Work that a process can be sent."""
    if yard == "wrong":
        raise GrowthError("no such yard")
    if yard == "lost":
        os._exit(3)
    return f"found {yard}, {os.getpid()}"


def awaited(one: AtVisit) -> str:
    until = time.monotonic() + 60
    while (found := one.found()) is None:
        assert time.monotonic() < until
        time.sleep(0.05)
    return found


def test_it_is_found_once_in_another_process_and_anew_for_another_yard():
    yards = [pickle.dumps("first")]
    with closing(AtVisit(lambda: yards[-1], named)) as one:
        assert one.found() is None  # begun, and nobody waits
        first = awaited(one)
        assert first.startswith("found first")
        assert first != named("first")  # another process
        assert one.found() is first
        yards.append(pickle.dumps("second"))
        assert awaited(one).startswith("found second")


def test_a_mistake_is_raised_and_a_lost_process_is_begun_anew():
    yards = [pickle.dumps("wrong")]
    with closing(AtVisit(lambda: yards[-1], named)) as one:
        with pytest.raises(WrongYardError, match="no such yard"):
            awaited(one)
        yards.append(pickle.dumps("lost"))
        until = time.monotonic() + 60
        one.found()
        while one._future is not None and time.monotonic() < until:
            one.found()
            time.sleep(0.05)
        yards.append(pickle.dumps("third"))
        assert awaited(one).startswith("found third")
