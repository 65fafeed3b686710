"""One table of a document's text, read and rewritten key by key through tomlkit.

Only the entry of a key that changes is written anew, so comments, order and hand-made
formatting of all others stay to the byte. Tables are put in, put beside and taken out as runs
of text. Line ends are those of the document.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import tomlkit
from tomlkit.items import Item

from scenes.blocks import HEADER, Block, Entry, cut, entries, span


@dataclass(frozen=True)
class TableText:
    """A table as written: its own lines, and the tables inside it."""

    name: str
    head: str
    inner: tuple[Block, ...] = ()

    @property
    def text(self) -> str:
        """The lines of the table and of all in it."""
        return self.head + "".join(block.text for block in self.inner)

    def has(self, key: str) -> bool:
        """Whether the key is written, in whichever way."""
        return bool(self._entries(key)) or any(self._is_inner(one, key) for one in self.inner)

    def value(self, key: str) -> Any:
        """The plain value of a key of the table's own lines; None where there is none."""
        for entry in self._entries(key):
            if entry.key == key:
                return tomlkit.parse(entry.text).unwrap()[key]
        return None

    def without(self, *keys: str) -> "TableText":
        """The table without some keys, however they are written."""
        gone = {entry for key in keys for entry in self._entries(key)}
        kept = [entry for entry in entries(self.head) if entry not in gone]
        inner = [one for one in self.inner if not any(self._is_inner(one, key) for key in keys)]
        return replace(self, head=_joined(kept), inner=tuple(inner))

    def with_value(self, key: str, value: Any, *, instead_of: str | None = None) -> "TableText":
        """The table with a key's value: in its old place, that of another key, or as the last."""
        found = list(entries(self.head))
        written = [entry.key for entry in found]
        old = next((name for name in (key, instead_of) if name in written), None)
        if old is None:
            return self.without(key, instead_of or key)._with_last(key, value)
        place = written.index(old)
        found[place] = Entry(key, _valued(found[place].text, old, key, value))
        new = replace(self, head=_joined(found))
        return new.without(instead_of) if instead_of not in (None, key) else new

    def changed(self, key: str, change: Callable[[Any], None]) -> "TableText":
        """The table with a list or an inline table of it changed in place, its layout kept."""
        found = list(entries(self.head))
        for n, entry in enumerate(found):
            if entry.key == key:
                document = tomlkit.parse(_plain(entry.text))
                change(document[key])
                found[n] = Entry(key, _ended_like(entry.text, document.as_string()))
        return replace(self, head=_joined(found))

    def bare_header(self) -> "TableText":
        """The table without the comments above and behind its header, as a copy starts."""
        found = list(entries(self.head))
        indent = next(line for line in found[0].text.splitlines() if line.lstrip().startswith("["))
        indent = indent[: len(indent) - len(indent.lstrip())]
        line = f"{indent}[[{self.name}]]{_line_end(self.head)}"
        return replace(self, head=_joined([Entry(HEADER, line), *found[1:]]))

    def _with_last(self, key: str, value: Any) -> "TableText":
        found = list(entries(self.head))
        document = tomlkit.document()
        document.add(key, _item(value))
        before = found[-2].text if len(found) > 1 else ""
        last = before.splitlines()[-1] if before else ""
        indent = last[: len(last) - len(last.lstrip())] if found[-2].key != HEADER else ""
        line = indent + document.as_string().replace("\n", _line_end(self.head))
        if before and not before.endswith("\n"):
            found[-2] = Entry(found[-2].key, before + _line_end(self.head))
        found.insert(-1, Entry(key, line))
        return replace(self, head=_joined(found))

    def _entries(self, key: str) -> list[Entry]:
        dotted = f"{key}."
        return [e for e in entries(self.head) if e.key == key or e.key.startswith(dotted)]

    def _is_inner(self, block: Block, key: str) -> bool:
        return block.name == f"{self.name}.{key}"


def table_text(text: str, place: str) -> TableText:
    """A table of the text by its place, like "planting[3]"; ValueError where there is none."""
    blocks = cut(text)
    own, *inner = blocks[span(blocks, place)]
    return TableText(own.name, own.text, tuple(inner))


def with_tables(text: str, place: str, tables: Sequence[TableText]) -> str:
    """The text with other tables, or none, where one stood."""
    blocks = cut(text)
    there = span(blocks, place)
    return _set_between(blocks, there.start, there.stop, [table.text for table in tables])


def with_more(text: str, table: TableText) -> str:
    """The text with one table more, behind the last of its name, else at the end."""
    blocks, like = cut(text), (table.name, f"{table.name}.")
    mine = [
        n for n, block in enumerate(blocks) if block.name == like[0] or block.name.startswith(like)
    ]
    at = mine[-1] + 1 if mine else len(blocks)
    return _set_between(blocks, at, at, [table.text])


def new_table(text: str, name: str, values: dict[str, Any]) -> TableText:
    """A table of its own to be put into the text, a key a line."""
    document = tomlkit.document()
    for key, value in values.items():
        document.add(key, _item(value))
    written = f"[[{name}]]\n{document.as_string()}"
    return TableText(name, written.replace("\n", _line_end(text)))


def _set_between(blocks: Sequence[Block], first: int, last: int, texts: list[str]) -> str:
    """Texts instead of some blocks, an empty line between each and the next."""
    before = "".join(block.text for block in blocks[:first])
    after = "".join(block.text for block in blocks[last:])
    end = _line_end(before + after)
    for text in texts:
        if before and not before.endswith("\n"):
            before += end
        new = before and not before.endswith((end + end, "\n\n"))
        if new and (text is not texts[0] or first == last):
            before += end
        before += text
    parted_off = before.endswith(("\n\n", "\r\n\r\n")) or not texts
    return before + ("" if parted_off or not after else end) + after


def _joined(found: Sequence[Entry]) -> str:
    return "".join(entry.text for entry in found)


def _valued(text: str, old: str, key: str, value: Any) -> str:
    """An entry with another value, and another key, its comments kept."""
    document = tomlkit.parse(_plain(text))
    item = _item(value)
    trivia = document[old].trivia
    item.trivia.indent, item.trivia.comment = trivia.indent, trivia.comment
    item.trivia.comment_ws, item.trivia.trail = trivia.comment_ws, trivia.trail
    if key == old:
        document[key] = item
    else:
        document.remove(old)
        document.add(key, item)
    return _ended_like(text, document.as_string())


def _item(value: Any) -> Item:
    """A value as TOML writes it; keys with values on one line, in braces."""
    if not isinstance(value, dict):
        plain: Item = tomlkit.item(value)
        return plain
    pairs = [f"{tomlkit.key(k).as_string()} = {_item(v).as_string()}" for k, v in value.items()]
    braced: Item = tomlkit.value(f"{{ {', '.join(pairs)} }}")
    return braced


def _plain(text: str) -> str:
    return text.replace("\r\n", "\n")


def _ended_like(text: str, written: str) -> str:
    return written.replace("\n", "\r\n") if "\r\n" in text else written


def _line_end(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"
