"""Words of the page: figures, verdicts and captions as a person reads them.

Numbers come in as fractions and leave as whole percents with their range; a verdict is
three squares (slow, expected, fast growth; 1 = met) and one of eight fixed endings, the
worst thing first. Nothing here is computed about the yard, and nothing is escaped here:
text becomes HTML in `viz.frame` and in the browser only.
"""

from datetime import date
from math import isclose

from growth.checks.findings import Verdict
from scenes.document import View, Yard
from scenes.lengths import METRES

SPACE = "\u00a0"
"""No-break space: a figure and its unit stay on one line."""

SEASON_WORDS = {"leaf": "in leaf", "bare": "bare"}

FALLS_WITH_GROWTH = ("opening", "clearance", "sight", "spray")
"""Checks whose quantity shrinks as plants grow: fast growth gives its low value."""

_QUANTITY = {
    "screening": "hidden",
    "opening": "open",
    "coverage": "covered",
    "canopy": "of the lot under canopy",
    "sight": "of the sight triangle clear",
    "spray": "of its ground watered",
    "clearance": "of the plants clear of",
    "light": "of the plants in the light they need",
    "roots": "of the root zone harmed",
    "fall": "fall",
}

_ENDINGS = {
    "011": "Met at expected growth, missed if slow",
    "001": "Missed at expected growth, met if fast",
    "110": "Met at expected growth, missed if fast",
    "100": "Missed at expected growth, met if slow",
}


def percent(fraction: float, *, beside: float | None = None) -> str:
    """A fraction as a whole percent: 0.738 -> "74 %"; beside a limit as in `percent_number`."""
    return f"{percent_number(fraction, beside=beside)}{SPACE}%"


def percent_number(fraction: float, *, beside: float | None = None) -> str:
    """A fraction in percent: whole, or finer, to a hundredth at most, where it would else read
    like the limit it stands beside: 0.796 beside 0.8 -> "79.6". The limit itself is as written."""
    if fraction == beside:
        return f"{100 * fraction:g}"
    said = f"{100 * fraction:.0f}"
    for places in (1, 2):
        if beside is None or not isclose(float(said), 100 * beside, abs_tol=1e-9):
            break
        said = f"{100 * fraction:.{places}f}"
    return said


def spread(low: float, high: float, *, joint: str = "–") -> str:
    """The range of a fraction in percent: "63–82", or "range under 1" where both round alike."""
    first, last = round(100 * low), round(100 * high)
    return "range under 1" if first == last else f"{first}{joint}{last}"


def season_word(season: str) -> str:
    """How a season is called on the page: "in leaf", "bare", or the month."""
    return SEASON_WORDS.get(season, season.capitalize())


def sentence_case(name: str) -> str:
    """A name as the start of a sentence; only its first letter changes."""
    return name[:1].upper() + name[1:]


def limit_words(verdict: Verdict) -> str:
    """The limit of a requirement: "at least 80 % hidden, bare"."""
    side = "at least" if verdict.at_least else "at most"
    if verdict.check == "count":
        amount = limit_percent(verdict) if verdict.unit == "share" else f"{verdict.limit:g}"
        return f"{side} {amount}, {verdict.of}"
    what = _QUANTITY[verdict.check]
    if verdict.check == "clearance":
        what += f" {verdict.of}"
    if verdict.check == "canopy" and verdict.of != "lot":
        paving = verdict.of == "paving"
        what = "of the paving under canopy" if paving else f"canopy by {verdict.of}"
    words = f"{side} {limit_percent(verdict)} {what}"
    return f"{words}, {season_word(verdict.season)}" if looks(verdict) else words


def limit_percent(verdict: Verdict) -> str:
    """The limit of a requirement as it is written: "12.5 %"."""
    return percent(verdict.limit, beside=verdict.limit)


def looks(verdict: Verdict) -> bool:
    """Whether a requirement is about a view, and so about a season."""
    return verdict.check in ("screening", "opening")


def squares(verdict: Verdict) -> str:
    """Slow, expected and fast growth against the limit, 1 = met: "011"; "" when not computed."""
    if verdict.low is None or verdict.expected is None or verdict.high is None:
        return ""
    values = (verdict.low, verdict.expected, verdict.high)
    if verdict.check in FALLS_WITH_GROWTH:
        values = values[::-1]
    met = (v >= verdict.limit if verdict.at_least else v <= verdict.limit for v in values)
    return "".join("1" if each else "0" for each in met)


def ending(verdict: Verdict) -> str:
    """The verdict in one of eight fixed endings, or "Not computed yet"."""
    marks = squares(verdict)
    if not marks:
        return "Not computed yet"
    growth_helps = verdict.at_least != (verdict.check in FALLS_WITH_GROWTH)
    if marks == "111":
        return f"Met even if {'slow' if growth_helps else 'fast'}"
    if marks == "000":
        return f"Missed even if {'fast' if growth_helps else 'slow'}"
    return _ENDINGS[marks]


def figure(verdict: Verdict) -> str:
    """The expected figure of a verdict with its range: "74 % (63–82)"; "" when not computed."""
    if verdict.low is None or verdict.expected is None or verdict.high is None:
        return ""
    if verdict.unit != "share":
        return f"{verdict.expected:.1f} ({verdict.low:.1f}–{verdict.high:.1f})"
    expected = percent(verdict.expected, beside=verdict.limit)
    return f"{expected} ({spread(verdict.low, verdict.high)})"


def due_sentence(verdict: Verdict) -> str:
    """What the page says of a requirement, without the year it is due in."""
    shown = figure(verdict)
    outcome = f"{ending(verdict)}: {shown}." if shown else f"{ending(verdict)}."
    return f"{verdict.name}, {limit_words(verdict)}. {outcome}"


def heading(yard: Yard) -> dict[str, str]:
    """Title and subtitle: what can be said of a yard as soon as its document is read."""
    return {"title": yard.title, "subtitle": subtitle(yard)}


def subtitle(yard: Yard) -> str:
    """Planting date and hardiness zone under the title, as far as the document names them."""
    parts = []
    if yard.site.planted is not None:
        parts.append(f"Planted {long_date(yard.site.planted)}")
    if yard.site.hardiness_zone is not None:
        parts.append(f"hardiness zone {yard.site.hardiness_zone}")
    return sentence_case(" · ".join(parts))


def long_date(day: date) -> str:
    """A date as written out: 15 March 2027."""
    return f"{day.day} {day:%B} {day.year}"


def season_dates(yard: Yard, *, years: int) -> list[str]:
    """What each whole year stands for: the day of planting, then the seasons grown since."""
    planted = yard.site.planted
    north = yard.site.latitude_deg is None or yard.site.latitude_deg >= 0
    words = ["Day of planting" if planted is None else long_date(planted)]
    for year in range(1, years + 1):
        seasons = "1 growing season" if year == 1 else f"{year} growing seasons"
        after = ""
        if planted is not None and north:
            first = planted.year + (planted.month > 6)
            after = f", autumn {first + year - 1}"
        words.append(f"After {seasons}{after}")
    return words


def caption(view: View, yard: Yard) -> str:
    """Where the eye of a view stands, in the document's unit."""
    height = view.eye_height / METRES[yard.lengths]
    over = f"the floor of {view.above}" if view.above else "the ground"
    if view.overlooks is not None:
        within = view.overlooks.within / METRES[yard.lengths]
        over += (
            f", target within {within:.3g}{SPACE}{yard.lengths} and "
            f"{view.overlooks.aside:g}° each side of straight out"
        )
    return f"eye {height:.3g}{SPACE}{yard.lengths} above {over}"
