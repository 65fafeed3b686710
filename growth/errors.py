"""The one error of the growth floor.

Its text is one line, or several lines, of the shape `file: place: value; remedy`.
It means that the document or the request is wrong, never that the program is.
"""

from collections.abc import Sequence

from scenes.errors import SHOWN_MISTAKES, plain


class GrowthError(ValueError):
    """A plant, size or request that cannot be grown; the text says what would be right."""


def growth_error(file: str, wrong: Sequence[str]) -> GrowthError:
    """An error that lists `place: value; remedy` lines of a file, twenty at the most."""
    lines = [plain(f"{file}: {line}") for line in dict.fromkeys(wrong)]
    more = len(lines) - SHOWN_MISTAKES
    if more > 0:
        lines = [*lines[:SHOWN_MISTAKES], plain(f"{file}: and {more} more")]
    return GrowthError("\n".join(lines))
