"""Following: a line to the making process that is closed while it is listened to."""

import threading
from multiprocessing import Pipe

import pytest

from viz.errors import ShowError
from viz.following import Following

READ = {"words": {"title": "Yard"}, "steps": [], "yard": b""}


def test_a_line_closed_while_it_is_listened_to_ends_it_quietly(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What still comes is read by a thread whose line is gone, as when Ctrl+C ends a server."""
    uncaught: list[threading.ExceptHookArgs] = []
    monkeypatch.setattr(threading, "excepthook", uncaught.append)
    ours, theirs = Pipe()
    theirs.send(("read", READ))
    following = Following(ours)
    stopped = threading.Event()
    before = set(threading.enumerate())
    following.attend(stopped.set)
    (listening,) = set(threading.enumerate()) - before
    listening.join(0.3)  # it waits for the next word by now
    assert listening.is_alive()
    ours.close()
    theirs.send(("step", 1))
    listening.join(10)
    assert not listening.is_alive()
    assert uncaught == []
    assert stopped.is_set()
    assert isinstance(following.failed, ShowError)
