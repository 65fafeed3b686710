"""Fit years since planting to trunk diameter, for trees without an equation of their own.

    python -m growth.calibrate.trunks DATA      writes trunk_ages.csv, prints its error

The logarithm of age is a sum of that of the trunk, type, rate word and mature size; species
weigh by the inverse root of their trees. The error is that of single trees of species left
out one at a time. DATA is the table of measured trees, see the calibration's own page of help.

Source: McPherson, van Doorn & Peper 2016, Urban tree database, doi 10.2737/RDS-2016-0005.
"""

import argparse
import csv
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from growth.calibrate.trees import read_species
from growth.ranges import Array
from growth.trunks import TABLE, TERMS, trunk_terms

SOURCE = "fitted to Urban tree database, doi 10.2737/RDS-2016-0005, table TS3"

YOUNGEST_YEARS = 2.0
"""Younger trunks show the stock that was planted."""


def main(argv: Sequence[str] | None = None) -> int:
    """Fit, print the error and write the table."""
    parser = argparse.ArgumentParser(prog="python -m growth.calibrate.trunks")
    parser.add_argument("data", type=Path, metavar="DATA")
    names, terms, ln_age = _read(parser.parse_args(argv).data)
    misses = [
        np.abs(ln_age[names == name] - terms[names == name] @ _fit(names, terms, ln_age, name))
        for name in np.unique(names)
    ]
    error = float(np.median([np.median(miss) for miss in misses]))
    print(f"{len(names)} trees of {len(misses)} species; species left out one at a time: "
          f"median error of one tree's age {100 * np.expm1(error):.0f} %")  # fmt: skip
    with TABLE.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(["term", "value", "source"])
        values = zip(TERMS, _fit(names, terms, ln_age, None), strict=True)
        writer.writerows([term, f"{value:.4f}", SOURCE] for term, value in values)
    return 0


def _read(data: Path) -> tuple[Array, Array, Array]:
    """Species name, terms (n, T) and logarithm of age of every tree."""
    known = {species.name: species.traits for species in read_species()}
    found = []
    with data.open(newline="", encoding="utf-8-sig") as rows:
        for row in csv.DictReader(rows):
            traits = known.get(row["ScientificName"].strip())
            trunk_cm, age = float(row["DBH (cm)"] or 0), float(row["Age"])
            if traits and traits.type != "palm" and trunk_cm > 0 and age >= YOUNGEST_YEARS:
                name = row["ScientificName"].strip()
                found.append((name, trunk_terms(traits, trunk_cm), np.log(age)))
    names, terms, ln_age = zip(*found, strict=True)
    return np.array(names), np.array(terms), np.array(ln_age)


def _fit(names: Array, terms: Array, ln_age: Array, left_out: str | None) -> Array:
    """Least-squares values of the terms without one species."""
    used = np.ones(len(names), bool) if left_out is None else names != left_out
    _, number, trees = np.unique(names[used], return_inverse=True, return_counts=True)
    weight = trees[number] ** -0.25  # squared by the fit: one over the root of the trees
    scaled = terms[used] * weight[:, None]
    return np.asarray(np.linalg.lstsq(scaled, ln_age[used] * weight, rcond=None)[0])


if __name__ == "__main__":
    raise SystemExit(main())
