"""The checks, a plant's course and the catalogue as tables a person can read in a terminal.

Only arranges what was computed; figures are rounded for reading, ranges are printed beside
every expected value, and areas follow the document's own unit.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from rich.console import Console
from rich.markup import escape
from rich.table import Table

from growth.checks.count import count_unit
from growth.checks.credits import Credit
from growth.checks.findings import Findings, Verdict
from growth.plants import UNKNOWN, Plant
from growth.ranges import Range
from growth.search import Found
from scenes.lengths import METRES
from viz.clearances import clearance_table, crowding_table
from viz.lightreport import light_table
from viz.sights import sight_table
from viz.sprays import spray_table
from viz.units import area_text, imperial

SHOWN_YEARS = (1, 5, 15, 30)
"""Few enough that a row fits a terminal of 80 columns with its ranges."""
GAP_YEAR = 5
OFFICER_SEASON = {"leaf": "summer", "bare": "winter"}


def percent_range(fraction: Range, year: int) -> str:
    """Expected percent with low to high, like '74 (63-82)'."""
    low, expected, high = (
        round(100 * float(a[year])) for a in (fraction.low, fraction.expected, fraction.high)
    )
    return f"{expected}" if low == high else f"{expected} ({low}-{high})"


def limit_text(verdict: Verdict) -> str:
    """What the requirement asks, like 'at least 80 % in year 5, bare'."""
    side = "at least" if verdict.at_least else "at most"
    if verdict.check == "count":
        return f"{side} {amount_text(verdict.limit, verdict.unit)} in year {verdict.year}"
    return f"{side} {100 * verdict.limit:g} % in year {verdict.year}, {verdict.season}"


def amount_text(value: float, unit: str) -> str:
    """A share in percent, or a count to the tenth; its words say per what."""
    return f"{100 * value:.0f} %" if unit == "share" else f"{value:.1f}"


def forecast_text(verdict: Verdict) -> str:
    """Low, expected and high of a requirement in percent, or that nothing was computed."""
    if verdict.low is None or verdict.expected is None or verdict.high is None:
        return "not computed yet"
    return " / ".join(
        amount_text(v, verdict.unit) for v in (verdict.low, verdict.expected, verdict.high)
    )


def _requirements(findings: Findings) -> Table:
    table = Table(title="Requirements", title_justify="left", expand=False)
    table.add_column("Requirement", overflow="fold", min_width=14)
    table.add_column("Asks", overflow="fold")
    table.add_column("Low / expected / high", no_wrap=True)
    table.add_column("Standing", no_wrap=True)
    for verdict in findings.requirements:
        table.add_row(
            escape(verdict.name),
            f"{verdict.check} of {escape(verdict.of)}: {limit_text(verdict)}",
            forecast_text(verdict),
            verdict.standing,
        )
    return table


def _years_table(title: str, first: str, *, years: Sequence[int] = SHOWN_YEARS) -> Table:
    table = Table(title=title, title_justify="left", expand=False)
    table.add_column(first, overflow="fold", min_width=16)
    for year in years:
        table.add_column(f"Year {year}", justify="right", no_wrap=True)
    return table


def _coverage(findings: Findings, *, lengths: str) -> Table:
    years = SHOWN_YEARS[:-1]
    table = _years_table("Beds covered, percent: expected (low-high)", "Bed", years=years)
    table.add_column("Closed", justify="right", no_wrap=True)
    for bed in findings.coverage:
        closed = "not by 30" if bed.closed_year is None else f"year {bed.closed_year}"
        name = f"{escape(bed.bed)}, {area_text(bed.area_m2, lengths=lengths)}"
        table.add_row(name, *(percent_range(bed.fraction, y) for y in years), closed)
    return table


def _screening(findings: Findings) -> Table:
    table = _years_table("Opacity, percent hidden: expected (low-high)", "View")
    for view in findings.screening:
        name = f"{escape(view.view)} ({view.purpose}), {OFFICER_SEASON[view.season]}"
        table.add_row(name, *(percent_range(view.fraction_blocked, y) for y in SHOWN_YEARS))
    return table


def _gaps(findings: Findings, *, lengths: str) -> Table:
    """The largest gap of every screen in one year, and the opacity of its worst window."""
    unit = "ft" if imperial(lengths) else "m"
    metres = METRES[unit]
    title = f"Largest gap of each screen in year {GAP_YEAR}, expected course, {unit}"
    table = Table(title=title, title_justify="left", expand=False)
    table.add_column("View", overflow="fold", min_width=16)
    for head in ("Wide", "From", "To", "Along", "Closes", "Worst 2 sq yd, %"):
        table.add_column(head, justify="right")
    for view in findings.screening:
        gap = next((gap for gap in view.gaps if gap.year == GAP_YEAR), None)
        if view.purpose != "screen" or gap is None or view.worst_window is None:
            continue
        sizes_m = (gap.width_m, gap.low_m, gap.high_m, gap.along_m)
        table.add_row(
            f"{escape(view.view)}, {OFFICER_SEASON[view.season]}",
            *(f"{size_m / metres:.1f}" for size_m in sizes_m),
            "not by 30" if gap.closes is None else f"year {gap.closes}",
            percent_range(view.worst_window, GAP_YEAR),
        )
    return table


def _kept_open(findings: Findings) -> Table:
    """The year each view to keep open is lost, and the plant in its way."""
    table = Table(title="Views to keep open", title_justify="left", expand=False)
    table.add_column("View", overflow="fold", min_width=16)
    for head in ("Lost (earliest, latest)", "Taking out", "opens"):
        table.add_column(head, overflow="fold")
    for view in findings.screening:
        if view.lost is None:
            continue
        lost = view.lost
        years = (lost.first_year, lost.earliest_year, lost.latest_year)
        first, earliest, latest = ("never" if year is None else str(year) for year in years)
        asked = f"under {100 * lost.limit:.0f} % open: {first}"
        table.add_row(
            f"{escape(view.view)}, {OFFICER_SEASON[view.season]}",
            asked if earliest == latest else f"{asked} ({earliest}, {latest})",
            f"{escape(lost.plant)}, {lost.place}" if lost.plant else "",
            f"{100 * lost.opens:.0f} %" if lost.opens else "",
        )
    return table


def _canopy(findings: Findings, *, lengths: str) -> Table:
    table = _years_table("Canopy over the lot, percent: expected (low-high)", "Lot")
    canopy = findings.canopy
    cells = (percent_range(canopy.fraction, y) for y in SHOWN_YEARS)
    table.add_row(area_text(canopy.lot_m2, lengths=lengths), *cells)
    table.caption = "\n".join(_credit(credit, lengths=lengths) for credit in canopy.credits)
    return table


def _credit(credit: Credit, *, lengths: str) -> str:
    """What a local rule credits the lot's trees with, as one line."""
    name = f"{credit.rule.rule} ({credit.rule.place})"
    if credit.area_m2 is None or credit.fraction is None:
        return f"{name}: only for trees {credit.rule.trees}; which those are is not known here"
    area, percent = area_text(credit.area_m2, lengths=lengths), f"{100 * credit.fraction:.0f} %"
    summed = " (overlaps count twice)" if credit.fraction > 1 else ""
    return f"{name}: {area}, {percent} credited{summed}; check your local code"


def _counts(findings: Findings) -> Table:
    table = _years_table("Counts of trees and shrubs: expected (low-high)", "Of")
    for of, found in findings.counts.items():
        if not found.high.any():
            continue
        unit = count_unit(of)
        shown = [
            percent_range(found, y) + " %" if unit == "share" else f"{found.expected[y]:.1f}"
            for y in SHOWN_YEARS
        ]
        table.add_row(escape(of), *shown)
    return table


def print_findings(console: Console, findings: Findings, *, lengths: str) -> None:
    """Requirements, coverage, opacity, canopy and more, then what to know before relying on it."""
    console.print(f"[bold]{escape(findings.title)}[/bold]")
    tables = [_requirements(findings)] if findings.requirements else []
    tables += [_coverage(findings, lengths=lengths)] if findings.coverage else []
    tables += [_screening(findings)] if findings.screening else []
    gaps = _gaps(findings, lengths=lengths)
    kept_open = _kept_open(findings)
    tables += [table for table in (kept_open, gaps) if table.row_count]
    tables += [_canopy(findings, lengths=lengths)]
    tables += [clearance_table(findings.clearance, lengths=lengths)] if findings.clearance else []
    tables += [spray_table(findings.spray, lengths=lengths)] if findings.spray else []
    tables += [_counts(findings)] if findings.counts else []
    tables += [crowding_table(findings.crowding, lengths=lengths)] if findings.crowding else []
    tables += [sight_table(findings.sight)] if findings.sight else []
    light = light_table(findings.lighting.spots if findings.lighting else ())
    tables += [light] if light.row_count else []
    for table in tables:
        console.print(table)
    lists = (
        ("Not computed yet", findings.not_computed),
        ("Notes", findings.notes),
        ("Before you rely on this", findings.cautions),
    )
    for heading, lines in lists:
        if lines:
            console.print(f"[bold]{heading}[/bold]")
            for line in lines:
                console.print(f"  - {escape(line)}")


def print_course(console: Console, course: Mapping[str, Any], years: Sequence[int]) -> None:
    """One plant's height and spread at some years, with the range and where it comes from."""
    table = Table(title=escape(str(course["plant"])), title_justify="left")
    for head in ("Year", "Height, m (low-high)", "Spread, m (low-high)", "Crown base, m"):
        table.add_column(head, justify="right")
    for year in years:
        index = course["years"].index(year)
        cells = [
            f"{course[key]['expected'][index]:.2f} "
            f"({course[key]['low'][index]:.2f}-{course[key]['high'][index]:.2f})"
            for key in ("height_m", "spread_m")
        ]
        table.add_row(str(year), *cells, f"{course['crown_base_m']['expected'][index]:.2f}")
    console.print(table)
    console.print(f"Basis: {escape(str(course['basis']))}")
    console.print(f"Source: {escape(str(course['source']))}")
    for row in course["seen"]:
        size = f"{row['height_m']:.2f} m tall, {row['spread_m']:.2f} m wide"
        console.print(f"Seen in year {row['year']:g}: {size}")
    for note in course["notes"]:
        console.print(f"Note: {escape(note)}")


def print_plants(console: Console, plants: Sequence[Plant], *, known: int) -> None:
    """The plants found among those known, one row each, and what their cautions mean."""
    table = Table(title=f"{len(plants)} of {known} plants", title_justify="left")
    table.add_column("Plant", overflow="fold")
    table.add_column("Kind", overflow="fold")
    table.add_column("Height\nSpread, m", no_wrap=True)
    table.add_column("Rate", no_wrap=True)
    table.add_column("Zones", no_wrap=True)
    table.add_column("Cautions", overflow="fold")
    for plant in plants:
        table.add_row(
            f"{escape(plant.name)}\n[dim]{escape(plant.common)}[/dim]",
            f"{plant.kind}\n{plant.leaf}",
            f"{_span(plant.height_m)}\n{_span(plant.spread_m)}",
            plant.rate,
            f"{plant.zones[0]}-{plant.zones[1]}" if plant.zones else "not looked up",
            ", ".join(_short_cautions(plant)),
        )
    console.print(table)
    console.print(
        "Cautions are what lists name; not to be named, or not to have been looked up, promises "
        "nothing. Their words, places and sources are in --json."
    )


def none_found(found: Found, words: Sequence[str]) -> str:
    """Why no plant is shown: the words that fit none, with near ones, or all words together."""
    if not found.unmatched:
        return f"No plant fits all of: {' '.join(words)}"
    unmatched = ", ".join(f'"{word}"' for word in found.unmatched)
    near = f"; near words are {', '.join(found.near)}" if found.near else ""
    return f"No plant in the catalogue fits {unmatched}{near}"


def _short_cautions(plant: Plant) -> Iterator[str]:
    """What lists warn of, in a word or two each."""
    said = {"people": plant.toxic_people, "pets": plant.toxic_pets}
    named = [whom for whom, text in said.items() if text != UNKNOWN]
    yield f"listed toxic ({' and '.join(named)})" if named else "toxicity not looked up"
    if plant.thorny:
        yield "thorny"
    if plant.invasive:
        yield "listed invasive"


def _span(sizes_m: tuple[float, float]) -> str:
    low, high = sizes_m
    digits = 0 if high >= 10 else 1
    return f"{low:.{digits}f}-{high:.{digits}f}"
