"""What is wrong with a document: one line a mistake, with file, place, value and remedy.

`hillside.toml: planting[3].at[2]: (41.2, 8.0) lies outside the boundary; move it inside`
Lists are counted from 1 in places. Text from the document is shown with its control
characters escaped and its length cut, so that a message is always plain lines.
"""

from collections.abc import Iterable
from dataclasses import dataclass

SHOWN_MISTAKES = 20
SHOWN_CHARACTERS = 80


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


def scene_error(file: str, mistakes: Iterable[Mistake]) -> SceneError:
    """An error that lists the mistakes, twenty at the most and then how many more."""
    lines = list(dict.fromkeys(mistake.line(file) for mistake in mistakes))
    more = len(lines) - SHOWN_MISTAKES
    if more > 0:
        lines = [*lines[:SHOWN_MISTAKES], plain(f"{file}: and {more} more")]
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


def _written(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return f"{value:.10g}"
    if isinstance(value, str):
        return f'"{value[: 2 * SHOWN_CHARACTERS]}"'
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_written(item) for item in value[:SHOWN_CHARACTERS]) + "]"
    if isinstance(value, dict):
        items = list(value.items())[:SHOWN_CHARACTERS]
        return "{ " + ", ".join(f"{key} = {_written(item)}" for key, item in items) + " }"
    return str(value)
