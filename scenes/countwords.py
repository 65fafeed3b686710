"""The words by which a requirement names a count, and what each is measured in."""

from collections.abc import Iterable, Iterator

from scenes.lengths import METRES

EVERGREEN, OF_ONE_KIND, OF_ONE_GENUS = "evergreen share", "share of one kind", "share of one genus"
PER_100_FT, LOT_LINE = "per 100 ft", "lot line"
GROUPS = {"trees": ("tree", "palm"), "shrubs": ("shrub", "bamboo", "cycad")}
"""Kinds of plant that count as the one or the other."""

CALIPER, TREE_HEIGHT, SHRUB_HEIGHT = (
    "smallest tree caliper", "smallest tree height", "smallest shrub height",
)  # fmt: skip
SIZE_UNITS = {
    CALIPER: {"inches": METRES["in"], "millimetres": METRES["mm"]},
    TREE_HEIGHT: {"feet": METRES["ft"], "metres": METRES["m"]},
    SHRUB_HEIGHT: {"feet": METRES["ft"], "metres": METRES["m"]},
}
"""Of each smallest size at planting, the units it may be asked in, in metres."""


def count_words(beds: Iterable[str]) -> Iterator[str]:
    """All that a count may be of, for a yard with beds of those names."""
    yield from (EVERGREEN, OF_ONE_KIND, OF_ONE_GENUS)
    lines = [LOT_LINE, *beds]
    yield from (per_100_ft(group, line) for group in GROUPS for line in lines)
    yield from (f"{size} in {unit}" for size, units in SIZE_UNITS.items() for unit in units)


def per_100_ft(group: str, line: str) -> str:
    """The words for so many plants of a group along a line."""
    return f"{group} {PER_100_FT} of {line}"


def count_unit(of: str) -> str:
    """What a count is measured in: per 100 ft, a length, or a share."""
    if of.startswith(tuple(SIZE_UNITS)):
        return of.rpartition(" ")[2]
    return PER_100_FT if PER_100_FT in of else "share"
