"""Hours of direct sun at single plants, draw by draw; after an edit only what it can have changed.

A plant is looked at from two thirds of its height, its own crown left out. Where plants moved
only those lines towards the sun are looked along anew that may meet one of them, where it stood
or where it stands; what was found along the others is remembered.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from growth.crownrows import crowns_in_rows
from growth.memory import Memory, digest
from growth.shade import Grove, Room, crossed, grove, meetings, room_of_all, sun_lost
from growth.skyline import sun_past_ground_and_built
from growth.stand import Draws, Stand
from growth.sun import SunPath
from scenes.layout import Layout
from scenes.terrain import Terrain

Array = NDArray[np.float64]
Floats = NDArray[np.float32]
IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]

SHARE_OF_HEIGHT = 2 / 3
"""Where the light of a plant is looked at; assumed, about where most of its leaf stands."""

LEVEL_M = 0.25
"""Heights that plants are looked at from, where built things hide the sun, are rounded to this."""

TURNS, OF_TURN = 7, 11
DRAWS = TURNS * OF_TURN
"""Joint draws that are looked at, in turns: the draws of one look towards every seventh direction,
which counts for those near it as well, so that all together look towards all. There are fewer
turns where the draws are too few for them. Ends of the ranges of single spots lie 0.06 to 0.07
of the range's width from those of 500 plain draws in every direction (77 even draws in every
direction 0.05 to 0.06, 32 draws 0.08 to 0.09; three yards)."""

PARTS = 4
"""Parts of a morning, and of an afternoon, that are remembered each by itself."""

BLOCKS_REMEMBERED = 4
"""Of larger stands nothing is remembered."""

NEIGHBOURS_M = 16.0
"""Side of the squares whose spots are worked on together, in a large stand."""

SPOTS_AT_ONCE = 128
"""Spots worked on together, so that a large stand needs no more memory than a small one."""


@dataclass(frozen=True)
class Scene:
    """What light is computed from: the spots' plants (k,), the sun, and years looked at."""

    stand: Stand
    draws: Draws
    path: SunPath
    spots: IntArray
    years: IntArray


@dataclass(frozen=True)
class _Turn:
    """Draws of one turn, and the suns that they look towards."""

    draws: IntArray  # (d,)
    suns: IntArray  # (s,) of the path's, mornings first
    worth: Floats  # (m, s): 1 where a sun of the path counts with one of these, 0 elsewhere
    slot: IntArray  # (s,) the part of the day, of 2 PARTS
    plants: Grove

    def parts(self, crossed: BoolArray, dimmed: BoolArray) -> BoolArray:
        """Parts of the day with a line looked along that is crossed, or with a sun counted that
        is dimmed, of those (k, m), (k, 2 PARTS)."""
        part = np.float32(self.slot[:, None] == np.arange(2 * PARTS))
        looked = crossed[:, self.suns].astype(np.float32) + dimmed.astype(np.float32) @ self.worth
        return np.asarray(looked @ part > 0)


@dataclass(frozen=True)
class _Yard:
    """A scene laid out for looking: the turns of its draws, and what stands without growing."""

    scene: Scene
    terrain: Terrain
    layout: Layout
    turns: tuple[_Turn, ...]
    made_from: bytes  # all but where plants stand, and what stands without growing
    built: bytes  # what stands without growing

    @cached_property
    def room(self) -> Room:
        """What the plants fill at most in any turn."""
        return room_of_all([turn.plants.room for turn in self.turns])


@dataclass(frozen=True)
class _Found:
    """What was found at some spots."""

    spots: IntArray  # (k,) plants
    bright: Array  # (k, Y, m) hours of each sun left by all that does not grow
    lost: tuple[Floats, ...]  # of each turn (k, 2 PARTS, Y d), what crowns take of them


@dataclass(frozen=True)
class _Known:
    """What was found in the round before, and of what."""

    made_from: bytes
    built: bytes
    room: Room
    found: _Found


def sun_hours(scene: Scene, terrain: Terrain, layout: Layout, memory: Memory) -> Array:
    """Hours of sun by draw, looked-at year, spot, and morning or afternoon, (D, Y, k, 2)."""
    made_from = digest(scene.draws.origin, scene.path)
    built = digest(terrain.lattice, terrain.after_m, layout.solids)
    yard = _Yard(scene, terrain, layout, tuple(_turns(scene)), made_from, built)
    known = memory.last("sun at plants")
    known = known if known is not None and known.made_from == made_from else None
    many = len(scene.spots) // SPOTS_AT_ONCE + 1
    order = np.arange(len(scene.spots)) if many <= BLOCKS_REMEMBERED else _together(scene)
    hours = np.empty((len(order), 2, len(scene.years), len(scene.draws.height_m)))
    blocks = []
    for block in np.array_split(order, many):
        found = _looked_at(yard, scene.spots[block], known)
        hours[block] = _left(yard, found)
        blocks += [found] if many <= BLOCKS_REMEMBERED else []
    if blocks:
        memory.keep("sun at plants", _Known(made_from, built, yard.room, _joined(blocks)))
    return hours.transpose(3, 2, 0, 1)


def _joined(blocks: list[_Found]) -> _Found:
    """What was found block by block as one."""
    lost = zip(*(block.lost for block in blocks), strict=True)
    return _Found(
        np.concatenate([block.spots for block in blocks]),
        np.concatenate([block.bright for block in blocks]),
        tuple(np.concatenate(some) for some in lost),
    )


def _looked_at(yard: _Yard, spots: IntArray, known: _Known | None) -> _Found:
    """What is found at some spots, of which only what changed is looked at."""
    towards = yard.scene.path.towards
    here, before = _again(yard, spots, known)
    bright = _bright(yard, spots, here, before if known and known.built == yard.built else None)
    met, dimmed = np.ones((2, len(spots), len(towards)), bool)
    lost = [np.zeros((len(spots), 2 * PARTS, turn.plants.rows), np.float32) for turn in yard.turns]
    if known is not None and before is not None:
        met[here] = crossed(known.room, yard.room, spots[here], towards)
        dimmed[here] = (bright[here] != before.bright).any(axis=1)
        for now, then in zip(lost, before.lost, strict=True):
            now[here] = then
    few = np.flatnonzero((met | dimmed).any(axis=1))
    lines = meetings(yard.room, spots[few], towards)
    for turn, now in zip(yard.turns, lost, strict=True):
        parts = turn.parts(met[few], dimmed[few])
        worth = bright[few].astype(np.float32) @ turn.worth
        anew = sun_lost(turn.plants, lines, worth, turn.slot, suns=turn.suns, wanted=parts)
        now[few] = np.where(parts[..., None], anew, now[few])
    return _Found(spots, bright, tuple(lost))


def _again(yard: _Yard, spots: IntArray, known: _Known | None) -> tuple[IntArray, _Found | None]:
    """Which of some spots were looked at before at the same place, and what was found there."""
    if known is None:
        return np.zeros(0, np.int64), None
    stays = (known.room.foot_m == yard.room.foot_m).all(axis=1)
    was = np.full(len(stays), -1)
    was[known.found.spots] = np.arange(len(known.found.spots))
    here = np.flatnonzero(stays[spots] & (was[spots] >= 0))
    place, found = was[spots[here]], known.found
    lost = tuple(of_turn[place] for of_turn in found.lost)
    return here, _Found(spots[here], found.bright[place], lost)


def _left(yard: _Yard, found: _Found) -> Array:
    """Hours left at k spots of morning and afternoon, (k, 2, Y, D)."""
    path, years = yard.scene.path, yard.scene.years
    open_h = np.stack([found.bright[..., path.half == half].sum(-1) for half in (0, 1)], axis=1)
    hours = np.empty((*open_h.shape, len(yard.scene.draws.height_m)))
    for turn, lost in zip(yard.turns, found.lost, strict=True):
        of_half = lost.reshape(len(lost), 2, PARTS, len(years), -1).sum(axis=2)
        hours[..., turn.draws] = np.clip(open_h[..., None] - of_half, 0, None)
    return hours


def _turns(scene: Scene) -> Iterator[_Turn]:
    """The draws in their turns."""
    path, everyone = scene.path, np.arange(len(scene.stand.plant))
    many = len(scene.draws.height_m)
    turns = int(np.clip(many // OF_TURN, 1, TURNS))
    for turn in range(turns):
        draws = np.arange(turn, many, turns)
        crowns = crowns_in_rows(scene.stand, scene.draws.chosen(draws), everyone)
        plants = grove(crowns, crowns.height_m * np.float32(SHARE_OF_HEIGHT))
        yield _Turn(draws, *_looked_towards(path, turn, turns), plants)


def _looked_towards(path: SunPath, turn: int, turns: int) -> tuple[IntArray, Floats, IntArray]:
    """Suns of one turn, what they stand for, and their part of the day."""
    seen, slot = [], []
    worth = np.zeros((len(path.hours), len(path.hours)), np.float32)
    for half in (0, 1):
        suns = np.flatnonzero(path.half == half)
        suns = suns[np.argsort(np.arctan2(*path.towards[suns, :2].T), kind="stable")]
        mine = suns[turn % max(1, len(suns)) :: turns]
        nearest = (path.towards[suns] @ path.towards[mine].T).argmax(axis=1) if len(mine) else []
        worth[suns, mine[nearest]] = 1
        seen.append(mine)
        slot.append(half * PARTS + np.arange(len(mine)) * PARTS // max(1, len(mine)))
    chosen = np.concatenate(seen)
    return chosen, worth[:, chosen], np.concatenate(slot)


def _together(scene: Scene) -> IntArray:
    """The spots in an order in which neighbours on the ground follow each other, (k,)."""
    column, row = np.floor(scene.stand.xyz_m[scene.spots, :2].T / NEIGHBOURS_M)
    return np.lexsort((row, column))


def _bright(yard: _Yard, spots: IntArray, here: IntArray, before: _Found | None) -> Array:
    """Hours of each direction's sun left by all that does not grow, (k, Y, m): at the spots
    `here` what was found before, if it was."""
    scene = yard.scene
    bright = np.empty((len(spots), len(scene.years), len(scene.path.hours)))
    missing = np.ones(len(spots), bool)
    if before is not None:
        bright[here], missing[here] = before.bright, False
    if not missing.any():
        return bright
    foot = scene.stand.xyz_m[spots[missing]]
    height = scene.stand.height_m.expected[scene.years][:, spots[missing]].T
    level = (np.floor(height * SHARE_OF_HEIGHT / LEVEL_M) + 0.5) * LEVEL_M
    left = _past_ground_and_built(foot, level, scene, yard.terrain, yard.layout)
    bright[missing] = left * scene.path.hours
    return bright


def _past_ground_and_built(
    foot: Array, level: Array, scene: Scene, terrain: Terrain, layout: Layout
) -> Array:
    place = np.broadcast_to(np.arange(len(foot))[:, None], level.shape)
    keys, number = np.unique(
        np.column_stack([place.ravel(), level.ravel()]), axis=0, return_inverse=True
    )
    points = foot[keys[:, 0].astype(int)]
    points[:, 2] += keys[:, 1]
    left = sun_past_ground_and_built(points, scene.path.towards, layout.solids, terrain.height_m)
    return np.asarray(left[number].reshape(*level.shape, -1))
