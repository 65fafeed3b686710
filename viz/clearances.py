"""Plants that come too near to things or to each other, as tables: the soonest first."""

from collections import defaultdict
from collections.abc import Sequence

from rich.table import Table

from growth.checks.findings import Clash, Crowded, Findings, FireGap
from growth.firerules import UPWARDS
from viz.tables import table
from viz.units import length_text

MOST_ROWS = 12
CURES = {"clip": "clip to {} wide", "lift": "lift crown to {}", "move": "{} farther off"}


def clearance_table(findings: Findings, *, lengths: str) -> Table:
    """One row for the plants of a place of the document against one thing."""
    groups: dict[tuple[str, str, str, str], list[Clash]] = defaultdict(list)
    for clash in findings.clearance:
        groups[clash.place, clash.plant, clash.against, clash.what].append(clash)
    rows = sorted(groups.values(), key=lambda group: (_soonest(group), -_most_m(group)))
    return table(
        "Plants that come too near, soonest first",
        ("Plants", "Against", "From year", "Overlap", "Cured by"),
        [_clash_cells(findings, group, lengths=lengths) for group in rows],
        figures=slice(2, 4),
        most=MOST_ROWS,
    )


def _clash_cells(findings: Findings, group: Sequence[Clash], *, lengths: str) -> tuple[str, ...]:
    worst = max(group, key=lambda clash: clash.overlap_m)
    return (
        f"{len(group)} {findings.told(worst.plant, worst.place)}",
        worst.against if worst.what in worst.against else _named(worst),
        _years(group),
        _overlap(worst, lengths=lengths),
        _cures(worst, lengths=lengths),
    )


def crowding_table(pairs: Sequence[Crowded], *, lengths: str) -> Table:
    """One row for every two unlike kinds that stand closer than their mature spreads ask for."""
    rows = [(p.plant, p.other, p.distance_m, p.wanted_m, p.first_year) for p in pairs]
    return _apart("Unlike plants too close, soonest to meet first", "Apart", rows, lengths=lengths)


def fire_table(gaps: Sequence[FireGap], *, lengths: str) -> Table:
    """One row for every two kinds, or kind and house, closer than fire spacing asks for."""
    above = {UPWARDS: " above it"}
    rows = [
        (g.plant, g.other + above.get(g.rule, ""), g.gap_m, g.wanted_m, g.first_year) for g in gaps
    ]
    title = "Closer than fire spacing asks for, the soonest first"
    return _apart(title, "Clear gap", rows, lengths=lengths)


def _apart(
    title: str,
    apart: str,
    rows: Sequence[tuple[str, str, float, float, int | None]],
    *,
    lengths: str,
) -> Table:
    """Pairs of kinds: how far apart they are and should be, in metres, and from which year on."""
    return table(
        title,
        ("Plants", apart, "Should be", "From year"),
        [
            (
                f"{one}, {other}",
                length_text(apart_m, lengths=lengths),
                length_text(wanted_m, lengths=lengths),
                "none" if year is None else str(year),
            )
            for one, other, apart_m, wanted_m, year in rows
        ],
        most=MOST_ROWS,
    )


def _cures(clash: Clash, *, lengths: str) -> str:
    return "; or ".join(
        CURES[cure.do].format(length_text(cure.length_m, lengths=lengths)) for cure in clash.cures
    )


def _overlap(clash: Clash, *, lengths: str) -> str:
    """The expected overlap, or that of the fastest plants where only those touch."""
    if clash.first_year is None:
        return f"to {length_text(clash.most_m, lengths=lengths)}"
    return length_text(clash.overlap_m, lengths=lengths)


def _named(clash: Clash) -> str:
    return f"{clash.against}, {clash.what}"


def _soonest(group: Sequence[Clash]) -> tuple[int, int]:
    return min(_when(clash) for clash in group)


def _when(clash: Clash) -> tuple[int, int]:
    """Its year at expected growth, then at the earliest; those that only may come are last."""
    first, low = (99 if y is None else y for y in (clash.first_year, clash.earliest_year))
    return first, low


def _most_m(group: Sequence[Clash]) -> float:
    return max(clash.overlap_m for clash in group)


def _years(group: Sequence[Clash]) -> str:
    """The first year of the soonest plant, with those of its fastest and slowest course."""
    first = min(group, key=_when)
    low, middle, high = (
        "none" if year is None else str(year)
        for year in (first.earliest_year, first.first_year, first.latest_year)
    )
    if first.first_year is None:
        return f"perhaps {low}"
    return middle if low == middle == high else f"{middle} ({low} to {high})"
