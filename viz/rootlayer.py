"""The root layer: zones of the kept trees, the ground lost in them, and where not to dig at all.

Zones and losses are those of `scenes.rootzone`; the inner circle is the distance within which
cut roots may cost a tree its hold.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from scenes.document import Yard
from scenes.points import points_of
from scenes.rootrules import STABILITY_TRUNKS, circle, trunk_m
from scenes.rootzone import RootZone


def root_layer(yard: Yard, zones: Sequence[RootZone]) -> Mapping[str, Any]:
    """Rings of every zone, of the ground lost and of the inner circle, and labels."""
    return {
        "rule": yard.roots.rule,
        "zones": [
            {
                "zone": rings(zone.zone),
                "lost": rings(zone.lost),
                "inner": rings(circle(zone.at, STABILITY_TRUNKS * trunk)),
            }
            for zone, trunk in zip(zones, _trunks_m(yard), strict=True)
        ],
        "labels": [_label(zone) for zone in zones],
    }


def _trunks_m(yard: Yard) -> Iterator[float]:
    """Trunk of every tree with a root zone, in the same order."""
    for kept in yard.kept:
        trunk = trunk_m(kept)
        if trunk is not None:
            yield from [trunk] * len(points_of(kept.at))


def rings(area: BaseGeometry) -> list[NDArray[np.float32]]:
    """Outer and inner rings of an area, each as x, y, x, y, ...; lines and points are left out."""
    parts = [part for part in getattr(area, "geoms", [area]) if part.geom_type == "Polygon"]
    return [
        np.asarray(ring.coords, dtype=np.float32)[:, :2].ravel()
        for part in parts
        if not part.is_empty
        for ring in (part.exterior, *part.interiors)
    ]


def _label(zone: RootZone) -> Mapping[str, Any]:
    lost = f"{100 * zone.lost_fraction:.0f} %"
    text = f"{zone.tree}: {lost} of its root zone lost ({zone.level})"
    return {"at": list(zone.at), "text": text}
