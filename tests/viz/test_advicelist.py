"""Advice in words, on made-up verdicts: what is told, and that the nearest is told as that."""

from growth.checks.findings import Advice, Advised, Verdict
from viz.advicelist import advice_lines

CLOSER = Advised("spacing 1 m instead of 2 m", 12, 4, 0.82, 0.9, 0.95, "met")
LATER = Advised("one Yew more", 1, 9, 0.5, 0.7, 0.9, "missed")


def verdict(advice):
    return Verdict("Table", "screening", "view", 5, "leaf", 0.8, True, 0.1, 0.4, 0.9, "missed",
                   advice=advice)  # fmt: skip


def test_a_change_is_told_with_its_plants_its_range_and_its_year():
    assert advice_lines([verdict(Advice((CLOSER,), 20, None))]) == (
        "Table: spacing 1 m instead of 2 m (12 plants): 90 % expected in year 5 (82 % to 95 %), "
        "met; at the worse end met from year 4 on",
    )


def test_the_nearest_is_told_as_that():
    assert advice_lines([verdict(Advice((), 20, LATER))]) == (
        "Table: none of 20 changes tried meets it; the nearest is one Yew more (1 plant): "
        "70 % expected in year 5 (50 % to 90 %), missed; at the worse end met from year 9 on",
    )


def test_one_figure_is_told_once_and_a_year_that_does_not_come_as_that():
    never = Advised("one Yew more", 1, None, 0.4, 0.4, 0.4, "missed")
    (told,) = advice_lines([verdict(Advice((never,), 20, None))])
    assert told.endswith("40 % expected in year 5, missed; at the worse end not by year 30")


def test_without_advice_nothing_is_said_and_without_changes_that():
    assert advice_lines([verdict(None)]) == ()
    assert advice_lines([verdict(Advice((), 0, None))]) == (
        "Table: no change of plants was found to try",
    )
