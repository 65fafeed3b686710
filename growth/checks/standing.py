"""How a requirement stands: met, likely, missed or unknown; and which season a month is in.

A requirement is met when even the unfavourable end of the range meets the limit, likely
when only the expected value does, missed otherwise, and unknown when nothing was computed.
A month counts as leaf when deciduous trees are in leaf in its middle, which depends on where
the yard lies; shrubs that leaf out earlier are then counted bare with them.
"""

from growth.checks.findings import Verdict
from growth.ranges import Range
from growth.seasons import MONTHS, season_of_month
from scenes.countwords import count_unit
from scenes.document import Requirement


def standing(
    *, limit: float, at_least: bool, low: float | None, expected: float | None, high: float | None
) -> str:
    """met, likely, missed or unknown."""
    if low is None or expected is None or high is None:
        return "unknown"
    worst = low if at_least else high
    if _meets(worst, limit, at_least=at_least):
        return "met"
    return "likely" if _meets(expected, limit, at_least=at_least) else "missed"


def season_of(
    written: str, *, latitude_deg: float | None, longitude_deg: float | None = None
) -> str:
    """leaf or bare, from a season or a month's name at a place."""
    if written not in MONTHS:
        return written
    month = MONTHS.index(written) + 1
    return season_of_month(month, latitude_deg=latitude_deg, longitude_deg=longitude_deg)


def verdict(requirement: Requirement, values: Range | None) -> Verdict:
    """A requirement judged by the range of its quantity over the years, None = not computed."""
    at_least = requirement.at_least is not None
    limit = requirement.at_least if at_least else requirement.at_most
    low, expected, high = _in_year(values, requirement.year)
    return Verdict(
        name=requirement.name,
        check=requirement.check,
        of=requirement.of,
        year=requirement.year,
        season=requirement.season,
        limit=float(limit or 0.0),
        at_least=at_least,
        low=low,
        expected=expected,
        high=high,
        standing=standing(
            limit=float(limit or 0.0), at_least=at_least, low=low, expected=expected, high=high
        ),
        unit=count_unit(requirement.of) if requirement.check == "count" else "share",
    )


def _in_year(values: Range | None, year: int) -> tuple[float | None, float | None, float | None]:
    if values is None:
        return None, None, None
    return float(values.low[year]), float(values.expected[year]), float(values.high[year])


def _meets(value: float, limit: float, *, at_least: bool) -> bool:
    return value >= limit if at_least else value <= limit
