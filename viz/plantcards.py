"""What the page tells of a plant that is chosen in the picture, as plain data.

One entry for each table that plants come from (of a mix, for each kind): names, how they were
planted, their leaf, what to look out for, and how their growth is known. Sizes by year are those
of the section (viz/section.py); here is only which table every plant comes from, and the pieces
of its crown's envelope, which a press in the picture is held against. Metres.
"""

from collections.abc import Mapping
from typing import Any

import numpy as np

from growth.basis import ASSUMED, CLASS, PUBLISHED, SEEN
from growth.checks.findings import Findings
from growth.courses import start_basis
from growth.crowns import FORMS
from growth.plants import UNKNOWN, Plant
from growth.seasons import MONTHS
from growth.stand import Stand
from growth.starts import Entry, read_entries
from scenes.document import KeptAt, Planting, Yard
from scenes.layout import Layout, Source
from viz.lookout import lookout
from viz.units import length_text
from viz.words import long_date, percent, sentence_case

KNOWN = {
    SEEN: "From sizes seen locally",
    PUBLISHED: "From a published equation of the species",
    CLASS: "From the curve of its class, calibrated on measured trees",
    ASSUMED: "From its mature size and rate; the range is assumed",
}


def plant_cards(yard: Yard, layout: Layout, stand: Stand, findings: Findings) -> Mapping[str, Any]:
    """The cards of all tables, the table of every plant, and the envelopes of all kinds."""
    entries = read_entries(yard, layout.sources)
    warned = lookout(yard, layout, stand, findings)
    counts = np.bincount(stand.source, minlength=len(layout.sources))
    return {
        "table": stand.source.astype(np.uint16),
        "tables": [
            {
                **_told(yard, source, entry),
                "count": int(counts[number]),
                "lookout": warned.get(number, []),
            }
            for number, (source, entry) in enumerate(zip(layout.sources, entries, strict=True))
        ],
        "envelopes": [envelope(plant) for plant in stand.plants],
        "lit": findings.lighting is not None or yard.site.latitude_deg is None,
    }


def envelope(plant: Plant) -> list[list[float]]:
    """Pieces of a crown from base to top: lo, hi, and a, b, c of its squared relative radius."""
    return [[p.lo, p.hi, p.a, p.b, p.c] for p in FORMS[plant.form].pieces]


def _told(yard: Yard, source: Source, entry: Entry) -> Mapping[str, Any]:
    plant, basis = entry.start.plant, start_basis(entry.start)
    return {
        "name": sentence_case(source.name or plant.common or plant.name),
        "common": plant.common,
        "botanical": plant.name,
        "planted": planted_words(yard, source, entry),
        "leaf": leaf_words(plant),
        "cautions": caution_words(plant),
        "basis": KNOWN[basis.name],
        "source": sentence_case(basis.source),
    }


def planted_words(yard: Yard, source: Source, entry: Entry) -> str:
    """How plants of a table began: kept or planted, as which size, and when."""
    start = entry.start
    size = (
        f"{length_text(start.height_m, lengths=yard.lengths)} tall, "
        f"{length_text(start.spread_m, lengths=yard.lengths)} wide"
    )
    if source.kept is not None:
        return f"Stood here before and is kept; measured {size}"
    assert source.planting is not None
    planting = source.planting
    sold = f"{planting.size}, {size}" if planting.size and planting.now is None else size
    return ". ".join([f"{_when(yard, planting)} as {sold}", *_later(planting, yard.lengths)])


def _when(yard: Yard, planting: Planting) -> str:
    day = planting.planted or yard.site.planted
    return "Planted" if day is None else f"Planted {long_date(day)}"


def _later(planting: Planting, lengths: str) -> list[str]:
    """What is done to it later: clipping to a size, and removal."""
    limit = planting.kept_at or KeptAt()
    sizes = [
        f"{length_text(metres, lengths=lengths)} {word}"
        for metres, word in ((limit.height, "high"), (limit.spread, "wide"))
        if metres is not None
    ]
    kept = [f"Kept at {' and '.join(sizes)}"] if sizes else []
    gone = [f"Taken out in year {planting.removed}"] if planting.removed is not None else []
    return [*kept, *gone]


def leaf_words(plant: Plant) -> str:
    """Whether it keeps its leaf, how much sky shows through it, and when it flowers."""
    through = percent(plant.see_through_leaf)
    if plant.leaf == "evergreen":
        seen = f"{through} of the sky shows through"
    else:
        bare = percent(plant.see_through_bare)
        seen = f"{through} of the sky shows through in leaf, {bare} bare"
    flowers = [MONTHS[month - 1].capitalize() for month in plant.flower_months]
    when = f". In flower: {', '.join(flowers)}" if flowers and plant.colour_flower else ""
    return f"{plant.leaf.capitalize()}; {seen}{when}"


def caution_words(plant: Plant) -> list[str]:
    """What lists say of its poison, thorns and spread; what was not looked up says so."""
    said = plant.toxic
    source = plant.sources["cautions"]
    known = bool(said) and said != UNKNOWN
    poison = f"{sentence_case(said)} ({source})" if known else "Poison: not looked up"
    thorns = ["Thorny or sharp; keep it back from paths and play"] if plant.thorny else []
    spread = (
        [f"{sentence_case(plant.invasive)}; check the list of your state or county"]
        if plant.invasive
        else []
    )
    return [poison, *thorns, *spread]
