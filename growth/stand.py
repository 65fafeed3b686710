"""The stand: every plant of the yard, year by year, with its range; and joint draws of it.

Plants of one start share a course, so a stand of a hundred thousand plants holds few
courses and is read by index. One plant's range is that of its own scatter. The range of a
bed, a view or the lot needs plants that vary together: joint draws give plant scores
z = sqrt(b) z_kind + sqrt(1 - b) e_plant, kinds independent of each other.

The share b of the scatter that a kind has in common is that of trees measured in one region:
variance between species over all of it, about 0.36. For other plants, and for species with a
curve of their own (whose site still is common to all), the same share is assumed.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from growth.clipping import FirstClip, first_clips
from growth.courses import Courses, IntArray, forecast, tabulate
from growth.memory import Marks, digest, tokens
from growth.plants import Plant
from growth.ranges import Array, Range
from growth.scatter import between_kinds
from growth.scores import Scores, plain_scores
from growth.starts import LAST_YEAR, Entry, read_entries, start_notes
from scenes.document import Yard
from scenes.layout import Layout

BoolArray = NDArray[np.bool_]
DrawArray = NDArray[np.float32]

YEARS: IntArray = np.arange(LAST_YEAR + 1)

BETWEEN_KINDS = between_kinds()
"""Share of the variance of scores that plants of one kind have in common, see `scatter`."""

DRAWS, LEAST_DRAWS = 256, 16
"""Joint draws of a stand, and of the largest one."""

_PLANTS_TIMES_DRAWS = 2**19


@dataclass(frozen=True)
class Stand:
    """Plants over the years: metres, and vigour, by (year, plant), zero where absent or dead."""

    years: IntArray
    plants: tuple[Plant, ...]
    plant: IntArray
    course: IntArray
    courses: Courses
    xyz_m: Array
    present: BoolArray
    kept: BoolArray
    height_m: Range
    spread_m: Range
    crown_base_m: Range
    vigour: Range
    source: IntArray
    clipping: tuple[FirstClip, ...] = ()
    notes: tuple[str, ...] = ()

    def of(self, plants: IntArray) -> "Stand":
        """Some of its plants, in the order given; what was noted of all of them stays."""
        sizes = (self.height_m, self.spread_m, self.crown_base_m, self.vigour)
        height, spread, base, vigour = (
            Range(*(np.take(end, plants, axis=-1) for end in (size.low, size.expected, size.high)))
            for size in sizes
        )
        return replace(
            self, plant=self.plant[plants], course=self.course[plants], xyz_m=self.xyz_m[plants],
            present=np.take(self.present, plants, axis=-1), kept=self.kept[plants],
            height_m=height, spread_m=spread, crown_base_m=base, vigour=vigour,
            source=self.source[plants],
        )  # fmt: skip


class Room(NamedTuple):
    """The room that each crown takes up: largest height and spread, lowest base, in metres (n,)."""

    height_m: DrawArray
    spread_m: DrawArray
    base_m: DrawArray


@dataclass(frozen=True)
class Draws:
    """Joint draws of a stand: metres by (draw, year, plant), zero where absent."""

    height_m: DrawArray
    spread_m: DrawArray
    crown_base_m: DrawArray
    vigour: DrawArray | None = None
    """Crown density over an undamaged one; None where no plant is damaged."""
    origin: bytes = b""
    """A digest of all that they were drawn from; places of plants are not among it."""
    named: Marks | None = None
    """Numbers of 64 bits of the plants, where they are not told by origin and number alone."""

    @property
    def marks(self) -> Marks:
        """Numbers of 64 bits of what was drawn for each plant, (n,)."""
        if self.named is None:
            return tokens(self.origin, np.arange(self.height_m.shape[-1]))
        return self.named

    @property
    def drawn_from(self) -> bytes:
        """The origin of the draws that these are picked from; else their own."""
        return self.origin

    @property
    def shape(self) -> tuple[int, int, int]:
        """Draws, years and plants."""
        draws, years, plants = self.spread_m.shape
        return draws, years, plants

    @cached_property
    def room(self) -> Room:
        """The room that each plant's crown takes up over all draws and years."""
        base = np.where(self.spread_m > 0, self.crown_base_m, np.float32(np.inf))
        return Room(
            self.height_m.max(axis=(0, 1), initial=0),
            self.spread_m.max(axis=(0, 1), initial=0),
            base.min(axis=(0, 1), initial=np.inf),
        )

    def only(
        self, *, count: int | None = None, years: Sequence[int] | IntArray | None = None
    ) -> "Draws":
        """The first draws of them, and some years."""
        chosen = (slice(count), slice(None) if years is None else np.asarray(years))
        return Draws(
            self.height_m[chosen],
            self.spread_m[chosen],
            self.crown_base_m[chosen],
            None if self.vigour is None else self.vigour[chosen],
            digest(self.origin, count, years),
            tokens(digest(count, years), self.marks),
        )

    def chosen(self, numbers: IntArray) -> "Draws":
        """Some of the draws."""
        return Draws(
            self.height_m[numbers],
            self.spread_m[numbers],
            self.crown_base_m[numbers],
            None if self.vigour is None else self.vigour[numbers],
            digest(self.origin, numbers),
            tokens(digest(numbers), self.marks),
        )

    def of(self, plants: IntArray) -> "Draws":
        """Those of some plants, in the order given."""
        sizes = (self.height_m, self.spread_m, self.crown_base_m)
        height, spread, base = (np.take(size, plants, axis=-1) for size in sizes)
        vigour = None if self.vigour is None else np.take(self.vigour, plants, axis=-1)
        return Draws(
            height, spread, base, vigour, digest(self.origin, "of", plants), self.marks[plants]
        )


def grow(yard: Yard, layout: Layout) -> Stand:
    """The stand of a yard over years 0 to 30, sizes in metres."""
    entries = read_entries(yard, layout.sources)
    starts = list(dict.fromkeys(entry.start for entry in entries))
    plants = tuple(dict.fromkeys(start.plant for start in starts))
    start_number = {start: number for number, start in enumerate(starts)}
    plant_number = {plant: number for number, plant in enumerate(plants)}
    course_of = _index([start_number[entry.start] for entry in entries])
    plant_of = _index([plant_number[entry.start.plant] for entry in entries])
    present = _present(entries)[:, layout.source]
    course = course_of[layout.source]
    sizes = forecast(starts, YEARS)
    return Stand(
        years=YEARS,
        plants=plants,
        plant=plant_of[layout.source],
        course=course,
        courses=tabulate(starts, YEARS),
        xyz_m=layout.xyz_m,
        present=present,
        kept=np.array([entry.start.kept for entry in entries], dtype=bool)[layout.source],
        height_m=_of_plants(sizes.height_m, course, present),
        spread_m=_of_plants(sizes.spread_m, course, present),
        crown_base_m=_of_plants(sizes.crown_base_m, course, present),
        vigour=_of_plants(sizes.vigour, course, present),
        source=layout.source,
        clipping=first_clips(entries, YEARS),
        notes=start_notes(yard, entries),
    )


def draw_count(plants: int) -> int:
    """Joint draws for a stand: fewer where there are many plants, whose scatter evens out."""
    return int(np.clip(_PLANTS_TIMES_DRAWS // max(1, plants), LEAST_DRAWS, DRAWS))


def draw(stand: Stand, *, count: int, seed: int, scores: Scores = plain_scores) -> Draws:
    """Joint draws of all sizes in metres at scores that are plain, even or layered.

    All agree in distribution; for a range, even ones need far fewer draws than plain ones, and
    layered ones somewhat fewer.
    """
    origin = digest(*all_but_places(stand), count, seed, scores.__name__)
    rng = np.random.default_rng(seed)
    kind, single = scores(rng, count, stand)
    score = math.sqrt(BETWEEN_KINDS) * kind[:, stand.plant] + math.sqrt(1 - BETWEEN_KINDS) * single
    courses = stand.courses
    height_m, spread_m, base_m = (
        _interpolated(stand, table, score)
        for table in (courses.height_m, courses.spread_m, courses.crown_base_m)
    )
    if np.all(courses.vigour == 1):
        return Draws(height_m, spread_m, base_m, origin=origin)
    vigour = _interpolated(stand, courses.vigour, score)
    for size_m in (height_m, spread_m, base_m):
        size_m[vigour == 0] = 0
    return Draws(height_m, spread_m, base_m, vigour, origin)


def all_but_places(stand: Stand) -> tuple[object, ...]:
    """What draws, and all that is made of them, may depend on besides where plants stand."""
    courses = stand.courses
    tables = (courses.score, courses.height_m, courses.spread_m, courses.crown_base_m)
    sizes = (stand.height_m, stand.spread_m, stand.crown_base_m, stand.vigour)
    return (
        repr(stand.plants), stand.plant, stand.course, stand.present, stand.kept,
        stand.source, tables, courses.vigour, sizes,
    )  # fmt: skip


def _interpolated(stand: Stand, table: Array, score: Array) -> DrawArray:
    """Sizes in metres at the scores (draw, plant), linear between tabulated ones."""
    grid = stand.courses.score
    place = np.clip((score - grid[0]) / (grid[1] - grid[0]), 0, len(grid) - 1)
    below = np.minimum(place.astype(int), len(grid) - 2)
    share = (place - below).astype(np.float32)
    rows = table.transpose(0, 2, 1).astype(np.float32)
    sizes = np.zeros((len(score), *stand.present.shape), dtype=np.float32)
    for number in range(len(score)):  # one draw at a time keeps the working memory small
        low = rows[below[number], stand.course]
        high = rows[below[number] + 1, stand.course]
        size = low + share[number][:, None] * (high - low)
        sizes[number] = np.where(stand.present, size.T, 0)
    return sizes


def _present(entries: tuple[Entry, ...]) -> BoolArray:
    """Whether plants of each entry stand in each year, (year, entry)."""
    delay = _index([entry.start.delay_years for entry in entries])
    removed = [entry.removed_year for entry in entries]
    end = _index([LAST_YEAR + 1 if year is None else year for year in removed])
    return (YEARS[:, None] >= delay) & (YEARS[:, None] < end)


def _of_plants(courses: Range, course: IntArray, present: BoolArray) -> Range:
    """The range of courses read out for every plant, zero where it is absent."""
    return Range(
        low=np.where(present, courses.low[:, course], 0.0),
        expected=np.where(present, courses.expected[:, course], 0.0),
        high=np.where(present, courses.high[:, course], 0.0),
    )


def _index(values: list[int]) -> IntArray:
    return np.asarray(values, dtype=np.int64)
