"""When a yard's document is saved, or a file it names: looked at ten times a second.

Only size, time and number of the files are looked at, never their text; a save counts once
two looks in a row find the files the same, so that half a file is not read; who replaced the
document by a whole one may say so, and nothing is waited for. Names are taken from the document
as text, so that a survey is watched even while the document is wrong.
"""

import time
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path, PureWindowsPath
from typing import Any

from scenes.files import DOCUMENT_BYTES, read_capped, text_of

LOOK_S = 0.1
"""Time between two looks, in seconds."""

Facts = tuple[int, int, int] | None


@dataclass(frozen=True)
class Look:
    """Files, and time, size and number of each; None where there is no such file."""

    files: tuple[Path, ...]
    facts: tuple[Facts, ...]


def look(path: Path) -> Look:
    """A document and the files it names, as they are now."""
    files = (path, *files_named(path))
    return Look(files, _facts_of(files))


def _nobody_tells(seconds: float) -> bool:
    time.sleep(seconds)
    return False


def saves(
    path: Path, since: Look, *, told_in: Callable[[float], bool] = _nobody_tells
) -> Iterator[Look]:
    """What is there after each save from `since` on, without end.

    `told_in` waits so many seconds, or until it is told that the document was replaced whole,
    and says whether it was.
    """
    while True:
        told = told_in(LOOK_S)
        if _facts_of(since.files) != since.facts:
            since = look(path) if told else _at_rest(path)
            yield since


def files_named(path: Path) -> tuple[Path, ...]:
    """Paths inside the document's folder that its texts may mean; none where it is no TOML."""
    try:
        raw = tomllib.loads(text_of(read_capped(path, most_bytes=DOCUMENT_BYTES)))
    except (ValueError, RecursionError):
        return ()
    return tuple(dict.fromkeys(path.parent / name for name in _texts(raw) if _is_file_name(name)))


def _at_rest(path: Path) -> Look:
    before = look(path)
    while True:
        time.sleep(LOOK_S)
        now = look(path)
        if now == before:
            return now
        before = now


def _facts_of(files: tuple[Path, ...]) -> tuple[Facts, ...]:
    return tuple(_facts(file) for file in files)


def _facts(file: Path) -> Facts:
    try:
        told = file.stat()
    except OSError:
        return None
    return told.st_mtime_ns, told.st_size, told.st_ino


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for each in value.values():
            yield from _texts(each)
    elif isinstance(value, list):
        for each in value:
            yield from _texts(each)


def _is_file_name(text: str) -> bool:
    """Whether a text ends like a file's name and stays inside the folder."""
    name = PureWindowsPath(text)  # takes both kinds of slashes
    inside = not name.drive and not name.root and ".." not in name.parts
    return inside and text.isprintable() and bool(name.suffix) and " " not in name.suffix
