"""What the checks found: coverage, canopy, screening, requirements and cautions.

Every series runs over the stand's years, shares are 0-1 and areas square metres. The JSON
has the agreed keys; tables that are agreed but not computed yet are null there, never
invented, and each has its line in `not_computed`.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from growth.checks.count import count_unit
from growth.checks.credits import Credit
from growth.checks.gaps import Gap
from growth.checks.spray import Spray
from growth.clipping import FirstClip
from growth.courses import IntArray
from growth.ranges import Range
from scenes.falls import Fall
from scenes.rootzone import RootZone

NOT_BUILT: tuple[str, ...] = ()
"""Tables of findings that no check computes yet."""


@dataclass(frozen=True)
class BedCover:
    """Share of a bed under low crowns; the year its expected cover first reaches 95 %."""

    bed: str
    area_m2: float
    fraction: Range
    closed_year: int | None


@dataclass(frozen=True)
class Canopy:
    """Share of the lot under the crowns of trees and tall shrubs."""

    lot_m2: float
    fraction: Range
    credits: tuple[Credit, ...] = ()


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
class Measured:
    """What the checks computed; `beds` is the cover of all beds together.

    Falls and root zones are those of the plan: the same in every year, without a range.
    """

    coverage: tuple[BedCover, ...]
    beds: BedCover | None
    canopy: Canopy
    screening: tuple[Screening, ...]
    falls: tuple[Fall, ...] = ()
    root_zones: tuple[RootZone, ...] = ()
    clear: Mapping[str, Range] = field(default_factory=dict)
    counts: Mapping[str, Range] = field(default_factory=dict)
    sight: tuple[Sight, ...] = ()
    spray: tuple[Spray, ...] = ()
    lighting: Lighting | None = None


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
    clipping: tuple[FirstClip, ...] = ()
    crowding: tuple[Crowded, ...] = ()
    clearance: tuple[Clash, ...] = ()
    counts: Mapping[str, Range] = field(default_factory=dict)
    sight: tuple[Sight, ...] = ()
    spray: tuple[Spray, ...] = ()
    lighting: Lighting | None = None


def as_json(findings: Findings) -> dict[str, Any]:
    """The findings under the agreed keys, ready for json.dumps."""
    return {
        "title": findings.title,
        "years": findings.years.tolist(),
        "coverage": [_bed(cover) for cover in findings.coverage],
        "canopy": {
            "lot_m2": findings.canopy.lot_m2,
            "fraction": _range(findings.canopy.fraction),
            "credits": [asdict(credit) for credit in findings.canopy.credits],
        },
        "screening": [_view(screening) for screening in findings.screening],
        "clearance": [_clash(clash) for clash in findings.clearance],
        "sight": [_sight(sight) for sight in findings.sight],
        "crowding": [asdict(pair) for pair in findings.crowding],
        "spray": [_spray(spray) for spray in findings.spray],
        "light": [_light(spot) for spot in findings.lighting.spots] if findings.lighting else None,
        **dict.fromkeys(NOT_BUILT),
        "requirements": [_verdict(verdict) for verdict in findings.requirements],
        "counts": [
            {"of": of, "unit": count_unit(of), "value": _range(found)}
            for of, found in findings.counts.items()
        ],
        "clipping": [_clip(clip) for clip in findings.clipping],
        "cautions": list(findings.cautions),
        "not_computed": list(findings.not_computed),
        "notes": list(findings.notes),
    }


def _bed(cover: BedCover) -> dict[str, Any]:
    return {
        "bed": cover.bed,
        "area_m2": cover.area_m2,
        "fraction": _range(cover.fraction),
        "closed_year": cover.closed_year,
    }


def _view(screening: Screening) -> dict[str, Any]:
    return {
        "view": screening.view,
        "purpose": screening.purpose,
        "season": screening.season,
        "fraction_blocked": _range(screening.fraction_blocked),
        "worst_window": None if screening.worst_window is None else _range(screening.worst_window),
        "gaps": [asdict(gap) for gap in screening.gaps],
        "lost": None if screening.lost is None else _lost(screening.lost),
    }


def _clash(clash: Clash) -> dict[str, Any]:
    return {
        "plant": clash.plant,
        "place": clash.place,
        "at": list(clash.at),
        "against": clash.against,
        "what": clash.what,
        "first_year": clash.first_year,
        "first_year_range": {
            "low": clash.earliest_year,
            "expected": clash.first_year,
            "high": clash.latest_year,
        },
        "overlap_m": clash.overlap_m,
        "overlap_range_m": {
            "low": clash.least_m,
            "expected": clash.overlap_m,
            "high": clash.most_m,
        },
        "cures": [{"do": cure.do, "length_m": cure.length_m} for cure in clash.cures],
    }


def _sight(sight: Sight) -> dict[str, Any]:
    return {
        "sight": sight.name,
        "rule": sight.rule,
        "source": sight.source,
        "area_m2": sight.area_m2,
        "band_m": list(sight.band_m),
        "fraction_clear": _range(sight.clear),
        "plants": [_clash(clash) for clash in sight.plants],
        "built": list(sight.built),
        "thick_trunks": list(sight.thick_trunks),
        "needed_distance_m": sight.distance_m,
    }


def _lost(lost: Lost) -> dict[str, Any]:
    return asdict(lost) | {"at": None if lost.at is None else list(lost.at)}


def _spray(spray: Spray) -> dict[str, Any]:
    return {
        "head": spray.head,
        "at": list(spray.at),
        "riser_m": spray.riser_m,
        "throw_m": spray.throw_m,
        "sector_m2": spray.sector_m2,
        "reached": _range(spray.reached),
        "first_dry_year": spray.first_dry_year,
        "clearing_riser_m": spray.clearing_riser_m,
        "nearest_head_m": spray.nearest_head_m,
        "head_to_head": spray.head_to_head,
    }


def _light(spot: SpotLight) -> dict[str, Any]:
    return {
        "plant": spot.plant,
        "place": spot.place,
        "at": list(spot.at),
        "plants": spot.plants,
        "need": spot.need,
        "need_hours": [spot.least_h, spot.most_h],
        "hours_by_year": {
            end: _present(getattr(spot.hours, end)) for end in ("low", "expected", "high")
        },
        "morning_hours_by_year": _present(spot.morning_h),
        "first_year_outside": spot.first_year_outside,
    }


def _present(series: NDArray[np.float64]) -> list[float | None]:
    """A series with None where there is no number."""
    return [None if np.isnan(value) else float(value) for value in series]


def _clip(clip: FirstClip) -> dict[str, Any]:
    return {
        "place": clip.place,
        "plant": clip.plant,
        "first_year": {"low": clip.low, "expected": clip.expected, "high": clip.high},
    }


def _verdict(verdict: Verdict) -> dict[str, Any]:
    return {
        "name": verdict.name,
        "check": verdict.check,
        "of": verdict.of,
        "year": verdict.year,
        "season": verdict.season,
        "limit": verdict.limit,
        "at_least": verdict.at_least,
        "low": verdict.low,
        "expected": verdict.expected,
        "high": verdict.high,
        "standing": verdict.standing,
        "unit": verdict.unit,
    }


def _range(values: Range) -> dict[str, list[float]]:
    return {
        "low": values.low.tolist(),
        "expected": values.expected.tolist(),
        "high": values.high.tolist(),
    }
