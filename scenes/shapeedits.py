"""What edits by hand do to edges, outlines and lines, to views and to spray heads.

Points are numbered from 0, as the corners of a bed are. What goes by the number of a point
goes along with it: sharp corners of a bed, and levels that are given one a point.
"""

import math
from collections.abc import Callable
from typing import Any

from scenes.blocks import parted
from scenes.document import Yard
from scenes.edits import AddPoint, Edited, LookAt, MovePoints, PanelM, RemovePoint, Spray
from scenes.lengths import parse_length_m
from scenes.plantedits import at_m, shift
from scenes.points import SAME_POINT_M, Point
from scenes.tabletext import TableText, table_text, with_tables
from scenes.written import length_told, length_written, list_written, point_written, unit_written

DRAWN = ("edge", "outline", "boundary", "centreline", "line", "along", "curb", "points")
"""The keys under which tables hold points, as they are looked for."""

RINGS = ("edge", "outline", "boundary")


def move_points(text: str, yard: Yard, edit: MovePoints) -> Edited:
    """Some points of an edge, an outline or a line moved."""
    table, key, points = _drawn(text, yard, edit.of)
    east_m, north_m = edit.by_m
    numbers = [_there(number, points) for number in edit.points]
    if _is_closed(table.value(key), points) and 0 in numbers:
        numbers.append(len(points))
    moved = table.changed(
        key, lambda all_: shift(all_, numbers, yard, lambda at: (at[0] + east_m, at[1] + north_m))
    )
    by = length_told(math.hypot(east_m, north_m), unit=yard.lengths)
    what = f"point {edit.points[0]}" if len(edit.points) == 1 else f"{len(edit.points)} points"
    return Edited(
        with_tables(text, edit.of, [moved]), f"Moved {what} of {_name(yard, edit.of)} by {by}"
    )


def add_point(text: str, yard: Yard, edit: AddPoint) -> Edited:
    """A point more, behind another."""
    table, key, points = _drawn(text, yard, edit.of)
    _two_numbers(points)
    after = _there(edit.after, points)
    written = point_written(edit.at_m, unit=yard.lengths, like=points[after])
    more = table.changed(key, lambda all_: all_.insert(after + 1, written))
    more = _with_corners(more, lambda corner: corner + (corner > after))
    levels = table.value("levels")
    if levels and len(levels) == len(points):
        level = _between(yard, key, points, levels, edit)
        more = more.changed("levels", lambda all_: all_.insert(after + 1, level))
    return Edited(with_tables(text, edit.of, [more]), f"Added a point to {_name(yard, edit.of)}")


def remove_point(text: str, yard: Yard, edit: RemovePoint) -> Edited:
    """A point less."""
    table, key, points = _drawn(text, yard, edit.of)
    number = _there(edit.point, points)
    closed = _is_closed(table.value(key), points)

    def drop(all_: Any) -> None:
        if closed and number == 0:
            all_[len(points)] = list(points[1])
        del all_[number]

    less = table.changed(key, drop)
    less = _with_corners(less, lambda c: None if c == number else c - (c > number))
    levels = table.value("levels")
    if levels and len(levels) == len(points):
        less = less.changed("levels", lambda all_: all_.__delitem__(number))
    words = f"Removed point {number} of {_name(yard, edit.of)}"
    return Edited(with_tables(text, edit.of, [less]), words)


def look_at(text: str, yard: Yard, edit: LookAt) -> Edited:
    """A view from elsewhere, or at something else."""
    _only("view", edit.of)
    table, unit = table_text(text, edit.of), yard.lengths
    if edit.eye_m is not None:
        table = _with_eye(table, edit.eye_m, edit.eye, unit)
    if edit.square_to_m is not None:
        line = list_written(point_written(point, unit=unit) for point in edit.square_to_m)
        table = table.with_value("square_to", line, instead_of="eye")
    if edit.eye_height_m is not None:
        old = table.value("eye_height")
        table = table.with_value(
            "eye_height", length_written(edit.eye_height_m, unit=unit, like=old)
        )
    if edit.target is not None:
        table = table.with_value("target", _target(edit.target, table.value("target"), unit))
    parts = {
        "eye": edit.eye_m,
        "line": edit.square_to_m,
        "eye height": edit.eye_height_m,
        "target": edit.target,
    }
    told = " and ".join(key for key, value in parts.items() if value is not None)
    words = f"Changed {told or 'nothing'} of the view {_name(yard, edit.of)}"
    return Edited(with_tables(text, edit.of, [table]), words)


def spray(text: str, yard: Yard, edit: Spray) -> Edited:
    """A spray head that throws otherwise."""
    _only("head", edit.of)
    table = table_text(text, edit.of)
    if edit.throw_m is not None:
        like = table.value("throw")
        table = table.with_value(
            "throw", length_written(edit.throw_m, unit=yard.lengths, like=like)
        )
    if edit.riser_m is not None:
        like = table.value("riser")
        new = length_written(edit.riser_m, unit=yard.lengths, like=like) if like else None
        table = table.with_value("riser", new or unit_written(edit.riser_m, unit=yard.lengths))
    if edit.arc_deg is not None:
        table = table.with_value("arc", [round(angle) for angle in edit.arc_deg])
    parts = {"throw": edit.throw_m, "riser": edit.riser_m, "arc": edit.arc_deg}
    told = " and ".join(key for key, value in parts.items() if value is not None)
    words = f"Changed {told or 'nothing'} of {_name(yard, edit.of)}"
    return Edited(with_tables(text, edit.of, [table]), words)


def _drawn(text: str, yard: Yard, place: str) -> tuple[TableText, str, list[Any]]:
    """A table, the key of its points, and those, without a first one repeated as the last."""
    table = table_text(text, place)
    key = next((key for key in DRAWN if table.value(key)), None)
    if key is None:
        raise ValueError(f"has no points to change; a table with one of {', '.join(DRAWN)} has")
    points = table.value(key)
    ends = [at_m(points[0], yard), at_m(points[-1], yard)]
    closed = key in RINGS and len(points) > 1 and math.dist(*ends) < SAME_POINT_M
    return table, key, points[:-1] if closed else points


def _is_closed(written: list[Any], points: list[Any]) -> bool:
    return len(written) > len(points)


def _there(number: int, points: list[Any]) -> int:
    if number >= len(points):
        raise ValueError(f"has no point {number}; its points are numbered 0 to {len(points) - 1}")
    return number


def _two_numbers(points: list[Any]) -> None:
    if len(points[0]) != 2:
        raise ValueError("has points with levels; write a new one with its level in the document")


def _with_corners(table: TableText, renumbered: Callable[[int], int | None]) -> TableText:
    corners = table.value("corners")
    if not corners:
        return table
    new = [renumbered(corner) for corner in corners]
    kept = [corner for corner in new if corner is not None]
    if kept == corners:
        return table
    return table.with_value("corners", kept) if kept else table.without("corners")


def _between(yard: Yard, key: str, points: list[Any], levels: list[Any], edit: AddPoint) -> Any:
    """The level of a point between two that have theirs, by how far it lies from each.

    Behind the end of a line it is the level of that end.
    """
    after, last = edit.after, len(points) - 1
    following = (0 if key in RINGS else last) if after == last else after + 1
    low, high = (parse_length_m(levels[n], unit=yard.lengths) for n in (after, following))
    before_m = math.dist(at_m(points[after], yard), edit.at_m)
    behind_m = math.dist(at_m(points[following], yard), edit.at_m)
    share = before_m / (before_m + behind_m) if before_m + behind_m else 0.0
    return length_written(low + share * (high - low), unit=yard.lengths, like=levels[after])


def _with_eye(table: TableText, eye_m: Point, number: int | None, unit: str) -> TableText:
    """A view with its eye, or one eye of its walk, elsewhere."""
    old = table.value("eye")
    if not old or not isinstance(old[0], list):
        eye = list_written(point_written(eye_m, unit=unit, like=old or (None, None)))
        return table.with_value("eye", eye, instead_of="square_to")
    if number is None or number >= len(old):
        raise ValueError(f"is a walk; name the eye that moves, 0 to {len(old) - 1}")
    new = point_written(eye_m, unit=unit, like=old[number])

    def move(eyes: Any) -> None:
        eyes[number][0], eyes[number][1] = new

    return table.changed("eye", move)


def _target(target: str | PanelM, old: Any, unit: str) -> Any:
    if isinstance(target, str):
        return target
    was = old if isinstance(old, dict) else {}
    none = (None, None)
    return {
        "from": point_written(target.from_m, unit=unit, like=was.get("from", none)),
        "to": point_written(target.to_m, unit=unit, like=was.get("to", none)),
        "low": length_written(target.low_m, unit=unit, like=was.get("low")),
        "high": length_written(target.high_m, unit=unit, like=was.get("high")),
    }


def _only(name: str, place: str) -> None:
    if parted(place)[0] != name:
        raise ValueError(f'is no {name}; write a place like "{name}[1]"')


def _name(yard: Yard, place: str) -> str:
    name, number = parted(place)
    table = getattr(yard, name)
    named = table[number - 1] if number is not None else table
    return getattr(named, "name", None) or place
