"""The table of fitted coefficients, coefficients.csv, by quantity, parameter and term.

`python -m growth.calibrate DATA` writes it; every row names its source.
"""

import csv
from collections.abc import Mapping
from functools import cache
from pathlib import Path

COEFFICIENTS = Path(__file__).with_name("coefficients.csv")


@cache
def coefficient_rows() -> Mapping[tuple[str, str, str], float]:
    """Every value of coefficients.csv by quantity, parameter and term."""
    with COEFFICIENTS.open(newline="", encoding="utf-8") as rows:
        return {
            (row["quantity"], row["parameter"], row["term"]): float(row["value"])
            for row in csv.DictReader(rows)
        }
