"""Surfaces and buildings of the yard: their outlines, and which are hard under foot."""

from dataclasses import dataclass

from shapely.geometry import Polygon

from scenes.document import Surface, Yard
from scenes.ribbons import band

BUILDINGS = frozenset({"house", "garage", "shed"})
"""Structures with an inside that water must not reach."""

PAVING = frozenset({"walk", "drive", "patio", "ramp", "steps"})
"""Kinds that shed water and are walked or driven on."""

ROOTLESS = PAVING | {"gravel", "water"}
"""Kinds whose base is dug and compacted; a deck stands on posts, a lawn grows on the ground."""


@dataclass(frozen=True)
class SurfaceShape:
    """A surface's outline and what it is made of."""

    name: str
    kind: str
    outline: Polygon
    existing: bool = False


def building_outlines(yard: Yard) -> dict[str, Polygon]:
    """The outlines of the yard's buildings by name, in the document's order."""
    return {
        structure.name: Polygon(structure.outline)
        for structure in yard.structure
        if structure.kind in BUILDINGS and structure.outline is not None
    }


def surface_shapes(yard: Yard) -> tuple[SurfaceShape, ...]:
    """The surfaces of the yard in the document's order."""
    return tuple(SurfaceShape(s.name, s.kind, _outline(s), s.existing) for s in yard.surface)


def _outline(surface: Surface) -> Polygon:
    """The area of a surface: its outline, or the band along its centreline."""
    if surface.outline is not None:
        return Polygon(surface.outline)
    return band(surface.centreline or (), width_m=surface.width or 0.0)
