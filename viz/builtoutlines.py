"""What built things cover, seen from straight above: the outlines that plans draw.

A house has its outline from the document, a model the union of its triangles to the centimetre.
"""

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from scenes.document import Structure
from scenes.layout import Layout

GRID_M, LEAST_M2 = 0.01, 1e-6


def built_outline(structure: Structure, layout: Layout) -> BaseGeometry | None:
    """The ground that a built thing covers; None of what is a line or a meter."""
    if structure.outline is not None:
        return Polygon(structure.outline)
    solid = next((one for one in layout.solids if one.name == structure.name), None)
    if structure.kind != "model" or solid is None:
        return None
    faces = [part.points_m[part.triangles][..., :2] for part in solid.parts]
    flat = shapely.polygons(np.concatenate(faces))
    return shapely.union_all(flat[shapely.area(flat) > LEAST_M2], grid_size=GRID_M)
