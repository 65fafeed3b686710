"""Fit the class curves to the measured trees, or print how well they do.

    python -m growth.calibrate DATA             writes coefficients.csv and published_curves.csv
    python -m growth.calibrate --report DATA    prints error, bias, coverage and width

DATA is the public table of measured trees, file TS3_Raw_tree_data.csv of the Urban tree
database, doi 10.2737/RDS-2016-0005. The report refits without each species in turn; it takes
some seconds and leaves the tables as they are.
"""

import argparse
import csv
from collections.abc import Mapping, Sequence
from pathlib import Path

from growth.calibrate.fit import table
from growth.calibrate.judge import Outcome, between_share, centred, fit_scatter, leave_out
from growth.calibrate.published import published_rows
from growth.calibrate.report import report
from growth.calibrate.trees import read_trees
from growth.coefficients import COEFFICIENTS
from growth.equations import CURVES, EQUATIONS
from growth.scatter import Scatter

SOURCE = "fitted to Urban tree database, doi 10.2737/RDS-2016-0005, table TS3"

CENTRINGS = 2
"""Scatter and centre depend on each other; after two rounds they stand still."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run the calibration or its report."""
    parser = argparse.ArgumentParser(prog="python -m growth.calibrate", description=__doc__)
    parser.add_argument("data", type=Path, metavar="DATA")
    parser.add_argument("--report", action="store_true", help="print tables, write nothing")
    args = parser.parse_args(argv)
    trees = read_trees(args.data)
    rows: list[list[str]] = []
    shares = []
    for of in ("height", "spread"):
        outcome = leave_out(trees, of=of)
        for _ in range(CENTRINGS):
            outcome = centred(trees, outcome, fit_scatter(trees, outcome))
        scatter = fit_scatter(trees, outcome)
        between, within = between_share(trees, outcome)
        shares.append(between**2 / (between**2 + within**2))
        print(report(trees, outcome, scatter, (between, within)))
        rows += _rows(outcome, scatter, {"between species": between, "within species": within})
    if not args.report:
        rows.append(
            ["both", "between kinds", "share of variance", f"{sum(shares) / 2:.3f}", SOURCE]
        )
        _write_coefficients(rows)
        _write_published()
    return 0


def _rows(outcome: Outcome, scatter: Scatter, deviations: Mapping[str, float]) -> list[list[str]]:
    """Rows of coefficients.csv for the height or the spread."""
    values = {
        **table(outcome.found),
        ("scatter", "ln asymptote"): scatter.asymptote,
        ("scatter", "ln rate"): scatter.rate,
        ("scatter", "ln shape"): scatter.shape,
        **{("deviation of ln size", term): value for term, value in deviations.items()},
    }
    return [
        [outcome.of, parameter, term, f"{value:.4f}", SOURCE]
        for (parameter, term), value in values.items()
    ]


def _write_coefficients(rows: list[list[str]]) -> None:
    with COEFFICIENTS.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerows([["quantity", "parameter", "term", "value", "source"], *rows])


def _write_published() -> None:
    with EQUATIONS.open(newline="", encoding="utf-8") as file:
        trees = {(row["species"], row["region"]): int(row["trees"]) for row in csv.DictReader(file)}
    rows = published_rows(trees)
    with CURVES.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, fieldnames=list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


if __name__ == "__main__":
    raise SystemExit(main())
