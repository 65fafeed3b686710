"""Results of parts of a computation, remembered while all that they were made from stays the same.

A yard is checked again after every small edit. Parts are named by a digest of what they are
made from, so nothing has to be told what an edit changed, and no answer can be stale: equal
makings give the equal answer that was made of them before. What one round does not ask for
is forgotten after the next; but what a whole result was made of is remembered with it.
"""

import hashlib
import pickle
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from threading import get_ident
from typing import Any, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

Result = TypeVar("Result")
Floats = NDArray[np.float32]
BoolArray = NDArray[np.bool_]
IntArray = NDArray[np.int64]
Marks = NDArray[np.uint64]

STIR = np.uint64(0x9E3779B97F4A7C15)
"""What marks are multiplied with to stir another token in; an odd number of no other meaning."""


def digest(*made_from: Any) -> bytes:
    """Sixteen bytes that differ where the things differ: arrays, numbers, text, shapes, records."""
    return hashlib.blake2b(pickle.dumps(made_from, protocol=5), digest_size=16).digest()


def tokens(origin: bytes, *things: NDArray[Any]) -> Marks:
    """Numbers of 64 bits for n things of one origin, told apart by what each array (n, ...) says
    of them to the bit; two in a million yards share one by chance."""
    mark = np.full(len(things[0]), int.from_bytes(digest(origin)[:8]), np.uint64)
    for thing in things:
        plain = np.ascontiguousarray(thing)
        words = plain.reshape(len(mark), plain[:1].size).view(np.uint8).astype(np.uint64)
        for word in words.T:
            mark = (mark ^ (mark >> np.uint64(29)) ^ word) * STIR
    return mark ^ (mark >> np.uint64(32))


@dataclass(frozen=True)
class Whole:
    """A result, and the names of what was asked for while it was made."""

    result: Any
    made_of: frozenset[bytes]


@dataclass(frozen=True)
class Rows:
    """Rows (m, T), and where the row of each mark is."""

    marks: Marks  # (m,) sorted
    order: IntArray  # (m,)
    rows: Floats

    @classmethod
    def of(cls, marks: Marks, rows: Floats) -> "Rows":
        """Rows by marks in any order."""
        order = np.argsort(marks)
        return cls(marks[order], order, rows)

    def find(self, marks: Marks) -> tuple[BoolArray, IntArray]:
        """Which of some marks (k,) have a row here, and which row."""
        if not len(self.marks):
            return np.zeros(len(marks), bool), np.zeros(len(marks), np.int64)
        place = np.minimum(np.searchsorted(self.marks, marks), len(self.marks) - 1)
        return self.marks[place] == marks, self.order[place]


@dataclass
class Memory:
    """What was made in this round, and in the one before it."""

    _now: dict[bytes, Any] = field(default_factory=dict)
    _before: dict[bytes, Any] = field(default_factory=dict)
    _making: list[tuple[int, set[bytes]]] = field(default_factory=list)
    """Threads in which a whole is being made, and what was asked for there since."""

    def next_round(self) -> None:
        """Begin a new round: what the last one did not ask for is forgotten."""
        self._before, self._now = self._now, {}

    def of(self, made_from: tuple[Any, ...], make: Callable[[], Result]) -> Result:
        """The result that was made from equal things, or that `make` makes now."""
        return self.each([made_from], lambda _: [make()])[0]

    def whole(self, made_from: tuple[Any, ...], make: Callable[[], Result]) -> Result:
        """The same of a result that is made of remembered ones: while it is asked for, they stay
        remembered too, so that little is to be made when it has to be made anew."""

        def made() -> Whole:
            asked: set[bytes] = set()
            self._making.append((get_ident(), asked))
            try:
                result = make()
            finally:
                self._making.remove((get_ident(), asked))
            return Whole(result, frozenset(asked))

        found = self.of(made_from, made)
        self._asked_for(found.made_of)
        for name in found.made_of:
            if name not in self._now and name in self._before:
                self._now[name] = self._before[name]
        return cast(Result, found.result)

    def _asked_for(self, names: Iterable[bytes]) -> None:
        for thread, asked in self._making:
            if thread == get_ident():
                asked.update(names)

    def each(
        self,
        made_from: Sequence[tuple[Any, ...]],
        make: Callable[[list[int]], Sequence[Result]],
    ) -> list[Result]:
        """Results that were made from equal things; `make` makes those of the numbers missing."""
        names = [digest(*things) for things in made_from]
        self._asked_for(names)
        for name in names:
            if name not in self._now and name in self._before:
                self._now[name] = self._before[name]
        missing = [number for number, name in enumerate(names) if name not in self._now]
        if missing:
            made = make(missing)
            self._now |= {names[number]: one for number, one in zip(missing, made, strict=True)}
        return [cast(Result, self._now[name]) for name in names]

    def last(self, part: str) -> Any:
        """What was kept under a name in the round before, or None."""
        return self._before.get(part.encode())

    def keep(self, part: str, thing: Any) -> None:
        """Keep a thing for the next round, which must not change it."""
        self._asked_for([part.encode()])
        self._now[part.encode()] = thing

    def rows(
        self, part: str, marks: Marks, make: Callable[[IntArray], Floats], *, beside: str = ""
    ) -> Floats:
        """Rows (m, T) by the marks (m,) of what they are made from; `make` makes those missing.

        Nobody may write into them. Those of the part named beside are looked at too, and are
        not kept twice; of one part asked for again in one round, all are kept.
        """
        name, other = part.encode(), beside.encode()
        self._asked_for([name])
        before = (*self._before.get(name, ()), *self._before.get(other, ()))
        now = (*self._now.get(name, ()), *self._now.get(other, ()))
        known = [(kept, *kept.find(marks)) for kept in (*before, *now)]
        hits = np.array([np.zeros(len(marks), bool), *(hit for _, hit, _ in known)])
        missing = ~hits.any(axis=0)
        made = make(np.flatnonzero(missing))
        rows = np.empty((len(marks), *made.shape[1:]), made.dtype)
        rows[missing] = made
        for kept, hit, row in known:
            rows[hit] = kept.rows[row[hit]]
        new = ~hits[1 + len(before) :].any(axis=0)
        if new.any():
            some = Rows.of(marks[new], rows if new.all() else rows[new])
            self._now[name] = (*self._now.get(name, ()), some)
        return rows
