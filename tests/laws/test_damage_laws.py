"""Laws of lost roots, establishment and clipping that hold for every plant and share."""

from dataclasses import replace

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from growth.clipping import first_clips
from growth.courses import forecast, tabulate
from growth.establishment import establishment, grown_years
from growth.nursery import PlantedSize
from growth.plants import catalogue
from growth.starts import Entry, Start
from growth.stress import crown_density, slowed_years

YEARS = np.arange(31)
PLANTS = st.sampled_from(list(catalogue().values()))
LOST = st.floats(0, 1)
SCORES = st.floats(-3.2, 3.2)
ZONES = st.none() | st.integers(1, 13)
CALIPERS = st.floats(0.01, 0.13)


@st.composite
def kept(draw):
    """A kept plant of a tenth to all of its mature size, with or without an age."""
    plant = draw(PLANTS)
    share = draw(st.floats(0.1, 1.0))
    return Start(
        plant,
        share * plant.height_m[1],
        share * plant.spread_m[1],
        kept=True,
        age_years=draw(st.none() | st.floats(1, 150)),
        roots_lost=draw(LOST),
    )


@given(LOST, LOST, SCORES)
def test_more_roots_lost_is_never_better(one, other, score):
    less, more = sorted((one, other))
    for course in (crown_density, slowed_years):
        assert np.all(
            course(more, YEARS, score=[score]) <= course(less, YEARS, score=[score]) + 1e-9
        )


@given(LOST, SCORES, SCORES)
def test_a_better_score_is_never_worse(lost, one, other):
    worse, better = sorted((one, other))
    density = crown_density(lost, YEARS, score=[worse, better])
    assert np.all(density[0] <= density[1] + 1e-9)
    assert np.all((density >= 0) & (density <= 1))


@given(LOST, SCORES)
def test_the_dead_never_come_back(lost, score):
    alive = crown_density(lost, YEARS, score=[score])[0] > 0
    assert np.all(np.diff(alive.astype(int)) <= 0)


@given(kept())
def test_a_damaged_plant_is_never_larger_and_its_courses_keep_their_order(start):
    whole, hurt = (forecast([s], YEARS) for s in (replace(start, roots_lost=0.0), start))
    for before, after in ((whole.height_m, hurt.height_m), (whole.spread_m, hurt.spread_m)):
        for part in ("low", "expected", "high"):
            assert np.all(getattr(after, part) <= getattr(before, part) + 1e-9)
        assert np.all(after.low <= after.expected)
        assert np.all(after.expected <= after.high)
    courses = tabulate([start], YEARS)
    for sizes in (courses.height_m, courses.spread_m, courses.vigour):
        assert np.all(np.isfinite(sizes))
        assert np.all(np.diff(sizes, axis=0) >= -1e-9)


@given(kept())
def test_whatever_its_trunk_a_kept_plant_starts_as_measured_and_grows(start):
    sizes = forecast([replace(start, roots_lost=0.0)], YEARS)
    for size, measured_m in ((sizes.height_m, start.height_m), (sizes.spread_m, start.spread_m)):
        for part in (size.low, size.expected, size.high):
            assert np.allclose(part[0], measured_m)
            assert np.all(np.diff(part[:, 0]) >= -1e-9)


@given(PLANTS, CALIPERS, CALIPERS, ZONES, st.booleans())
def test_larger_stock_never_takes_less_time(plant, one, other, zone, potted):
    small, large = (
        establishment(plant, PlantedSize(3.0, 1.5, caliper_m, potted), zone=zone)
        for caliper_m in sorted((one, other))
    )
    assert np.all(grown_years(YEARS, large) <= grown_years(YEARS, small) + 1e-9)


@given(PLANTS, CALIPERS, ZONES, st.booleans())
def test_the_clock_never_stops_and_never_runs_ahead(plant, caliper_m, zone, potted):
    lag = establishment(plant, PlantedSize(3.0, 1.5, caliper_m, potted), zone=zone)
    steps = np.diff(grown_years(np.linspace(0, 20, 201), lag))
    assert np.all(steps > 0)
    assert np.all(steps <= 0.1 + 1e-9)


@given(PLANTS, CALIPERS, st.integers(1, 12), st.booleans())
def test_a_warmer_zone_never_takes_longer(plant, caliper_m, zone, potted):
    planted = PlantedSize(3.0, 1.5, caliper_m, potted)
    cold, warm = (establishment(plant, planted, zone=z) for z in (zone, zone + 1))
    assert np.all(grown_years(YEARS, cold) <= grown_years(YEARS, warm) + 1e-9)


@given(PLANTS, st.floats(0.05, 2.0), st.floats(0.05, 2.0))
def test_a_looser_limit_is_never_met_sooner(plant, one, other):
    start = Start(plant, 0.1 * plant.height_m[1], 0.1 * plant.spread_m[1])
    tight, loose = (
        first_clips(
            [Entry("planting[1]", replace(start, height_limit_m=share * plant.height_m[1]))], YEARS
        )[0]
        for share in sorted((one, other))
    )
    for sooner, later in ((tight.low, loose.low), (tight.expected, loose.expected)):
        assert later is None or (sooner is not None and sooner <= later)
    for clip in (tight, loose):
        found = [31 if year is None else year for year in (clip.low, clip.expected, clip.high)]
        assert found == sorted(found)
