"""What the checks found: coverage, canopy, screening, requirements and cautions.

Every series runs over the stand's years, shares are 0-1 and areas square metres. What was
not computed is None or left out, never invented, and has its line in `not_computed`.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from growth.checks.gaps import Gap
from growth.checks.spray import Spray
from growth.checks.sunmap import LotLight
from growth.clipping import FirstClip
from growth.courses import IntArray
from growth.cover import Cells, Steps
from growth.ranges import Range
from scenes.canopyrules import CanopyCount


@dataclass(frozen=True)
class BedCover:
    """Share of a bed under low crowns; the year its expected cover first reaches 95 %."""

    bed: str
    area_m2: float
    fraction: Range
    closed_year: int | None


@dataclass(frozen=True)
class Closing:
    """A bed's cells and the year each closes, (ny, nx); one past the last year where none does."""

    bed: str
    over: Cells
    year: Steps
    years: int

    @property
    def area_m2(self) -> NDArray[np.float64]:
        """Area that closes in each year, square metres, (years,)."""
        weight = np.bincount(self.year.ravel(), self.over.weight.ravel(), self.years + 1)
        return np.asarray(weight[: self.years] * self.over.cell_m**2)


@dataclass(frozen=True)
class Credit:
    """What a rule credits the trees with, summed; None where it holds for chosen trees.

    The fraction is of the lot's or the paving's area, above 1 where the sum is larger.
    """

    rule: CanopyCount
    area_m2: float | None
    fraction: float | None


@dataclass(frozen=True)
class Ruled:
    """A canopy rule of the document: the share it counts over the years, and how it stands.

    `over_m2` is the area the share is of; the standing, in the rule's year or the last one where
    it names none, is "" where the rule asks for no share.
    """

    rule: CanopyCount
    over_m2: float
    fraction: Range
    standing: str

    @property
    def year(self) -> int:
        """The year the rule is judged in."""
        return len(self.fraction.expected) - 1 if self.rule.year is None else self.rule.year


@dataclass(frozen=True)
class Canopy:
    """Share of the lot, and of its paving, under the crowns of trees and tall shrubs; what
    presets credit mature trees with, and what the document's own rules find."""

    lot_m2: float
    fraction: Range
    credits: tuple[Credit, ...] = ()
    paving_m2: float = 0.0
    over_paving: Range | None = None
    ruled: tuple[Ruled, ...] = ()


@dataclass(frozen=True)
class Lost:
    """When less of a view is open than `limit`, and the plant whose loss opens it most then.

    Years are those of the expected share and of the ends of its range; None = in no year.
    Without a plant no single one hides enough to matter; `opens` is a share of the panel.
    """

    limit: float
    first_year: int | None
    earliest_year: int | None
    latest_year: int | None
    plant: str | None = None
    place: str | None = None
    at: tuple[float, float] | None = None
    opens: float | None = None


@dataclass(frozen=True)
class PanelPicture:
    """A panel as the eye sees it by the expected sizes: 255ths of the light that comes through
    each tile, bottom row first, from the left end as the eye sees it, (nv, nu, years)."""

    wide_m: float
    high_m: float
    passing: NDArray[np.uint8]


@dataclass(frozen=True)
class Screening:
    """Share of a view's panel that is hidden, in leaf or bare; of its worst window of two
    square yards; and the gaps of the expected course."""

    view: str
    purpose: str
    season: str
    fraction_blocked: Range
    worst_window: Range | None = None
    gaps: tuple[Gap, ...] = ()
    lost: Lost | None = None
    picture: PanelPicture | None = None


@dataclass(frozen=True)
class Cure:
    """clip to a spread, lift the crown to a height, or move the plant farther off by a length."""

    do: str
    length_m: float


@dataclass(frozen=True)
class Clash:
    """A plant that touches a thing: from which year on, by how much at the most, what cures it.

    Years, and the largest overlaps, are those of the expected, the fastest and the slowest
    course; None = in no year.
    """

    plant: str
    place: str
    at: tuple[float, float]
    against: str
    what: str
    first_year: int | None
    earliest_year: int | None
    latest_year: int | None
    overlap_m: float
    least_m: float
    most_m: float
    cures: tuple[Cure, ...]


@dataclass(frozen=True)
class Crowded:
    """The nearest pair of two kinds too close for their mature spreads; the year they meet."""

    plant: str
    at: tuple[float, float]
    other: str
    other_at: tuple[float, float]
    distance_m: float
    wanted_m: float
    first_year: int | None


@dataclass(frozen=True)
class Sight:
    """A sight triangle: the share left clear, the plants and built things that rise into it."""

    name: str
    rule: str
    source: str
    area_m2: float
    band_m: tuple[float, float]
    clear: Range
    plants: tuple[Clash, ...]
    built: tuple[str, ...]
    thick_trunks: tuple[str, ...]
    distance_m: float | None


@dataclass(frozen=True)
class SpotLight:
    """Hours of direct sun a day where plants of one table stand together.

    Series are not numbers in years without the plant; any hours suit it where need is "".
    """

    plant: str
    place: str
    at: tuple[float, float]
    plants: int
    need: str
    least_h: float
    most_h: float
    hours: Range
    morning_h: NDArray[np.float64]
    first_year_outside: int | None


@dataclass(frozen=True)
class Lighting:
    """Light at all spots, and by name the share of plants that get the light they need."""

    spots: tuple[SpotLight, ...]
    within: Mapping[str, Range]


@dataclass(frozen=True)
class FireGap:
    """The first pair of two kinds, or plant and house, that comes closer than fire spacing
    asks for, when, and which of its rules it is."""

    plant: str
    at: tuple[float, float]
    other: str
    other_at: tuple[float, float]
    first_year: int
    gap_m: float
    wanted_m: float
    rule: str


@dataclass(frozen=True)
class FireSpacing:
    """Pairs that stand too close, the soonest first, and the requirements they conflict with."""

    gaps: tuple[FireGap, ...]
    conflicts: tuple[str, ...]


@dataclass(frozen=True)
class OneFails:
    """The plant whose loss lowers a requirement's quantity most, and what is left without it.

    The range is that of the requirement's year; recovers_year is the first in which the
    expected value meets the limit (again), with a new plant of the first size where replaced.
    """

    plant: str
    place: str
    at: tuple[float, float]
    low: float
    expected: float
    high: float
    replaced: bool
    recovers_year: int | None


@dataclass(frozen=True)
class Advised:
    """A change that was tried: plants it sets otherwise, the first year in which even the
    unfavourable end meets the limit, and the range and standing in the requirement's year."""

    change: str
    plants: int
    year_met: int | None
    low: float
    expected: float
    high: float
    standing: str


@dataclass(frozen=True)
class Advice:
    """Changes that would meet a requirement, smallest first, out of so many that were tried;
    where none does, the one that comes nearest."""

    changes: tuple[Advised, ...]
    tried: int
    nearest: Advised | None


@dataclass(frozen=True)
class Verdict:
    """One requirement judged; low, expected and high are None where not computed.

    Limit and range are shares of 0-1, or in the unit that is given.
    """

    name: str
    check: str
    of: str
    year: int
    season: str
    limit: float
    at_least: bool
    low: float | None
    expected: float | None
    high: float | None
    standing: str
    unit: str = "share"
    if_one_fails: OneFails | None = None
    advice: Advice | None = None


@dataclass(frozen=True)
class Findings:
    """All that `check` has to say about one yard."""

    title: str
    years: IntArray
    coverage: tuple[BedCover, ...]
    canopy: Canopy
    screening: tuple[Screening, ...]
    requirements: tuple[Verdict, ...]
    not_computed: tuple[str, ...]
    cautions: tuple[str, ...]
    notes: tuple[str, ...]
    doubts: tuple[str, ...] = ()
    clipping: tuple[FirstClip, ...] = ()
    crowding: tuple[Crowded, ...] = ()
    clearance: tuple[Clash, ...] = ()
    counts: Mapping[str, Range] = field(default_factory=dict)
    sight: tuple[Sight, ...] = ()
    spray: tuple[Spray, ...] = ()
    lighting: Lighting | None = None
    lot_light: LotLight | None = None
    fire: FireSpacing | None = None
    beds: BedCover | None = None
    closing: tuple[Closing, ...] = ()
    found_at: Mapping[str, str] = field(default_factory=dict)
    """How to find the plants of each table on the ground, by its place in the document."""

    def told(self, plant: str, place: str | None) -> str:
        """A plant with where it stands, as a person finds it: Acer rubrum at (2.5, 7.5)."""
        return f"{plant} {self.found_at.get(place or '', '')}".rstrip()
