"""Plants in the terminal: in feet where feet or inches were asked with, worked out by hand."""

from io import StringIO

import pytest
from rich.console import Console

from growth.plants import catalogue
from viz.plantreport import print_course, print_plants, unit_asked_with

COURSE = {
    "plant": "Acer rubrum", "years": [0, 1], "basis": "b", "source": "s", "notes": [],
    "height_m": {"low": [3.048, 3.048], "expected": [3.048, 3.2004], "high": [3.048, 3.3528]},
    "spread_m": {"low": [1.524] * 2, "expected": [1.524] * 2, "high": [1.524] * 2},
    "crown_base_m": {"expected": [0.6096, 0.6096]},
    "seen": [{"year": 2, "height_m": 3.6576, "spread_m": 1.8288}],
}  # fmt: skip


def printed(call, *args, **how) -> str:
    out = StringIO()
    call(Console(file=out, width=100), *args, **how)
    return out.getvalue()


@pytest.mark.parametrize(
    ("words", "unit"),
    [
        (["2 in cal"], "ft"), (["under", "6", "ft"], "ft"), (["under", "6ft"], "ft"), (["#5"], "m"),
        (["flowers", "in", "june"], "m"), (["over", "3", "m"], "m"), ([""], "m"),
    ],
)  # fmt: skip
def test_the_unit_goes_with_what_was_typed(words, unit):
    assert unit_asked_with(words) == unit


def test_a_course_in_feet_and_in_metres():
    feet = printed(print_course, COURSE, [0, 1], unit="ft")
    assert "Height, ft (low-high)" in feet
    assert "10.5 (10.0-11.0)" in feet
    assert "Seen in year 2: 12.0 ft tall, 6.0 ft wide" in feet
    metres = printed(print_course, COURSE, [0, 1], unit="m")
    assert "3.20 (3.05-3.35)" in metres
    assert "Crown base, m" in metres


def test_the_catalogue_in_feet():
    yew = catalogue()["Taxus x media 'Hicksii'"]  # 2.5 to 3.7 m by 1.2 to 1.8 m
    told = printed(print_plants, [yew], known=1, unit="ft")
    assert "Spread, ft" in told
    assert "8-12" in told
    assert "3.9-5.9" in told
