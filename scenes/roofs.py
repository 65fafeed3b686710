"""Roofs over an outline: hipped, gabled or flat, with eaves that stand out.

A hip over a convex outline is where the planes rising from all eaves at one pitch are
lowest, which for convex outlines is the straight skeleton. An outline of right angles
(an L, a T) is covered by the largest rectangles inside it, each with its own roof at the
same pitch, so that valleys form where they cross. Any other outline is roofed over its
convex hull. Gables run along the longer side of a rectangle; an outline that is not of
right angles takes the tightest rectangle round it. Eave and ridge are levels of the
roof's upper side.
"""

from itertools import product

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import Polygon

from scenes.lattice import Array, BoolArray
from scenes.solids import Part, cap_triangles, joined, prism, ring_m

OVERHANG_M = 0.5
FASCIA_M = 0.18
SLAB_M = 0.15
"""Eaves, the board along them and the thickness of a gable's slopes: common practice."""

MOST_STEPS, NARROWEST_M = 100, 0.3
"""An outline with more steps (across times along) is not parted; narrower wings are none."""

SQUARE_SHARE = 0.995
"""An outline that fills this share of a rectangle is taken as one."""


def roof_parts(outline: Polygon, roof: str, *, eave_m: float, ridge_m: float) -> tuple[Part, ...]:
    """The parts of a roof between two levels, in metres."""
    if roof == "flat":
        eaves = _with_eaves(outline)
        return (prism("trim", eaves, low_m=eave_m, high_m=max(ridge_m, eave_m + FASCIA_M)),)
    wings = covering(outline, convex=roof == "hip")
    rise = (ridge_m - eave_m) / max(_half_width_m(_with_eaves(wing)) for wing in wings)
    build = _hip if roof == "hip" else _gable
    parts = [part for wing in wings for part in build(wing, eave_m=eave_m, rise=rise)]
    roles = dict.fromkeys(part.role for part in parts)
    return tuple(joined(role, (p for p in parts if p.role == role)) for role in roles)


def covering(outline: Polygon, *, convex: bool) -> tuple[Polygon, ...]:
    """The shapes that are roofed: the outline itself, rectangles in it, or one round it."""
    hull = outline.convex_hull
    if outline.area > SQUARE_SHARE * hull.area and (convex or _is_rectangle(outline)):
        return (hull if convex else outline.minimum_rotated_rectangle,)
    wings = _largest_rectangles(outline)
    if wings and shapely.union_all(wings).area > SQUARE_SHARE * outline.area:
        return wings
    return (hull if convex else outline.minimum_rotated_rectangle,)


def is_exact(outline: Polygon, roof: str) -> bool:
    """Whether a roof keeps to the outline (with its eaves), not to a simpler shape round it."""
    if roof == "flat":
        return True
    covered = shapely.union_all(covering(outline, convex=roof == "hip"))
    return bool(SQUARE_SHARE * covered.area < outline.area)


def _is_rectangle(outline: Polygon) -> bool:
    return bool(outline.area > SQUARE_SHARE * outline.minimum_rotated_rectangle.area)


def _largest_rectangles(outline: Polygon) -> tuple[Polygon, ...]:
    """Rectangles along the outline's first side that fit inside it and in no other such one."""
    start, end = ring_m(outline)[:2]
    turn_deg = float(np.degrees(np.arctan2(*(end - start)[::-1])))
    level = affinity.rotate(outline, -turn_deg, origin=(0, 0))
    xs, ys = (np.unique(axis.round(6)) for axis in ring_m(level).T)
    if len(xs) * len(ys) > MOST_STEPS:
        return ()
    spans = product(_spans(xs), _spans(ys))
    boxes = np.array([shapely.box(x0, y0, x1, y1) for (x0, x1), (y0, y1) in spans])
    fitting = boxes[shapely.contains(level.buffer(1e-4), boxes)]
    largest = [a for a in fitting if not any(a is not b and b.contains(a) for b in fitting)]
    return tuple(affinity.rotate(box, turn_deg, origin=(0, 0)) for box in largest)


def _spans(steps: Array) -> list[tuple[float, float]]:
    return [(a, b) for k, a in enumerate(steps) for b in steps[k + 1 :] if b - a > NARROWEST_M]


def _with_eaves(outline: Polygon) -> Polygon:
    return outline.buffer(OVERHANG_M, join_style="mitre")


def _half_width_m(outline: Polygon) -> float:
    """How far the innermost point of a convex outline lies from its edges, in metres."""
    return max(float(height.max()) for _, height in _faces(outline))


def _faces(outline: Polygon) -> list[tuple[Array, Array]]:
    """For each edge of a convex outline: the corners (k, 2) nearest to it, and how near (k,)."""
    ring = ring_m(outline)
    edges = np.roll(ring, -1, axis=0) - ring
    inwards = np.column_stack([-edges[:, 1], edges[:, 0]])
    inwards /= np.linalg.norm(edges, axis=1)[:, None]
    faces = []
    for k, normal in enumerate(inwards):
        corners = ring
        for other in range(len(ring)):
            if other != k:
                beyond = (corners - ring[k]) @ normal - (corners - ring[other]) @ inwards[other]
                corners = _kept_below(corners, beyond)
        faces.append((corners, (corners - ring[k]) @ normal))
    return [(corners, height) for corners, height in faces if len(corners) > 2]


def _kept_below(corners: Array, excess: Array) -> Array:
    """The part of a convex ring (k, 2) where a linear excess (k,) is not above zero."""
    kept = []
    for k, corner in enumerate(corners):
        after = (k + 1) % len(corners)
        if excess[k] <= 1e-9:
            kept.append(corner)
        if (excess[k] > 1e-9 and excess[after] < -1e-9) or (
            excess[k] < -1e-9 and excess[after] > 1e-9
        ):
            share = excess[k] / (excess[k] - excess[after])
            kept.append(corner + share * (corners[after] - corner))
    return np.array(kept).reshape(-1, 2)


def _hip(wing: Polygon, *, eave_m: float, rise: float) -> tuple[Part, ...]:
    """Slopes over a convex outline, closed below by fascia and soffit."""
    eaves = _with_eaves(wing)
    slopes = []
    for corners, height in _faces(eaves):
        points = np.column_stack([corners, eave_m + rise * height])
        fan = np.array([[0, k, k + 1] for k in range(1, len(points) - 1)])
        slopes.append(Part("roof", points, fan))
    return joined("roof", slopes), _open_box(eaves, low_m=eave_m - FASCIA_M, high_m=eave_m)


def _open_box(outline: Polygon, *, low_m: float, high_m: float) -> Part:
    """A prism without its upper side: fascia boards and the soffit under them."""
    body = prism("trim", outline, low_m=low_m, high_m=high_m)
    upper = len(body.points_m) // 2
    on_top = np.all(body.triangles >= upper, axis=1)
    return Part("trim", body.points_m, body.triangles[~on_top])


def _gable(wing: Polygon, *, eave_m: float, rise: float) -> tuple[Part, ...]:
    """Two slopes over a rectangle with boards at their ends, and the walls up into them."""
    origin, along, across = _axes(wing)
    half = np.linalg.norm(across) / 2
    edge = half + OVERHANG_M
    top = eave_m + rise * edge
    lower = top - SLAB_M
    chevron = np.array(
        [[-edge, eave_m - SLAB_M], [0, lower], [edge, eave_m - SLAB_M], [edge, eave_m],
         [0, top], [-edge, eave_m]]
    )  # fmt: skip
    under = lower + SLAB_M / 2
    gable = np.array(
        [[-half, eave_m], [half, eave_m], [half, under - rise * half], [0, under],
         [-half, under - rise * half]]
    )  # fmt: skip
    cover = _swept("trim", chevron, origin, along, across, beyond_m=OVERHANG_M)
    slopes = _facing_up(cover)
    return (
        Part("roof", cover.points_m, cover.triangles[slopes]),
        Part("trim", cover.points_m, cover.triangles[~slopes]),
        _swept("wall", gable, origin, along, across, beyond_m=0.0),
    )


def _axes(wing: Polygon) -> tuple[Array, Array, Array]:
    """The middle of a rectangle's short side, its long side and its short one, right-handed."""
    ring = ring_m(wing.minimum_rotated_rectangle)
    sides = np.roll(ring, -1, axis=0) - ring
    first = int(np.linalg.norm(sides[1]) > np.linalg.norm(sides[0]))
    across = sides[first + 1]
    return ring[first] + across / 2, sides[first], across


def _swept(
    role: str, section: Array, origin: Array, along: Array, across: Array, *, beyond_m: float
) -> Part:
    """A section (k, 2) of offset across and level, swept along a rectangle and beyond."""
    ahead, aside = along / np.linalg.norm(along), across / np.linalg.norm(across)
    count = len(section)
    ends = [origin - beyond_m * ahead, origin + along + beyond_m * ahead]
    points = np.concatenate(
        [np.column_stack([end + section[:, :1] * aside, section[:, 1]]) for end in ends]
    )
    cap = cap_triangles(section)
    here = np.arange(count)
    there = (here + 1) % count
    sides = np.concatenate(
        [
            np.column_stack([here, here + count, there + count]),
            np.column_stack([here, there + count, there]),
        ]
    )
    return Part(role, points, np.concatenate([cap, cap[:, ::-1] + count, sides])[:, ::-1])


def _facing_up(part: Part) -> BoolArray:
    a, b, c = (part.points_m[part.triangles[:, k]] for k in range(3))
    normal = np.cross(b - a, c - a)
    return np.asarray(normal[:, 2] > 1e-9)
