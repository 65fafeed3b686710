"""Lengths: hand-worked conversions, refusals, and round trips between units."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scenes.lengths import LARGEST_M, METRES, both_units, parse_length_m

# Source: international yard and pound agreement of 1959, 1 yd = 0.9144 m exactly, so
# 1 ft = 0.3048 m and 1 in = 25.4 mm; US survey foot 1200/3937 m (Mendenhall order, 1893).
BY_HAND = [
    (1, "m", 1.0),
    (250, "cm", 2.5),
    (1500, "mm", 1.5),
    (10, "ft", 3.048),
    (39, "in", 0.9906),
    (100, "yd", 91.44),
    (3937, "us-ft", 1200.0),
    (-4, "ft", -1.2192),
    ("18 in", "m", 0.4572),
    ("2.4m", "ft", 2.4),
    ("  6 ft ", "mm", 1.8288),
    ("-.5 yd", "m", -0.4572),
    ("1e3 mm", "m", 1.0),
    ("5 ft 6 in", "m", 1.6764),
    ("5' 6\"", "m", 1.6764),
    ("10'-0\"", "ft", 3.048),
    ("1ft 0.5in", "m", 0.3175),
]


@pytest.mark.parametrize(("value", "unit", "metres"), BY_HAND)
def test_length_by_hand(value, unit, metres):
    assert parse_length_m(value, unit=unit) == pytest.approx(metres, rel=1e-12)


def test_where_metres_are_written_both_readings_are_metric():
    with pytest.raises(
        ValueError, match=r'75 has no unit.*"75 mm" \(0\.075 m\) or "75 m" \(75 m\)'
    ):
        parse_length_m(75, unit=None, metric=True)


@pytest.mark.parametrize(
    ("value", "unit", "words"),
    [
        (3, None, r'3 has no unit.*"3 in" \(0\.0762 m\).*"3 ft" \(0\.914 m\)'),
        ("3", "m", '"3" is not a length; write a number and a unit'),
        ("3 furlong", "m", '"3 furlong" has an unknown unit "furlong"; known are m, cm'),
        ("3 FT", "m", 'unknown unit "FT"'),
        ("5 ft 12 in", "m", '"5 ft 12 in" is not a length'),
        ("5 m 6 in", "m", '"5 m 6 in" is not a length'),
        ("", "m", '"" is not a length'),
        ("1e999 m", "m", '"1e999 m" is not a length; write a finite number'),
        (math.nan, "m", "nan is not a length; write a finite number"),
        (-math.inf, "ft", "-inf is not a length; write a finite number"),
        (math.nan, None, "nan is not a length; write a finite number"),
        (10**400, "m", "is longer than"),
        (2e8, "m", "is longer than"),
        (True, "m", "true is not a length"),
        (None, "m", "None is not a length"),
        ([1], "m", r"\[1\] is not a length"),
    ],
)
def test_what_is_not_a_length_is_refused(value, unit, words):
    with pytest.raises(ValueError, match=words):
        parse_length_m(value, unit=unit)


@given(
    metres=st.floats(-LARGEST_M / 2, LARGEST_M / 2, allow_nan=False),
    first=st.sampled_from(sorted(METRES)),
    second=st.sampled_from(sorted(METRES)),
)
def test_length_survives_a_change_of_unit(metres, first, second):
    in_first = parse_length_m(metres / METRES[first], unit=first)
    in_second = parse_length_m(f"{in_first / METRES[second]!r} {second}", unit=first)
    assert in_second == pytest.approx(metres, rel=1e-12, abs=1e-300)


@given(number=st.floats(-1e6, 1e6, allow_nan=False), unit=st.sampled_from(sorted(METRES)))
def test_text_and_bare_number_mean_the_same(number, unit):
    assert parse_length_m(f"{number!r} {unit}", unit=None) == parse_length_m(number, unit=unit)


def _refusal(text):
    """What the refusal of a text says, or nothing where it is a length."""
    try:
        assert math.isfinite(parse_length_m(text, unit="m"))
    except ValueError as error:
        return str(error)
    return ""


@given(text=st.text(max_size=40))
def test_any_text_is_a_length_or_is_refused(text):
    said = _refusal(text)
    assert not said or "; " in said
    assert "\n" not in said


@pytest.mark.parametrize(("metres", "told"), [(2.286, "2.3 m (7.5 ft)"), (3.048, "3 m (10 ft)")])
def test_a_rule_is_told_in_both_units(metres, told):
    assert both_units(metres) == told
