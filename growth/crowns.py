"""Crown envelopes by form: what rays hit, what is counted as cover, and what is drawn.

An envelope is a body of revolution on a vertical axis, stacked from one to three pieces.
In each piece the squared radius is a quadratic of the height, r^2 = a + b h + c h^2, so
that every piece is an ellipsoid, cone, paraboloid, hyperboloid or cylinder and a sight
line meets it in closed form. h runs from 0 at the crown base to 1 at the top; r is in
half spreads and reaches 1 at the widest place. Lobes, gaps and leaning are left out.

Shapes are drawn from the trade's words for them; their figures are common practice.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Piece:
    """Squared relative radius a + b h + c h^2 for relative heights lo <= h <= hi."""

    lo: float
    hi: float
    a: float
    b: float
    c: float


@dataclass(frozen=True)
class Form:
    """A crown shape, and the share of the height that is bare stem when it is a tree."""

    name: str
    pieces: tuple[Piece, ...]
    base_young: float = 0.0
    base_mature: float = 0.0


def _ellipse(lo: float, hi: float, *, centre: float, half: float) -> Piece:
    """r = 1 at h = centre, r = 0 at centre +- half."""
    return Piece(lo, hi, 1 - (centre / half) ** 2, 2 * centre / half**2, -1 / half**2)


def _cone(lo: float, hi: float, *, start: float, end: float) -> Piece:
    """Radius straight from `start` at lo to `end` at hi."""
    slope = (end - start) / (hi - lo)
    foot = start - slope * lo
    return Piece(lo, hi, foot**2, 2 * foot * slope, slope**2)


_ROUND = (_ellipse(0, 0.45, centre=0.45, half=0.45), _ellipse(0.45, 1, centre=0.45, half=0.55))
_DOME = (_ellipse(0, 1, centre=0, half=1),)
_SHEAF = (_cone(0, 0.6, start=0.35, end=1), _ellipse(0.6, 1, centre=0.6, half=0.4))

FORMS: dict[str, Form] = {
    form.name: form
    for form in (
        Form("rounded", _ROUND, 0.30, 0.25),
        Form("oval", (_ellipse(0, 1, centre=0.5, half=0.5),), 0.30, 0.22),
        Form(
            "spreading",
            (_ellipse(0, 0.35, centre=0.35, half=0.35), _ellipse(0.35, 1, centre=0.35, half=0.65)),
            0.32,
            0.24,
        ),
        Form(
            "columnar",
            (
                _ellipse(0, 0.15, centre=0.15, half=0.2),
                Piece(0.15, 0.65, 1, 0, 0),
                _ellipse(0.65, 1, centre=0.65, half=0.35),
            ),
            0.06,
            0.03,
        ),
        # r^2 = 0.35 u + 0.65 u^2 with u = 1 - h: fuller than a cone, pointed at the top
        Form("pyramidal", (Piece(0, 1, 1.0, -1.65, 0.65),), 0.08, 0.05),
        Form(
            "vase",
            (_cone(0, 0.7, start=0.3, end=1), _ellipse(0.7, 1, centre=0.7, half=0.3)),
            0.32,
            0.25,
        ),
        Form(
            "weeping",
            (_cone(0, 0.45, start=0.75, end=1), _ellipse(0.45, 1, centre=0.45, half=0.55)),
            0.20,
            0.12,
        ),
        Form("multi-stem", _ROUND, 0.20, 0.22),
        Form("palm", (_ellipse(0, 1, centre=0.55, half=0.55),), 0.15, 0.70),
        Form("mounding", _DOME),
        Form("mat", _DOME),
        Form("fountain", _SHEAF),
        Form("strap", _SHEAF),
        Form("rosette", _DOME),
        Form("sheet", (Piece(0, 1, 1, 0, 0),)),
        Form("climber", (Piece(0, 1, 1, 0, 0),)),
        Form("upright", (_cone(0, 0.6, start=0.6, end=1), _ellipse(0.6, 1, centre=0.6, half=0.4))),
    )
}
"""The register of forms. Adding one: an entry here, its leaf cards in viz.foliage, a test."""

WITH_TRUNK = ("tree", "palm")
"""Kinds whose crown starts above a bare stem; all other kinds are leafy to the ground."""


def relative_radius(form: Form, h: Array) -> Array:
    """Radius in half spreads at relative crown heights h; 0 outside 0..1."""
    h = np.asarray(h, dtype=float)
    squared = np.zeros_like(h)
    for piece in form.pieces:
        inside = (h >= piece.lo) & (h <= piece.hi)
        squared = np.where(inside, piece.a + piece.b * h + piece.c * h * h, squared)
    return np.sqrt(np.maximum(squared, 0.0))


def base_share(form: Form, *, kind: str, grown: Array) -> Array:
    """Share of the height below the crown, for plants grown to `grown` of their mature height."""
    grown = np.clip(grown, 0.0, 1.0)
    if kind not in WITH_TRUNK:
        return np.zeros_like(grown)
    return form.base_young + (form.base_mature - form.base_young) * grown
