"""Measured trees, and what a catalogue would say of their species.

Reads the public table of measured trees (data file TS3 of the source) and the mature sizes
and rates of measured_species.csv, which do not come from that data. Trees of unknown age,
and of species without mature sizes, are left out; the report says how many.

Source: McPherson, van Doorn & Peper 2016, Urban tree database, RDS-2016-0005 (2020 update),
doi 10.2737/RDS-2016-0005, public domain.
"""

import csv
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from growth.classes import Traits, type_of
from growth.climate import REGIONS
from growth.ranges import Array

IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]

SPECIES_TABLE = Path(__file__).parents[1] / "measured_species.csv"

AGE_BANDS = ((0, 1), (2, 3), (4, 6), (7, 10), (11, 15), (16, 20), (21, 30), (31, 40), (41, 60),
             (61, 400))  # fmt: skip
"""Years since planting, first and last of a band."""

FIRST_JUDGED_BAND = 1
"""Trees of age 0 and 1 show the size they were planted at, not growth."""

FEWEST_TREES = 5


@dataclass(frozen=True)
class Species:
    """A species by name: traits from one source of mature size, and those of a second, if any."""

    name: str
    traits: Traits
    others: Traits | None


@dataclass(frozen=True)
class Trees:
    """Measured trees: years, metres (zero where not measured), indices of species and region."""

    species: tuple[Species, ...]
    kind: IntArray
    region: IntArray
    age_years: Array
    height_m: Array
    spread_m: Array
    left_out: int

    def band(self) -> IntArray:
        """Index into AGE_BANDS of every tree."""
        ends = np.array([last for _, last in AGE_BANDS])
        return np.searchsorted(ends, self.age_years)

    def size_m(self, of: str) -> Array:
        """The "height" or the "spread" of every tree, zero where not measured."""
        return self.height_m if of == "height" else self.spread_m

    def only(self, rows: BoolArray | IntArray) -> "Trees":
        """Some of the trees; species and regions keep their indices."""
        return replace(
            self,
            kind=self.kind[rows],
            region=self.region[rows],
            age_years=self.age_years[rows],
            height_m=self.height_m[rows],
            spread_m=self.spread_m[rows],
        )

    def alike(self) -> tuple[IntArray, IntArray]:
        """The first tree of each species, region and age, and which of these each tree is like."""
        traits = np.column_stack([self.kind, self.region, self.age_years])
        _, first, back = np.unique(traits, axis=0, return_index=True, return_inverse=True)
        return first, back.ravel()


def read_trees(data: Path) -> Trees:
    """Trees of known age and species of the data file."""
    known = read_species()
    number = {species.name: index for index, species in enumerate(known)}
    region = {place.code: index for index, place in enumerate(REGIONS)}
    columns: list[tuple[float, ...]] = []
    left_out = 0
    with data.open(newline="", encoding="utf-8-sig") as rows:
        for row in csv.DictReader(rows):
            name, age = row["ScientificName"].strip(), float(row["Age"])
            if age < 0 or name not in number:
                left_out += 1
                continue
            sizes = (max(float(row[key] or 0), 0.0) for key in ("TreeHt (m)", "AvgCdia (m)"))
            columns.append((number[name], region[row["Region"]], age, *sizes))
    table = np.array(columns, dtype=float)
    return Trees(
        known,
        kind=table[:, 0].astype(np.int64),
        region=table[:, 1].astype(np.int64),
        age_years=table[:, 2],
        height_m=table[:, 3],
        spread_m=table[:, 4],
        left_out=left_out,
    )


def read_species() -> tuple[Species, ...]:
    """Species of measured_species.csv."""
    with SPECIES_TABLE.open(newline="", encoding="utf-8") as rows:
        return tuple(_species(row) for row in csv.DictReader(rows))


def _species(row: dict[str, str]) -> Species:
    height_m, spread_m = (
        (float(row[f"{of}_low_m"]) + float(row[f"{of}_high_m"])) / 2 for of in ("height", "spread")
    )
    kind = type_of(row["name"], kind=row["kind"], leaf=row["leaf"])
    traits = Traits(kind, height_m, spread_m, row["rate"])
    others = None
    if row["usda_height_m"]:
        others = replace(traits, height_m=float(row["usda_height_m"]), rate=row["usda_rate"])
    return Species(row["name"], traits, others)
