"""Sheets of paper and the scales a plan is printed at: which fit, and where the yard then lies.

Usual scales are round ones of the reader's rule: architects' and engineers' feet for documents
in feet, whole hundreds for metres. Sizes in millimetres; a scale is a number, metres on the
ground over metres on paper.
Source: sheet sizes of ISO 216 and ANSI/ASME Y14.1; usual scales from memory.
"""

import re
from dataclasses import dataclass

import numpy as np

from scenes.errors import SceneError
from viz.planmarks import Array

SHEETS = {
    "letter": (279.4, 215.9),
    "tabloid": (431.8, 279.4),
    "A4": (297.0, 210.0),
    "A3": (420.0, 297.0),
    "A2": (594.0, 420.0),
}
"""Width and height of each sheet lying on its long side, in mm."""

FEET = {
    "1/2 in = 1 ft": 24.0, "1/4 in = 1 ft": 48.0, "1/8 in = 1 ft": 96.0, "1 in = 10 ft": 120.0,
    "1 in = 20 ft": 240.0, "1 in = 30 ft": 360.0, "1 in = 40 ft": 480.0, "1 in = 50 ft": 600.0,
    "1 in = 60 ft": 720.0, "1 in = 100 ft": 1200.0,
}  # fmt: skip
METRIC = {f"1:{n}": float(n) for n in (20, 50, 100, 200, 250, 500, 1000)}
MARGIN, GAP = 9.0, 3.0
ROUND_LOT_M = 0.9
"""Ground shown round the lot at least."""


@dataclass(frozen=True)
class Scale:
    """A scale as it is written and as a number."""

    text: str
    over: float


@dataclass(frozen=True)
class Frame:
    """A sheet with the window its plan is drawn in: places in metres become places in mm."""

    sheet: str
    width: float
    height: float
    window: tuple[float, float, float, float]
    scale: Scale
    centre_m: tuple[float, float]
    low: float = 0.0

    def mm(self, xy_m: Array) -> Array:
        """Places (n, 2) on the sheet."""
        west, south, east, north = self.window
        middle = np.array([(west + east) / 2, (south + self.low + north) / 2])
        return middle + (np.asarray(xy_m, float)[..., :2] - self.centre_m) * self.size(1.0)

    def size(self, metres: float) -> float:
        """A length on the sheet."""
        return 1000 * metres / self.scale.over


def strip(width: float) -> float:
    """Width of the column of titles and notes beside the plan."""
    return float(np.clip(0.2 * width, 58, 92))


def read_scale(text: str) -> Scale:
    """A scale as it is typed: 1:100, or 1/8 in = 1 ft. Raises ValueError."""
    plain = re.fullmatch(r"1:(\d{1,4})", text.strip())
    inches = re.fullmatch(r"(\d+)(?:/(\d+))? in ?= ?(\d+) ft", text.strip())
    over = 0.0
    if plain:
        over = float(plain[1])
    elif inches and int(inches[1]) and int(inches[2] or 1):
        over = 12 * float(inches[3]) / (float(inches[1]) / float(inches[2] or 1))
    if not 5 <= over <= 5000:
        raise ValueError(f'{text} is not a scale; write it like 1:100 or "1/8 in = 1 ft"')
    return Scale(text.strip(), over)


def frame(
    bounds_m: tuple[float, float, float, float], sheet: str, asked: Scale | None, *, feet: bool
) -> Frame:
    """The sheet, standing or lying, at the largest usual scale that fits, or at the one asked."""
    west, south, east, north = bounds_m
    needs = np.array([east - west, north - south]) + 2 * ROUND_LOT_M
    usual = [Scale(*item) for item in (FEET if feet else METRIC).items()]
    ways = [_window(*SHEETS[sheet]), _window(*reversed(SHEETS[sheet]))]
    centre = ((west + east) / 2, (south + north) / 2)
    for scale in [asked] if asked else usual:
        fits = [way for way in ways if _fits(needs, way, scale)]
        if fits:
            best = max(fits, key=lambda way: _spare(needs, way, scale))
            return Frame(sheet, best[0], best[1], best[2], scale, centre)
    raise SceneError(_too_large(needs, sheet, asked or usual[-1], usual))


Way = tuple[float, float, tuple[float, float, float, float]]


def _window(width: float, height: float) -> Way:
    right = width - MARGIN - strip(width) - GAP
    return width, height, (MARGIN, MARGIN, right, height - MARGIN)


def _room(way: Way) -> Array:
    west, south, east, north = way[2]
    return np.array([east - west, north - south])


def _fits(needs_m: Array, way: Way, scale: Scale) -> bool:
    return bool((1000 * needs_m / scale.over <= _room(way)).all())


def _spare(needs_m: Array, way: Way, scale: Scale) -> float:
    """Room that is left under the plan, for the schedule; a table needs breadth too."""
    across, up = _room(way)
    return float(up - 1000 * needs_m[1] / scale.over) if across > 170 else 0.0


def _too_large(needs_m: Array, sheet: str, scale: Scale, usual: list[Scale]) -> str:
    across, up = 1000 * needs_m / scale.over
    larger = [name for name, size in SHEETS.items() if _goes(needs_m, size, scale)]
    smaller = [each.text for each in usual if _goes(needs_m, SHEETS[sheet], each)]
    remedy = " or ".join(
        [f'--scale "{text}"' for text in smaller[:1]] + [f"--sheet {name}" for name in larger[:1]]
    )
    return (
        f"--scale {scale.text}: the yard is {across:.0f} x {up:.0f} mm on paper, too large for "
        f"{sheet}; use {remedy or 'a smaller scale, like 1:2000'}"
    )


def _goes(needs_m: Array, size: tuple[float, float], scale: Scale) -> bool:
    ways = (_window(*size), _window(*reversed(size)))
    return any(_fits(needs_m, way, scale) for way in ways)
