"""What a plant's course rests on: its curves, their scatter, and where they come from.

Best first: sizes seen locally; published equations of the species, from the regions nearest
to the site; the class curve calibrated on measured trees; mature size and rate alone, with an
assumed range. A document that gives other figures for a plant is taken at its word: then no
published equation of the same name is used. A stated yearly growth outranks the class.

A species' own equation narrows the range to what differs within a species, where the site lies
in the region it was measured in: there that range holds 80 % of the measured trees from four
years on, in other regions 62 % (height; spread 77 and 66 %; sizes at planting unknown, printed
by `python -m growth.calibrate --report`). Elsewhere the range stays that of the class curve,
and equations of far regions are not used. Equations give mean trees: a factor centres them so
that middle and expected course miss the measured medians alike, on either side.
"""

from dataclasses import dataclass, replace
from functools import lru_cache

from growth.assumed import assumed_height, assumed_spread
from growth.classes import class_curve, traits_of
from growth.climate import ANYWHERE, Climate, city_of, is_region, near_shares
from growth.coefficients import coefficient_rows
from growth.curves import Curve
from growth.equations import published_curves
from growth.fitting import curve_through_seen
from growth.plants import DOCUMENT, Plant
from growth.scatter import ASSUMED_SCATTER, Scatter, class_scatter, within_kind

SEEN = "seen locally"
PUBLISHED = "published equation"
CLASS = "class calibrated on measured trees"
ASSUMED = "mature size and rate, assumed range"

URBAN_TREES = "Urban tree database, RDS-2016-0005, doi 10.2737/RDS-2016-0005"


@dataclass(frozen=True)
class Basis:
    """Curves of height and spread, how plants scatter about them, and their source."""

    height: Curve
    spread: Curve
    height_scatter: Scatter
    spread_scatter: Scatter
    name: str
    source: str


@lru_cache(maxsize=1024)
def basis_of(plant: Plant, climate: Climate, *, planted_m: tuple[float, float]) -> Basis:
    """The best basis there is for a plant in a climate, planted at a height and spread in metres.

    The size at planting matters only where sizes were seen: they are seen on plants that
    began so, unless a row of year 0 says otherwise.
    """
    ahead = unseen_basis(plant, climate)
    if not plant.seen:
        return ahead
    scatters = [ahead.height_scatter, ahead.spread_scatter]
    if scatters[0] == class_scatter("height") or ahead.name == ASSUMED:
        scatters = [within_kind(scatter) for scatter in scatters]
    height, spread = (
        curve_through_seen(
            curve,
            [(row[0], row[number]) for row in plant.seen],
            scatter=scatters[number - 1],
            planted_m=planted_m[number - 1],
        )
        for number, curve in ((1, ahead.height), (2, ahead.spread))
    )
    rows = "1 row" if len(plant.seen) == 1 else f"{len(plant.seen)} rows"
    source = f"{rows} of sizes seen, moving the curve of: {ahead.name} ({ahead.source})"
    return Basis(height, spread, scatters[0], scatters[1], SEEN, source)


@lru_cache(maxsize=1024)
def unseen_basis(plant: Plant, climate: Climate) -> Basis:
    """The best basis apart from sizes seen locally."""
    return _published(plant, climate) or _class(plant, climate) or _assumed(plant)


def _published(plant: Plant, climate: Climate) -> Basis | None:
    """The species' own equations in the nearest region that has them, unless figures differ."""
    if plant.growth_m_per_year is not None or DOCUMENT in _size_sources(plant):
        return None
    found = published_curves(plant.name, near_shares(climate))
    if found is None:
        return None
    places = ", ".join(f"{city_of(code)} ({code})" for code in found.regions)
    source = (
        f"{URBAN_TREES}: equations of {plant.name} measured in {places}, "
        f"{_why(climate, found.regions)}; a rising curve drawn through them, centred on medians"
    )
    height, spread = (
        replace(
            curve, asymptote_m=curve.asymptote_m * coefficient_rows()[of, "equations", "centre"]
        )
        for of, curve in (("height", found.height), ("spread", found.spread))
    )
    scatters = [class_scatter(of) for of in ("height", "spread")]
    if is_region(climate, found.regions[0]):
        scatters = [within_kind(scatter) for scatter in scatters]
    return Basis(height, spread, scatters[0], scatters[1], PUBLISHED, source)


def _why(climate: Climate, regions: tuple[str, ...]) -> str:
    if climate == ANYWHERE:
        return "averaged, since the site is not known" if len(regions) > 1 else "the only region"
    return "nearest to the site" + (", averaged by nearness" if len(regions) > 1 else "")


def _class(plant: Plant, climate: Climate) -> Basis | None:
    """The class curve, for trees and palms without a stated yearly growth."""
    traits = traits_of(plant)
    if traits is None or plant.growth_m_per_year is not None:
        return None
    height, spread = (class_curve(traits, climate, of=of) for of in ("height", "spread"))
    source = (
        f"calibrated on the {URBAN_TREES}, as {traits.type}, {traits.rate}, in "
        f"{_climate_text(climate)}; {_size_text(plant)}"
    )
    return Basis(height, spread, class_scatter("height"), class_scatter("spread"), CLASS, source)


def _assumed(plant: Plant) -> Basis:
    """Mature size and rate alone; trees of a stated yearly growth scatter as trees do."""
    height, spread = assumed_height(plant), assumed_spread(plant)
    scatters = (
        (class_scatter("height"), class_scatter("spread"))
        if plant.kind in ("tree", "palm")
        else (ASSUMED_SCATTER, ASSUMED_SCATTER)
    )
    source = _size_text(plant)
    if plant.kind == "shrub" and plant.growth_m_per_year is None:
        source += "; pace of shrubs of that rate fitted to heights at ten years, USDA NRCS PLANTS"
    return Basis(height, spread, *scatters, ASSUMED, source)


def _size_sources(plant: Plant) -> tuple[str, str]:
    return plant.sources["size"], plant.sources["rate"]


def _size_text(plant: Plant) -> str:
    return "size: {}; rate: {}".format(*_size_sources(plant))


def _climate_text(climate: Climate) -> str:
    if climate == ANYWHERE:
        return "an average climate"
    return f"a climate nearest to {city_of(next(iter(near_shares(climate))))}"
