"""What is ringed in the picture for an event or a condition: outlines of its place in the yard.

A bed by its edge, a view by the panel it looks at, a spray head by its throw, a kept tree by
its root zone, the lot by its boundary. Keys are a kind and a name. Points of metres: east and
north of what lies on the ground, whose height the page knows; with their height of panels.
What has no one place, like all paving or all plants of a kind, is not ringed.
"""

from collections.abc import Iterator, Mapping

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from growth.checks.findings import Findings, Verdict
from scenes.document import Yard
from scenes.layout import Layout

STEP_M = 1.0
"""Outlines on the ground have a point at least so often, to follow it."""

LOT = "lot"
KINDS = {
    "coverage": "bed",
    "screening": "view",
    "opening": "view",
    "spray": "head",
    "roots": "roots",
}
"""The kind of place that a check is about."""


def ringed(kind: str, name: str) -> str:
    """The key of a place."""
    return f"{kind} {name}"


def place_of(verdict: Verdict) -> str:
    """The key of the place that a requirement is about; "" where it has no one place."""
    if verdict.check == "canopy":
        return LOT if verdict.of == "lot" else ""
    kind = KINDS.get(verdict.check)
    return ringed(kind, verdict.of) if kind else ""


def places(yard: Yard, layout: Layout, findings: Findings) -> Mapping[str, list[list[float]]]:
    """Points of the outline of every place by its key."""
    ground = {key: _points(outline) for key, outline in _outlines(yard, layout, findings)}
    panels = {ringed("view", look.name): look.panel_m.tolist() for look in layout.looks}
    return ground | panels


def _outlines(yard: Yard, layout: Layout, findings: Findings) -> Iterator[tuple[str, BaseGeometry]]:
    yield LOT, Polygon(yard.site.boundary)
    for bed in layout.beds:
        yield ringed("bed", bed.name), bed.outline
    for zone in layout.root_zones:
        yield ringed("roots", zone.tree), zone.zone
    for head in findings.spray:
        yield ringed("head", head.head), shapely.Point(head.at).buffer(head.throw_m)


def _points(outline: BaseGeometry) -> list[list[float]]:
    if not isinstance(outline, Polygon):
        outline = outline.convex_hull
    ring = shapely.segmentize(outline.exterior, STEP_M)
    return [[round(float(x), 3), round(float(y), 3)] for x, y in shapely.get_coordinates(ring)]
