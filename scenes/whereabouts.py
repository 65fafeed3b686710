"""Where the plants of a table stand, as a person with the plan in hand finds them.

The document's own numbers, like `planting[3]`, are for errors about the file and for machines;
whoever reads a forecast is told the table's name, the bed it fills, its row or its places, in
the document's unit and from its zero, as the plan is staked out.
"""

from scenes.blocks import parted
from scenes.document import Kept, Planting, Yard
from scenes.outlines import point_shown
from scenes.points import points_of


def found_at(yard: Yard, place: str) -> str:
    """How to find the plants of a table, like 'in lane bed' or 'at (2.0, 1.5)'."""
    name, number = parted(place)
    table = getattr(yard, name)[(number or 1) - 1]
    named = f'"{table.name}" ' if table.name else ""
    return named + _placed(yard, table)


def all_found_at(yard: Yard) -> dict[str, str]:
    """The same of every table of plants, by its place in the document."""
    places = [f"kept[{n}]" for n in range(1, len(yard.kept) + 1)]
    places += [f"planting[{n}]" for n in range(1, len(yard.planting) + 1)]
    return {place: found_at(yard, place) for place in places}


def _placed(yard: Yard, table: Kept | Planting) -> str:
    if table.fill is not None:
        return f"in {table.fill}"
    if table.along is not None:
        return f"in the row from {point_shown(yard, table.along[0])}"
    points = points_of(table.at)
    shown = [point_shown(yard, point) for point in points[:2]]
    if len(points) > 2:
        return f"at {shown[0]} and {len(points) - 1} places more"
    return f"at {' and '.join(shown)}"
