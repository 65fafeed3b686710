from dataclasses import replace

import pytest

from growth.classes import Traits, class_curve, size_terms, traits_of, type_of
from growth.climate import ANYWHERE
from growth.curves import grown_m
from growth.plants import catalogue

OAK = Traits("deciduous", 18.0, 14.0, "moderate")


def size_m(traits, years, *, of="height", start_m=2.0):
    curve = class_curve(traits, ANYWHERE, of=of)
    return float(
        grown_m(
            start_m, years, asymptote_m=curve.asymptote_m, rate=curve.rate_per_year,
            shape=curve.shape,
        )
    )  # fmt: skip


@pytest.mark.parametrize(
    ("name", "kind", "leaf", "expected"),
    [
        ("Quercus alba", "tree", "deciduous", "deciduous"),
        ("Quercus virginiana", "tree", "evergreen", "evergreen"),
        ("Taxodium distichum", "tree", "deciduous", "conifer"),
        ("x Hesperotropsis leylandii", "tree", "evergreen", "conifer"),
        ("Sabal palmetto", "palm", "evergreen", "palm"),
        ("Magnolia virginiana", "tree", "semi-evergreen", "evergreen"),
    ],
)
def test_types(name, kind, leaf, expected):
    assert type_of(name, kind=kind, leaf=leaf) == expected


def test_a_plant_of_15_by_10_metres_has_no_size_terms():
    assert size_terms(Traits("deciduous", 15.0, 10.0, "fast")) == [1, 0, 0, 0, 0, 0, 0, 0]


@pytest.mark.parametrize("of", ["height", "spread"])
@pytest.mark.parametrize("kind", ["deciduous", "evergreen", "conifer", "palm"])
def test_a_faster_word_grows_faster(kind, of):
    sizes = [
        size_m(replace(OAK, type=kind, rate=rate), 10, of=of)
        for rate in ("slow", "moderate", "fast")
    ]
    assert sizes[0] < sizes[1] < sizes[2]


def test_a_taller_kind_is_taller_and_a_wider_kind_wider():
    assert size_m(replace(OAK, height_m=8.0), 30) < size_m(OAK, 30)
    assert size_m(replace(OAK, spread_m=7.0), 30, of="spread") < size_m(OAK, 30, of="spread")


def test_forest_heights_above_30_m_count_as_30():
    assert size_m(replace(OAK, height_m=70.0), 30) == size_m(replace(OAK, height_m=30.0), 30)


def test_dwarf_trees_shrink_in_proportion():
    dwarf, least = replace(OAK, height_m=1.5), replace(OAK, height_m=4.5)
    curves = [class_curve(traits, ANYWHERE, of="height") for traits in (dwarf, least)]
    assert curves[0].asymptote_m == pytest.approx(curves[1].asymptote_m / 3)


def test_only_trees_and_palms_have_a_class_curve():
    assert traits_of(catalogue()["Ilex crenata"]) is None
    assert traits_of(catalogue()["Trachycarpus fortunei"]) is not None
