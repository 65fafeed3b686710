"""What may be asked of a document by hand: each edit is a record of plain values.

Places are tables of the document, like "planting[3]"; plants and points in them are numbered
from 0, plants as `scenes.layout.places_of` numbers them. All lengths are in metres, whatever
the document writes. What an edit does is in `scenes.plantedits` and `scenes.shapeedits`.
"""

from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import Field, ValidationError

from scenes.errors import Mistake, shown
from scenes.mistakes import nearest, place_of
from scenes.tables import Azimuth, Flag, Name, Number, Share, Table, Whole

FARTHEST_M = 10_000.0
"""No yard is drawn farther than this from its zero; a guard against a slip of the hand."""

MOST_TOGETHER = 200

Metres = Annotated[Number, Field(ge=-FARTHEST_M, le=FARTHEST_M)]
SizeM = Annotated[Number, Field(gt=0, le=FARTHEST_M)]
DepthM = Annotated[Number, Field(ge=0, le=FARTHEST_M)]
PointM = tuple[Metres, Metres]
LineM = Annotated[tuple[PointM, ...], Field(min_length=2, max_length=1000)]
Numbers = Annotated[tuple[Annotated[Whole, Field(ge=0)], ...], Field(min_length=1)]
Place = Annotated[str, Field(pattern=r"^[a-z_]+(\[[1-9][0-9]{0,5}\])?$")]


@dataclass(frozen=True)
class Edited:
    """The text of a document after an edit, what was done in words, and what else that means."""

    text: str
    words: str
    notes: tuple[str, ...] = ()


class Move(Table):
    """Plants of a table, or the whole table where none are named, moved by a way in metres."""

    of: Place
    plants: Numbers | None = None
    by_m: PointM


class Mirror(Table):
    """Plants of a planting mirrored across a line: as more plants, or moved where not `copies`."""

    of: Place
    plants: Numbers | None = None
    line_m: tuple[PointM, PointM]
    copies: Flag = True


class CopyAlong(Table):
    """More plants like one of a planting, in a row along a line."""

    of: Place
    plant: Annotated[Whole, Field(ge=0)] = 0
    line_m: LineM
    spacing_m: SizeM


class Sizes(Table):
    """A height and a spread in metres."""

    height_m: SizeM
    spread_m: SizeM


class Plant(Table):
    """A planting more: at points, along a line, or filling a bed."""

    plant: Name | None = None
    mix: dict[Name, Share] | None = None
    name: Name | None = None
    size: str | None = None
    now: Sizes | None = None
    at_m: Annotated[tuple[PointM, ...], Field(min_length=1, max_length=10_000)] | None = None
    along_m: LineM | None = None
    fill: Name | None = None
    spacing_m: SizeM | None = None
    pattern: Literal["square", "triangular"] | None = None
    keep_off_m: DepthM | None = None


class Swap(Table):
    """Another plant or another size for plants of a planting; `instead_of` names one of a mix."""

    of: Place
    plants: Numbers | None = None
    plant: Name | None = None
    size: str | None = None
    instead_of: Name | None = None


class Clip(Table):
    """Plants of a planting clipped to a size, or no longer where none is given."""

    of: Place
    plants: Numbers | None = None
    height_m: SizeM | None = None
    spread_m: SizeM | None = None


class Remove(Table):
    """Plants of a table taken out, or the whole table where none are named."""

    of: Place
    plants: Numbers | None = None


class MovePoints(Table):
    """Points of an edge, an outline or a line moved by a way in metres."""

    of: Place
    points: Numbers
    by_m: PointM


class AddPoint(Table):
    """A point more in an edge, an outline or a line, behind another."""

    of: Place
    after: Annotated[Whole, Field(ge=0)]
    at_m: PointM


class RemovePoint(Table):
    """A point of an edge, an outline or a line taken out."""

    of: Place
    point: Annotated[Whole, Field(ge=0)]


class PanelM(Table):
    """An upright panel: its two ends, and its heights above the ground there, in metres."""

    from_m: PointM
    to_m: PointM
    low_m: DepthM = 0.0
    high_m: SizeM


class LookAt(Table):
    """Where a view looks from, and what at; `eye` is the number of one of a walk."""

    of: Place
    eye_m: PointM | None = None
    eye: Annotated[Whole, Field(ge=0)] | None = None
    square_to_m: tuple[PointM, PointM] | None = None
    eye_height_m: SizeM | None = None
    target: Name | PanelM | None = None


class Spray(Table):
    """What a spray head throws: how far, over which arc, from which riser."""

    of: Place
    throw_m: SizeM | None = None
    arc_deg: tuple[Azimuth, Azimuth] | None = None
    riser_m: SizeM | None = None


class Together(Table):
    """Several edits as one step; each names a table of its own, numbered as before the first."""

    edits: Annotated[tuple[dict[str, Any], ...], Field(min_length=1, max_length=MOST_TOGETHER)]


def asked(models: dict[str, type[Table]], edit: dict[str, Any]) -> tuple[str, Table]:
    """The word of an edit and its record, checked; ValueError "edit.key: wrong; remedy"."""
    do = edit.get("do")
    if not isinstance(do, str) or do not in models:
        close = nearest(do, models, count=1) if isinstance(do, str) else []
        hint = f'did you mean "{close[0]}"?' if close else f"known are {', '.join(models)}"
        raise ValueError(Mistake("edit.do", f"{shown(do)} is not an edit", hint).line(""))
    values = {key: value for key, value in edit.items() if key != "do"}
    try:
        return do, models[do].model_validate(values)
    except ValidationError as error:
        lines = [_line(detail, models[do]) for detail in error.errors(include_url=False)]
        raise ValueError("\n".join(lines)) from None


def _line(detail: Any, model: type[Table]) -> str:
    place = f"edit.{place_of(detail['loc'])}"
    if detail["type"] == "extra_forbidden":
        known = ", ".join(model.model_fields)
        return Mistake(place, "is not known here", f"known are {known}").line("")
    if detail["type"] == "missing":
        return Mistake(place, "is missing", "give it").line("")
    said = f"{shown(detail['input'])} does not fit"
    return Mistake(place, said, f"{detail['msg'][0].lower()}{detail['msg'][1:]}").line("")
