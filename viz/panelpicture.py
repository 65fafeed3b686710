"""A panel as the eye sees it, in the characters of a terminal: dark where it is hidden.

A blank is open, a full block hidden; between them three shades. The picture is as wide and
high as the panel is, a character being twice as high as wide.
"""

from collections.abc import Iterator, Sequence

import numpy as np

from growth.checks.findings import Findings, PanelPicture, Screening, Verdict
from growth.checks.standing import season_of

SHADES = " ░▒▓█"
WIDE, MOST_HIGH = 60, 14
"""Characters of a picture."""

MOST = 2
"""Pictures that are printed."""


def unmet_pictures(
    findings: Findings, *, latitude_deg: float | None, longitude_deg: float | None
) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Title and lines of the panels whose screen is not met, in the year that was asked for."""
    unmet = [v for v in findings.requirements if v.standing in ("missed", "likely")]
    for verdict in [v for v in unmet if v.check == "screening"][:MOST]:
        season = season_of(verdict.season, latitude_deg=latitude_deg, longitude_deg=longitude_deg)
        view = _view(findings.screening, verdict, season)
        if view is not None and view.picture is not None:
            title = (
                f"{view.view} in year {verdict.year}, {season}, expected: what is hidden, "
                "from the eye; blank is open"
            )
            yield title, picture_lines(view.picture, verdict.year)


def picture_lines(picture: PanelPicture, year: int) -> tuple[str, ...]:
    """The picture of one year in a frame, top line first."""
    hidden = 1 - picture.passing[::-1, :, year] / 255
    high = int(np.clip(round(WIDE * picture.high_m / picture.wide_m / 2), 2, MOST_HIGH))
    wide = int(np.clip(round(2 * high * picture.wide_m / picture.high_m), 4, WIDE))
    rows, columns = (
        (np.arange(count) + 0.5) * size / count
        for count, size in zip((high, wide), hidden.shape, strict=True)
    )
    shade = np.round(hidden[rows.astype(int)][:, columns.astype(int)] * (len(SHADES) - 1))
    lines = ["".join(SHADES[int(step)] for step in row) for row in shade]
    return (f"┌{'─' * wide}┐", *(f"│{line}│" for line in lines), f"└{'─' * wide}┘")


def _view(views: Sequence[Screening], verdict: Verdict, season: str) -> Screening | None:
    return next((v for v in views if (v.view, v.season) == (verdict.of, season)), None)
