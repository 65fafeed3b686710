"""The surface of a LandXML 1.2 file: its points, and its triangles as given.

A `Pnts` list holds points as northing, easting, level, each with an id; `Faces` holds three
or more ids a face, and a face marked i="1" is invisible: no ground. The unit is the file's.
Breaklines and contours of the source data are left out, for the triangles already keep to
them. XML with a DTD is refused, so that no entity can be declared.

Source: LandXML-1.2 schema (LandXML.org): Units, Surface, Definition, Pnts, P, Faces, F.
"""

from collections.abc import Iterator
from xml.etree.ElementTree import Element, ParseError

import numpy as np
from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import fromstring

from scenes.columns import is_number
from scenes.document import Yard
from scenes.errors import Mistake, mistake_of, scene_error, shown
from scenes.lattice import IntArray
from scenes.shots import MOST_POINTS, Shots, too_many

UNITS = {
    "millimeter": "mm", "centimeter": "cm", "meter": "m",
    "foot": "ft", "inch": "in", "ussurveyfoot": "us-ft",
}  # fmt: skip
"""`linearUnit` of the file, in small letters, to our name of it."""


def shots_of_landxml(data: bytes, place: str, *, yard: Yard) -> Shots:
    """The points and triangles of the file's surface; SceneError if it is wrong."""
    file = yard.path.name
    try:
        root = _parsed(data)
        unit = _unit(root)
        surface = _surface(root, yard.ground.surface)
    except ValueError as error:
        raise scene_error(file, [mistake_of(error, place)]) from None
    points = [point for pnts in _all(surface, "Pnts") for point in _all(pnts, "P")]
    if len(points) > MOST_POINTS:
        raise scene_error(file, [too_many(place, f"{len(points):,} points")])
    ids = {point.get("id", ""): row for row, point in enumerate(points)}
    faces = [face for face in _all(surface, "F") if face.get("i") != "1"]
    if mistakes := [*_wrong_points(points, ids, place), *_wrong_faces(faces, ids, place)]:
        raise scene_error(file, mistakes)
    xyz = np.array([_values(point)[:3] for point in points], dtype=float)[:, [1, 0, 2]]
    places = [f"{place} point {point.get('id')}" for point in points]
    return Shots(xyz, places, faces=_triangles(faces, ids), unit=unit)


def _parsed(data: bytes) -> Element:
    try:
        root: Element = fromstring(data, forbid_dtd=True)
    except DefusedXmlException:
        raise ValueError("declares a DTD; remove the DOCTYPE, LandXML needs none") from None
    except ParseError as error:
        raise ValueError(f"is not XML ({error}); export it anew") from None
    except (LookupError, ValueError):
        raise ValueError("is in an unknown encoding; save it as UTF-8") from None
    if _local(root) != "LandXML":
        raise ValueError(f"holds {shown(_local(root))}; name a LandXML file")
    return root


def _unit(root: Element) -> str:
    written = {kind.get("linearUnit", "") for units in _all(root, "Units") for kind in units}
    known = {UNITS.get(unit.lower()) for unit in written}
    if len(known) != 1 or None in known:
        names = ", ".join(sorted(written)) or "none"
        raise ValueError(f"has the linearUnit {shown(names)}; write one, like meter or foot")
    return str(known.pop())


def _surface(root: Element, name: str | None) -> Element:
    """The surface of that name, or the only one; ValueError "wrong; remedy"."""
    surfaces = {surface.get("name", ""): surface for surface in _all(root, "Surface")}
    names = ", ".join(shown(name) for name in list(surfaces)[:5])
    if not surfaces:
        raise ValueError("holds no Surface; export the surface's points and faces")
    if name is None and len(surfaces) > 1:
        raise ValueError(f"holds the surfaces {names}; choose one as ground.surface = ...")
    if name is not None and name not in surfaces:
        raise ValueError(f"holds no surface {shown(name)}; correct ground.surface: {names}")
    return surfaces[name] if name is not None else next(iter(surfaces.values()))


def _wrong_points(points: list[Element], ids: dict[str, int], place: str) -> Iterator[Mistake]:
    if len(ids) < len(points):
        yield Mistake(place, "two points have one id", "give each P an id of its own")
    if not points:
        yield Mistake(place, "the surface has no points", "export its Definition with Pnts")
    for point in points:
        values = _values(point)
        if len(values) < 3 or not all(map(is_number, values[:3])):
            wrong = f"{shown(' '.join(values))} is not northing, easting, level"
            yield Mistake(f"{place} point {point.get('id')}", wrong, "write three finite numbers")


def _wrong_faces(faces: list[Element], ids: dict[str, int], place: str) -> Iterator[Mistake]:
    if not faces:
        yield Mistake(place, "the surface has no faces", "export its Definition with Faces")
    for number, face in enumerate(faces, 1):
        values = _values(face)
        missing = [value for value in values if value not in ids]
        if missing:
            wrong = f"there is no point {shown(missing[0])}"
            yield Mistake(f"{place} face {number}", wrong, "write ids of the surface's points")
        elif len(values) not in (3, 4):
            yield Mistake(f"{place} face {number}", f"has {len(values)} points", "write 3 or 4")


def _triangles(faces: list[Element], ids: dict[str, int]) -> IntArray:
    corners = [[ids[value] for value in _values(face)] for face in faces]
    fans = [(c[0], c[k], c[k + 1]) for c in corners for k in range(1, len(c) - 1)]
    return np.array(fans, dtype=np.int64)


def _values(element: Element) -> list[str]:
    return (element.text or "").split()


def _all(root: Element, name: str) -> Iterator[Element]:
    """Elements of a name at any depth, whatever their namespace."""
    return (element for element in root.iter() if _local(element) == name)


def _local(element: Element) -> str:
    return str(element.tag).rpartition("}")[2]
