"""Requirements as an officer checks them: rule, source, inputs, sums, range and standing.

A case is one requirement in plain words for a paper. Shares are told to a tenth of a percent, so
that the sums can be done again by hand; areas come from the unrounded shares.
"""

from collections.abc import Sequence
from math import ceil, floor
from typing import Any

from growth.checks.findings import Verdict
from growth.checks.working import Input, Planned, Working, workings
from scenes.countwords import PER_100_FT
from scenes.document import View, Yard
from viz.units import area_text, length_text
from viz.words import (
    SPACE,
    caption,
    ending,
    limit_words,
    looks,
    season_dates,
    season_word,
    squares,
)

HOW = {
    "screening": "share of even sight lines from the eye to the panel that crowns, built things "
    "or the ground stop; where crowns overlap the denser counts once.",
    "opening": "share of even sight lines from the eye to the panel that nothing stops.",
    "coverage": "union of the crowns that reach down to the bed, clipped by its edge.",
    "canopy": "union of crowns in plan, overlaps once, clipped at the boundary; where a rule "
    "credits mature trees, the sum of their credits.",
    "clearance": "a plant counts as clear where its crown touches nothing of it.",
    "light": "direct sun under a clear sky on a mean day of the growing season, at two thirds of "
    "the plant's height.",
    "sight": "share of the triangle in plan over which no crown reaches into the band.",
    "spray": "water runs level from the riser until a crown, a wall or the ground stops it.",
    "roots": "share of the circle that is cut, filled, paved or dug; the same in every year.",
    "fall": "the fall that one place in fifty goes beyond; the same in every year.",
    "count": "plants that stand in that year; the dead and the removed are not counted.",
}
"""What is measured for each check, in a sentence."""

NEARLY = 0.005
"""A count this near a whole one is told as it."""

NO_TEXT = "not given in the document"


def cases(planned: Planned) -> list[dict[str, Any]]:
    """Every requirement of the yard as one case."""
    verdicts = planned.findings.requirements
    found = workings(planned)
    return [
        _case(n, v, w, planned.yard)
        for n, (v, w) in enumerate(zip(verdicts, found, strict=True), 1)
    ]


def how_measured(verdicts: Sequence[Verdict]) -> list[str]:
    """What is measured for each check that is asked for, in a sentence."""
    asked = dict.fromkeys(verdict.check for verdict in verdicts)
    return [f"{check.capitalize()}: {HOW[check]}" for check in asked]


def _case(number: int, verdict: Verdict, working: Working, yard: Yard) -> dict[str, Any]:
    return {
        "number": number,
        "name": verdict.name,
        "rule": "; ".join(filter(None, (working.rule.rstrip("."), working.source))) or NO_TEXT,
        "asks": f"{limit_words(verdict)}, of {verdict.of}"
        if _named(verdict)
        else limit_words(verdict),
        "when": f"Year {verdict.year}: {_when(verdict, yard)}",
        "inputs": [_input(one, lengths=yard.lengths) for one in _inputs(verdict, working, yard)],
        "sums": list(sums(verdict, working.whole, lengths=yard.lengths)),
        "ends": ends(verdict),
        "standing": verdict.standing,
        "ending": ending(verdict),
        "squares": list(squares(verdict)),
    }


def _named(verdict: Verdict) -> bool:
    """Whether the limit alone does not say what it is of."""
    return verdict.check not in ("clearance", "count", "canopy") and verdict.of != "lot"


def _when(verdict: Verdict, yard: Yard) -> str:
    when = season_dates(yard, years=verdict.year)[verdict.year]
    when = when[:1].lower() + when[1:]
    return f"{when}, {season_word(verdict.season)}" if looks(verdict) else when


def _inputs(verdict: Verdict, working: Working, yard: Yard) -> Sequence[Input | str]:
    """The figures that went in, with where the eye stands."""
    view = next((v for v in yard.view if v.name == verdict.of and looks(verdict)), None)
    eye = [] if view is None else [_eye(view, yard)]
    return [*eye, *working.inputs, *([working.whole] if working.whole else [])]


def _eye(view: View, yard: Yard) -> str:
    if view.eye is None:
        return "seen square from its line"
    several = isinstance(view.eye[0], tuple)
    return caption(view, yard) + ("; the worst of the walk counts" if several else "")


def _input(one: Input | str, *, lengths: str) -> str:
    if isinstance(one, str):
        return one
    amount = amount_of(one.amount, one.unit, lengths=lengths)
    if one.times is None:
        return f"{one.what}: {amount}"
    total = amount_of(one.times * one.amount, one.unit, lengths=lengths)
    return f"{one.times} {one.what} × {amount} = {total}"


def amount_of(amount: float, unit: str, *, lengths: str) -> str:
    """A figure in the document's kind of unit."""
    if unit == "m2":
        return area_text(amount, lengths=lengths)
    if unit == "m":
        return length_text(amount, lengths=lengths)
    if unit == "percent":
        return f"{amount:.3g}{SPACE}%"
    if not unit:
        return f"{amount:.3f}"
    whole = round(amount)
    if abs(amount - whole) < NEARLY:
        return f"{whole} {unit.removesuffix('s') if whole == 1 else unit}"
    return f"{amount:.1f} {unit}"


def ends(verdict: Verdict) -> dict[str, str] | None:
    """Low, expected and high as they are told; None where not computed."""
    if verdict.low is None or verdict.expected is None or verdict.high is None:
        return None
    return {
        "low": share_text(verdict.low, verdict.unit),
        "expected": share_text(verdict.expected, verdict.unit),
        "high": share_text(verdict.high, verdict.unit),
    }


def share_text(value: float, unit: str) -> str:
    """A share to a tenth of a percent, a count or a size to a hundredth."""
    if unit == "share":
        return f"{round(100 * value, 1) + 0.0:.1f}{SPACE}%"
    return f"{value:.2f} {'' if unit == PER_100_FT else unit}".strip()


def sums(verdict: Verdict, whole: Input | None, *, lengths: str) -> list[str]:
    """The arithmetic, line by line: what is asked, what is found, and what is over or lacking."""
    if verdict.low is None or verdict.expected is None or verdict.high is None:
        return ["not computed"]
    side = "at least" if verdict.at_least else "at most"
    asked = share_text(verdict.limit, verdict.unit)
    if whole is None or whole.amount == 0:
        return [f"asked: {side} {asked}", f"difference: {_over(verdict, None, lengths=lengths)}"]
    of = amount_of(whole.amount, whole.unit, lengths=lengths)
    joint = "×" if verdict.unit == PER_100_FT else "of"

    def part(share: float) -> str:
        return amount_of(share * whole.amount, whole.unit or "plants", lengths=lengths)

    def line(share: float) -> str:
        return f"{share_text(share, verdict.unit)} {joint} {of} = {part(share)}"

    return [
        f"asked: {side} {line(verdict.limit)}",
        f"expected: {line(verdict.expected)}",
        f"range: {part(verdict.low)} to {part(verdict.high)}",
        _over(verdict, whole, lengths=lengths),
    ]


def _over(verdict: Verdict, whole: Input | None, *, lengths: str) -> str:
    """What lies between the expected figure and the limit."""
    assert verdict.expected is not None
    spare = verdict.expected - verdict.limit
    if not verdict.at_least:
        spare = -spare
    share = share_text(abs(spare), verdict.unit).replace(f"{SPACE}%", f"{SPACE}points")
    if whole is not None:
        amount = abs(spare) * whole.amount
        if not whole.unit:  # a part of a plant helps nobody
            amount = floor(amount + NEARLY) if spare >= 0 else ceil(amount - NEARLY)
        share = amount_of(amount, whole.unit or "plants", lengths=lengths) + f" ({share})"
    return f"{share} {'to spare' if spare >= 0 else 'lacking'} if as expected"
