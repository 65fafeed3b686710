"""What to do about requirements that are not met, as a list: nothing in it that was not tried."""

from collections.abc import Iterator, Sequence

from growth.checks.findings import Advised, Verdict
from viz.tables import amount_text


def advice_lines(verdicts: Sequence[Verdict]) -> tuple[str, ...]:
    """For each requirement not met the changes that would meet it, the smallest first."""
    return tuple(f"{verdict.name}: {line}" for verdict in verdicts for line in advised(verdict))


def advised(verdict: Verdict) -> Iterator[str]:
    """The changes that would meet one requirement; where none does, what came nearest."""
    advice = verdict.advice
    if advice is None:
        return
    yield from (change_text(change, verdict) for change in advice.changes)
    if advice.changes:
        return
    if advice.nearest is None:
        yield "no change of plants was found to try"
    else:
        nearest = change_text(advice.nearest, verdict)
        yield f"none of {advice.tried} changes tried meets it; the nearest is {nearest}"


def change_text(change: Advised, verdict: Verdict) -> str:
    """A change, the range and standing it gives in the year asked for, and when it meets it."""
    low, expected, high = (
        amount_text(value, verdict.unit, beside=verdict.limit)
        for value in (change.low, change.expected, change.high)
    )
    span = "" if low == high else f" ({low} to {high})"
    plants = {0: "", 1: " (1 plant)"}.get(change.plants, f" ({change.plants} plants)")
    year = change.year_met
    worse = (
        "at the worse end not by year 30"
        if year is None
        else f"at the worse end met from year {year} on"
    )
    stands = f"{expected} expected in year {verdict.year}{span}, {change.standing}"
    return f"{change.change}{plants}: {stands}; {worse}"
