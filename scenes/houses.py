"""Houses, garages and sheds: a plinth down to the ground, walls, openings and a roof.

Eave and ridge are heights above the floor. Windows and doors stand three centimetres
proud of the wall and their frames five, so that both are seen; the wall behind them is
closed. Steps, porches, chimneys and gutters are left out.
"""

import numpy as np
from shapely.geometry import Polygon

from scenes.document import Opening, Structure
from scenes.lattice import Array
from scenes.roofs import is_exact, roof_parts
from scenes.solids import HeightAt, Part, Solid, box_on_wall, joined, prism, ring_m

ROOF = "hip"
"""The roof of a house whose document names none."""

PROUD_M, FRAME_PROUD_M, SILL_PROUD_M = 0.03, 0.05, 0.09
FRAME_M, BAR_M, SILL_M = 0.07, 0.04, 0.05
PLINTH_PROUD_M, PLINTH_BELOW_M = 0.02, 0.25
WIDE_M = 0.9
"""Windows wider than this get an upright bar. All of these: common practice."""


def house(structure: Structure, ground_m: HeightAt) -> Solid:
    """The parts of a house on the ground there, in metres."""
    outline = Polygon(structure.outline)
    floor_m = structure.floor or 0.0
    eave_m = floor_m + (structure.eave or 0.0)
    ridge_m = floor_m + (structure.ridge or 0.0)
    parts = [
        _plinth(outline, ground_m, floor_m=floor_m),
        prism("wall", outline, low_m=floor_m, high_m=eave_m),
        *roof_parts(outline, structure.roof or ROOF, eave_m=eave_m, ridge_m=ridge_m),
    ]
    for opening in structure.opening:
        parts += _opening_parts(face_m(structure, opening), kind=opening.kind)
    return Solid(structure.name, structure.kind, 0.0, _by_role(parts))


def roof_fits(structure: Structure) -> bool:
    """Whether the roof keeps to the outline; some crooked outlines get a simpler one."""
    return is_exact(Polygon(structure.outline), structure.roof or ROOF)


def _by_role(parts: list[Part]) -> tuple[Part, ...]:
    roles = dict.fromkeys(part.role for part in parts)
    return tuple(joined(role, (p for p in parts if p.role == role)) for role in roles)


HIGHEST_FLOOR_M = 12.0
"""No house of a garden has its floor so far above all ground round it; assumed."""


def off_the_ground(structure: Structure, ground_m: HeightAt) -> str:
    """What is wrong with a building that is all under its ground, or far above it; "" if nothing.

    Its floor is then mostly written from another zero than the levels of the ground.
    """
    levels_m = ground_m(np.array(Polygon(structure.outline).exterior.coords))
    floor_m, high_m = structure.floor or 0.0, structure.ridge or structure.eave or 0.0
    if floor_m + high_m < levels_m.min():
        return "lies wholly under the ground"
    return "is far above the ground" if floor_m > levels_m.max() + HIGHEST_FLOOR_M else ""


def _plinth(outline: Polygon, ground_m: HeightAt, *, floor_m: float) -> Part:
    foot = outline.buffer(PLINTH_PROUD_M, join_style="mitre")
    edge = np.array(foot.segmentize(1.0).exterior.coords)
    low_m = min(float(ground_m(edge).min()), floor_m) - PLINTH_BELOW_M
    return prism("plinth", foot, low_m=low_m, high_m=floor_m)


def face_m(structure: Structure, opening: Opening) -> Array:
    """The opening's corners (4, 3) on the wall, in metres: lower left first, from outside."""
    ring = ring_m(Polygon(structure.outline))
    ends = np.roll(ring, -1, axis=0)
    points = np.array([opening.from_, opening.to], dtype=float)
    start, side = _nearest_wall(ring, ends, points.mean(axis=0))
    length_m = float(np.linalg.norm(side))
    along = side / length_m
    left_m, right_m = np.clip(np.sort((points - start) @ along), 0.0, length_m)
    foot = start + np.outer([left_m, right_m, right_m, left_m], along)
    floor_m = structure.floor or 0.0
    levels = floor_m + np.array([opening.low, opening.low, opening.high, opening.high])
    return np.column_stack([foot, levels])


def _nearest_wall(starts: Array, ends: Array, point: Array) -> tuple[Array, Array]:
    """The start of the wall nearest to a point, and the wall from there to its end."""
    sides = ends - starts
    share = np.sum((point - starts) * sides, axis=1) / np.sum(sides**2, axis=1)
    foot = starts + np.clip(share, 0, 1)[:, None] * sides
    nearest = int(np.linalg.norm(point - foot, axis=1).argmin())
    return starts[nearest], sides[nearest]


def _opening_parts(face: Array, *, kind: str) -> list[Part]:
    """Pane or leaf, frame and (for a window) sill and bar."""
    role = "glass" if kind == "window" else "door"
    parts = [box_on_wall(role, face, inwards_m=0.02, outwards_m=PROUD_M)]
    for rectangle in _frame(face, window=kind == "window"):
        parts.append(box_on_wall("trim", rectangle, inwards_m=0.02, outwards_m=FRAME_PROUD_M))
    if kind == "window":
        sill = _within(face, left=-2 * FRAME_M, right=2 * FRAME_M, low=-SILL_M - FRAME_M, top=0.0)
        sill[2:, 2] = face[0, 2] - FRAME_M
        parts.append(box_on_wall("trim", sill, inwards_m=0.02, outwards_m=SILL_PROUD_M))
    return parts


def _frame(face: Array, *, window: bool) -> list[Array]:
    """Rectangles round a face: two jambs, a head, and below a window; a bar in a wide one."""
    width_m = float(np.linalg.norm(face[1] - face[0]))
    high_m = float(face[3, 2] - face[0, 2])
    low = -FRAME_M if window else 0.0
    pieces = [
        _within(face, left=-FRAME_M, right=-width_m, low=low, top=FRAME_M),
        _within(face, left=width_m, right=FRAME_M, low=low, top=FRAME_M),
        _within(face, left=0.0, right=0.0, low=high_m, top=FRAME_M),
    ]
    if window:
        pieces.append(_within(face, left=0.0, right=0.0, low=low, top=-high_m))
    if window and width_m > WIDE_M:
        side = (width_m - BAR_M) / 2
        pieces.append(_within(face, left=side, right=-side, low=0.0, top=0.0))
    return pieces


def _within(face: Array, *, left: float, right: float, low: float, top: float) -> Array:
    """The face with each side moved: left and right along the wall, low and top upwards."""
    along = (face[1] - face[0]) / np.linalg.norm(face[1] - face[0])
    up = np.array([0.0, 0.0, 1.0])
    return np.array(
        [
            face[0] + left * along + low * up,
            face[1] + right * along + low * up,
            face[2] + right * along + top * up,
            face[3] + left * along + top * up,
        ]
    )
