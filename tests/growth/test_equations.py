import math

import numpy as np
import pytest

from growth.calibrate.published import AGES
from growth.curves import grown_m
from growth.equations import Equation, equations, published_curves, sizes_at_age_m
from growth.fitting import rising_curve

ANY = (-1e9, 1e9)


@pytest.mark.parametrize(
    ("form", "coefficients", "x", "expected"),
    [
        ("lin", (1, 2, 0, 0, 0), 3, 7),
        ("quad", (1, 2, 3, 0, 0), 2, 17),
        ("cub", (1, 0, 0, 2, 0), 3, 55),
        ("quart", (0, 0, 0, 0, 1), 2, 16),
        ("expow1", (1, 0.5, 0.2, 0, 0), 2, math.exp(2.1)),
        ("expow2", (1, 0.5, 0.2, 0, 0), 4, math.exp(3.2)),
        ("expow3", (1, 0.5, 0.2, 0, 0), 2, math.exp(2.2)),
        ("expow4", (1, 0.5, 0.2, 0, 0), 2, math.exp(2.4)),
        ("loglogw1", (1, 2, 0.4, 0, 0), math.e - 1, math.exp(1) * 1.2**2),
        ("loglogw2", (1, 2, 0.4, 0, 0), math.e**math.e - 1, None),
        ("loglogw3", (1, 2, 0.4, 0, 0), math.e - 1, math.exp(1 + 0.2 * (math.e - 1))),
        ("loglogw4", (1, 2, 0.4, 0, 0), math.e - 1, math.exp(1 + 0.2 * (math.e - 1) ** 2)),
    ],
)
def test_forms_by_hand(form, coefficients, x, expected):
    if expected is None:  # ln(ln(x + 1)) is 1 there
        expected = math.exp(1 + 2 + 0.2 * math.sqrt(x))
    assert float(Equation(form, coefficients, *ANY)(x)) == pytest.approx(expected)


def test_what_lies_outside_the_bounds_is_held_there():
    line = Equation("lin", (-5, 1, 0, 0, 0), 2, 10)
    assert line([1, 8, 30]) == pytest.approx([2, 3, 10])


def test_every_species_has_its_three_equations():
    assert len(equations()) == 237
    for of in equations().values():
        assert set(of) == {"trunk_cm", "height_m", "spread_m"}


def test_far_regions_and_other_plants_have_no_curve():
    assert published_curves("Acer rubrum", {"SWDsrt": 1.0}) is None
    assert published_curves("Ilex crenata", {"NoEast": 1.0}) is None


def test_regions_are_averaged_by_their_shares():
    """The mean of logarithms: between the two, and next to the one that has nearly all."""
    alone = published_curves("Acer rubrum", {"Piedmt": 1.0, "SWDsrt": 1.0})
    assert alone.regions == ("Piedmt",)

    def height_m(**shares):
        curve = published_curves("Acer rubrum", shares).height
        return float(
            grown_m(
                2.5, 20.0, asymptote_m=curve.asymptote_m, rate=curve.rate_per_year,
                shape=curve.shape,
            )
        )  # fmt: skip

    one, other = height_m(NoEast=1.0), height_m(Piedmt=1.0)
    assert one < other
    assert height_m(NoEast=1.0, Piedmt=1.0) == pytest.approx((one * other) ** 0.5, rel=0.02)
    assert height_m(NoEast=0.01, Piedmt=0.99) == pytest.approx(other, rel=0.02)


def test_curves_in_the_table_are_those_of_the_equations():
    """Refitted for one; the table rounds to the millimetre and five digits."""
    height_m, _ = sizes_at_age_m(equations()["Acer rubrum", "NoEast"], AGES)
    curve, miss = rising_curve(AGES, height_m)
    found = published_curves("Acer rubrum", {"NoEast": 1.0})
    assert found.height.asymptote_m == pytest.approx(curve.asymptote_m, rel=0.01)
    assert found.height.rate_per_year == pytest.approx(curve.rate_per_year, rel=0.01)
    assert np.abs(miss[[4, 9, 19, 29]]).max() < 0.12
