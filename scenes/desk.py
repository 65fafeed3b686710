"""One document on the desk: it is changed by hand, step by step, and no step is ever lost.

Every change goes the same way: the document is read anew under a lock, the change is merged
with what others made of it since this desk last saw it, the result is checked as a yard, the
step is forced into the history, and only then the document is replaced. Where the changes
clash a question is asked; nothing is overwritten in silence. Several desks, in one process or
in many, may hold one document; they share its history.
"""

import contextlib
import fcntl
import hashlib
import os
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from scenes import history as histories
from scenes.document import Yard
from scenes.editing import laid_out, unchecked
from scenes.edits import Edited
from scenes.errors import SceneError, mistake_of
from scenes.files import DOCUMENT_BYTES, read_capped, text_of
from scenes.history import History, history_path
from scenes.merging import merged
from scenes.reading import checked
from scenes.replacing import Facts, facts, is_read_only, replaced, why_not

WAIT_S = 5.0
"""How long a change waits for another one of the same folder to be written."""

TRIES = 5
"""How often a change is made anew because an editor saved the document meanwhile."""

ELSEWHERE = "Changed elsewhere"

Allowing = Callable[[Yard, str], object]
"""Raises SceneError for a yard, and its text, that may not be written."""


def _allow_all(yard: Yard, text: str) -> None:
    """Whatever loads and can be laid out may be written."""


@dataclass(frozen=True)
class Question:
    """Where a change clashes with what others made of the document since it was last seen.

    `answer` given back with the same change writes it over theirs, if the document is still
    the one that was asked about; without it theirs stays.
    """

    clashes: tuple[str, ...]
    answer: str


@dataclass(frozen=True)
class Outcome:
    """What became of a change: done or not, in words, and the question it asks, if it does."""

    done: bool
    words: str
    notes: tuple[str, ...] = ()
    question: Question | None = None


@dataclass(frozen=True)
class Sheet:
    """The document as it lies on the disk now."""

    text: str
    yard: Yard
    facts: Facts


@dataclass(frozen=True)
class Wish:
    """A change to be made: from which text to which, and how the history will call it."""

    do: str
    base: str
    mine: str
    words: str
    notes: tuple[str, ...] = ()
    of: int = 0


class Desk:
    """A document that is changed by hand. SceneError where it cannot be read."""

    def __init__(self, path: str | Path) -> None:
        """Open a document; nothing is written before the first change."""
        self.path = Path(path)
        self.why_not = self._why_not()
        self._thread = threading.RLock()
        self._text = ""
        self._see(self._sheet())

    @property
    def text(self) -> str:
        """The document as this desk last saw it; edits count its tables and plants."""
        return self._text

    @property
    def yard(self) -> Yard:
        """The yard of that text."""
        return self._yard

    @property
    def undo_words(self) -> str | None:
        """What an undo would take back; None where there is nothing."""
        return self._done[1]

    @property
    def redo_words(self) -> str | None:
        """What a redo would make again; None where there is nothing."""
        return self._undone[1]

    @property
    def last_number(self) -> int:
        """The number of the last step of the history that this desk has seen."""
        return self._last

    def refresh(self) -> bool:
        """See what others made of the document; whether it, or its last step, is another one."""
        with self._thread:
            before = self._text, self._done, self._undone
            self.why_not = self._why_not()
            self._see(self._sheet())
            return before != (self._text, self._done, self._undone)

    def apply(
        self, edit: dict[str, Any], *, answer: str | None = None, allow: Allowing = _allow_all
    ) -> Outcome:
        """Make an edit (`scenes.edits`) of the document as this desk last saw it, if `allow` does
        not raise SceneError for the yard and text that it would make of the document."""

        def wish(_: History) -> Wish:
            made: Edited = unchecked(self._text, self._yard, edit)
            return Wish("edit", self._text, made.text, made.words, made.notes)

        return self._change(wish, answer, allow)

    def undo(self, *, answer: str | None = None) -> Outcome:
        """Take back the last edit that stands."""
        return self._change(lambda history: self._back(history, "undo"), answer)

    def redo(self, *, answer: str | None = None) -> Outcome:
        """Make the edit again that was last taken back."""
        return self._change(lambda history: self._back(history, "redo"), answer)

    def _why_not(self) -> str | None:
        """Why the document, or its history, cannot be changed."""
        file = history_path(self.path)
        if file.exists() and is_read_only(file):
            return f"its history {file.name} is read-only; make it writable"
        return why_not(self.path)

    def _back(self, history: History, do: str) -> Wish:
        stack = history.done if do == "undo" else history.undone
        seen, _ = self._done if do == "undo" else self._undone
        if not stack:
            raise SceneError(f"there is nothing to {do}")
        if stack[-1].number != seen:
            self.refresh()
            raise SceneError(f'the last step is now "{stack[-1].words}"; {do} again if you mean it')
        before, after = history.around(stack[-1].number)
        base, mine = (after, before) if do == "undo" else (before, after)
        words = f"{'Undid' if do == 'undo' else 'Redid'}: {stack[-1].words}"
        return Wish(do, base, mine, words, of=stack[-1].number)

    def _change(
        self, wish: Callable[[History], Wish], answer: str | None, allow: Allowing = _allow_all
    ) -> Outcome:
        """Make a change, and say what became of it."""
        with self._thread:
            if self.why_not is not None:
                return Outcome(False, mistake_of(ValueError(self.why_not), "").line(self.path.name))
            try:
                with _locked(self.path.resolve().parent):
                    for _ in range(TRIES):
                        outcome = self._tried(wish, answer, allow)
                        if outcome is not None:
                            return outcome
            except SceneError as error:
                return Outcome(False, str(error))
            except OSError as error:
                why = error.strerror or "the disk refused it"
                return Outcome(False, f"{self.path.name}: nothing was changed: {why}")
            return Outcome(False, f"{self.path.name}: is being written all the time; try again")

    def _tried(
        self, wish: Callable[[History], Wish], answer: str | None, allow: Allowing
    ) -> Outcome | None:
        """One try under the lock; None where an editor saved the document meanwhile."""
        now = self._sheet()
        filed = self._filed()
        caught_up = _caught_up(filed or History(now.text), now.text)
        wanted = wish(caught_up)
        found = merged(wanted.base, wanted.mine, now.text)
        name = _digest(now.text + wanted.mine)
        if found.clashes and answer != name:
            words = f"{'; '.join(found.clashes)}. Write yours over it, or keep the document's?"
            return Outcome(False, words, question=Question(found.clashes, name))
        yard = _allowed(now, found.text)
        if wanted.do == "edit" and found.text == now.text:
            self._see(now)
            return Outcome(False, "the document has that already")
        allow(yard, found.text)
        history = caught_up.with_step(wanted.do, wanted.words, found.text, of=wanted.of)
        grown = self._written(filed, history, now, found.text)
        if grown is None:
            return None
        self._see(Sheet(found.text, yard, now.facts), grown)
        return Outcome(True, wanted.words, wanted.notes)

    def _written(
        self, filed: History | None, history: History, now: Sheet, text: str
    ) -> History | None:
        """Put the steps into the history, then the text into the document; None if that changed."""
        document = self.path.resolve()
        file = history_path(document)
        if filed is None:
            filed = histories.begun(file, now.text, document=document)
        grown = histories.appended(file, filed, history)
        try:
            done = text == now.text or replaced(
                document, text.encode(), like=document, expected=now.facts
            )
        except OSError:
            self._taken_back(file, filed, grown)
            raise
        if not done:
            self._taken_back(file, filed, grown)
        return grown if done else None

    def _taken_back(self, file: Path, filed: History, grown: History) -> None:
        """Cut the history to what it was; one that was shortened stays, and catches up later."""
        if grown.first == filed.first and grown.size > filed.size:
            with contextlib.suppress(OSError):
                histories.taken_back(file, filed)

    def _filed(self) -> History | None:
        file = history_path(self.path)
        try:
            return histories.read(file)
        except ValueError as error:
            raise SceneError(mistake_of(error, "").line(file.name)) from None

    def _sheet(self) -> Sheet:
        """The document as it is now; SceneError where it is wrong."""
        try:
            told = facts(self.path)
            data = read_capped(self.path, most_bytes=DOCUMENT_BYTES)
            text_of(data)
        except OSError as error:
            raise SceneError(f"{self.path.name}: cannot be read ({error.strerror})") from None
        except ValueError as error:
            raise SceneError(mistake_of(error, "").line(self.path.name)) from None
        text = data.decode()
        if text == self._text:
            return Sheet(text, self._yard, told)
        return Sheet(text, checked(self.path, text.removeprefix("\ufeff")), told)

    def _see(self, sheet: Sheet, history: History | None = None) -> None:
        """Remember a document, and what could be undone and redone of it."""
        if history is None:
            history = _caught_up(self._filed() or History(sheet.text), sheet.text)
        self._text, self._yard = sheet.text, sheet.yard
        self._last = history.last_number
        done, undone = history.done, history.undone
        self._done = (done[-1].number, done[-1].words) if done else (0, None)
        self._undone = (undone[-1].number, undone[-1].words) if undone else (0, None)


def _caught_up(history: History, text: str) -> History:
    """The history with what happened to the document since its last step.

    A document that is as it was before that step never got it, or lost it again: the step
    counts as taken back, and can be made again. Any other text was written elsewhere.
    """
    last = history.text
    if text == last:
        return history
    step = history.steps[-1] if history.steps else None
    if step is None or step.before(last) != text or step.do not in ("edit", "undo", "redo"):
        return history.with_step("found", ELSEWHERE, text)
    do = "redo" if step.do == "undo" else "undo"
    return history.with_step(do, ELSEWHERE, text, of=step.of or step.number)


def _allowed(now: Sheet, text: str) -> Yard:
    """The yard of a new text; SceneError where it is none, or too long to be read again."""
    if text == now.text:
        return now.yard
    if len(text.encode()) > DOCUMENT_BYTES:
        raise SceneError(f"{now.yard.path.name}: would be larger than {DOCUMENT_BYTES / 1e6:g} MB")
    return laid_out(now.yard, text)


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


@contextlib.contextmanager
def _locked(folder: Path) -> Iterator[None]:
    """Alone in a folder, among all desks of this machine. SceneError where that takes too long."""
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        until = time.monotonic() + WAIT_S
        while True:
            try:
                fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
                break
            except BlockingIOError:
                if time.monotonic() > until:
                    wrong = "another page is writing the document; try again"
                    raise SceneError(wrong) from None
                time.sleep(0.005)
        yield
    finally:
        os.close(descriptor)
