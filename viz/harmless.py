"""Cells of CSV files that no spreadsheet runs.

A cell that begins with =, +, -, @ or a tab, which a spreadsheet would take for a formula, is
written behind an apostrophe.
"""

FORMULA = ("=", "+", "-", "@", "\t", "\r")


def harmless(cell: str) -> str:
    """A cell that no spreadsheet takes for a formula."""
    return f"'{cell}" if cell.startswith(FORMULA) else cell
