"""What is typed after several commands: read, or refused with what may be written."""

from argparse import ArgumentTypeError
from datetime import date
from pathlib import Path

import pytest

from viz.typed import file_named, html_file, read_day, read_month, read_year


def test_days_and_names_of_files_are_read():
    assert read_day("2027-03-15") == date(2027, 3, 15)
    with pytest.raises(ArgumentTypeError, match="15 March is not a day; write it like 2027-03-15"):
        read_day("15 March")
    assert html_file("Yard.HTM") == Path("Yard.HTM")
    with pytest.raises(ArgumentTypeError, match=r"yard\.pdf is not a page; name it like"):
        html_file("yard.pdf")


def test_a_file_may_have_one_of_its_endings():
    read = file_named(".a", ".b", wrong="is neither")
    assert read("x/y.B") == Path("x/y.B")
    with pytest.raises(ArgumentTypeError, match=r"y\.c is neither"):
        read("y.c")


@pytest.mark.parametrize("text", ["5", "may", "May", "MAY"])
def test_months_go_by_number_or_name(text):
    assert read_month(text) == 5


@pytest.mark.parametrize("text", ["0", "13", "ma", "Jx", "", "٥"])
def test_what_is_no_month_is_refused(text):
    with pytest.raises(ArgumentTypeError, match="is not a month; write 1 to 12 or its name"):
        read_month(text)


def test_years_run_from_planting_to_thirty():
    assert [read_year(text) for text in ("0", "30")] == [0, 30]
    for text in ("31", "-1", "2.5", "²", ""):
        with pytest.raises(ArgumentTypeError, match="is not a year from 0 to 30"):
            read_year(text)
