"""Tables for a terminal: text stays text, figures keep whole, rows left out are counted."""

from io import StringIO

import numpy as np
from rich.console import Console

from growth.ranges import Range
from viz.tables import NO_FIGURES, percent_range, print_list, print_table, table, year_text


def printed(made, width=60) -> str:
    out = StringIO()
    print_table(Console(file=out, width=width), made)
    return out.getvalue()


def test_markup_in_titles_and_cells_stays_text() -> None:
    shown = printed(table("Soil [red]", ("Name", "Year 1"), [("[bold]oak", "7")]))
    assert "Soil [red]" in shown
    assert "[bold]oak" in shown


def test_figures_keep_whole_where_text_folds() -> None:
    shown = printed(table("", ("Name", "Figures"), [("a long name " * 5, "47 (8-86)")]), width=40)
    assert "47 (8-86)" in shown
    assert sum("name" in line for line in shown.splitlines()) > 1


def test_a_row_of_much_text_still_fits() -> None:
    heads = ("Place", "Rule", "Usual", "At", "Level", "Advice")
    shown = printed(table("", heads, [("several words " * 4,) * 6], figures=NO_FIGURES), width=80)
    assert {line[-1] for line in shown.splitlines() if line.strip()} <= set("┓┃┩│┘")


def test_rows_left_out_are_counted_in_the_caption() -> None:
    rows = [(f"row {number}, wide enough for a caption", "1") for number in range(5)]
    shown = printed(table("", ("Name", "Figures"), rows, most=3))
    assert "row 2" in shown
    assert "row 3" not in shown
    assert "2 rows more: see --json." in shown
    assert "1 row more: see --json." in printed(table("", ("Name", "Figures"), rows, most=4))
    assert "more" not in printed(table("", ("Name", "Figures"), rows, most=5))


def test_nothing_is_printed_of_nothing() -> None:
    assert printed(table("Empty", ("Name",), [], figures=NO_FIGURES)) == ""
    out = StringIO()
    print_list(Console(file=out), "Heading", [])
    assert out.getvalue() == ""


def test_shares_and_years_in_words() -> None:
    fraction = Range(np.array([0.63, 0.5]), np.array([0.74, 0.5]), np.array([0.82, 0.5]))
    assert percent_range(fraction, 0) == "74 (63-82)"
    assert percent_range(fraction, 1) == "50"
    assert (year_text(None), year_text(0)) == ("not by 30", "year 0")
