"""Drivers' sight triangles on the ground: where they lie, their band of heights, their rule.

Of a drive, one triangle lies on each side of it: the first leg runs along the curb, the second
square to it into the lot. Where two streets meet within the legs there is one triangle, with
a leg along each. Without a street the nearest edge of the lot stands for the curb. Heights
are above the curb at its nearest point, never above the planted ground. sightrules.csv holds
local examples, not the law; what the document writes goes before the rule it names.
"""

import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import shapely
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from scenes.document import SightTriangle, Yard
from scenes.errors import Mistake, shown
from scenes.lattice import Array
from scenes.lengths import METRES
from scenes.mistakes import nearest

TABLE = Path(__file__).with_name("sightrules.csv")
FOOT_M = METRES["ft"]
MPH_PER_KMH = 1 / 1.609344
LEAST_TURN = 0.35
"""Sine of the angle from which on two curbs make a corner: about 20 degrees; no outside source."""


@dataclass(frozen=True)
class SightRule:
    """A local rule: its place, legs (street, other) and band of heights in metres, its source."""

    place: str
    legs_m: tuple[float, float]
    band_m: tuple[float, float]
    source: str


@dataclass(frozen=True)
class SightShape:
    """A sight triangle in plan, the curb its heights count from, and the street's speed."""

    name: str
    area: BaseGeometry
    curb: LineString
    band_m: tuple[float, float]
    rule: str
    source: str
    speed_mph: float | None


@cache
def sight_rules() -> dict[str, SightRule]:
    """The rules of sightrules.csv by name."""
    with TABLE.open(newline="", encoding="utf-8") as file:
        return {row["rule"]: _rule(row) for row in csv.DictReader(file)}


def _rule(row: dict[str, str]) -> SightRule:
    legs, band = (
        (float(row[first]) * FOOT_M, float(row[second]) * FOOT_M)
        for first, second in (("street_leg_ft", "other_leg_ft"), ("low_ft", "high_ft"))
    )
    return SightRule(row["place"], legs, band, f"{row['place']}: {row['source']} ({row['date']})")


def speed_mph(text: str) -> float | None:
    """Miles per hour from '25 mph' or '40 km/h'; None where it is neither."""
    found = re.fullmatch(r"\s*(\d{1,3}(?:\.\d+)?)\s*(mph|km/h)\s*", text)
    if found is None:
        return None
    return float(found[1]) * (1 if found[2] == "mph" else MPH_PER_KMH)


def sights_known(yard: Yard) -> Iterator[Mistake]:
    """Sights without legs or band and without a known rule; speeds that cannot be read."""
    for number, sight in enumerate(yard.sight, 1):
        missing = [key for key in ("legs", "band") if getattr(sight, key) is None]
        if not missing or sight.rule in sight_rules():
            continue
        if sight.rule is None:
            wrong, remedy = f"{' and '.join(missing)} not written", "write them, or name a rule"
        else:
            close = nearest(sight.rule, sight_rules()) or list(sight_rules())
            wrong = f"{shown(sight.rule)} is not a rule we know"
            remedy = f"write legs and band, or one of {', '.join(map(shown, close))}"
        yield Mistake(f"sight[{number}]", wrong, remedy)
    for number, street in enumerate(yard.street, 1):
        if street.speed is not None and speed_mph(street.speed) is None:
            wrong = f"{shown(street.speed)} is not a speed"
            yield Mistake(f"street[{number}].speed", wrong, 'write it like "25 mph" or "40 km/h"')


def sight_shapes(yard: Yard) -> tuple[SightShape, ...]:
    """The sight triangles of a yard in the document's order."""
    return tuple(_shape(yard, sight) for sight in yard.sight)


def _shape(yard: Yard, sight: SightTriangle) -> SightShape:
    rule = sight_rules().get(sight.rule or "")
    legs_m = sight.legs or (rule.legs_m if rule else (0.0, 0.0))
    band_m = sight.band or (rule.band_m if rule else (0.0, 0.0))
    at, middle = Point(sight.at), Polygon(yard.site.boundary).centroid
    streets = sorted(yard.street, key=lambda street: at.distance(LineString(street.curb)))
    curbs = [LineString(street.curb) for street in streets]
    curbs = curbs or [Polygon(yard.site.boundary).exterior]
    along = _direction(curbs[0], at)
    corner = _corner(curbs, at, along, max(legs_m))
    inwards = np.array([middle.x - at.x, middle.y - at.y])
    square = np.array([-along[1], along[0]]) if corner is None else corner
    square = square * (1 if square @ inwards >= 0 else -1)
    both = (1, -1) if corner is None else (1 if along @ inwards >= 0 else -1,)
    foot = np.array(sight.at)
    sides = [
        Polygon([foot, foot + sign * legs_m[0] * along, foot + legs_m[1] * square]) for sign in both
    ]
    speed = streets[0].speed if streets else None
    return SightShape(
        name=sight.name,
        area=shapely.union_all(sides),
        curb=LineString(curbs[0].coords),
        band_m=band_m,
        rule=sight.rule or "",
        source=rule.source if rule else "legs and band as written in the document",
        speed_mph=speed_mph(speed) if speed else None,
    )


def _corner(curbs: list[LineString], at: Point, along: Array, reach_m: float) -> Array | None:
    """Direction of a second curb within reach that runs another way; None where there is none."""
    for curb in curbs[1:]:
        other = _direction(curb, at)
        turn = abs(float(along[0] * other[1] - along[1] * other[0]))
        if turn > LEAST_TURN and curb.distance(at) <= reach_m:
            return other
    return None


def _direction(line: LineString, at: Point) -> Array:
    """Unit vector of the piece of a line nearest to a point."""
    pieces = [LineString(ends) for ends in pairwise(line.coords)]
    start, end = np.array(min(pieces, key=at.distance).coords)
    return np.asarray((end - start) / np.linalg.norm(end - start))
