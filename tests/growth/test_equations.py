import math

import numpy as np
import pytest

from growth.equations import Equation, equations, published_curves, sizes_at_age_m

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


def test_the_nearest_region_with_equations_is_taken():
    assert published_curves("Acer rubrum", ["SWDsrt", "NoEast", "CenFla"]).region == "NoEast"
    assert published_curves("Acer rubrum", ["SWDsrt"]) is None
    assert published_curves("Ilex crenata", []) is None
    assert "not known" in published_curves("Acer rubrum", []).why


def test_curves_in_the_table_are_those_of_the_equations():
    """Refitted for a few; the table rounds to the millimetre and five digits."""
    from growth.calibrate.published import AGES, rising_curve

    for species, region in [("Acer rubrum", "NoEast"), ("Quercus rubra", "NoEast")]:
        height_m, _ = sizes_at_age_m(equations()[species, region], AGES)
        curve, departure = rising_curve(height_m)
        found = published_curves(species, [region])
        assert found.height.asymptote_m == pytest.approx(curve.asymptote_m, rel=0.01)
        assert found.height.rate_per_year == pytest.approx(curve.rate_per_year, rel=0.01)
        assert departure < 0.12


def test_a_curve_fitted_to_its_own_kind_is_exact():
    from growth.calibrate.published import AGES, rising_curve
    from growth.curves import size_at_age_m

    sizes = size_at_age_m(AGES + 1.5, asymptote_m=12.0, rate=0.08, shape=1.2)
    curve, departure = rising_curve(sizes)
    assert curve.asymptote_m == pytest.approx(12.0, rel=1e-3)
    assert departure < 1e-4
    assert np.isfinite(curve.rate_per_year)
