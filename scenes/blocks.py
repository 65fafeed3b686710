"""The text of a document cut into its tables, and a table into its keys, byte for byte.

A block is one `[table]` or `[[table]]` with the comment lines right above it and all lines up
to the next block; what stands before the first table is a block too. Joined, the blocks are
the text again. Only text that is TOML may be cut; whether it is, is asked elsewhere.
"""

import re
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

HEADER, REST = "[", "#"
"""The keys under which a block's header and what follows its last key are known."""

_TOKEN = re.compile(
    r'"""(?:\\.|[^\\])*?""""{0,2}'
    r"|'''.*?''''{0,2}"
    r'|"(?:\\.|[^"\\\n])*"'
    r"|'[^'\n]*'"
    r"|\#[^\n]*"
    r"|[\[\]{}\n]",
    re.DOTALL,
)


@dataclass(frozen=True)
class Block:
    """One table of the text: its name, like "planting" or "structure.opening"; "" for none."""

    name: str
    listed: bool
    text: str


@dataclass(frozen=True)
class Entry:
    """A key and its value as written, with the comments and empty lines above it."""

    key: str
    text: str


def cut(text: str) -> tuple[Block, ...]:
    """The tables of a text that is TOML, in their order."""
    blocks: list[Block] = []
    name, listed, written, above = "", False, "", ""
    for statement in _statements(text):
        bare = statement.strip("\ufeff \t\r\n")
        if bare.startswith("["):
            blocks.append(Block(name, listed, written))
            name, listed, written, above = _name(bare), bare.startswith("[["), above + statement, ""
        elif bare.startswith("#"):
            above += statement
        else:
            written, above = written + above + statement, ""
    blocks.append(Block(name, listed, written + above))
    return tuple(block for block in blocks if block.name or block.text)


def entries(text: str) -> tuple[Entry, ...]:
    """The header, the keys and the rest of one block, in their order."""
    found: list[Entry] = []
    above = ""
    for statement in _statements(text):
        bare = statement.strip("\ufeff \t\r\n")
        if not bare or bare.startswith("#"):
            above += statement
            continue
        key = HEADER if bare.startswith("[") else _key(bare)
        found.append(Entry(key, above + statement))
        above = ""
    return (*found, Entry(REST, above))


def pieces(entry: Entry) -> tuple[str, str, str]:
    """What is written above a key, the key with its value, and what follows behind them."""
    *above, line = _statements(entry.text)
    end, depth = len(line), 0
    for token in _TOKEN.finditer(line):
        depth += (token[0] in ("[", "{")) - (token[0] in ("]", "}"))
        if token[0].startswith("#") and depth == 0:
            end = token.start()
    value = line[:end].rstrip()
    return "".join(above), value, line[len(value) :]


def span(blocks: Sequence[Block], place: str) -> slice:
    """Where a table like "site" or "planting[3]" stands among the blocks, with what is in it.

    Raises ValueError "wrong; remedy" where the text has no such table of its own.
    """
    name, number = parted(place)
    mine = [n for n, block in enumerate(blocks) if block.name == name]
    listed = number is not None
    if mine and blocks[mine[0]].listed and listed and (number or 1) > len(mine):
        raise ValueError(f"is not there; the document has {len(mine)} of them")
    if not mine or blocks[mine[0]].listed != listed:
        header = f"[[{name}]]" if listed else f"[{name}]"
        raise ValueError(f"the text has no such table; write it under a line {header} of its own")
    first = mine[(number or 1) - 1]
    last = first + 1
    while last < len(blocks) and blocks[last].name.startswith(f"{name}."):
        last += 1
    return slice(first, last)


def parted(place: str) -> tuple[str, int | None]:
    """The name and the number, from 1, of a place like "planting[3]"; None where it has none."""
    match = re.fullmatch(r"([a-z_]+)(?:\[([1-9][0-9]{0,5})\])?", place)
    if match is None:
        raise ValueError('is not a table; write one like "planting[3]"')
    return match[1], int(match[2]) if match[2] else None


def _statements(text: str) -> Iterator[str]:
    """Lines of a text, with values over several lines in one."""
    start = depth = 0
    for token in _TOKEN.finditer(text):
        if token[0] in ("[", "{"):
            depth += 1
        elif token[0] in ("]", "}"):
            depth -= 1
        elif token[0] == "\n" and depth == 0:
            yield text[start : token.end()]
            start = token.end()
    if start < len(text):
        yield text[start:]


def _name(header: str) -> str:
    """The dotted name in a header line."""
    value, parts = tomllib.loads(header), []
    while value:
        (key,) = value
        parts.append(key)
        value = value[key][0] if isinstance(value[key], list) else value[key]
    return ".".join(parts)


def _key(line: str) -> str:
    """The key a line begins with, as it is written but for quotes and blanks."""
    match = re.match(r"""(?:"[^"]*"|'[^']*'|[^=])*""", line)
    return re.sub(r"""["'\s]""", "", match[0] if match else line)
