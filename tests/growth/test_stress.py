import numpy as np
import pytest
from scipy.stats import norm

from growth.courses import forecast, tabulate
from growth.plants import catalogue
from growth.starts import Start
from growth.stress import crown_density, slowed_years, stress_caution, stress_table

YEARS = np.arange(31)
LOW, MIDDLE, HIGH = -1.2816, 0.0, 1.2816
SHARES = [0.05, 0.10, 0.2, 0.25, 0.3, 0.35, 0.4, 0.5, 0.6, 0.75, 0.9, 1.0]


def density(share, *, score=MIDDLE):
    return crown_density(share, YEARS, score=[score])[0]


def test_the_table_is_in_order():
    """More roots lost is never better, and low is under middle is under high, in every year."""
    shares, years, table = stress_table()
    assert np.all(np.diff(shares) > 0)
    assert np.all(np.diff(years) > 0)
    assert np.all(np.diff(table, axis=0) <= 0)
    assert np.all(np.diff(table, axis=2) >= 0)
    assert table.min() >= 0
    assert table.max() <= 1


def test_an_undamaged_tree_is_whole():
    assert np.all(density(0.0) == 1)
    assert np.all(slowed_years(0.0, YEARS, score=[LOW, HIGH]) == YEARS)


@pytest.mark.parametrize("share", [0.1, 0.25, 0.3, 0.4, 0.5, 0.75])
def test_nothing_shows_in_the_first_season(share):
    assert density(share, score=LOW)[:2] == pytest.approx(1)


@pytest.mark.parametrize("share", [0.25, 0.3, 0.4, 0.5])
def test_damage_shows_in_the_second_summer_and_is_worst_then_or_in_the_third(share):
    """Common practice among arborists."""
    middle = density(share)
    assert middle[2] < 1
    assert np.argmin(middle) in (2, 3)


@pytest.mark.parametrize("share", [0.10, 0.25])
def test_a_tree_that_makes_it_looks_itself_after_four_or_five_years(share):
    """Common practice; up to 25 % may be lost by any species (Johnson 1999, UMN Extension)."""
    assert density(share)[5] >= 0.95


def test_half_the_roots_lost_may_be_survived_or_not():
    """Some healthy trees live after 50 % is lost, others do not (Johnson 1999, UMN Extension)."""
    assert density(0.5, score=LOW)[10] == 0
    assert density(0.5, score=HIGH)[10] > 0.8


@pytest.mark.parametrize("share", [0.05, 0.10, 0.25, 0.30])
def test_no_tree_in_ten_dies_below_the_limits_of_the_sources(share):
    """Trouble starts above 40 % (Minnesota DNR), removal is weighed above 30 % (GFC)."""
    assert density(share, score=LOW).min() > 0


def test_without_roots_no_tree_stands():
    assert np.all(density(1.0, score=HIGH)[1:] == 0)


def test_between_two_rows_lies_the_mean_of_them():
    assert density(0.35) == pytest.approx((density(0.30) + density(0.40)) / 2)


def test_the_dead_stay_dead():
    for share in SHARES:
        low = density(share, score=LOW)
        assert np.all(np.diff(low[np.argmin(low > 0) :]) <= 0) or low.min() > 0


def test_growth_slows_by_the_density():
    share = 0.4
    grown = slowed_years(share, YEARS, score=[MIDDLE])[0]
    assert np.diff(grown) == pytest.approx(density(share)[1:])


def test_years_may_be_asked_for_one_by_one():
    some = np.array([0, 3, 12])
    assert np.all(crown_density(0.4, some, score=[LOW]) == density(0.4, score=LOW)[some])
    assert slowed_years(0.4, some, score=[MIDDLE]) == pytest.approx(
        slowed_years(0.4, YEARS, score=[MIDDLE])[:, some]
    )


def kept(roots_lost):
    return Start(
        catalogue()["Quercus rubra"], 12.0, 10.0, kept=True, roots_lost=roots_lost, age_years=30.0
    )


def mean_step():
    """Mean of clip(z, 0, c) / c for a normal score z, c its 90th percentile, in closed form."""
    c = norm.ppf(0.9)
    return (norm.pdf(0) - norm.pdf(c) + 0.1 * c) / c


def test_a_damaged_tree_is_smaller_thinner_and_may_be_gone():
    sizes = forecast([kept(0.0), kept(0.3), kept(0.5)], YEARS)
    assert np.all(sizes.height_m.expected[2:, 1] < sizes.height_m.expected[2:, 0])
    assert np.all(sizes.vigour.expected[:, 0] == 1)
    share = mean_step()
    assert sizes.vigour.expected[3, 1] == pytest.approx(
        0.86 - share * (0.86 - 0.60) + share * (0.97 - 0.86), abs=0.005
    )
    assert np.all(sizes.spread_m.low[5:, 2] == 0)
    assert np.all(sizes.spread_m.high[:, 2] > 0)


def test_the_living_never_shrink():
    courses = tabulate([kept(0.5)], YEARS)
    assert np.all(np.diff(courses.height_m, axis=1) >= 0)


@pytest.mark.parametrize(
    ("share", "words"),
    [(0.1, "10 % of its roots"), (0.28, "above 25 %"), (0.45, "above 30 % removal")],
)
def test_the_caution_asks_for_an_arborist(share, words):
    caution = stress_caution("kept[1] (Quercus rubra)", share)
    assert words in caution
    assert "certified arborist" in caution
    assert "range" in caution
