"""Care by year: months of watering by hand, and years of the document or the forecast."""

import pytest

from growth.checks.care import care, care_figures, water_months
from growth.checks.checking import check
from growth.checks.working import Planned

INCH_M = 0.0254
BED = {"name": "lane bed", "edge": [[1, 14], [7, 14], [7, 16], [1, 16]], "mulch": "75 mm"}


@pytest.fixture
def care_of(level_lot, parts):
    """What is to be done on a lot of 20 x 20 m, as (year, last year, words)."""

    def found(**tables):
        yard = level_lot(**tables)
        terrain, layout, stand = parts(yard)
        findings = check(yard, terrain, layout, stand, light=False)
        notes = care(Planned(yard, terrain, layout, stand, findings))
        return [(note.year, note.last_year, note.what) for note in notes]

    return found


def named(notes, words):
    return [note for note in notes if words in note[2]]


@pytest.mark.parametrize(
    ("inches", "zone", "in_container", "months"),
    [(2, 6, False, 24), (3, 8, False, 18), (2, 10, False, 6), (2, 10, True, 9)],
)
def test_a_tree_is_watered_months_an_inch(inches, zone, in_container, months):
    """A year an inch in zones 2 to 6, half a year in 7 and 8, a quarter after; 1 to 2 months an
    inch more from a container: UF/IFAS, Gilman."""
    found = water_months(inches * INCH_M, zone=zone, in_container=in_container)
    assert found == pytest.approx(months)


def test_a_tree_of_two_inches_in_zone_six(care_of):
    maple = {"plant": "Acer rubrum", "size": "2 in cal", "at": [[10, 10]]}
    site = {"boundary": [[0, 0], [20, 0], [20, 20], [0, 20]], "hardiness_zone": 6}
    ((year, last, words),) = named(care_of(planting=[maple], site=site), "Water ")
    assert (year, last) == (0, 2)
    assert "about 24 months" in words


def test_shrubs_are_watered_for_two_years_and_kept_ones_are_not(care_of):
    shrub = {"plant": "Ilex glabra", "size": "#5", "at": [[10, 10]]}
    ((year, last, words),) = named(care_of(planting=[shrub]), "new shrubs")
    assert (year, last) == (0, 2)
    assert "52 to 104 weeks" in words
    kept = {"plant": "Ilex glabra", "at": [10, 10], "height": 1, "spread": 1}
    assert not named(care_of(kept=[kept]), "new shrubs")


def test_a_nurse_plant_is_taken_out_in_its_year(care_of):
    nurse = {"plant": "Ilex glabra", "size": "#5", "at": [[10, 10]], "removed": 6}
    assert named(care_of(planting=[nurse]), "Take out") == [
        (6, 6, "Take out Ilex glabra at (10.0, 10.0).")
    ]


def test_an_empty_bed_is_mulched_and_weeded_to_the_end(care_of):
    notes = care_of(bed=[BED])
    ((year, last, words),) = named(notes, "mulch")
    assert (year, last) == (1, 30)
    assert "2 to 4 in (5 to 10 cm)" in words
    assert named(notes, "Weed lane bed")[0][:2] == (0, 30)


def test_conditions_are_measured_in_their_year(care_of):
    wanted = {"name": "Shade", "check": "canopy", "of": "lot", "year": 9, "at_least": 0.1}
    ((year, _, words),) = named(care_of(requirement=[wanted]), "Measure")
    assert (year, words) == (9, "Measure, against the conditions: Shade.")


@pytest.mark.parametrize(("lost", "watched"), [(0.3, True), (0.096, True), (0.05, False)])
def test_a_tree_with_roots_lost_is_watched_for_five_years(care_of, lost, watched):
    oak = {"plant": "Quercus alba", "name": "old oak", "at": [10, 10], "trunk_diameter": "10 in",
           "height": 9, "spread": 8, "roots_lost": lost}  # fmt: skip
    notes = named(care_of(kept=[oak]), 'arborist look at Quercus alba "old oak" at (10.0, 10.0)')
    assert [note[:2] for note in notes] == ([(0, 5)] if watched else [])


def test_nobody_is_told_to_cut_near_wires(care_of):
    """A tree of 9 m below wires at 8 m touches them from the first day."""
    tree = {"plant": "Quercus alba", "at": [10, 10], "trunk_diameter": "10 in",
            "height": 9, "spread": 8}  # fmt: skip
    wires = {"name": "street wires", "kind": "line", "line": [[0, 10], [20, 10]], "height": 8}
    ((year, _, words),) = named(care_of(kept=[tree], structure=[wires]), "street wires")
    assert year == 0
    assert words.endswith("the line's owner, or a qualified line-clearance arborist.")
    assert "prune" not in words


def test_every_figure_names_its_source():
    assert all(len(figure.source) > 20 for figure in care_figures().values())
