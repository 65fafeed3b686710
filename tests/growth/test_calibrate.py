"""The calibration on made trees whose curves are known."""

import csv

import numpy as np
import pytest

from growth.calibrate.equations import _pairs
from growth.calibrate.fit import STEPS, courses, design, fit, prior
from growth.calibrate.judge import _variances, misses
from growth.calibrate.trees import read_species, read_trees
from growth.classes import class_curve
from growth.climate import REGIONS, Climate
from growth.curves import grown_m
from growth.equations import curves_by_region


@pytest.fixture(scope="module")
def made_trees(tmp_path_factory):
    """Trees of every species and some ages, exactly as the class curves of one region have them."""
    path = tmp_path_factory.mktemp("made") / "trees.csv"
    names = ["Region", "ScientificName", "Age", "TreeHt (m)", "AvgCdia (m)"]
    place = Climate(place="Charlotte")
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(names)
        writer.writerow(["Piedmt", "Unknown species", 5, 3, 2])
        writer.writerow(["Piedmt", "Quercus alba", -1, 3, 2])
        for species in read_species():
            tall, wide = (class_curve(species.traits, place, of=of) for of in ("height", "spread"))
            for age in (5, 12, 25, 50):
                height, spread = (
                    float(
                        grown_m(
                            start_m, age, asymptote_m=curve.asymptote_m,
                            rate=curve.rate_per_year, shape=curve.shape,
                        )
                    )
                    for curve, start_m in ((tall, 2.5), (wide, 1.15))
                )  # fmt: skip
                writer.writerow(["Piedmt", species.name, age, height, spread])
    return read_trees(path)


def test_trees_without_age_or_mature_size_are_left_out(made_trees):
    assert made_trees.left_out == 2
    assert len(made_trees.kind) == 4 * len(read_species())
    assert {REGIONS[number].code for number in made_trees.region} == {"Piedmt"}


def test_bands_by_hand(made_trees):
    assert made_trees.band()[:4].tolist() == [2, 4, 6, 8]  # 4-6, 11-15, 21-30, 41-60


def test_the_fit_finds_the_curves_the_trees_were_made_from(made_trees):
    """Within 3 %: the ridge draws a little, and one species in two has a second mature size."""
    rows = design(made_trees, of="height")
    first = rows.only(np.arange(len(rows.species)) < len(made_trees.kind))
    found = fit(first, prior("height"), steps=STEPS)
    grown = courses(first, found).sizes_m(first.age_years)
    assert np.median(np.abs(np.log(grown) - first.ln_size)) < 0.03


def test_misses_are_shares_of_medians(made_trees):
    """Four trees a species are too few for any band; together with copies they are enough."""
    assert misses(made_trees, made_trees.height_m, made_trees.height_m * 1.1) == []


def test_variance_between_and_within_by_hand():
    """Cells (0, 2) and (4, 6): within 2, cell means 1 and 5, between (16 - 2) / 2 = 7."""
    between, within = _variances(np.array([0.0, 2.0, 4.0, 6.0]), np.array([1, 1, 2, 2]))
    assert within == pytest.approx(2.0)
    assert between == pytest.approx(7.0)


def test_each_tree_is_held_against_equations_of_its_own_region_and_of_others(made_trees):
    """Trees of Charlotte at four ages: own equations where Piedmont has one, others elsewhere."""
    regions = [curves_by_region(species.name) for species in made_trees.species]
    own, _ = _pairs(made_trees, of="height", own=True)
    others, courses = _pairs(made_trees, of="height", own=False)
    assert len(own) == 4 * sum("Piedmt" in codes for codes in regions)
    assert len(others) == 4 * sum(len(codes.keys() - {"Piedmt"}) for codes in regions)
    assert len(courses.asymptote_m) == len(others)
