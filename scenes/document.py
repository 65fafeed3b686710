"""The yard as a document: every table and key of the TOML file, checked, in metres and degrees.

Field names are the keys of the document. A table whose computation is not built yet parses
all the same. Rules that need several tables at once (a target that exists, a planting inside
the boundary) are in `scenes.rules`; reading and error lines are in `scenes.reading`.
"""

from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BaseModel, Discriminator, Field, PrivateAttr, Tag

from scenes.columns import CodeWord, ColumnWords
from scenes.groundtables import Drain, Limit, Quantities, Roots, Trench
from scenes.lengths import Area, Depth, InchSize, Length, Size, Volume
from scenes.points import Line, Outline, Point, PointOrPoints, Points, Spot, SurveySpot
from scenes.tables import (
    Azimuth,
    Day,
    Flag,
    Name,
    Number,
    Percent,
    RunToRise,
    Share,
    Table,
    Whole,
    YearNumber,
)


def _pair_written(value: Any) -> str:
    return "<pair>" if isinstance(value, list | tuple) else "<one>"


def _target_written(value: Any) -> str:
    return "<panel>" if isinstance(value, dict | BaseModel) else "<name>"


Batter = Annotated[
    Annotated[RunToRise, Tag("<one>")] | Annotated[tuple[RunToRise, RunToRise], Tag("<pair>")],
    Discriminator(_pair_written),
]
"""Run to rise of both kinds of side, or of cut then fill."""

SeeThrough = Annotated[
    Annotated[Share, Tag("<one>")] | Annotated[tuple[Share, Share], Tag("<pair>")],
    Discriminator(_pair_written),
]
"""Share of sky seen through the crown all year, or in leaf then bare."""
LengthUnit = Literal["m", "cm", "mm", "ft", "in", "yd", "us-ft"]
PlantKind = Literal[
    "tree", "shrub", "groundcover", "grass", "perennial",
    "palm", "cycad", "fern", "vine", "bamboo",
]  # fmt: skip
Rate = Literal["slow", "moderate", "fast"]
Leaf = Literal["evergreen", "deciduous", "semi-evergreen"]


class Site(Table):
    """Where the yard is and how far it reaches."""

    boundary: Outline
    place: str | None = None
    latitude_deg: Annotated[Number, Field(ge=-90, le=90)] | None = None
    longitude_deg: Annotated[Number, Field(ge=-180, le=180)] | None = None
    north_deg: Azimuth = 0.0
    hardiness_zone: Annotated[Whole, Field(ge=1, le=13)] | None = None
    soil: str | None = None
    fire_spacing: Flag = False
    planted: Day | None = None
    origin: SurveySpot = (0.0, 0.0, 0.0)


class BasePlan(Table):
    """A scan of the plat under the plan; points tie pixels to yard coordinates."""

    picture: str
    points: Annotated[tuple[tuple[Number, Number, Length, Length], ...], Field(min_length=2)]


class Ground(Table):
    """The surveyed ground and how its file is read, its cell, and its soil when moved."""

    survey: str | None = None
    points: Annotated[tuple[SurveySpot, ...], Field(min_length=3)] | None = None
    survey_lengths: LengthUnit | None = None
    columns: ColumnWords | None = None
    breakline_codes: tuple[CodeWord, ...] = ("BL",)
    surface: Name | None = None
    cell: Size = 0.3
    strip: InchSize | None = None
    swell_percent: Annotated[Number, Field(ge=0, le=100)] | None = None
    shrink_percent: Annotated[Number, Field(ge=0, le=90)] | None = None
    truck: Volume | None = None


class Grading(Table):
    """One grading operation; which keys it needs depends on `do`."""

    name: Name
    do: Literal["pad", "ribbon", "mound", "swale", "wall", "steps", "ramp", "levels"]
    outline: Outline | None = None
    centreline: Line | None = None
    line: Line | None = None
    level: Length | None = None
    levels: tuple[Length, ...] | None = None
    points: Annotated[tuple[Spot, ...], Field(min_length=1)] | None = None
    width: Size | None = None
    height: Length | None = None
    depth: Depth | None = None
    top: Length | None = None
    footing: Depth | None = None
    retains: Literal["left", "right"] | None = None
    influence: Size | None = None
    risers: Annotated[Whole, Field(ge=1, le=200)] | None = None
    fall_percent: Percent | None = None
    fall_towards_deg: Azimuth | None = None
    crossfall_percent: Percent | None = None
    crown_percent: Percent | None = None
    batter: Batter = 2.0


class Surface(Table):
    """A hard or soft surface, draped on the ground or graded to its own levels."""

    name: Name
    kind: Literal["walk", "drive", "patio", "deck", "lawn", "gravel", "water", "ramp", "steps"]
    outline: Outline | None = None
    centreline: Line | None = None
    width: Size | None = None
    levels: tuple[Length, ...] | None = None
    existing: Flag = False


class Bed(Table):
    """A planting bed inside a closed edge."""

    name: Name
    edge: Outline
    smooth: Flag = False
    corners: tuple[Annotated[Whole, Field(ge=0)], ...] = ()
    mulch: InchSize | None = None


class Opening(Table):
    """A window or door in a structure's wall; heights above the floor."""

    name: Name
    kind: Literal["window", "door"]
    from_: Point = Field(alias="from")
    to: Point
    low: Depth = 0.0
    high: Size


class Structure(Table):
    """A house, wall, fence or other built thing."""

    name: Name
    kind: Literal["house", "garage", "shed", "wall", "fence", "box", "line", "meter", "model"]
    outline: Outline | None = None
    line: Line | None = None
    at: Point | None = None
    floor: Length | None = None
    eave: Size | None = None
    ridge: Size | None = None
    roof: Literal["hip", "gable", "flat"] | None = None
    height: Size | None = None
    thickness: Size | None = None
    open: Share = 0.0
    clear: Size | None = None
    file: str | None = None
    turn_deg: Azimuth = 0.0
    existing: Flag | None = None
    opening: tuple[Opening, ...] = ()


class AsMeasured(Table):
    """A plant's size as it stands now."""

    height: Size
    spread: Size


class KeptAt(Table):
    """The size a plant is clipped to."""

    height: Size | None = None
    spread: Size | None = None


class Kept(Table):
    """A plant already there that stays."""

    plant: Name
    name: Name | None = None
    at: PointOrPoints | None = None
    along: Line | None = None
    fill: str | None = None
    spacing: Size | None = None
    pattern: Literal["square", "triangular"] = "triangular"
    trunk_diameter: InchSize | None = None
    trunk_diameters: Annotated[tuple[InchSize, ...], Field(min_length=2)] | None = None
    height: Size
    spread: Size
    roots_lost: Share = 0.0


class Planting(Table):
    """Plants to be set: at points, along a line, or filling a bed."""

    plant: Name | None = None
    name: Name | None = None
    size: str | None = None
    now: AsMeasured | None = None
    at: Points | None = None
    along: Line | None = None
    fill: str | None = None
    spacing: Size | None = None
    pattern: Literal["square", "triangular"] = "triangular"
    mix: dict[Name, Annotated[Number, Field(gt=0, le=1)]] | None = None
    keep_off: Depth = 0.0
    kept_at: KeptAt | None = None
    planted: Day | None = None
    removed: YearNumber | None = None


class PlantFacts(Table):
    """A plant the catalogue lacks, or other figures for one it has."""

    name: Name
    common: str | None = None
    kind: PlantKind | None = None
    form: str | None = None
    leaf: Leaf | None = None
    height: tuple[Size, Size] | None = None
    spread: tuple[Size, Size] | None = None
    rate: Rate | None = None
    growth_per_year: InchSize | None = None
    light: str | None = None
    zones: tuple[Whole, Whole] | None = None
    flower: str | None = None
    flower_months: tuple[Annotated[Whole, Field(ge=1, le=12)], ...] | None = None
    colours: dict[str, str] | None = None
    see_through: SeeThrough | None = None
    root_depth: Size | None = None
    toxic: str | None = None
    toxic_people: str | None = None
    toxic_pets: str | None = None
    invasive: str | None = None
    thorny: Flag | None = None
    seen: tuple[tuple[Annotated[Number, Field(ge=0)], Size, Size], ...] | None = None


class Street(Table):
    """A street beside the yard, by its curb line."""

    name: Name
    curb: Line
    speed: str | None = None


class SightTriangle(Table):
    """A driver's sight triangle to be kept clear."""

    name: Name
    at: Point
    legs: tuple[Size, Size] | None = None
    band: tuple[Depth, Size] | None = None
    rule: str | None = None


class CanopyRule(Table):
    """How a local rule counts canopy, and the share it asks for in a year."""

    name: Name
    rule: str | None = None
    over: Literal["lot", "paving"] | None = None
    counts: Literal["grown", "mature"] | None = None
    taller_than: Size | None = None
    factor: Annotated[Number, Field(gt=0, le=10)] | None = None
    radius: Size | None = None
    large_credit: Area | None = None
    small_credit: Area | None = None
    large_from: Size | None = None
    credit: dict[Name, Area] | None = None
    share: Share | None = None
    year: YearNumber | None = None


class Panel(Table):
    """An upright panel to be hidden or kept open; heights above the ground there."""

    from_: Point = Field(alias="from")
    to: Point
    low: Depth = 0.0
    high: Size


Target = Annotated[
    Annotated[Name, Tag("<name>")] | Annotated[Panel, Tag("<panel>")],
    Discriminator(_target_written),
]
"""The name of an opening or a structure, or an upright panel."""


class Overlooked(Table):
    """What a window overlooks by rule: so far, and so many degrees each side of straight out."""

    within: Size
    aside: Annotated[Number, Field(gt=0, le=90)] = 45.0


class View(Table):
    """A look from an eye to a target, or square at a line."""

    name: Name
    purpose: Literal["screen", "keep open"] = "screen"
    eye: PointOrPoints | None = None
    eye_height: Size = 1.6
    above: str | None = None
    square_to: tuple[Point, Point] | None = None
    overlooks: Overlooked | None = None
    target: Target


class Requirement(Table):
    """A limit that a check must meet in a year; the rule's own words, and where it stands."""

    name: Name
    check: Literal[
        "screening", "opening", "coverage", "canopy", "clearance", "light",
        "sight", "spray", "roots", "fall", "count",
    ]  # fmt: skip
    of: str
    year: YearNumber
    at_least: Number | None = None
    at_most: Number | None = None
    text: Name | None = None
    source: Name | None = None
    season: Literal[
        "leaf", "bare", "january", "february", "march", "april", "may", "june", "july",
        "august", "september", "october", "november", "december",
    ] = "leaf"  # fmt: skip


class SprayHead(Table):
    """A spray head of the irrigation."""

    name: Name
    at: Point
    riser: InchSize
    throw: Size
    arc: tuple[Azimuth, Azimuth] = (0.0, 360.0)


class Yard(Table):
    """One yard. Lists keep the document's order and its singular table names."""

    title: Name
    lengths: LengthUnit
    site: Site
    ground: Ground
    base_plan: BasePlan | None = None
    grading: tuple[Grading, ...] = ()
    surface: tuple[Surface, ...] = ()
    bed: tuple[Bed, ...] = ()
    structure: tuple[Structure, ...] = ()
    kept: tuple[Kept, ...] = ()
    planting: tuple[Planting, ...] = ()
    plant: tuple[PlantFacts, ...] = ()
    street: tuple[Street, ...] = ()
    sight: tuple[SightTriangle, ...] = ()
    canopy_rule: tuple[CanopyRule, ...] = ()
    view: tuple[View, ...] = ()
    requirement: tuple[Requirement, ...] = ()
    head: tuple[SprayHead, ...] = ()
    roots: Roots = Roots()
    trench: tuple[Trench, ...] = ()
    drain: tuple[Drain, ...] = ()
    limit: tuple[Limit, ...] = ()
    quantities: Quantities = Quantities()

    _path: Path = PrivateAttr(default=Path("yard.toml"))

    @property
    def path(self) -> Path:
        """The file the yard was read from; the files it names lie in its folder."""
        return self._path
