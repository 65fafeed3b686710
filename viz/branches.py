"""The woody frame of a drawn plant: from the foot to the middle of every clump of leaves.

Clumps join the frame one after the other, nearest to the stem's top first; each takes the node
that costs it the least (distance, the way already run, no falling back). Thickness follows the
pipe model: a limb is as thick as all it carries. Leaning, wounds and species' own branching
are left out. Lengths are metres.

Source: pipe model, Shinozaki et al. 1964, Japanese Journal of Ecology 14; the exponent 2.4
lies between the area-preserving 2 and the 3 of thin-walled pipes (common practice).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from viz.cards import UP, Array, Quads, join, tubes, unit

PIPE_EXPONENT = 2.4


@dataclass(frozen=True)
class Limb:
    """One limb: its centre line (k, 3) and its radius at every point (k)."""

    line_m: Array
    radius_m: Array


@dataclass(frozen=True)
class Stems:
    """How a plant leaves the ground: number of stems, their lean and how steeply limbs rise."""

    count: int = 1
    lean_m: float = 0.0
    least_rise: float = 0.25
    top_m: float = 1.0
    radius_m: float = 0.1


def frame(rng: np.random.Generator, clumps_m: Array, stems: Stems) -> tuple[Limb, ...]:
    """Limbs from the foot to all clump centres."""
    nodes, parents, runs, chains = _trunks(rng, stems)
    order = np.argsort(np.linalg.norm(clumps_m - 0.6 * stems.top_m * UP, axis=1))
    for target in clumps_m[order]:
        known = np.array(nodes)
        start = _cheapest(known, np.array(runs), target, stems)
        before = known[parents[start]] if parents[start] >= 0 else known[start] - UP
        chain = [start]
        for point in _bow(rng, known[start], target, unit(known[start] - before)):
            runs.append(runs[chain[-1]] + float(np.linalg.norm(point - nodes[chain[-1]])))
            nodes.append(point)
            parents.append(chain[-1])
            chain.append(len(nodes) - 1)
        chains.append(chain)
    radius = _pipes(np.array(parents), stems.radius_m)
    points = np.array(nodes)
    return tuple(_limb(points[chain], radius[chain]) for chain in chains)


def _trunks(
    rng: np.random.Generator, stems: Stems
) -> tuple[list[Array], list[int], list[float], list[list[int]]]:
    nodes: list[Array] = []
    parents: list[int] = []
    runs: list[float] = []
    chains = []
    for stem in range(stems.count):
        turn = stem * 2 * np.pi / stems.count + 0.4
        out = np.array([np.cos(turn), np.sin(turn), 0.0]) * stems.lean_m
        wander = rng.normal(0, 0.012 * stems.top_m, (6, 2)) * np.linspace(0, 1.2, 6)[:, None]
        first = len(nodes)
        for i, share in enumerate(np.linspace(0, 1, 6)):
            point = out * (0.12 + share**0.8) + [wander[i, 0], wander[i, 1], stems.top_m * share]
            nodes.append(point)
            parents.append(first + i - 1 if i else -1)
            runs.append(stems.top_m * float(share))
        chains.append(list(range(first, first + 6)))
    return nodes, parents, runs, chains


def _cheapest(nodes: Array, runs: Array, target: Array, stems: Stems) -> int:
    way = target - nodes
    level = np.linalg.norm(way[:, :2], axis=1)
    falling = np.maximum(stems.least_rise * level - way[:, 2], 0)
    too_low = np.where(nodes[:, 2] < 0.12 * stems.top_m, 2.5 * stems.top_m, 0)
    return int(np.argmin(np.linalg.norm(way, axis=1) + 0.25 * runs + 3 * falling + too_low))


def _bow(rng: np.random.Generator, start: Array, end: Array, heading: Array) -> list[Array]:
    """Three points of a curve that leaves along `heading` and ends at `end`."""
    reach = float(np.linalg.norm(end - start))
    pull = start + unit(0.5 * heading + unit(end - start) + 0.15 * UP) * reach * 0.5
    shares = np.array([1, 2, 3]) / 3
    curve = [(1 - f) ** 2 * start + 2 * f * (1 - f) * pull + f * f * end for f in shares]
    shake = rng.normal(0, 0.018 * reach, (3, 3)) * [[1], [1], [0]]
    return [point + s for point, s in zip(curve, shake, strict=True)]


def _pipes(parents: NDArray[np.int64], trunk_radius_m: float) -> Array:
    carried = np.zeros(len(parents))
    childless = np.ones(len(parents), dtype=bool)
    childless[parents[parents >= 0]] = False
    carried[childless] = 1
    for node in range(len(parents) - 1, -1, -1):  # a child always follows its parent
        if parents[node] >= 0:
            carried[parents[node]] += carried[node]
    pipes: Array = carried ** (1 / PIPE_EXPONENT)
    radius_m: Array = pipes / pipes.max() * trunk_radius_m
    return radius_m


def _limb(line: Array, radius: Array) -> Limb:
    radius = radius.copy()
    if len(line) == 4:
        radius[0] = min(radius[0], 1.15 * radius[1])
        radius[-1], radius[-2] = 0.35 * radius[-1], 0.8 * radius[-2]
    else:
        radius[0] *= 1.25
    return Limb(line, np.maximum(radius, 0.004))


def wood(limbs: tuple[Limb, ...], *, bark: Array, kept: float, inside_from_m: float) -> Quads:
    """The thickest share `kept` of the limbs as tubes; bark darkens above `inside_from_m`."""
    thickness = np.array([limb.radius_m[1] for limb in limbs])
    least, most = np.quantile(thickness, 1 - kept), thickness.max()
    alike: dict[tuple[int, int], list[Limb]] = {}  # limbs of one shape are drawn at once
    for limb, thick in zip(limbs, thickness, strict=True):
        if thick >= least:
            alike.setdefault((len(limb.line_m), _sides(thick, most)), []).append(limb)
    parts = []
    for (points, sides), those in alike.items():
        lines = np.array([limb.line_m for limb in those])
        if kept < 1 and points == 4:
            lines[:, 3] = 0.45 * lines[:, 2] + 0.55 * lines[:, 3]  # no bare tips outside the leaves
        light = np.interp(lines[..., 2], [0, 0.3], [0.55, 0.9])
        if kept < 1:
            light = light * np.interp(lines[..., 2] - inside_from_m, [-0.2, 1.2], [1, 0.55])
        radius = np.array([limb.radius_m for limb in those])
        parts.append(tubes(lines, radius, sides=sides, colour=bark * light[..., None]))
    return join(parts)


def _sides(thick_m: float, trunk_m: float) -> int:
    """Corners of a limb's section: rounder the thicker it is."""
    if trunk_m < 0.03 or thick_m < 0.25 * trunk_m:
        return 3
    return 6 if thick_m > 0.6 * trunk_m else 4
