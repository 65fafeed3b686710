"""Views made ready: an eye, and the upright panel it looks at.

The panel of an opening is the opening itself on the wall's face. That of a structure is
the rectangle that just hides it from the eye, standing at its nearest point, so that
nothing of it lies in front. A written panel stands on the mean ground under its ends.
Several eyes are a walk: eyes spread evenly along it, each with its panel. A look square to a
line is one from very far, level with the panel, past all that stands before the line. Of a
target bounded by what a window overlooks by rule, the part within is the panel.
"""

from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import Polygon

from scenes.document import Overlooked, Panel, Structure, View, Yard
from scenes.edges import beside
from scenes.errors import Mistake, SceneError, scene_error
from scenes.houses import face_m
from scenes.lattice import Array
from scenes.outlines import point_shown
from scenes.overlooking import overlooked_ground, part_within
from scenes.points import Point
from scenes.solids import HeightAt, Solid
from scenes.structures import STRUCTURES

NEAREST_M = 0.1
"""An eye must be this far from what it looks at."""

STRIDE_M = 3.0
MOST_EYES = 8
"""Eyes of a walk stand this far apart, or farther where it would take more of them."""

FAR_M = 1e4
"""How far the eye of a square look is taken back: its lines then differ from parallel ones by
less than 2 cm over a panel 30 m wide with planting 10 m deep."""


@dataclass(frozen=True)
class Sighting:
    """One eye and the panel as it sees it; only what stands beyond `line_m` (2, 2) hides."""

    eye_m: Array
    panel_m: Array
    line_m: Array | None = None


@dataclass(frozen=True)
class Look:
    """A view made ready; the panel's corners run from lower left as the eye sees it.

    A walk has several sightings, of which eye and panel are the middle one; a square look has
    one from afar, and its eye is a place to stand on the line.
    """

    name: str
    purpose: str
    eye_m: Array
    panel_m: Array
    own: str | None
    sightings: tuple[Sighting, ...] = ()

    @property
    def looked_from(self) -> tuple[Sighting, ...]:
        """Every eye that counts: the one eye where no sightings are given."""
        return self.sightings or (Sighting(self.eye_m, self.panel_m),)


@dataclass(frozen=True)
class _Target:
    """What a view looks at: a fixed panel, or a solid whose panel depends on the eye."""

    points_m: Array  # (n, 3) of the panel or the solid
    solid: Solid | None
    carrier: str | None  # the structure that holds the opening


def looks_of(
    yard: Yard, ground_m: HeightAt, solids: tuple[Solid, ...]
) -> tuple[tuple[Look, ...], tuple[str, ...]]:
    """The views that are computed, and a line for each that is not."""
    looks, left_out = [], []
    for k, view in enumerate(yard.view, start=1):
        reason = _why_not(yard, view)
        look = None if reason else _look(yard, view, f"view[{k}]", ground_m, solids)
        if look is not None and view.overlooks is not None:
            look = _as_overlooked(yard, view, view.overlooks, look)
            reason = "" if look else "its target lies outside what the window overlooks by rule"
        if look is None:
            left_out.append(f'view "{view.name}": {reason}')
        else:
            looks.append(look)
    return tuple(looks), tuple(left_out)


def _as_overlooked(yard: Yard, view: View, bounds: Overlooked, look: Look) -> Look | None:
    """The look at that part of its panel that its window overlooks by rule; None if none."""
    building = _structure(yard, view.above or "")
    assert building is not None
    assert building.outline is not None
    ground = overlooked_ground(look.eye_m, Polygon(building.outline), bounds)
    panel_m = part_within(look.panel_m, ground)
    return None if panel_m is None else replace(look, panel_m=panel_m)


def _why_not(yard: Yard, view: View) -> str:
    """Why a view is not computed yet, or nothing."""
    target = _structure(yard, view.target) if isinstance(view.target, str) else None
    if target is not None and target.kind not in STRUCTURES:
        return f"a {target.kind} as its target is not computed yet"
    return ""


def _look(
    yard: Yard, view: View, place: str, ground_m: HeightAt, solids: tuple[Solid, ...]
) -> Look:
    """The eyes and the panels of one view."""
    target = _target(yard, view, place, ground_m, solids)
    own = target.solid.name if target.solid else target.carrier
    if view.square_to is not None:
        stand_m, sighting = _square(yard, view.square_to, place, ground_m, target)
        return Look(view.name, view.purpose, stand_m, sighting.panel_m, own, (sighting,))
    sightings = []
    for xy_m in _walk_m(view):
        eye_m = _eye_m(yard, view, place, xy_m, ground_m)
        sightings.append(Sighting(eye_m, _panel_m(yard, place, eye_m, target, ground_m)))
    middle = sightings[len(sightings) // 2]
    several = tuple(sightings) if len(sightings) > 1 else ()
    return Look(view.name, view.purpose, middle.eye_m, middle.panel_m, own, several)


def _target(
    yard: Yard, view: View, place: str, ground_m: HeightAt, solids: tuple[Solid, ...]
) -> _Target:
    """What a view looks at, by its name or as written."""
    if isinstance(view.target, Panel):
        return _Target(_written_panel_m(view.target, ground_m), None, None)
    for structure in yard.structure:
        for opening in structure.opening:
            if opening.name == view.target:
                return _Target(face_m(structure, opening), None, structure.name)
    solid = next((solid for solid in solids if solid.name == view.target), None)
    if solid is None:
        wrong = f'"{view.target}" is no opening and no structure'
        raise _wrong(yard, f"{place}.target", wrong, "name one, or write a panel")
    return _Target(np.concatenate([part.points_m for part in solid.parts]), solid, None)


def _panel_m(yard: Yard, place: str, eye_m: Array, target: _Target, ground_m: HeightAt) -> Array:
    """The panel (4, 3) that an eye sees of the target."""
    if target.solid is not None:
        return _silhouette_m(yard, place, eye_m, target.solid, ground_m)
    if target.carrier is None:
        return _facing(yard, place, eye_m, target.points_m)
    _check_in_front(yard, place, eye_m, target.points_m, target.carrier)
    return target.points_m


def _walk_m(view: View) -> Array:
    """The eyes of a view (n, 2): the one written, or spread evenly along several."""
    points = np.atleast_2d(np.array(view.eye, dtype=float))
    walk = shapely.LineString(points if len(points) > 1 else points[[0, 0]])
    if walk.length == 0:
        return points[:1]
    count = int(np.clip(np.ceil(walk.length / STRIDE_M) + 1, 2, MOST_EYES))
    return beside(walk, np.linspace(0, walk.length, count))


def _square(
    yard: Yard, line: tuple[Point, Point], place: str, ground_m: HeightAt, target: _Target
) -> tuple[Array, Sighting]:
    """A place to stand on the line (3,), and the look square to it from very far."""
    line_m = np.array(line, dtype=float)
    ahead = np.array([line_m[0, 1] - line_m[1, 1], line_m[1, 0] - line_m[0, 0]])
    ahead /= np.linalg.norm(ahead)
    low_m, high_m = target.points_m.min(axis=0), target.points_m.max(axis=0)
    middle_m = (low_m + high_m) / 2
    ahead *= np.sign((middle_m[:2] - line_m[0]) @ ahead) or 1.0
    beyond_m = (target.points_m[:, :2] - line_m[0]) @ ahead
    if beyond_m.min() < NEAREST_M:
        wrong = "the target touches or crosses the line"
        raise _wrong(yard, f"{place}.square_to", wrong, "draw the line before what should hide it")
    stand_m = middle_m - np.append(ahead * ((middle_m[:2] - line_m[0]) @ ahead), 0)
    far_m = middle_m - np.append(FAR_M * ahead, 0)
    if target.solid is None:
        panel_m = _panel_m(yard, place, stand_m, target, ground_m)
    else:
        panel_m = _silhouette_m(yard, place, far_m, target.solid, ground_m)
    return stand_m, Sighting(far_m, panel_m, line_m)


def _structure(yard: Yard, name: str) -> Structure | None:
    return next((structure for structure in yard.structure if structure.name == name), None)


def _eye_m(yard: Yard, view: View, place: str, xy_m: Array, ground_m: HeightAt) -> Array:
    """An eye (3,) in metres: above the ground there, or above a floor."""
    foot_m = float(ground_m(xy_m[None])[0])
    if view.above is not None:
        structure = _structure(yard, view.above)
        if structure is None or structure.floor is None:
            wrong = f'"{view.above}" is no structure with a floor'
            raise _wrong(yard, f"{place}.above", wrong, "name a house, garage or shed")
        foot_m = structure.floor
    for structure in yard.structure:
        if structure.outline and shapely.contains_xy(Polygon(structure.outline), *xy_m):
            wrong = f'{point_shown(yard, tuple(xy_m))} lies inside "{structure.name}"'
            raise _wrong(yard, f"{place}.eye", wrong, "move it outside, before the wall")
    return np.array([*xy_m, foot_m + view.eye_height])


def _written_panel_m(panel: Panel, ground_m: HeightAt) -> Array:
    """Corners (4, 3) in metres of a written panel, from its `from` to its `to`."""
    ends = np.array([panel.from_, panel.to], dtype=float)
    foot_m = float(ground_m(ends).mean())
    levels = foot_m + np.array([panel.low, panel.low, panel.high, panel.high])
    return np.column_stack([ends[[0, 1, 1, 0]], levels])


def _facing(yard: Yard, place: str, eye_m: Array, panel_m: Array) -> Array:
    """The panel's corners in the order this eye sees them."""
    along, to_eye = panel_m[1, :2] - panel_m[0, :2], eye_m[:2] - panel_m[0, :2]
    length_m = float(np.linalg.norm(along))
    side_m = (along[1] * to_eye[0] - along[0] * to_eye[1]) / length_m if length_m else 0.0
    if abs(side_m) < NEAREST_M:
        wrong = f"{point_shown(yard, tuple(eye_m[:2]))} sees the target edge-on"
        raise _wrong(yard, f"{place}.eye", wrong, "move it to one side of the panel")
    return panel_m if side_m > 0 else panel_m[[1, 0, 3, 2]]


def _check_in_front(yard: Yard, place: str, eye_m: Array, panel_m: Array, owner: str) -> None:
    """A SceneError where the eye is not before the wall that holds the opening."""
    along, to_eye = panel_m[1, :2] - panel_m[0, :2], eye_m[:2] - panel_m[0, :2]
    if along[1] * to_eye[0] - along[0] * to_eye[1] < NEAREST_M * np.linalg.norm(along):
        eye = point_shown(yard, tuple(eye_m[:2]))
        wrong = f'{eye} lies behind the wall of "{owner}" that holds the target'
        raise _wrong(yard, f"{place}.eye", wrong, "move it before that wall")


def _silhouette_m(yard: Yard, place: str, eye_m: Array, solid: Solid, ground_m: HeightAt) -> Array:
    """The upright rectangle (4, 3) at a solid's nearest point that hides it from the eye."""
    points = np.concatenate([part.points_m for part in solid.parts])
    ahead = (points.min(axis=0) + points.max(axis=0))[:2] / 2 - eye_m[:2]
    ahead /= max(float(np.linalg.norm(ahead)), 1e-9)
    right = np.array([ahead[1], -ahead[0]])
    depth_m = (points[:, :2] - eye_m[:2]) @ ahead
    nearest_m = float(depth_m.min())
    if nearest_m < NEAREST_M:
        wrong = (
            f'{point_shown(yard, tuple(eye_m[:2]))} is not clear of "{solid.name}" that it looks at'
        )
        raise _wrong(yard, f"{place}.eye", wrong, "move it away, so that all of it is ahead")
    shrink = nearest_m / depth_m
    aside_m = (points[:, :2] - eye_m[:2]) @ right * shrink
    top_m = float((eye_m[2] + (points[:, 2] - eye_m[2]) * shrink).max())
    sides = eye_m[:2] + nearest_m * ahead + np.outer([aside_m.min(), aside_m.max()], right)
    foot_m = float(ground_m(sides).mean())
    return np.column_stack([sides[[0, 1, 1, 0]], [foot_m, foot_m, top_m, top_m]])


def _wrong(yard: Yard, place: str, wrong: str, remedy: str) -> SceneError:
    return scene_error(yard.path.name, [Mistake(place, wrong, remedy)])
