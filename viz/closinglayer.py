"""The layer of closing beds: each spot of every bed by the years in which it closes.

The years are those of the findings, by the expected sizes; here they only fall into classes.
Shares are those of the beds' true area together, on slopes too. A bed's chip says when all of
it counts as closed, which is its coverage's year.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from growth.checks.findings import BedCover, Closing, Findings
from scenes.layout import BedShape, Layout
from viz.rootlayer import rings

UNTIL_YEAR = (2, 5, 10, 20, 30)
"""Last year of each class; what closes later, or never, is one class more."""

NO_BED = 255


def closing_layer(layout: Layout, findings: Findings) -> Mapping[str, Any]:
    """Classes of every bed's cells, south row first, the beds' edges, shares, and labels.

    Lengths are metres, shares 0-1 of all beds' area. ValueError where layout and findings are
    not of one yard.
    """
    found = findings.closing
    return {
        "until": list(UNTIL_YEAR),
        "shares": shares(found).tolist(),
        "beds": [bed_layer(bed, one) for bed, one in zip(layout.beds, found, strict=True)],
        "labels": list(bed_labels(layout.beds, findings.coverage)),
    }


def classes(closing: Closing) -> NDArray[np.uint8]:
    """Class of every cell (ny, nx), 0 the soonest; the last one where no year closes it."""
    late = np.searchsorted(UNTIL_YEAR, closing.year)
    return np.where(closing.year < closing.years, late, len(UNTIL_YEAR)).astype(np.uint8)


def shares(found: Sequence[Closing]) -> NDArray[np.float64]:
    """Share of all beds' area in each class; nothing but zeros without beds."""
    area_m2 = np.zeros(len(UNTIL_YEAR) + 1)
    for one in found:
        weight = one.over.weight.ravel() * one.over.cell_m**2
        area_m2 += np.bincount(classes(one).ravel(), weight, len(area_m2))
    return np.asarray(area_m2 / (area_m2.sum() or 1.0))


def bed_layer(bed: BedShape, closing: Closing) -> Mapping[str, Any]:
    """Classes of a bed's cells, `NO_BED` outside it, where they lie in metres, and its edge."""
    over = closing.over
    return {
        "corner": [over.x0_m, over.y0_m],
        "cell": over.cell_m,
        "columns": over.weight.shape[1],
        "cells": np.where(over.weight > 0, classes(closing), NO_BED).astype(np.uint8).ravel(),
        "edge": rings(bed.outline),
    }


def bed_labels(beds: Sequence[BedShape], covers: Sequence[BedCover]) -> Iterator[Mapping[str, Any]]:
    """When each bed counts as closed, said at its northernmost point so that little is hidden."""
    for bed, cover in zip(beds, covers, strict=True):
        x_m, y_m = max(bed.outline.exterior.coords, key=lambda point: point[1])[:2]
        year = cover.closed_year
        when = "not closed by year 30" if year is None else f"closed in year {year}"
        yield {"at": [x_m, y_m], "text": f"{bed.name}: {when}"}
