"""Joint draws of some plants of a stand, one of which may be lost: looked at, not copied.

The sizes of two thousand plants are 60 MB; what is asked of a yard that loses one plant is
found from the few plants beside it. So only those asked for are copied.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from growth.memory import digest, tokens
from growth.stand import DrawArray, Draws, Room

IntArray = NDArray[np.int64]
Sizes = NDArray[Any]


@dataclass(frozen=True)
class Loss:
    """A plant, by its place among those picked, that is lost."""

    plant: int
    year: int
    again_from: int | None
    """The year in which it was set: from the year after the loss on, one of the first size grows
    in its place as it did from then on; None where nobody sets one."""

    def moved_on(self, sizes: Sizes, *, axis: int) -> Sizes:
        """Sizes of that plant, years along an axis, as they are with the loss; a copy."""
        before = np.moveaxis(sizes, axis, 0)
        after = before.copy()
        after[self.year :] = 0
        if self.again_from is not None:
            again = after[self.year + 1 :]
            grown = before[self.again_from : self.again_from + len(again)]
            again[: len(grown)] = grown
        return np.moveaxis(after, 0, axis)


class Picked(Draws):
    """Draws of some plants of others, in the order given, and with a loss if there is one."""

    _all_of: Draws
    _plants: IntArray
    _loss: Loss | None

    def __init__(self, all_of: Draws, plants: IntArray, loss: Loss | None = None):
        """Nothing is copied yet."""
        origin, marks = digest(all_of.origin, "of", plants), all_of.marks[plants]
        if loss is not None:
            origin = digest(origin, "lost", loss)
            lost = marks[[loss.plant]]
            marks[loss.plant] = tokens(digest("lost", loss.year, loss.again_from), lost)[0]
        self.__dict__.update(  # a frozen record has no other way
            _all_of=all_of, _plants=plants, _loss=loss, origin=origin, named=marks
        )

    def of(self, plants: IntArray) -> Draws:
        """Those of some of the plants, in the order given, copied."""
        found = self._all_of.of(self._plants[plants])
        if self._loss is not None:
            here = np.flatnonzero(plants == self._loss.plant)
            for size in (found.height_m, found.spread_m, found.crown_base_m, found.vigour):
                if size is not None:
                    size[:, :, here] = self._loss.moved_on(size[:, :, here], axis=1)
        return Draws(
            found.height_m, found.spread_m, found.crown_base_m, found.vigour,
            digest(self.origin, "of", plants), self.marks[plants],
        )  # fmt: skip

    @property
    def drawn_from(self) -> bytes:
        """The origin of the draws that these are picked from."""
        return self._all_of.drawn_from

    @property
    def shape(self) -> tuple[int, int, int]:
        """Draws, years and plants."""
        return *self._all_of.shape[:2], len(self._plants)

    @cached_property
    def room(self) -> Room:
        """The room that each plant's crown takes up over all draws and years."""
        room = Room(*(size[self._plants] for size in self._all_of.room))
        if self._loss is not None:
            plant = np.array([self._loss.plant])
            for size, lost in zip(room, self.of(plant).room, strict=True):
                size[plant] = lost
        return room

    def _copied(self) -> Draws:
        return self.of(np.arange(len(self._plants)))

    @property
    def height_m(self) -> DrawArray:
        """Heights in metres (draw, year, plant), copied each time."""
        return self._copied().height_m

    @property
    def spread_m(self) -> DrawArray:
        """Spreads in metres (draw, year, plant), copied each time."""
        return self._copied().spread_m

    @property
    def crown_base_m(self) -> DrawArray:
        """Heights of the crown bases in metres (draw, year, plant), copied each time."""
        return self._copied().crown_base_m

    @property
    def vigour(self) -> DrawArray | None:
        """Crown density over an undamaged one, copied; None where no plant is damaged."""
        return None if self._all_of.vigour is None else self._copied().vigour
