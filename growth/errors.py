"""The one error of the growth floor.

Its text is one line, or several lines, of the shape `file: place: value; remedy`.
It means that the document or the request is wrong, never that the program is.
"""


class GrowthError(ValueError):
    """A plant, size or request that cannot be grown; the text says what would be right."""
