from dataclasses import replace

import numpy as np
import pytest

from growth.basis import basis_of
from growth.climate import ANYWHERE, Climate
from growth.courses import forecast
from growth.curves import grown_m
from growth.equations import SMALL_STOCK_M, equations
from growth.plants import catalogue
from growth.starts import Start
from growth.trunks import age_from_trunk_years, through_measured

BERKELEY = Climate(place="Berkeley, California", zone=10)


def plant(name):
    return catalogue()[name]


def test_the_published_equation_is_read_backwards():
    """The erratum's worked example: Liquidambar in Berkeley, 42.2 cm at age 33."""
    age = age_from_trunk_years(plant("Liquidambar styraciflua"), 0.422, BERKELEY)
    assert age == pytest.approx(33, abs=0.5)


def test_every_published_trunk_tells_its_age_again():
    """Ages 5, 15 and 25 of all equations, where trunks still thicken and lie within bounds."""
    told = 0
    for (name, region), of in equations().items():
        trunk = of["trunk_cm"]
        if name not in catalogue() or region != "NoCalC":
            continue
        for age in (5, 15, 25):
            rising = np.all(np.diff(trunk(np.arange(0.5, age + 1, 0.5))) > 0)
            if rising and trunk.least < trunk(age) < trunk.most:
                back = age_from_trunk_years(plant(name), float(trunk(age)) / 100, BERKELEY)
                assert back == pytest.approx(age, abs=0.51), name
                told += 1
    assert told > 5


@pytest.mark.parametrize("name", ["Quercus garryana", "Thuja plicata", "Tilia cordata"])
def test_thicker_trunks_are_older(name):
    ages = [age_from_trunk_years(plant(name), d, ANYWHERE) for d in (0.05, 0.1, 0.3, 0.6, 1.2, 9)]
    assert np.all(np.diff(ages) >= 0)
    assert ages[0] < ages[-1] <= 150


def test_a_street_tree_of_a_foot_is_some_decades_old():
    """Common practice: half an inch to an inch of trunk a year, so 12 in is 12 to 24 years or
    a little more where growth is slow."""
    for name in ("Acer saccharum", "Quercus rubra", "Tilia cordata"):
        assert 12 <= age_from_trunk_years(plant(name), 0.305, ANYWHERE) <= 36


@pytest.mark.parametrize("name", ["Washingtonia robusta", "Ilex crenata"])
def test_palms_and_shrubs_tell_no_age(name):
    assert age_from_trunk_years(plant(name), 0.3, ANYWHERE) is None


def usual_m(basis, age):
    curve = basis.height
    return float(
        grown_m(
            SMALL_STOCK_M[0], age, asymptote_m=curve.asymptote_m, rate=curve.rate_per_year,
            shape=curve.shape,
        )
    )  # fmt: skip


def test_scaled_curves_keep_their_proportions():
    """Nine tenths of the usual height at its age: nine tenths of the asymptote, same pace."""
    basis = basis_of(plant("Quercus garryana"), ANYWHERE, planted_m=(2.0, 1.0))
    height_m = 0.9 * usual_m(basis, 30)
    scaled = through_measured(basis, age_years=30, measured_m=(height_m, 8.0))
    assert scaled.height.asymptote_m == pytest.approx(0.9 * basis.height.asymptote_m)
    assert scaled.height.rate_per_year == basis.height.rate_per_year
    assert scaled.height.shape == basis.height.shape


def test_scaling_stays_within_what_trees_of_the_kind_do():
    basis = basis_of(plant("Quercus garryana"), ANYWHERE, planted_m=(2.0, 1.0))
    deviation = basis.height_scatter.asymptote
    for size_m, score in ((0.5, -1.2816), (60.0, 1.2816)):
        scaled = through_measured(basis, age_years=30, measured_m=(size_m, size_m))
        ratio = scaled.height.asymptote_m / basis.height.asymptote_m
        assert ratio == pytest.approx((1 + deviation * score / 2) ** 2, rel=1e-4)


def test_of_two_trees_as_tall_the_older_has_less_to_grow():
    oak = Start(plant("Quercus garryana"), 9.0, 7.0, kept=True)
    young, old = (replace(oak, age_years=age) for age in (15.0, 80.0))
    sizes = forecast([young, old], np.arange(31)).height_m.expected
    assert np.all(sizes[0] == pytest.approx(9.0))
    assert np.all(sizes[1:, 1] < sizes[1:, 0])
