"""Fit the class curves to the measured trees, or print how well they do.

    python -m growth.calibrate DATA             writes coefficients.csv and published_curves.csv
    python -m growth.calibrate --report DATA    prints error, bias, coverage and width

DATA is the public table of measured trees, file TS3_Raw_tree_data.csv of the Urban tree
database, doi 10.2737/RDS-2016-0005. The report refits without each species in turn; it takes
a minute and leaves the tables as they are.
"""

import argparse
import csv
from collections.abc import Sequence
from pathlib import Path

from growth.calibrate.equations import equations_centre, equations_report
from growth.calibrate.fit import table
from growth.calibrate.judge import Deviations, Outcome, deviations, leave_out
from growth.calibrate.lindens import lindens
from growth.calibrate.published import published_rows
from growth.calibrate.report import report
from growth.calibrate.trees import read_trees
from growth.calibrate.tuning import Tuning, foretell_unseen, tune
from growth.coefficients import COEFFICIENTS
from growth.equations import CURVES, EQUATIONS

SOURCE = "fitted to Urban tree database, doi 10.2737/RDS-2016-0005, table TS3"


def main(argv: Sequence[str] | None = None) -> int:
    """Run the calibration or its report."""
    parser = argparse.ArgumentParser(prog="python -m growth.calibrate", description=__doc__)
    parser.add_argument("data", type=Path, metavar="DATA")
    parser.add_argument("--report", action="store_true", help="print tables, write nothing")
    args = parser.parse_args(argv)
    trees = read_trees(args.data)
    outcomes = [leave_out(trees, of=of) for of in ("height", "spread")]
    found = [deviations(trees, outcome) for outcome in outcomes]
    if args.report:
        for outcome, parts in zip(outcomes, found, strict=True):
            print(report(trees, outcome, foretell_unseen(trees, outcome), parts))
            print(equations_report(trees, of=outcome.of))
        print(lindens())
        return 0
    rows = []
    for outcome, parts in zip(outcomes, found, strict=True):
        tuning = tune(trees, outcome, rows=trees.age_years >= 0)
        rows += _rows(outcome, tuning, parts)
        centre = equations_centre(trees, of=outcome.of, scatter=tuning.scatter, stock=tuning.stock)
        rows.append([outcome.of, "equations", "centre", f"{centre:.4f}", SOURCE])
    share = sum(parts.share_between for parts in found) / len(found)
    rows.append(["both", "between kinds", "share of variance", f"{share:.3f}", SOURCE])
    _write_coefficients(rows)
    _write_published()
    return 0


def _rows(outcome: Outcome, tuning: Tuning, parts: Deviations) -> list[list[str]]:
    """Rows of coefficients.csv for the height or the spread."""
    values = {
        **table(outcome.times(tuning.factor).found),
        ("scatter", "asymptote"): tuning.scatter.asymptote,
        ("scatter", "rate"): tuning.scatter.rate,
        ("scatter", "shape"): tuning.scatter.shape,
        ("scatter", "size at planting, where unknown"): tuning.stock,
        ("deviation of ln size", "between species"): parts.between,
        ("deviation of ln size", "within species"): parts.within,
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
