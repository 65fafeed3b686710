"""Marks of a printed sheet: lines, areas, words and pictures in mm from its lower left corner.

The one drawing model of the planting plan: whatever is put on a sheet is one of these, and
`viz.plandraw` alone turns them into PDF, SVG or PNG. A mark's role says what it stands for.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

Array = NDArray[np.float64]
BLACK, GREY = "#000000", "#555555"


@dataclass(frozen=True)
class Line:
    """An open line (n, 2); dash is the lengths of dashes and gaps in mm, () for a whole line."""

    role: str
    points: Array
    width: float = 0.18
    dash: tuple[float, ...] = ()
    colour: str = BLACK


@dataclass(frozen=True)
class Area:
    """Rings (n, 2), holes after their outline; a fill, a pattern, and the width of its edge."""

    role: str
    rings: tuple[Array, ...]
    fill: str | None = None
    hatch: str = ""
    edge: float = 0.0
    dash: tuple[float, ...] = ()
    opacity: float = 1.0
    colour: str = BLACK


@dataclass(frozen=True)
class Words:
    """Text of a height in mm, at its anchor (left, center or right); boxed on white if asked."""

    role: str
    text: str
    at: tuple[float, float]
    size: float = 2.2
    anchor: str = "left"
    bold: bool = False
    turn_deg: float = 0.0
    backed: bool = False
    italic: bool = False


@dataclass(frozen=True)
class Picture:
    """A picture that fills a box: west, south, east, north in mm."""

    role: str
    image: Image.Image
    box: tuple[float, float, float, float]


Mark = Line | Area | Words | Picture


@dataclass(frozen=True)
class Page:
    """One sheet: its size, what is clipped to the plan's window, and what stands round it."""

    width: float
    height: float
    window: tuple[float, float, float, float]
    plan: tuple[Mark, ...]
    frame: tuple[Mark, ...]


CHARACTER = 0.56
"""Width of a character over the height of the letters' line, on the safe side."""


def width_of(text: str, size: float) -> float:
    """About how wide text is printed, in mm."""
    return CHARACTER * size * len(text)


def wrapped(text: str, *, size: float, width: float) -> list[str]:
    """Text cut into lines of at most a width in mm, between words where it can."""
    most = max(int(width / (CHARACTER * size)), 4)
    lines: list[str] = []
    line = ""
    for word in text.split():
        while len(word) > most:
            lines, line, word = ([*lines, line] if line else lines), word[:most], word[most:]
        if line and len(line) + 1 + len(word) > most:
            lines, line = [*lines, line], word
        else:
            line = f"{line} {word}".strip()
    return [*lines, line] if line else lines
