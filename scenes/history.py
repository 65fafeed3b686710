"""The history of a document: every step that changed it, kept beside it so that it can be undone.

A file of records, each with its length and checksum in front, forced to the disk before the
document is replaced. The first holds a whole text; every other what one step took out and put
in. A step is an edit, an undo or a redo of an edit, or a change found in the document that was
made elsewhere. Torn or damaged ends are left out: what was forced to the disk is whole.

The file is bounded: where it would grow beyond 4 MB or 1,000 steps, the oldest steps are left
out until half of that is free, and can no longer be undone.
"""

import json
import os
import struct
import zlib
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from scenes.files import read_capped
from scenes.replacing import replaced, write_all

MAGIC = b"yardyears history 1\n"
MOST_BYTES = 4_000_000
MOST_STEPS = 1_000
MOST_FILE_BYTES = 40_000_000
MOST_RECORD_BYTES = 16_000_000
"""A record that is longer than this, or holds more, is damaged."""

_HEAD = struct.Struct(">II")


@dataclass(frozen=True)
class Step:
    """One step: what it did, to which edit where it undoes or redoes one, and the change."""

    do: str
    number: int
    of: int
    words: str
    start: int
    out: str
    into: str

    def after(self, text: str) -> str:
        """The text after the step, from the text before it."""
        return text[: self.start] + self.into + text[self.start + len(self.out) :]

    def before(self, text: str) -> str:
        """The text before the step, from the text after it."""
        return text[: self.start] + self.out + text[self.start + len(self.into) :]


@dataclass(frozen=True)
class History:
    """The steps of a document from a first text on, and how many bytes of the file hold them."""

    first: str
    steps: tuple[Step, ...] = ()
    size: int = 0

    @property
    def text(self) -> str:
        """The text after the last step."""
        text = self.first
        for step in self.steps:
            text = step.after(text)
        return text

    @property
    def last_number(self) -> int:
        """The number of the last step; 0 where there is none."""
        return self.steps[-1].number if self.steps else 0

    def around(self, number: int) -> tuple[str, str]:
        """The texts before and after a step."""
        text = self.first
        for step in self.steps:
            if step.number == number:
                return text, step.after(text)
            text = step.after(text)
        raise KeyError(number)

    @property
    def done(self) -> tuple[Step, ...]:
        """The edits that stand, oldest first: the last is what an undo takes back."""
        return self._stacks()[0]

    @property
    def undone(self) -> tuple[Step, ...]:
        """The edits that were taken back: the last is what a redo makes again."""
        return self._stacks()[1]

    def _stacks(self) -> tuple[tuple[Step, ...], tuple[Step, ...]]:
        done: list[Step] = []
        undone: list[Step] = []
        for step in self.steps:
            if step.do == "edit":
                done, undone = [*done, step], []
            elif step.do == "undo" and done and done[-1].number == step.of:
                undone.append(done.pop())
            elif step.do == "redo" and undone and undone[-1].number == step.of:
                done.append(undone.pop())
        return tuple(done), tuple(undone)

    def with_step(self, do: str, words: str, text: str, *, of: int = 0) -> "History":
        """The history with one step more, not yet in its file, that leads to another text."""
        start, out, into = _difference(self.text, text)
        step = Step(do, self.last_number + 1, of, words, start, out, into)
        return replace(self, steps=(*self.steps, step))


def history_path(document: Path) -> Path:
    """The file of a document's history: beside the document itself, not beside a link to it."""
    document = document.resolve()
    return document.with_name(f".{document.name}.history")


def read(path: Path) -> History | None:
    """The history in a file as far as it is whole; None where there is none.

    Raises ValueError "wrong; remedy" where the file is something else.
    """
    if path.is_symlink():
        raise ValueError("is a link; put the file itself there, or remove it")
    if not path.exists():
        return None
    data = read_capped(path, most_bytes=MOST_FILE_BYTES)
    if not data.startswith(MAGIC):
        if MAGIC.startswith(data):
            return None
        raise ValueError("is not a history of a document; move it elsewhere")
    at, records = len(MAGIC), []
    while (record := _record(data, at)) is not None:
        records.append(record)
        at += _HEAD.size + _length(data, at)
    if not records or "text" not in records[0]:
        return None
    steps = tuple(Step(**record) for record in records[1:])
    return History(records[0]["text"], steps, at)


def begun(path: Path, text: str, *, document: Path) -> History:
    """A new history that begins with a text, written to its file with the document's rights."""
    data = MAGIC + _written({"text": text})
    replaced(path, data, like=document)
    return History(text, (), len(data))


def appended(path: Path, history: History, more: History) -> History:
    """A history with more steps, now in its file too and forced to the disk.

    OSError leaves the file as it was.
    """
    steps = more.steps[len(history.steps) :]
    data = b"".join(_written(vars(step)) for step in steps)
    new = replace(more, size=history.size + len(data))
    if new.size > MOST_BYTES or len(new.steps) > MOST_STEPS:
        return _shortened(path, new, keep=len(steps))
    descriptor = os.open(path, os.O_WRONLY)
    try:
        os.ftruncate(descriptor, history.size)
        os.lseek(descriptor, history.size, os.SEEK_SET)
        try:
            write_all(descriptor, data)
            os.fsync(descriptor)
        except OSError:
            os.ftruncate(descriptor, history.size)
            raise
    finally:
        os.close(descriptor)
    return new


def taken_back(path: Path, history: History) -> None:
    """Cut the file to a history that it held before, forced to the disk."""
    descriptor = os.open(path, os.O_WRONLY)
    try:
        os.ftruncate(descriptor, history.size)
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _shortened(path: Path, history: History, *, keep: int) -> History:
    """The history without its oldest steps, so that half of what is allowed is free."""
    written = [_written(vars(step)) for step in history.steps]
    left, size = len(written), 0
    while left:
        count, larger = len(written) - left, size + len(written[left - 1])
        if count >= keep and (larger > MOST_BYTES // 2 or count >= MOST_STEPS // 2):
            break
        left, size = left - 1, larger
    first = history.first
    for step in history.steps[:left]:
        first = step.after(first)
    data = MAGIC + _written({"text": first}) + b"".join(written[left:])
    replaced(path, data, like=path)
    return History(first, history.steps[left:], len(data))


def _difference(before: str, after: str) -> tuple[int, str, str]:
    """Where two texts part, and what stands there in each."""
    start = _same(before, after)
    same = _same(before[start:][::-1], after[start:][::-1])
    return start, before[start : len(before) - same], after[start : len(after) - same]


def _same(one: str, other: str) -> int:
    """How many characters two texts begin with alike."""
    low, high = 0, min(len(one), len(other))
    while low < high:
        middle = (low + high + 1) // 2
        if one[low:middle] == other[low:middle]:
            low = middle
        else:
            high = middle - 1
    return low


def _written(record: dict[str, Any]) -> bytes:
    payload = zlib.compress(json.dumps(record, ensure_ascii=False).encode())
    return _HEAD.pack(len(payload), zlib.crc32(payload)) + payload


def _length(data: bytes, at: int) -> int:
    return int(_HEAD.unpack_from(data, at)[0])


def _record(data: bytes, at: int) -> dict[str, Any] | None:
    """The record at a place of the file; None where no whole one begins there."""
    if at + _HEAD.size > len(data):
        return None
    length, checksum = _HEAD.unpack_from(data, at)
    payload = data[at + _HEAD.size : at + _HEAD.size + length]
    if length > MOST_RECORD_BYTES or len(payload) < length or zlib.crc32(payload) != checksum:
        return None
    record: dict[str, Any] = json.loads(zlib.decompressobj().decompress(payload, MOST_RECORD_BYTES))
    return record
