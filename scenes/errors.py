"""What is wrong with a document: one line a mistake, with file, place, value and remedy.

`hillside.toml: planting[3].at[2]: (41.2, 8.0) lies outside the boundary; move it inside`
Lists are counted from 1 in places. Text from the document is shown with its control
characters escaped and its length cut, so that a message is always plain lines.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import islice

SHOWN_MISTAKES = 20
COUNTED_MISTAKES = 200
"""A document is not looked through for more mistakes than this."""

SHOWN_CHARACTERS = 80
SHOWN_DEPTH = 4


class SceneError(ValueError):
    """The document, or a file it names, is wrong; one line for each mistake."""


@dataclass(frozen=True)
class Mistake:
    """A place in the document, what is wrong there (with the value), what would be right."""

    place: str
    wrong: str
    remedy: str

    def line(self, file: str) -> str:
        """The mistake as one line of plain text."""
        parts = [file, self.place, f"{self.wrong}; {self.remedy}"]
        return plain(": ".join(part for part in parts if part))


def mistake_of(error: ValueError, place: str, *, value: str = "") -> Mistake:
    """The mistake that a ValueError "wrong; remedy" tells of, at its place in the document."""
    wrong, _, remedy = str(error).partition("; ")
    return Mistake(place, f"{shown(value)} {wrong}" if value else wrong, remedy)


def scene_error(file: str, mistakes: Iterable[Mistake]) -> SceneError:
    """An error that lists the mistakes, twenty at the most and then how many more."""
    counted = islice(mistakes, COUNTED_MISTAKES)
    lines = list(dict.fromkeys(mistake.line(file) for mistake in counted))
    more = len(lines) - SHOWN_MISTAKES
    if more > 0:
        at_least = " or still others" if len(lines) == COUNTED_MISTAKES else ""
        lines = [*lines[:SHOWN_MISTAKES], plain(f"{file}: and {more} more{at_least}")]
    return SceneError("\n".join(lines))


def plain(text: str) -> str:
    """The text on one line: characters that do not print are written as escapes."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)


def shown(value: object) -> str:
    """A value as the document would write it, cut to 80 characters."""
    text = plain(_written(value))
    return text if len(text) <= SHOWN_CHARACTERS else text[: SHOWN_CHARACTERS - 3] + "..."


def _written(value: object, depth: int = 0) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return f"{value:.10g}"
    if isinstance(value, str):
        return f'"{value[: 2 * SHOWN_CHARACTERS]}"'
    if isinstance(value, list | tuple | dict) and depth > SHOWN_DEPTH:
        return "..."
    if isinstance(value, list | tuple):
        items = (_written(item, depth + 1) for item in value[:SHOWN_CHARACTERS])
        return "[" + ", ".join(items) + "]"
    if isinstance(value, dict):
        pairs = islice(value.items(), SHOWN_CHARACTERS)
        items = (f"{key} = {_written(item, depth + 1)}" for key, item in pairs)
        return "{ " + ", ".join(items) + " }"
    return str(value)
