import pytest

from growth.assumed import assumed_height, assumed_spread
from growth.curves import grown_m, steepest_share
from growth.plants import catalogue


def test_stated_growth_is_that_of_the_height():
    """Thuja 'Green Giant': the catalogue states 30 in a year."""
    plant = catalogue()["Thuja 'Green Giant'"]
    curve = assumed_height(plant)
    steepest = curve.rate_per_year * curve.asymptote_m * steepest_share()
    assert steepest == pytest.approx(plant.growth_m_per_year)


def test_stated_growth_of_a_creeping_plant_is_that_of_its_spread():
    plant = catalogue()["Juniperus procumbens 'Nana'"]
    curve = assumed_spread(plant)
    steepest = curve.rate_per_year * curve.asymptote_m * steepest_share()
    assert steepest == pytest.approx(plant.growth_m_per_year)


def test_usual_garden_shrub_is_half_grown_in_3_to_5_years():
    """Half the mature height in about 3-5 years and 80 % in about 6-10 from a fifth of it: shrub
    trials of five years (University of Arkansas Plant Evaluation Program), an inference."""
    curve = assumed_height(catalogue()["Viburnum dentatum"])
    shares = grown_m(
        0.2 * curve.asymptote_m, [3, 5, 6, 11],
        asymptote_m=curve.asymptote_m, rate=curve.rate_per_year,
    ) / curve.asymptote_m  # fmt: skip
    assert shares[0] < 0.5 < shares[1]
    assert shares[2] < 0.8 < shares[3]


@pytest.mark.parametrize("name", ["Nepeta x faassenii", "Panicum virgatum", "Vinca minor"])
def test_soft_plants_fill_in_within_three_years(name):
    """From a third of the mature spread to 85 % of it in one to three years (common practice)."""
    curve = assumed_spread(catalogue()[name])
    shares = (
        grown_m(
            curve.asymptote_m / 3, [1, 4], asymptote_m=curve.asymptote_m, rate=curve.rate_per_year
        )
        / curve.asymptote_m
    )
    assert shares[0] < 0.85 < shares[1]
