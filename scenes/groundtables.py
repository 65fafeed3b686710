"""Tables of the document on roots, trenches, drains, limits of falls, and what is ordered."""

from typing import Annotated, Literal

from pydantic import Field

from scenes.lengths import InchSize
from scenes.points import Line, Point
from scenes.tables import Name, Number, Table


class Roots(Table):
    """How the root zones of kept trees are drawn, and which change of ground harms them."""

    rule: Literal["1 ft per inch", "1.25 ft per inch", "1.5 ft per inch", "12 x trunk"] = (
        "1.25 ft per inch"
    )
    cut: InchSize | None = None
    fill: InchSize | None = None


class Trench(Table):
    """A trench to be dug, for pipes or wires."""

    name: Name
    line: Line
    width: InchSize
    depth: InchSize


class Drain(Table):
    """A drain or inlet that takes the water that reaches it."""

    name: Name
    at: Point


class Limit(Table):
    """A limit of falls that replaces the preset of that name."""

    rule: Name
    percent: Annotated[Number, Field(ge=0, le=1000)]
    desirable_percent: Annotated[Number, Field(ge=0, le=1000)] | None = None
    source: Name


class Quantities(Table):
    """What is ordered beyond what is laid, and how deep topsoil goes."""

    mulch_waste_percent: Annotated[Number, Field(ge=0, le=100)] = 0.0
    sod_waste_percent: Annotated[Number, Field(ge=0, le=100)] = 5.0
    plant_waste_percent: Annotated[Number, Field(ge=0, le=100)] = 0.0
    topsoil_waste_percent: Annotated[Number, Field(ge=0, le=100)] = 0.0
    topsoil_lawn: InchSize | None = None
    topsoil_beds: InchSize | None = None
