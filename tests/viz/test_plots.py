"""Charts for paper: points, brackets and figures worked out by hand."""

import numpy as np

from growth.checks.findings import BedCover, Canopy, Findings
from growth.ranges import Range
from viz.plots import HIGH, LEFT, TOP, WIDE, gate_path, plots, points
from viz.rows import Gate

YEARS = np.arange(31)


def findings() -> Findings:
    rising = YEARS / 30
    cover = Range(low=rising / 2, expected=rising, high=np.minimum(2 * rising, 1))
    return Findings(
        title="t", years=YEARS, coverage=(BedCover("lane bed", 6.0, cover, 29),),
        canopy=Canopy(100.0, cover), screening=(), requirements=(), not_computed=(), cautions=(),
        notes=(),
    )  # fmt: skip


def test_points_run_from_the_lower_left_to_the_upper_right():
    first, *_, last = points([0.0, 0.5, 1.0], 1.0, 2)
    assert first == f"{LEFT} {TOP + HIGH}"
    assert last == f"{LEFT + WIDE} {TOP}"


def test_a_course_above_the_axis_stays_on_it():
    assert points([2.0], 0.5, 30) == [f"{LEFT} {TOP}"]


def test_a_bracket_stands_at_its_limit_and_year():
    """Half of the height at half of the years: its stem runs down for at least, up for at most."""
    x, y = LEFT + WIDE / 2, TOP + HIGH / 2
    below = gate_path(Gate(15, 0.5, at_least=True), 1.0, 30)
    above = gate_path(Gate(15, 0.5, at_least=False), 1.0, 30)
    assert below == f"M{x - 5:.2f} {y}H{x + 5:.2f}M{x} {y}V{TOP + HIGH:.2f}"
    assert above.endswith(f"V{TOP:.2f}")


def test_figures_are_told_with_their_range():
    bed = plots(findings())[0]
    assert bed["name"] == "Lane bed covered"
    told = {row["year"]: row["figures"][0].replace("\u00a0", " ") for row in bed["told"]}
    assert told[15] == "50 % (25–100)"
    assert bed["courses"][0]["line"].count("L") == 30
