"""The triangles that a survey brings: whether they lie side by side, and where they end.

Triangles must meet edge to edge and never lie over each other, or a place would have two
heights. A triangle without area covers no ground and is passed over.
"""

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from scenes.errors import Mistake
from scenes.lattice import Array, IntArray

LEAST_AREA_M2 = 1e-9


def with_area(points_m: Array, faces: IntArray) -> IntArray:
    """The triangles (m, 3) that cover ground."""
    area_m2 = shapely.area(shapely.polygons(points_m[faces][:, :, :2]))
    return np.asarray(faces[area_m2 > LEAST_AREA_M2])


def faces_over_faces(points_m: Array, faces: IntArray, places: Sequence[str]) -> Iterator[Mistake]:
    """One mistake where triangles lie over each other, or where there is none."""
    if not len(faces):
        yield Mistake("ground.survey", "the triangles have no area", "export the surface anew")
        return
    wrong = shapely.coverage_invalid_edges(shapely.polygons(points_m[faces][:, :, :2]))
    bad = np.flatnonzero(~shapely.is_empty(wrong))
    if len(bad):
        first, *others = (places[corner] for corner in faces[bad[0]])
        others = [other.rpartition(" ")[2] for other in others]
        words = f"at {' and '.join(others)} and here triangles lie over each other or leave gaps"
        yield Mistake(first, words, "export the surface anew, its triangles edge to edge")


def outer_edges(faces: IntArray) -> IntArray:
    """The edges (m, 2) that belong to one triangle alone: the outline, and that of holes."""
    edges = np.sort(np.vstack([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]]), axis=1)
    each, times = np.unique(edges, axis=0, return_counts=True)
    return np.asarray(each[times == 1])
