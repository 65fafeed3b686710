"""Ponds: hollows of the ground that stand full before their water runs on.

A pond is a connected piece of lattice where the ground with its hollows full lies above the
ground itself. Its area and volume are sums over nodes; what drains into it is the catchment
of its lowest basin, with the overflow of all basins above it.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from scipy.ndimage import label

from scenes.flow import Basins, Flow, accumulated
from scenes.lattice import Array, IntArray, Lattice
from scenes.masks import points_m
from scenes.points import Point

LEAST_DEPTH_M = 0.02
"""Shallower hollows are below what surveys and grading show; no outside source."""


@dataclass(frozen=True)
class Pond:
    """A hollow: its deepest point, what it holds, what drains into it, and a building at it."""

    at: Point
    area_m2: float
    depth_m: float
    volume_m3: float
    catchment_m2: float
    level_m: float
    against: str | None = None


def ponds(
    lattice: Lattice, heights_m: Array, water: Flow, rain_m2: Array
) -> Iterator[tuple[Pond, IntArray]]:
    """Every pond that can stand two centimetres deep, with its nodes by flat index.

    `rain_m2` (ny, nx) is the ground that each node catches rain for.
    """
    depth_m = (water.filled_m - heights_m).ravel()
    hollow, count = label(depth_m.reshape(heights_m.shape) > 0, structure=np.ones((3, 3)))
    number = hollow.ravel()
    catchment_m2 = np.zeros(count + 1)
    np.maximum.at(catchment_m2, number[water.basins.lowest], catchments_m2(water.basins, rain_m2))
    for nodes in grouped(number, count):
        deepest = nodes[depth_m[nodes].argmax()]
        if depth_m[deepest] < LEAST_DEPTH_M:
            continue
        x, y = points_m(lattice, deepest[None])[0].tolist()
        pond = Pond(
            at=(x, y),
            area_m2=float(len(nodes) * lattice.cell_m**2),
            depth_m=float(depth_m[deepest]),
            volume_m3=float(depth_m[nodes].sum() * lattice.cell_m**2),
            catchment_m2=float(catchment_m2[number[deepest]]),
            level_m=float(water.filled_m.flat[deepest]),
        )
        yield pond, nodes


def grouped(number: IntArray, count: int) -> list[IntArray]:
    """The flat indices of the nodes of each number from 1 to `count`."""
    nodes = np.flatnonzero(number)
    nodes = nodes[np.argsort(number[nodes], kind="stable")]
    starts = np.searchsorted(number[nodes], np.arange(2, count + 1))
    return np.split(nodes, starts) if count else []


def catchments_m2(basins: Basins, rain_m2: Array) -> Array:
    """The ground (b,) that drains to each basin's lowest node, overflow of others included."""
    count = len(basins.lowest)
    own_m2 = np.bincount(basins.of_node, weights=rain_m2.ravel(), minlength=count + 1)
    into = np.where(basins.into == count, -1, basins.into)
    return accumulated(into, own_m2[:count].astype(float))
