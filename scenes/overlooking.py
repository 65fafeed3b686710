"""What a window overlooks by rule: the ground within a reach of it, to each side of straight out.

Some building rules ask a screen only for what a window overlooks, and bound that by a level
distance and an angle to each side of the wall's square. Of an upright panel the part within
counts; what lies outside needs no screen.

Source: Victoria (Australia), building regulations on overlooking: 9 m, 45 degrees each side.
"""

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.polygon import orient

from scenes.document import Overlooked
from scenes.lattice import Array

STEPS = 90
"""Sides of the rounded end: a 9 m reach is then at most 0.4 mm short."""


def overlooked_ground(eye_m: Array, wall_of: Polygon, bounds: Overlooked) -> Polygon:
    """The ground (in plan) that an eye at a building's wall overlooks, metres."""
    straight = _out_of_wall(eye_m, wall_of)
    aside = np.radians(np.linspace(-bounds.aside, bounds.aside, STEPS + 1))
    turned = np.arctan2(straight[1], straight[0]) + aside
    end_m = eye_m[:2] + bounds.within * np.column_stack([np.cos(turned), np.sin(turned)])
    return Polygon(np.vstack([eye_m[:2], end_m]))


def part_within(panel_m: Array, ground: Polygon) -> Array | None:
    """The part (4, 3) of an upright panel that stands on some ground; None if none does."""
    lower, upper = panel_m[:2], panel_m[[3, 2]]
    foot = LineString(lower[:, :2])
    inside = shapely.intersection(foot, ground)
    if inside.length == 0:
        return None
    share = shapely.line_locate_point(foot, shapely.points(inside.coords), normalized=True)
    ends = np.array([share.min(), share.max()])[:, None]
    bottom, top = (side[0] + ends * (side[1] - side[0]) for side in (lower, upper))
    return np.array([*bottom, *top[::-1]])


def _out_of_wall(eye_m: Array, wall_of: Polygon) -> Array:
    """Level unit vector square to the wall nearest an eye, towards the eye's side."""
    corners = np.array(orient(wall_of).exterior.coords)
    walls = shapely.linestrings(np.stack([corners[:-1], corners[1:]], axis=1))
    along = np.diff(corners, axis=0)[shapely.distance(walls, shapely.Point(eye_m[:2])).argmin()]
    return np.asarray(np.array([along[1], -along[0]]) / np.hypot(*along))
