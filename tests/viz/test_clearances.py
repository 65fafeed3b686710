"""The table of plants that come too near: in order of years, those that only may come last."""

from io import StringIO
from types import SimpleNamespace

from rich.console import Console

from growth.checks.findings import Clash
from viz.clearances import clearance_table


def clash(plant, first, earliest, *, against="house"):
    return Clash(
        plant, "planting[1]", (0, 0), against, "wall", first, earliest, None, 0.5, 0, 1, ()
    )


def printed(clashes) -> str:
    found = SimpleNamespace(clearance=clashes, told=lambda plant, place: f"{plant} by {place}")
    out = StringIO()
    Console(file=out, width=100).print(clearance_table(found, lengths="m"))
    return out.getvalue()


def test_what_may_come_is_sorted_too_and_comes_last():
    told = printed([clash("Oak", None, 12), clash("Yew", None, 3), clash("Elm", 20, 9),
                    clash("Ash", 2, 1)])  # fmt: skip
    places = [told.index(name) for name in ("Ash", "Elm", "Yew", "Oak")]
    assert places == sorted(places)


def test_plants_are_told_as_the_findings_tell_them():
    assert "2 Oak by planting[1]" in printed([clash("Oak", 4, 3), clash("Oak", 5, 3)])


def test_of_plants_that_only_may_come_the_earliest_year_is_told():
    told = printed([clash("Oak", None, 12), clash("Oak", None, 3)])
    assert "perhaps 3" in told
    assert "perhaps 12" not in told
