"""The findings of a yard as a record under the agreed JSON keys.

Series run over the record's years, shares are 0-1, areas square metres. Light is null where
it was not computed; its hours are null in years without the plant.
"""

from dataclasses import asdict
from typing import Any

import numpy as np
from numpy.typing import NDArray

from growth.checks.findings import (
    BedCover,
    Canopy,
    Clash,
    Findings,
    Lost,
    Screening,
    Sight,
    SpotLight,
    Verdict,
)
from growth.checks.spray import Spray
from growth.checks.sunmap import LotLight
from growth.clipping import FirstClip
from growth.ranges import Range
from scenes.canopyrules import CanopyCount
from scenes.countwords import count_unit


def as_json(findings: Findings) -> dict[str, Any]:
    """The findings under the agreed keys, ready for json.dumps."""
    return {
        "title": findings.title,
        "years": findings.years.tolist(),
        "coverage": _coverage(findings),
        "canopy": _canopy(findings.canopy),
        "screening": [_view(screening) for screening in findings.screening],
        "clearance": [_clash(clash) for clash in findings.clearance],
        "sight": [_sight(sight) for sight in findings.sight],
        "crowding": [asdict(pair) for pair in findings.crowding],
        "spray": [_spray(spray) for spray in findings.spray],
        "light": [_light(spot) for spot in findings.lighting.spots] if findings.lighting else None,
        "fire_spacing": asdict(findings.fire) if findings.fire else None,
        "light_over_lot": _lot_light(findings.lot_light) if findings.lot_light else None,
        "requirements": [_requirement(verdict) for verdict in findings.requirements],
        "counts": [
            {"of": of, "unit": count_unit(of), "value": _range(found)}
            for of, found in findings.counts.items()
        ],
        "clipping": [_clip(clip) for clip in findings.clipping],
        "cautions": list(findings.cautions),
        "doubts": list(findings.doubts),
        "not_computed": list(findings.not_computed),
        "notes": list(findings.notes),
    }


def _coverage(findings: Findings) -> list[dict[str, Any]]:
    """The beds, with the area that closes each year, and all of them together as the lot."""
    closing = {one.bed: one.area_m2.tolist() for one in findings.closing}
    rows = [_bed(cover) | {"closing_m2": closing[cover.bed]} for cover in findings.coverage]
    return rows + ([_bed(findings.beds)] if findings.beds else [])


def _canopy(canopy: Canopy) -> dict[str, Any]:
    over_paving = None
    if canopy.over_paving is not None:
        over_paving = {"area_m2": canopy.paving_m2, "fraction": _range(canopy.over_paving)}
    return {
        "lot_m2": canopy.lot_m2,
        "fraction": _range(canopy.fraction),
        "over_paving": over_paving,
        "credits": [
            {
                "rule": _canopy_rule(credit.rule),
                "area_m2": credit.area_m2,
                "fraction": credit.fraction,
            }
            for credit in canopy.credits
        ],
        "rules": [
            {
                "rule": _canopy_rule(one.rule),
                "over_m2": one.over_m2,
                "fraction": _range(one.fraction),
                "standing": one.standing or None,
            }
            for one in canopy.ruled
        ],
    }


def _canopy_rule(rule: CanopyCount) -> dict[str, Any]:
    """A rule's figures, its name under the key `rule`."""
    return {"rule": rule.name} | {k: v for k, v in asdict(rule).items() if k != "name"}


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
        "cures": [asdict(cure) for cure in clash.cures],
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


def _lot_light(sun: LotLight) -> dict[str, Any]:
    """Areas by band and year, and the mean hours of each month in the shown years."""
    return {
        "cell_m": sun.cell_m,
        "corner_m": list(sun.corner_m),
        "year_below_6_h": _years(sun.year_below(6.0)),
        "year_below_4_h": _years(sun.year_below(4.0)),
        "area_m2": {word: area.tolist() for word, area in sun.band_m2.items()},
        "months": [
            {"year": year, "mean_hours": np.nanmean(hours, axis=(1, 2)).astype(float).tolist()}
            for year, hours in zip(sun.shown_years, sun.month_h, strict=True)
        ],
    }


def _years(grid: NDArray[np.float64]) -> list[list[float | None]]:
    """Rows of years, south to north, to the tenth; None where there is none."""
    return [_present(np.round(row, 1)) for row in grid]


def _requirement(verdict: Verdict) -> dict[str, Any]:
    row = asdict(verdict)
    if verdict.if_one_fails:
        row["if_one_fails"]["at"] = list(verdict.if_one_fails.at)
    return row


def _present(series: NDArray[np.float64]) -> list[float | None]:
    """A series with None where there is no number."""
    return [None if np.isnan(value) else float(value) for value in series]


def _clip(clip: FirstClip) -> dict[str, Any]:
    return {
        "place": clip.place,
        "plant": clip.plant,
        "first_year": {"low": clip.low, "expected": clip.expected, "high": clip.high},
    }


def _range(values: Range) -> dict[str, list[float]]:
    return {
        "low": values.low.tolist(),
        "expected": values.expected.tolist(),
        "high": values.high.tolist(),
    }
