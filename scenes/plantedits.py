"""What edits by hand do to plants: move, mirror, copy, plant, swap, clip and remove.

A row or a fill has no place for a plant of its own, so the first plant of it that is moved,
taken out or made otherwise turns the whole table into plants at points, every one where it
stood; of a mix each kind then has a table of its own. Moved as a whole, a row stays a row.
Each function gives the new text, what was done in words, and what else that means.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from shapely.geometry import LineString

from scenes.blocks import parted
from scenes.document import Yard
from scenes.edits import Clip, CopyAlong, Edited, Mirror, Move, Plant, Remove, Swap
from scenes.errors import shown
from scenes.layout import places_of
from scenes.lengths import parse_length_m
from scenes.points import SAME_POINT_M, Point
from scenes.spacing import evenly_along
from scenes.tabletext import TableText, new_table, table_text, with_more, with_tables
from scenes.written import length_told, length_written, list_written, point_written

PLANTED = ("planting", "kept")
PLACED = ("at", "along", "fill")
OF_ROWS = ("spacing", "pattern", "keep_off")


@dataclass(frozen=True)
class Group:
    """Plants that get a table of their own: their kind, their points as written, what changes."""

    kind: str
    points: list[Any]
    change: Callable[[TableText], TableText] = lambda table: table


@dataclass(frozen=True)
class Rooted:
    """A table of plants as text, its plants' kinds and places, and its points as written."""

    table: TableText
    kinds: tuple[str, ...]
    xy_m: Any
    points: list[Any]


def move(text: str, yard: Yard, edit: Move) -> Edited:
    """Plants, a whole table of them, or one thing that stands at a point, moved."""
    east_m, north_m = edit.by_m
    by = length_told(float(np.hypot(east_m, north_m)), unit=yard.lengths)
    new, notes = _placed(text, yard, edit, lambda at: (at[0] + east_m, at[1] + north_m))
    return Edited(new, f"Moved {_named(yard, edit.of, edit.plants)} by {by}", notes)


def mirror(text: str, yard: Yard, edit: Mirror) -> Edited:
    """Plants mirrored across a line: the same ones, or as many more."""
    across = _mirrored(*edit.line_m)
    named = _named(yard, edit.of, edit.plants)
    if not edit.copies:
        new, notes = _placed(text, yard, edit, across)
        return Edited(new, f"Mirrored {named}", notes)
    _only_plantings(edit.of)
    rooted = _rooted(text, yard, edit.of)
    chosen = _chosen(rooted, edit.plants)
    along = rooted.table.value("along")
    if edit.plants is None and along:
        line = [_rewritten(point, yard, across) for point in along]
        more = [rooted.table.bare_header().with_value("along", list_written(line))]
    else:
        points = {n: _rewritten(rooted.points[n], yard, across) for n in chosen}
        more = regrouped(rooted.table.bare_header(), _by_kind(rooted, points))
    for table in more:
        text = with_more(text, table.without("name"))
    return Edited(text, f"Copied {named} across a line")


def copy_along(text: str, yard: Yard, edit: CopyAlong) -> Edited:
    """A row of plants like one that is there."""
    _only_plantings(edit.of)
    rooted = _rooted(text, yard, edit.of)
    (number,) = _chosen(rooted, (edit.plant,))
    line = list_written(point_written(point, unit=yard.lengths) for point in edit.line_m)
    placed = next(key for key in PLACED if rooted.table.has(key))
    row = rooted.table.bare_header().without("name", *OF_ROWS)
    row = row.with_value("along", line, instead_of=placed)
    row = row.with_value("spacing", length_written(edit.spacing_m, unit=yard.lengths))
    if row.has("mix"):
        row = row.with_value("plant", rooted.kinds[number], instead_of="mix")
    return Edited(with_more(text, row), f"Copied {rooted.kinds[number]} along a line")


def plant(text: str, yard: Yard, edit: Plant) -> Edited:
    """A planting more."""
    unit = yard.lengths
    values: dict[str, Any] = {
        "plant": edit.plant,
        "name": edit.name,
        "size": edit.size,
        "now": edit.now and {
            "height": length_written(edit.now.height_m, unit=unit),
            "spread": length_written(edit.now.spread_m, unit=unit),
        },
        "at": edit.at_m and list_written(point_written(at, unit=unit) for at in edit.at_m),
        "along": edit.along_m and list_written(point_written(at, unit=unit) for at in edit.along_m),
        "fill": edit.fill,
        "spacing": edit.spacing_m and length_written(edit.spacing_m, unit=unit),
        "pattern": edit.pattern,
        "keep_off": edit.keep_off_m and length_written(edit.keep_off_m, unit=unit),
        "mix": edit.mix,
    }  # fmt: skip
    table = new_table(text, "planting", {key: value for key, value in values.items() if value})
    what = edit.plant or " and ".join(edit.mix or {})
    where = f"in {edit.fill}" if edit.fill else "in a row" if edit.along_m else ""
    number = len(edit.at_m or ()) or _in_row(yard, edit)
    count = f"{number} " if number > 1 else ""
    return Edited(with_more(text, table), f"Planted {count}{what} {where}".strip())


def _in_row(yard: Yard, edit: Plant) -> int:
    """How many plants a row has as it is written; 0 where it is none."""
    if edit.along_m is None or edit.spacing_m is None:
        return 0
    line = [at_m(point_written(at, unit=yard.lengths), yard) for at in edit.along_m]
    spacing = length_written(edit.spacing_m, unit=yard.lengths)
    return len(evenly_along(LineString(line), parse_length_m(spacing, unit=yard.lengths)))


def swap(text: str, yard: Yard, edit: Swap) -> Edited:
    """Another plant, or another size, for some or all plants of a table."""
    if (edit.plant, edit.size) == (None, None):
        raise ValueError("neither plant nor size is given; give one of them, or both")
    if edit.size is not None:
        _only_plantings(edit.of)

    def change(table: TableText) -> TableText:
        if edit.plant is not None:
            table = _other_plant(table, yard, edit)
        if edit.size is not None:
            table = table.with_value("size", edit.size, instead_of="now")
        return table

    new, notes = _changed(text, yard, edit, change)
    to = " ".join(part for part in (edit.plant, edit.size) if part)
    named = edit.instead_of or _named(yard, edit.of, edit.plants)
    return Edited(new, f"Swapped {named} for {to}", notes)


def clip(text: str, yard: Yard, edit: Clip) -> Edited:
    """Plants kept at a size, or left to grow."""
    _only_plantings(edit.of)
    sizes = {"height": edit.height_m, "spread": edit.spread_m}
    given = {key: size_m for key, size_m in sizes.items() if size_m is not None}

    def change(table: TableText) -> TableText:
        if not given:
            return table.without("kept_at")
        old = table.value("kept_at") or {}
        written = {
            key: length_written(size_m, unit=yard.lengths, like=old.get(key))
            for key, size_m in given.items()
        }
        return table.with_value("kept_at", written)

    new, notes = _changed(text, yard, edit, change)
    named = _named(yard, edit.of, edit.plants)
    words = {"height": "high", "spread": "wide"}
    told = [
        f"{length_told(size_m, unit=yard.lengths)} {words[key]}" for key, size_m in given.items()
    ]
    return Edited(new, f"Clipped {named} to {' and '.join(told)}" if told
                  else f"Left {named} to grow", notes)  # fmt: skip


def remove(text: str, yard: Yard, edit: Remove) -> Edited:
    """Plants taken out, or a whole table."""
    if parted(edit.of)[1] is None:
        raise ValueError('is no table of many; name one like "planting[3]"')
    words = f"Removed {_named(yard, edit.of, edit.plants)}"
    if edit.plants is None:
        return Edited(with_tables(text, edit.of, []), words)
    rooted = _rooted(text, yard, edit.of)
    gone = set(_chosen(rooted, edit.plants))
    left = {n: point for n, point in enumerate(rooted.points) if n not in gone}
    if not left:
        return Edited(with_tables(text, edit.of, []), words)
    if rooted.table.has("at") and not rooted.table.has("mix"):

        def drop(at: Any) -> None:
            for n in sorted(gone, reverse=True):
                del at[n]

        return Edited(with_tables(text, edit.of, [rooted.table.changed("at", drop)]), words)
    tables = regrouped(rooted.table, _by_kind(rooted, left))
    return Edited(with_tables(text, edit.of, tables), words, _loosened(rooted, edit.of, tables))


def regrouped(table: TableText, groups: Sequence[Group]) -> list[TableText]:
    """A table as one a group, each with its plants at points; the first keeps the comments."""
    tables = []
    placed = next(key for key in PLACED if table.has(key))
    for number, group in enumerate(groups):
        one = table if number == 0 else table.bare_header()
        if one.has("mix"):
            one = one.with_value("plant", group.kind, instead_of="mix")
        one = one.without(*OF_ROWS).with_value("at", list_written(group.points), instead_of=placed)
        tables.append(group.change(one))
    return tables


def shift(points: Any, numbers: Sequence[int], yard: Yard, where: Callable[[Point], Point]) -> None:
    """Some points of a list of the text put elsewhere, each number in its own style."""
    for number in numbers:
        x, y, *_ = _rewritten(points[number], yard, where)
        points[number][0], points[number][1] = x, y


def at_m(point: Sequence[Any], yard: Yard) -> Point:
    """A point as written, in metres."""
    x, y = (parse_length_m(value, unit=yard.lengths) for value in point[:2])
    return x, y


def _rewritten(point: Sequence[Any], yard: Yard, where: Callable[[Point], Point]) -> list[Any]:
    new = where(at_m(point, yard))
    return [*point_written(new, unit=yard.lengths, like=point[:2]), *point[2:]]


def _placed(
    text: str, yard: Yard, edit: Move | Mirror, where: Callable[[Point], Point]
) -> tuple[str, tuple[str, ...]]:
    """The text with plants, or all of a table, put where a function says."""
    table = table_text(text, edit.of)
    if edit.plants is None:
        return with_tables(text, edit.of, [_all_placed(table, yard, where)]), ()
    rooted = _rooted(text, yard, edit.of)
    chosen = _chosen(rooted, edit.plants)
    if table.has("at") and not table.has("mix"):
        one = not isinstance(table.value("at")[0], list)
        moved = table.changed("at", lambda at: shift([at] if one else at, chosen, yard, where))
        return with_tables(text, edit.of, [moved]), ()
    points = dict(enumerate(rooted.points))
    for n in chosen:
        x, y = rooted.xy_m[n].tolist()
        points[n] = point_written(where((x, y)), unit=yard.lengths)
    tables = regrouped(table, _by_kind(rooted, points))
    return with_tables(text, edit.of, tables), _loosened(rooted, edit.of, tables)


def _all_placed(table: TableText, yard: Yard, where: Callable[[Point], Point]) -> TableText:
    key = next((key for key in ("at", "along") if table.value(key)), None)
    if key is None:
        raise ValueError("has no points of its own to move; move those of its bed, or one plant")
    one = not isinstance(table.value(key)[0], list)

    def change(points: Any) -> None:
        listed = [points] if one else points
        shift(listed, range(len(listed)), yard, where)

    return table.changed(key, change)


def _changed(
    text: str, yard: Yard, edit: Swap | Clip, change: Callable[[TableText], TableText]
) -> tuple[str, tuple[str, ...]]:
    """The text with some plants of a table changed, in tables of their own, or the whole table."""
    table = table_text(text, edit.of)
    rooted = _rooted(text, yard, edit.of) if edit.plants is not None else None
    chosen = _chosen(rooted, edit.plants) if rooted else ()
    if rooted is None or (len(chosen) == len(rooted.points) and not table.has("mix")):
        return with_tables(text, edit.of, [change(table)]), ()
    every = dict(enumerate(rooted.points))
    rest = _by_kind(rooted, {n: point for n, point in every.items() if n not in chosen})
    mine = _by_kind(rooted, {n: every[n] for n in chosen})
    tables = regrouped(table, [*rest, *(Group(g.kind, g.points, change) for g in mine)])
    return with_tables(text, edit.of, tables), _loosened(rooted, edit.of, tables)


def _other_plant(table: TableText, yard: Yard, edit: Swap) -> TableText:
    assert edit.plant is not None
    if not table.has("mix"):
        return table.with_value("plant", edit.plant)
    mix = yard.planting[(parted(edit.of)[1] or 1) - 1].mix or {}
    if edit.instead_of not in mix:
        known = ", ".join(mix)
        raise ValueError(f"is a mix; name the plant to swap in instead_of: one of {known}")
    shares: dict[str, float] = {}
    for name, share in mix.items():
        name = edit.plant if name == edit.instead_of else name
        shares[name] = round(shares.get(name, 0.0) + share, 6)
    return table.with_value("mix", shares)


def _rooted(text: str, yard: Yard, place: str) -> Rooted:
    """A table of plants; ValueError where the place is another table."""
    name, _ = parted(place)
    if name not in PLANTED:
        raise ValueError('holds no plants; name a table like "planting[3]" or "kept[1]"')
    table = table_text(text, place)
    kinds, xy_m = places_of(yard, place)
    at = table.value("at")
    if at is None or table.has("mix"):
        points = [point_written(tuple(xy), unit=yard.lengths) for xy in xy_m.tolist()]
    else:
        points = at if isinstance(at[0], list) else [at]
    return Rooted(table, kinds, xy_m, points)


def _chosen(rooted: Rooted, plants: tuple[int, ...] | None) -> tuple[int, ...]:
    count = len(rooted.points)
    if plants is None:
        return tuple(range(count))
    for number in plants:
        if number >= count:
            raise ValueError(f"has no plant {number}; its plants are numbered 0 to {count - 1}")
    return tuple(sorted(set(plants)))


def _by_kind(rooted: Rooted, points: dict[int, Any]) -> list[Group]:
    kinds = dict.fromkeys(rooted.kinds[n] for n in points)
    return [Group(k, [p for n, p in points.items() if rooted.kinds[n] == k]) for k in kinds]


def _loosened(rooted: Rooted, place: str, tables: Sequence[TableText]) -> tuple[str, ...]:
    """What it means that plants of a row, a fill or a mix now stand at points."""
    notes = []
    if not rooted.table.has("at"):
        what = "row" if rooted.table.has("along") else "fill"
        count = len(rooted.points)
        notes.append(
            f"{place} was a {what} of {count}; its plants now stand at points of their own"
        )
    if len(tables) > 1:
        notes.append(f"{place} is {len(tables)} tables now; later ones have higher numbers")
    return tuple(notes)


def _mirrored(start: Point, end: Point) -> Callable[[Point], Point]:
    along = np.subtract(end, start)
    length_m = float(np.hypot(*along))
    if length_m < SAME_POINT_M:
        raise ValueError("the line to mirror across has no length; give two points")

    def across(at: Point) -> Point:
        way = np.subtract(at, start)
        foot = np.add(start, along * (way @ along) / length_m**2)
        x, y = (2 * foot - at).tolist()
        return x, y

    return across


def _only_plantings(place: str) -> None:
    if parted(place)[0] != "planting":
        raise ValueError('is not planted by this plan; name a table like "planting[3]"')


def _named(yard: Yard, place: str, plants: tuple[int, ...] | None) -> str:
    """What an edit is about, as a reader of the document calls it."""
    name, number = parted(place)
    tables = getattr(yard, name, None)
    if number is None or not isinstance(tables, tuple) or number > len(tables):
        raise ValueError(f"is not there; the document has {_count(tables)} of them")
    table = tables[number - 1]
    if name not in PLANTED:
        return f"{getattr(table, 'name', None) or name}"
    what = table.plant or " and ".join(getattr(table, "mix", None) or {})
    kinds, _ = places_of(yard, place)
    if plants is None and len(kinds) > 1:
        return f"all of {name} {number} ({what})"
    if plants is not None and len(plants) > 1:
        return f"{len(plants)} plants of {name} {number}"
    nth = plants[0] if plants else 0
    return f"{kinds[nth] if nth < len(kinds) else shown(what)} in {name} {number}"


def _count(tables: object) -> int:
    return len(tables) if isinstance(tables, tuple) else 0
