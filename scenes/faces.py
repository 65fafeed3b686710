"""The triangles that a survey brings: whether they lie side by side, and where they end.

Triangles must meet edge to edge and never lie over each other, or a place would have two
heights. A triangle without area covers no ground and is passed over.
"""

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from scenes.errors import Mistake
from scenes.lattice import Array, IntArray

LEAST_AREA_M2 = 1e-9
ROUNDING = 1 + 1e-6


def with_area(points_m: Array, faces: IntArray) -> IntArray:
    """The triangles (m, 3) that cover ground."""
    return np.asarray(faces[shapely.area(_triangles(points_m, faces)) > LEAST_AREA_M2])


def faces_over_faces(points_m: Array, faces: IntArray, places: Sequence[str]) -> Iterator[Mistake]:
    """One mistake where triangles lie over each other, or where there is none."""
    if not len(faces):
        yield Mistake("ground.survey", "the triangles have no area", "export the surface anew")
        return
    triangles = _triangles(points_m, faces)
    hull = shapely.convex_hull(shapely.multipoints(points_m[:, :2]))
    if shapely.area(triangles).sum() > hull.area * ROUNDING:  # quick, where most overlap
        bad = 0
    else:
        wrong = shapely.coverage_invalid_edges(triangles)
        bad = int(np.argmin(shapely.is_empty(wrong)))
        if shapely.is_empty(wrong[bad]):
            return
    first, *others = (places[corner] for corner in faces[bad])
    names = " and ".join(other.rpartition(" ")[2] for other in others)
    words = f"between it and {names} triangles lie over each other or leave gaps"
    yield Mistake(first, words, "export the surface anew, its triangles edge to edge")


def _triangles(points_m: Array, faces: IntArray) -> NDArray[np.object_]:
    return np.asarray(shapely.polygons(points_m[faces][:, :, :2]))


def outer_edges(faces: IntArray) -> IntArray:
    """The edges (m, 2) that belong to one triangle alone: the outline, and that of holes."""
    edges = np.sort(np.vstack([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]]), axis=1)
    each, times = np.unique(edges, axis=0, return_counts=True)
    return np.asarray(each[times == 1])
