"""The error of the top floor: something outside the yard failed.

A port that is taken, a disk that is full, a graphics library that is missing. The command
line gives it exit code 3; mistakes in a document are `scenes.errors` and `growth.errors`.
"""


class ShowError(RuntimeError):
    """One line: what failed, the value, and what to do about it."""


class WrongYardError(ValueError):
    """What is wrong in a document, a line a mistake, as another process found it."""
