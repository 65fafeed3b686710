"""Two changes of one document made one: three texts in, one text out, or what stands in the way.

Tables of the text before are matched with those of both later texts, and keys within them. A
table or key that one side alone changed is taken from that side; the same change on both sides
counts once; added tables are all taken, theirs first. Of one key, the comments above and behind
it may come from one side and its value from the other. Where both changed the same value, or one
changed what the other took out, nothing is guessed: a clash is named, and `mine` settles it.
Whether the merged text is a yard is asked elsewhere.
"""

import difflib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Generic, TypeVar

from scenes.blocks import HEADER, REST, Block, Entry, cut, entries, pieces

LEAST_ALIKE = 0.3
"""Share of like lines from which a table counts as another one changed, not as a new one."""

Piece = TypeVar("Piece", Block, Entry)


@dataclass(frozen=True)
class Merged:
    """The text of both changes, and the places where they clash, in words; none where none do."""

    text: str
    clashes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Side(Generic[Piece]):
    """What one side made of the pieces before: each piece's fate, and what was put in where."""

    fate: dict[int, Piece | None]
    more: dict[int, list[Piece]]


def merged(before: str, mine: str, theirs: str) -> Merged:
    """My change and theirs of one text; where they clash mine is in it, and the clash is told."""
    if mine in (before, theirs):
        return Merged(theirs)
    if theirs == before:
        return Merged(mine)
    clashes: list[str] = []
    old = cut(before)
    pieces = _three_way(
        old,
        _side(old, cut(mine), _alike),
        _side(old, cut(theirs), _alike),
        lambda was, own, other: _one_table(_title(old, was), was, own, other, clashes),
    )
    for piece in _homeless(before, mine, theirs):
        clashes.append(piece)
    return Merged(_spaced(pieces), tuple(dict.fromkeys(clashes)))


def _one_table(
    title: str, was: Block, mine: Block | None, theirs: Block | None, clashes: list[str]
) -> Block | None:
    """One table that both sides changed."""
    if mine is None or theirs is None:
        done = "taken out by you and changed" if mine is None else "changed by you and taken out"
        clashes.append(f"{title} was {done} in the document")
        return mine
    old = entries(was.text)

    def one_key(entry: Entry, own: Entry | None, other: Entry | None) -> Entry | None:
        if own and other and not (own.text + other.text).strip():
            return other
        if own and other and (settled := _settled(entry, own, other)) is not None:
            return settled
        key = {HEADER: "its first line", REST: "its last lines"}.get(entry.key, entry.key)
        clashes.append(f"{key} of {title} was changed by you and in the document")
        return own

    own, other = (
        _side(old, entries(mine.text), _same_key),
        _side(old, entries(theirs.text), _same_key),
    )
    added = {entry.key for more in own.more.values() for entry in more}
    twice = [e for more in other.more.values() for e in more if e.key in added]
    for entry in twice:
        if entry.text not in {e.text for more in own.more.values() for e in more}:
            clashes.append(f"{entry.key} of {title} was added by you and in the document")
    dropped = {n: [e for e in more if e not in twice] for n, more in other.more.items()}
    keys = _three_way(old, own, Side(other.fate, dropped), one_key)
    return Block(was.name, was.listed, "".join(entry.text for entry in keys))


def _settled(was: Entry, mine: Entry, theirs: Entry) -> Entry | None:
    """A key whose comments one side changed, and the other its value; None where both did one."""
    if was.key == REST:
        return None
    text = ""
    for old, own, other in zip(pieces(was), pieces(mine), pieces(theirs), strict=True):
        if own != old != other and own != other:
            return None
        text += other if own == old else own
    return Entry(was.key, text)


def _three_way(
    old: Sequence[Piece],
    mine: Side[Piece],
    theirs: Side[Piece],
    both: Callable[[Piece, Piece | None, Piece | None], Piece | None],
) -> list[Piece]:
    """The pieces of both sides in order; `both` settles those that both changed."""
    pieces: list[Piece] = []
    for number in range(len(old) + 1):
        others: list[Piece] = theirs.more.get(number, [])
        pieces += others
        pieces += [piece for piece in mine.more.get(number, []) if piece not in others]
        if number == len(old):
            break
        was, own, other = old[number], mine.fate[number], theirs.fate[number]
        if own in (was, other):
            fate = other
        elif other == was:
            fate = own
        else:
            fate = both(was, own, other)
        pieces += [fate] if fate is not None else []
    return pieces


def _side(
    old: Sequence[Piece], new: Sequence[Piece], alike: Callable[[Piece, Piece], float]
) -> Side[Piece]:
    """What became of each old piece, and which new ones stand before which old one."""
    fate: dict[int, Piece | None] = dict.fromkeys(range(len(old)))
    more: dict[int, list[Piece]] = {}
    matcher = difflib.SequenceMatcher(
        None, [p.text for p in old], [p.text for p in new], autojunk=False
    )
    for _, i1, i2, j1, j2 in matcher.get_opcodes():
        if old[i1:i2] == new[j1:j2]:
            fate.update(zip(range(i1, i2), new[j1:j2], strict=True))
            continue
        pairs = dict(_pairs(old[i1:i2], new[j1:j2], alike))
        at = i1
        for j, piece in enumerate(new[j1:j2]):
            if j in pairs:
                at = i1 + pairs[j]
                fate[at] = piece
                at += 1
            else:
                more.setdefault(at, []).append(piece)
    return Side(fate, more)


def _pairs(
    old: Sequence[Piece], new: Sequence[Piece], alike: Callable[[Piece, Piece], float]
) -> Iterator[tuple[int, int]]:
    """Number of a new piece and of the old one it was: most alike in sum, in their order."""
    best = [[0.0] * (len(new) + 1) for _ in range(len(old) + 1)]
    score = [[alike(one, other) for other in new] for one in old]
    for i in range(len(old) - 1, -1, -1):
        for j in range(len(new) - 1, -1, -1):
            paired = score[i][j] + best[i + 1][j + 1] if score[i][j] else 0.0
            best[i][j] = max(best[i + 1][j], best[i][j + 1], paired)
    i = j = 0
    while i < len(old) and j < len(new):
        if score[i][j] and best[i][j] == score[i][j] + best[i + 1][j + 1]:
            yield j, i
            i, j = i + 1, j + 1
        elif best[i][j] == best[i + 1][j]:
            i += 1
        else:
            j += 1


def _alike(one: Block, other: Block) -> float:
    """How like two tables are, 0 where they are not the same table changed."""
    if (one.name, one.listed) != (other.name, other.listed):
        return 0.0
    if not one.listed:
        return 1.0
    first, second = _lines(one.text), _lines(other.text)
    names = [_value(block, "name") for block in (one, other)]
    if names[0] == names[1] != "":
        return 2.0
    share = len(first & second) / max(len(first), len(second))
    return share if share >= LEAST_ALIKE else 0.0


@lru_cache(maxsize=4096)
def _lines(text: str) -> frozenset[str]:
    return frozenset(entry.text for entry in entries(text))


def _same_key(one: Entry, other: Entry) -> float:
    return float(one.key == other.key)


def _value(block: Block, key: str) -> str:
    return next((entry.text for entry in entries(block.text) if entry.key == key), "")


def _title(blocks: Sequence[Block], block: Block) -> str:
    """A table as it was called before: planting[3]."""
    if not block.name:
        return "the top of the document"
    mine = [one for one in blocks if one.name == block.name]
    number = next(n for n, one in enumerate(mine, 1) if one is block)
    return f"{block.name}[{number}]" if block.listed else block.name


def _homeless(before: str, mine: str, theirs: str) -> Iterator[str]:
    """Tables put by one side into a table that the other took out."""
    old = cut(before)
    sides = _side(old, cut(mine), _alike), _side(old, cut(theirs), _alike)
    for adding, other in (sides, sides[::-1]):
        for at, more in adding.more.items():
            if any("." in block.name for block in more):
                home = next((n for n in range(at - 1, -1, -1) if "." not in old[n].name), None)
                if home is not None and other.fate[home] is None:
                    yield f"{_title(old, old[home])} was taken out while something was put into it"


def _spaced(blocks: Sequence[Block]) -> str:
    """The blocks as one text; an empty line parts a table from one that ended the document."""
    text = ""
    for block in blocks:
        if text and not text.endswith("\n"):
            text += "\r\n" if "\r\n" in text else "\n"
        if (
            block.listed
            and text
            and not text.endswith(("\n\n", "\r\n\r\n"))
            and "." not in block.name
        ):
            text += "" if _tight(blocks) else ("\r\n" if "\r\n" in text else "\n")
        text += block.text
    return text


def _tight(blocks: Sequence[Block]) -> bool:
    """Whether the document leaves no empty lines between its tables."""
    ends = [block.text.endswith(("\n\n", "\r\n\r\n")) for block in blocks[:-1]]
    return sum(ends) * 2 < len(ends)
