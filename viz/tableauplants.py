"""The plants of a still: every plant of the Stage at its size, as one set of cards.

The drawings, places, turns and sizes are those of the page; the month says which season's
drawing stands and in which colour (growth.seasons). Flowers are drawn in the months the
catalogue gives them. Metres; colours are linear reflectance.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from io import BytesIO

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from growth.plants import Plant
from growth.seasons import season_of_month
from scenes.document import Site
from viz import months
from viz.cards import Quads
from viz.foliage import Drawing, without_flowers
from viz.months import linear_of
from viz.stage import Stage
from viz.tableau import Bytes, Cards, Floats


@dataclass(frozen=True)
class Instances:
    """Where copies of one drawing stand: feet, turns, stretches across and up, leaf colours."""

    foot_m: Floats  # (m, 3)
    yaw: Floats  # (m,), radians
    wide: Floats  # (m,)
    high: Floats  # (m,)
    leaf: Floats  # (m, 3)


def planted(stage: Stage, site: Site, *, year: int, month: int) -> Cards:
    """All plants that stand in a year, as they look in the middle of a month (1-12)."""
    height, spread = stage.height_m[year], stage.spread_m[year]
    sheet = atlas_pixels(stage.atlas)
    leaf = leaf_colours(stage, site, month=month)
    parts = []
    for kind, (drawings, plant) in enumerate(zip(stage.kinds, stage.plants, strict=True)):
        mine = np.flatnonzero((stage.kind == kind) & (height > 0))
        chosen = nearest_drawing(drawings, height[mine], spread[mine])
        for number, drawing in enumerate(drawings):
            those = mine[chosen == number]
            if not len(those):
                continue
            copies = Instances(
                stage.foot_m[those], stage.yaw[those], spread[those] / drawing.spread_m,
                height[those] / drawing.height_m, leaf[those],
            )  # fmt: skip
            parts.append(placed(season_drawing(drawing, plant, site, month=month), copies, sheet))
    return joined(parts, sheet)


def scenery(stage: Stage, site: Site, *, month: int) -> Cards:
    """The trees that stand beyond the yard."""
    trees, sheet = stage.scenery, atlas_pixels(stage.atlas)
    season = season_of_month(
        month, latitude_deg=site.latitude_deg, longitude_deg=site.longitude_deg
    )
    size = trees.size.astype(np.float32)
    copies = Instances(
        trees.foot_m.astype(np.float32), trees.yaw.astype(np.float32), size, size,
        linear_of(trees.colours),
    )  # fmt: skip
    return placed(trees.bare if season == "bare" else trees.leaf, copies, sheet)


def nearest_drawing(
    drawings: Iterable[Drawing], height_m: Floats, spread_m: Floats
) -> NDArray[np.intp]:
    """Which drawing (m,) is least stretched at each size, by the logarithm of its bulk."""
    native = np.array([np.log(d.height_m * d.spread_m**2) for d in drawings])
    bulk = np.log(np.maximum(height_m * spread_m**2, 1e-9))
    if not len(native):
        return np.zeros(len(bulk), dtype=np.intp)
    nearest: NDArray[np.intp] = np.argmin(np.abs(bulk[:, None] - native), axis=1)
    return nearest


def season_drawing(drawing: Drawing, plant: Plant, site: Site, *, month: int) -> Quads:
    """The drawing of a month: in leaf or bare, with its flowers or without."""
    drawn = months.drawing_of(plant, site, month)
    if drawn == "bare" and drawing.bare is not None:
        return drawing.bare
    return drawing.leaf if drawn == "flowers" else without_flowers(drawing.leaf)


def leaf_colours(stage: Stage, site: Site, *, month: int) -> Floats:
    """Leaf colours (plant, 3) of a month; no two plants of a kind are quite the same."""
    return months.leaf_colours(stage.plants, stage.kind, stage.colours, site, month)


def placed(quads: Quads, copies: Instances, atlas: Bytes) -> Cards:
    """Copies of one drawing, stretched, turned and set on their feet."""
    count, pieces = len(copies.foot_m), len(quads.points_m)
    stretch = np.stack([copies.wide, copies.wide, copies.high], axis=1).astype(np.float32)
    points = _turned(quads.points_m.astype(np.float32), stretch, copies.yaw)
    points += copies.foot_m[:, None, None]
    normals = _turned(quads.normals.astype(np.float32), np.float32(1) / stretch, copies.yaw)
    normals /= np.maximum(np.linalg.norm(normals, axis=-1, keepdims=True), np.float32(1e-6))
    tint = quads.tint.astype(np.float32)
    own = tint[..., 3:] > 0.5
    albedo = np.where(own, tint[..., :3], tint[..., :3] * copies.leaf[:, None, None])
    return Cards(
        points_m=points.reshape(-1, 4, 3),
        normals=normals.reshape(-1, 4, 3),
        uv=np.tile(quads.uv.astype(np.float32), (count, 1, 1)),
        albedo=albedo.reshape(-1, 4, 3),
        leaf=np.tile(1 - own[:, 0, 0].astype(np.float32), count).reshape(count * pieces),
        atlas=atlas,
    )


def _turned(vectors: Floats, stretch: Floats, yaw: Floats) -> Floats:
    """Vectors (n, 4, 3) stretched (m, 3) and turned (m,) about the upright: (m, n, 4, 3)."""
    sized = vectors[None] * stretch[:, None, None]
    cos, sin = np.cos(yaw)[:, None, None], np.sin(yaw)[:, None, None]
    turned = sized.copy()
    turned[..., 0] = cos * sized[..., 0] - sin * sized[..., 1]
    turned[..., 1] = sin * sized[..., 0] + cos * sized[..., 1]
    return turned


def joined(parts: Iterable[Cards], atlas: Bytes) -> Cards:
    """One set of cards from several; none where there are none."""
    kept = list(parts)
    points, normals, uv, albedo, leaf = (np.concatenate(list(one)) for one in _columns(kept))
    return Cards(points, normals, uv, albedo, leaf, atlas)


def _columns(parts: list[Cards]) -> Iterator[Iterator[Floats]]:
    shapes = {"points_m": (0, 4, 3), "normals": (0, 4, 3), "uv": (0, 4, 2), "albedo": (0, 4, 3)}
    for name in (*shapes, "leaf"):
        empty = np.zeros(shapes.get(name, (0,)), dtype=np.float32)
        yield iter([empty, *(getattr(part, name) for part in parts)])


def atlas_pixels(kept: bytes) -> Bytes:
    """The leaf atlas as red, green, blue and cut-out."""
    return np.asarray(Image.open(BytesIO(kept)).convert("RGBA"))
