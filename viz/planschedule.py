"""The plant schedule: one row for each kind at each size, with its key and how many there are.

Quantities are counted from the very plants that the plan draws. Sizes sold in containers are
told as such; others as balled and burlapped or equal, as is common practice. Text that a
spreadsheet would run as a formula is written behind an apostrophe.
"""

import csv
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from io import StringIO

import numpy as np

from growth.plants import UNKNOWN, Plant
from growth.stand import Stand
from scenes.document import Yard
from scenes.layout import Layout, Source
from scenes.lengths import METRES
from viz.harmless import harmless
from viz.units import imperial

HEADS = (
    "Key", "Qty", "Botanical name", "Common name", "Size", "Condition", "Spacing",
    "Mature H x W", "Growth", "Remarks",
)  # fmt: skip
COLUMNS = (
    "key", "quantity", "botanical_name", "common_name", "size", "condition", "spacing",
    "mature_height_and_spread", "growth_rate", "remarks",
)  # fmt: skip


@dataclass(frozen=True)
class Row:
    """One row: its key, the sources it counts, and its cells after key and quantity."""

    key: str
    quantity: int
    sources: tuple[int, ...]
    kept: bool
    cells: tuple[str, ...]

    @property
    def all_cells(self) -> tuple[str, ...]:
        """Key, quantity and the rest, as they are printed."""
        return (self.key, str(self.quantity), *self.cells)


def schedule(yard: Yard, layout: Layout, stand: Stand) -> tuple[Row, ...]:
    """Planted rows first, then those of plants that stay; in the document's order."""
    counts = np.bincount(layout.source, minlength=len(layout.sources))
    groups: dict[tuple[bool, str, str], list[int]] = {}
    for number, source in enumerate(layout.sources):
        if counts[number]:
            group = (source.kept is not None, source.plant, _size(yard, source))
            groups.setdefault(group, []).append(number)
    plants = {plant.name: plant for plant in stand.plants}
    rows: list[Row] = []
    taken: set[str] = set()
    for (kept, name, size), mine in sorted(groups.items(), key=lambda item: item[0][0]):
        key = _key(name, taken)
        taken.add(key)
        sources = [layout.sources[each] for each in mine]
        cells = _cells(yard, plants[name], size, sources)
        rows.append(Row(key, int(counts[mine].sum()), tuple(mine), kept, cells))
    return tuple(rows)


def total_words(rows: Sequence[Row]) -> str:
    """The sums of the whole schedule."""
    planted = sum(row.quantity for row in rows if not row.kept)
    kept = sum(row.quantity for row in rows if row.kept)
    return f"{planted} to be planted, {kept} existing to stay"


def as_csv(rows: tuple[Row, ...]) -> str:
    """The schedule as a table other programs read."""
    out = StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    writer.writerows([harmless(cell) for cell in row.all_cells] for row in rows)
    return out.getvalue()


def _key(name: str, taken: set[str]) -> str:
    """Initials of the botanical name, with a number where two kinds share them."""
    words = [word for word in re.findall(r"[^\W\d_]+", name) if word != "x"]
    start = "".join(word[0] for word in words[:2]).upper() or "P"
    keys = (f"{start}{n if n > 1 else ''}" for n in range(1, len(taken) + 2))
    return next(key for key in keys if key not in taken)


def _cells(yard: Yard, plant: Plant, size: str, sources: list[Source]) -> tuple[str, ...]:
    spacings = {_spacing(yard, source) for source in sources}
    rate = plant.rate or ""
    mature = f"{_span(yard, plant.height_m)} x {_span(yard, plant.spread_m)}"
    return (
        plant.name, plant.common, size, _condition(sources[0]), ", ".join(sorted(spacings)),
        mature, rate, "; ".join(dict.fromkeys(_remarks(yard, plant, sources))),
    )  # fmt: skip


def _size(yard: Yard, source: Source) -> str:
    table = source.kept
    if table is not None:
        return f"{_long(yard, table.height)} x {_long(yard, table.spread)}"
    planting = source.planting
    if planting is not None and planting.now is not None:
        return f"{_long(yard, planting.now.height)} x {_long(yard, planting.now.spread)}"
    return (planting.size if planting else None) or "as usually sold"


def _condition(source: Source) -> str:
    if source.kept is not None:
        return "existing, stays"
    size = (source.planting.size if source.planting else None) or ""
    if "#" in size or "gal" in size or "pot" in size:
        return "container"
    return "B&B or equal" if "cal" in size or "ht" in size else "as sold"


def _spacing(yard: Yard, source: Source) -> str:
    table = source.planting or source.kept
    if table is None or table.spacing is None or table.at is not None:
        return "as drawn"
    if imperial(yard.lengths) and table.spacing < 3 * METRES["ft"] - 1e-6:
        return f"{table.spacing / METRES['in']:.0f} in"
    return _long(yard, table.spacing)


def _remarks(yard: Yard, plant: Plant, sources: list[Source]) -> Iterator[str]:
    for planting in (source.planting for source in sources if source.planting):
        if planting.removed is not None:
            yield f"taken out in year {planting.removed}"
        if planting.kept_at is not None:
            yield "clipped, see document"
    if plant.toxic and plant.toxic != UNKNOWN:
        yield plant.toxic if "toxic" in plant.toxic else f"toxic: {plant.toxic}"
    if plant.thorny:
        yield "thorny"
    if plant.invasive:
        yield f"{plant.invasive}"


def _long(yard: Yard, metres: float) -> str:
    if imperial(yard.lengths):
        return f"{round(metres / METRES['ft'], 1):g} ft"
    return f"{round(metres, 2):g} m"


def _span(yard: Yard, span_m: tuple[float, float]) -> str:
    feet = imperial(yard.lengths)
    low, high = (each / METRES["ft"] if feet else each for each in span_m)
    low, high = (round(each, 0 if feet and each >= 2 else 1) for each in (low, high))
    text = f"{low:g}" if low == high else f"{low:g}-{high:g}"
    return f"{text} {'ft' if feet else 'm'}"
