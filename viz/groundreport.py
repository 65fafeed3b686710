"""The ground as a person reads it in a terminal: what matters in plain words, then tables.

What matters comes worst first: water that stands at a building, ground that falls towards it,
trees that may not live, falls beyond their limits. Lengths, areas and volumes are in the
document's kind of unit; volumes to three figures, for the survey bears no more.
"""

from collections.abc import Iterator

from rich.console import Console
from rich.markup import escape
from rich.table import Table

from scenes.falls import Fall
from scenes.groundwork import Groundwork
from scenes.lengths import METRES
from scenes.points import Point
from scenes.quantities import Quantity
from scenes.rootzone import RootZone
from viz.tables import NO_FIGURES, print_list, print_table, table
from viz.units import area_text, depth_text, imperial, length_text, volume_text

GALLONS_PER_MINUTE = 15.850323
"""US gallons a minute in a litre a second."""

ASK_AN_ARBORIST = 0.10
NOTABLE_SHARE = 0.05
"""Less than a twentieth of a place beyond its limit stays in the table."""


def tree_text(zone: RootZone, *, lengths: str) -> str:
    """A kept tree by its own name; one without by its kind and place."""
    if zone.tree != zone.plant:
        return zone.tree
    return f"{zone.plant} at {place_text(zone.at, lengths=lengths)}"


def place_text(at: Point | None, *, lengths: str) -> str:
    """A place in the document's own numbers."""
    if at is None:
        return ""
    return f"({at[0] / METRES[lengths]:.1f}, {at[1] / METRES[lengths]:.1f})"


def what_matters(ground: Groundwork, *, lengths: str) -> Iterator[str]:
    """The few things to know first, worst first, one line each."""
    beyond = [f for f in ground.falls if f.met is False and f.share_beyond >= NOTABLE_SHARE]
    yield from _pond_lines(ground, lengths=lengths)
    yield from (_fall_line(fall, lengths=lengths) for fall in beyond if "house" in fall.rule)
    for zone in sorted(ground.root_zones, key=lambda zone: -zone.lost_fraction):
        if zone.lost_fraction >= ASK_AN_ARBORIST:
            lost = f"{100 * zone.lost_fraction:.0f} %"
            told = tree_text(zone, lengths=lengths)
            yield f"{told} loses {lost} of its root zone: {zone.level}."
    yield from (_fall_line(fall, lengths=lengths) for fall in beyond if "house" not in fall.rule)
    yield from (f"{clash}." for clash in ground.clashes)
    yield from _leaving_lines(ground, lengths=lengths)
    yield _earth_line(ground, lengths=lengths)


def _pond_lines(ground: Groundwork, *, lengths: str) -> Iterator[str]:
    for pond in sorted(ground.drainage.ponds, key=lambda pond: pond.against is None):
        at = f"at {place_text(pond.at, lengths=lengths)}"
        where = f"against {pond.against}, {at}" if pond.against else at
        yield (
            f"Water stands {where}: {depth_text(pond.depth_m, lengths=lengths)} deep over "
            f"{area_text(pond.area_m2, lengths=lengths)}."
        )
    if ground.drainage.closed_in_m2:
        area = area_text(ground.drainage.closed_in_m2, lengths=lengths)
        yield f"{area} are closed in by buildings or walls: their water needs a drain."


def _leaving_lines(ground: Groundwork, *, lengths: str) -> Iterator[str]:
    for outlet in ground.drainage.outlets:
        yield (
            f"The water of {area_text(outlet.catchment_m2, lengths=lengths)} leaves the lot at "
            f"{place_text(outlet.at, lengths=lengths)}; a neighbour there must not get more of it."
        )


def _fall_line(fall: Fall, *, lengths: str) -> str:
    side = "at least" if fall.at_least else "at most"
    worst = fall.worst_percent or 0.0
    towards = ", towards it," if round(worst, 1) < 0 else ""
    return (
        f"{fall.place}: {fall.rule}, {_percent(worst)}{towards} at "
        f"{place_text(fall.at, lengths=lengths)}, where {side} {fall.limit_percent:.4g} % is usual."
    )


def _percent(percent: float) -> str:
    """A fall to a tenth of a percent, level ground without a sign."""
    return f"{round(percent, 1) + 0.0:.1f} %"


def _earth_line(ground: Groundwork, *, lengths: str) -> str:
    earth = ground.earth
    cut = volume_text(earth.cut_m3, lengths=lengths)
    fill = volume_text(earth.fill_m3, lengths=lengths)
    loads = f"; {earth.loads} truck loads in or out" if earth.loads else ""
    if not (earth.cut_m3 or earth.fill_m3):
        return "Earth: none is cut or filled."
    return f"Earth: {cut} of cut, measured in the bank, and {fill} of fill, in place{loads}."


def print_ground(console: Console, ground: Groundwork, *, lengths: str) -> None:
    """What matters, tables of falls, water, roots and quantities, then cautions."""
    console.print(f"[bold]{escape(ground.title)}: the ground[/bold]")
    for line in what_matters(ground, lengths=lengths):
        console.print(f"  - {escape(line)}")
    for made in (
        earth_table(ground, lengths=lengths),
        _falls(ground.falls, lengths=lengths),
        _ponds(ground, lengths=lengths),
        _peaks(ground, lengths=lengths),
        _roots(ground, lengths=lengths),
        quantities_table(ground.quantities, lengths=lengths),
    ):
        print_table(console, made)
    advice = dict.fromkeys(line for zone in ground.root_zones for line in zone.advice)
    print_list(console, "Around the kept trees (common practice)", advice)
    print_list(console, "Notes", ground.notes)
    print_list(console, "Before you rely on this", ground.cautions)


def earth_table(ground: Groundwork, *, lengths: str) -> Table:
    """Volumes of soil that move; no row where none does."""
    earth = ground.earth
    rows = {
        f"Cut, bank (give or take {volume_text(earth.error_m3, lengths=lengths)})": earth.cut_m3,
        "Fill, in place": earth.fill_m3,
        "The cut once dug, loose": earth.loose_m3,
        "The cut once placed, compacted": earth.compacted_m3,
        "Field soil used again, bank": earth.balance.reused_m3,
        "Brought in, bank": earth.balance.import_m3,
        "Taken away, bank": earth.balance.export_m3,
        "Topsoil stripped and put back": earth.strip_m3,
    }
    return table(
        f"Earth, as {earth.soil.name}",
        ("Volume", "Amount"),
        [(name, volume_text(amount, lengths=lengths)) for name, amount in rows.items()]
        if any(rows.values())
        else [],
    )


def _falls(falls: tuple[Fall, ...], *, lengths: str) -> Table:
    return table(
        "Falls: the worst of each place",
        ("Place", "Rule", "Worst", "Usual", "At", ""),
        [_fall_cells(fall, lengths=lengths) for fall in falls],
        figures=NO_FIGURES,
    )


def _fall_cells(fall: Fall, *, lengths: str) -> tuple[str, ...]:
    side = ">=" if fall.at_least else "<="
    return (
        fall.place,
        fall.rule,
        "" if fall.worst_percent is None else _percent(fall.worst_percent),
        f"{side} {fall.desirable_percent:.4g} / {fall.limit_percent:.4g} %",
        place_text(fall.at, lengths=lengths),
        fall.standing,
    )


def _ponds(ground: Groundwork, *, lengths: str) -> Table:
    return table(
        "Where water stands",
        ("At", "Against", "Depth", "Area", "Holds", "Drains"),
        [
            (
                place_text(pond.at, lengths=lengths),
                pond.against or "",
                depth_text(pond.depth_m, lengths=lengths),
                area_text(pond.area_m2, lengths=lengths),
                volume_text(pond.volume_m3, lengths=lengths),
                area_text(pond.catchment_m2, lengths=lengths),
            )
            for pond in ground.drainage.ponds
        ],
        figures=slice(2, None),
    )


def _peaks(ground: Groundwork, *, lengths: str) -> Table:
    return table(
        "Peak flows (rational method)",
        ("Place", "Drains", "Runs off", "Peak"),
        [
            (
                f"{peak.place} {place_text(peak.at, lengths=lengths)}",
                area_text(peak.catchment_m2, lengths=lengths),
                f"{100 * peak.runoff_share:.0f} %",
                _flow_text(peak.litres_per_s, lengths=lengths),
            )
            for peak in ground.peaks
        ],
    )


def _flow_text(litres_per_s: float, *, lengths: str) -> str:
    if imperial(lengths):
        return f"{GALLONS_PER_MINUTE * litres_per_s:.0f} gal/min"
    return f"{litres_per_s:.1f} l/s"


def _roots(ground: Groundwork, *, lengths: str) -> Table:
    return table(
        "Root zones of kept trees",
        ("Tree", "Radius", "Lost", "By", "Deepest cut", "Highest fill", "Level"),
        [_zone_cells(zone, lengths=lengths) for zone in ground.root_zones],
        figures=NO_FIGURES,
    )


def _zone_cells(zone: RootZone, *, lengths: str) -> tuple[str, ...]:
    causes = [f"{cause} {100 * share:.0f} %" for cause, share in zone.shares.items() if share]
    return (
        tree_text(zone, lengths=lengths),
        f"{length_text(zone.radius_m, lengths=lengths)}\n{zone.rule}",
        f"{100 * zone.lost_fraction:.0f} %",
        "\n".join(causes),
        depth_text(zone.deepest_cut_m, lengths=lengths),
        depth_text(zone.highest_fill_m, lengths=lengths),
        zone.level,
    )


def quantities_table(quantities: tuple[Quantity, ...], *, lengths: str) -> Table:
    """What is ordered, waste included."""
    return table(
        "Quantities, waste included",
        ("Item", "Amount"),
        [(quantity.item, amount_text(quantity, lengths=lengths)) for quantity in quantities],
    )


def amount_text(quantity: Quantity, *, lengths: str) -> str:
    """So much of an item in the document's kind of unit."""
    if quantity.unit == "m2":
        return area_text(quantity.amount, lengths=lengths)
    if quantity.unit == "m3":
        return volume_text(quantity.amount, lengths=lengths)
    if quantity.unit == "m":
        return length_text(quantity.amount, lengths=lengths)
    unit = quantity.unit.removesuffix("s") if round(quantity.amount) == 1 else quantity.unit
    return f"{quantity.amount:.0f} {unit}"
