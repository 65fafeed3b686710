"""One event of the year axis."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Event:
    """One event: years first (fast growth), year (expected), last (slow; None = after 30)."""

    band: str  # "fills" | "blocks" | "rule"
    title: str
    sentence: str
    first: int
    year: int
    last: int | None
    squares: str = ""
    view: str = ""  # the view to look from, "" = stay
    season: str = ""  # "leaf" | "bare", "" = stay
    place: str = ""  # what is ringed for it, a key of viz.ringed; "" = nothing
    at: tuple[float, float] | None = None  # foot of the plant that is ringed for it
    figure: str = ""  # what a condition comes to
    about: str = ""  # "irrigation" where a client need not hear of it
