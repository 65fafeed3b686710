"""Boards, shingles and stones: flat faces cut along their courses, each piece with a tone.

A wall that is one flat colour looks like card. Faces are cut by level planes into rows and, for
shingles, stones and fence boards, by upright planes into pieces; every piece gets a tone of its
own and every row a darker edge. The faces' shape stays as it was, so what sight lines meet is
still what is drawn. Sizes are common practice. Metres.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Coursing:
    """Height of a row, length of a piece (0 = none), how tones differ, depth of the row's edge."""

    row_m: float
    piece_m: float
    contrast: float
    edge: float


COURSES: Mapping[str, Coursing] = {
    "wall": Coursing(0.19, 0.0, 0.0, 0.16),
    "roof": Coursing(0.14, 1.80, 0.20, 0.14),
    "stone": Coursing(0.22, 0.46, 0.34, 0.22),
    "fence": Coursing(0.0, 0.15, 0.30, 0.0),
}
"""Parts that are built in courses, by role."""


def coursed(role: str, corners: Array) -> tuple[Array, Array]:
    """Triangles (n, 3, 3) cut along the role's courses, and a tone (n, 3) for each corner."""
    style = COURSES.get(role)
    if style is None:
        return corners, np.ones(corners.shape[:2])
    pieces, tones = [], []
    for along, face in _faces(corners):
        cut = face
        if style.row_m:
            cut = _sliced(cut, np.array([0.0, 0.0, 1.0]), style.row_m)
        if style.piece_m:
            cut = _sliced(cut, along, style.piece_m / (2 if style.row_m else 1))
        pieces.append(cut)
        tones.append(_tones(style, cut, along))
    return np.concatenate(pieces), np.concatenate(tones)


def _faces(corners: Array) -> Iterator[tuple[Array, Array]]:
    """Groups of triangles that look one way, with the level direction along them."""
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normal = across / np.maximum(np.linalg.norm(across, axis=1, keepdims=True), 1e-12)
    heading = np.round(np.degrees(np.arctan2(normal[:, 1], normal[:, 0])) / 2).astype(int)
    flat = np.hypot(normal[:, 0], normal[:, 1]) < 0.05
    heading[flat] = 9999
    for one in np.unique(heading):
        group = heading == one
        n = normal[group].mean(axis=0)
        along = np.array([-n[1], n[0], 0.0]) if one != 9999 else np.array([1.0, 0.0, 0.0])
        yield along / np.linalg.norm(along), corners[group]


def _sliced(corners: Array, direction: Array, step_m: float) -> Array:
    """Triangles cut by planes across `direction`, one every `step_m` from the lowest corner."""
    place = corners @ direction
    levels = np.arange(place.min() + step_m, place.max() - 1e-6, step_m)
    return _halved(corners, direction, levels)


def _halved(corners: Array, direction: Array, levels: Array) -> Array:
    """Triangles cut at all levels: at the middle one first, then either side by itself."""
    if not len(levels) or not len(corners):
        return corners
    middle = len(levels) // 2
    cut = cut_by_plane(corners, corners @ direction - levels[middle])
    above = cut.mean(axis=1) @ direction > levels[middle]
    lower = _halved(cut[~above], direction, levels[:middle])
    return np.concatenate([lower, _halved(cut[above], direction, levels[middle + 1 :])])


def cut_by_plane(corners: Array, distance: Array) -> Array:
    """Triangles (n, 3, 3) cut where the signed distances (n, 3) of their corners change sign."""
    side = np.where(np.abs(distance) < 1e-9, 0, np.sign(distance))
    crossed = (side.max(axis=1) > 0) & (side.min(axis=1) < 0)
    if not crossed.any():
        return corners
    kept, hit, d = corners[~crossed], corners[crossed], distance[crossed]
    above = (d > 0).sum(axis=1, keepdims=True)
    alone = np.where(above == 1, d > 0, d <= 0)
    start = np.argmax(alone, axis=1)
    order = (start[:, None] + np.arange(3)) % 3
    row = np.arange(len(hit))[:, None]
    hit, d = hit[row, order], d[row, order]
    a, b, c = hit[:, 0], hit[:, 1], hit[:, 2]
    ab = a + (b - a) * (d[:, 0] / (d[:, 0] - d[:, 1]))[:, None]
    ac = a + (c - a) * (d[:, 0] / (d[:, 0] - d[:, 2]))[:, None]
    new = [np.stack(three, axis=1) for three in ((a, ab, ac), (ab, b, c), (ab, c, ac))]
    return np.concatenate([kept, *new])


def _tones(style: Coursing, corners: Array, along: Array) -> Array:
    """Tone of every corner: its piece's own, and darker towards the lower edge of its row."""
    centre = corners.mean(axis=1)
    z0 = corners[..., 2].min()
    row = np.floor((centre[:, 2] - z0) / style.row_m) if style.row_m else np.zeros(len(centre))
    tone = np.ones(len(centre))
    if style.piece_m:
        x = (centre @ along - (corners @ along).min()) / style.piece_m
        piece = np.floor(x + 0.5 * (row % 2))
        noise = np.sin(row * 12.9898 + piece * 78.233) * 43758.5
        tone += style.contrast * (noise - np.floor(noise) - 0.5)
    if not style.row_m:
        return np.repeat(tone[:, None], 3, axis=1)
    rise = (corners[..., 2] - z0) / style.row_m - row[:, None]
    edged: Array = tone[:, None] * (1 - style.edge * np.clip(1 - 1.6 * rise, 0, 1))
    return edged
