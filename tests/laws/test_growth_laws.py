"""Laws of growth that hold for every plant, size at planting and score."""

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from growth.climate import Climate
from growth.courses import forecast, tabulate
from growth.plants import catalogue
from growth.starts import Start

YEARS = np.arange(31)
PLANTS = st.sampled_from(list(catalogue().values()))
SHARES = st.floats(0.02, 1.5)
RATES = ("slow", "moderate", "fast")


CLIMATES = st.builds(
    Climate,
    place=st.sampled_from([None, "Oregon, US", "Florida", "somewhere"]),
    latitude_deg=st.none() | st.floats(-60, 70),
    zone=st.none() | st.integers(1, 13),
)


@st.composite
def made_plants(draw):
    """A plant nobody has seen: any kind, size, rate and leaf, with rows seen or without."""
    low_m, wide_m = draw(st.floats(0.1, 60.0)), draw(st.floats(0.1, 40.0))
    seen_m = sorted(draw(st.lists(st.floats(0.1, 40.0), max_size=4)))
    kinds = ("tree", "shrub", "palm", "cycad", "groundcover", "perennial", "vine", "bamboo")
    return replace(
        draw(PLANTS),
        name=draw(st.sampled_from(["Nova alba", "Pinus nova", "x Nova"])),
        kind=draw(st.sampled_from(kinds)),
        leaf=draw(st.sampled_from(["evergreen", "deciduous", "semi-evergreen"])),
        height_m=(low_m, low_m * draw(st.floats(1.0, 2.0))),
        spread_m=(wide_m, wide_m * draw(st.floats(1.0, 2.0))),
        rate=draw(st.sampled_from(RATES)),
        growth_m_per_year=draw(st.none() | st.floats(0.01, 3.0)),
        seen=tuple((4.0 * n, size_m, size_m / 2) for n, size_m in enumerate(seen_m, start=1)),
    )


@st.composite
def made_starts(draw):
    """A plant nobody has seen, at 2 % to 150 % of its mature size, somewhere."""
    plant = draw(made_plants())
    return Start(
        plant,
        height_m=draw(SHARES) * plant.height_m[1],
        spread_m=draw(SHARES) * plant.spread_m[1],
        kept=draw(st.booleans()),
        climate=draw(CLIMATES),
    )


@st.composite
def starts(draw):
    """A plant at 2 % to 150 % of its mature size, planted or kept."""
    plant = draw(PLANTS)
    return Start(
        plant,
        height_m=draw(SHARES) * plant.height_m[1],
        spread_m=draw(SHARES) * plant.spread_m[1],
        kept=draw(st.booleans()),
        climate=draw(CLIMATES),
    )


def sizes(start):
    found = forecast([start], YEARS)
    return found.height_m, found.spread_m, found.crown_base_m


@given(starts() | made_starts())
def test_sizes_are_finite_and_positive(start):
    height, spread, base = sizes(start)
    for part in (height.low, height.expected, height.high, spread.low, spread.high):
        assert np.all(np.isfinite(part))
        assert np.all(part > 0)
    assert np.all(base.low >= 0)
    assert np.all(base.high < height.high)


@given(starts() | made_starts())
def test_low_is_under_expected_is_under_high(start):
    for size in sizes(start):
        assert np.all(size.low <= size.expected)
        assert np.all(size.expected <= size.high)


@given(starts() | made_starts())
def test_an_undamaged_plant_never_shrinks(start):
    height, spread, _ = sizes(start)
    for size in (height, spread):
        for part in (size.low, size.expected, size.high):
            assert np.all(np.diff(part, axis=0) >= -1e-9)


@given(starts() | made_starts())
def test_year_0_is_the_size_at_planting(start):
    height, spread, _ = sizes(start)
    for part in (height.low, height.expected, height.high):
        assert np.allclose(part[0], start.height_m)
    for part in (spread.low, spread.expected, spread.high):
        assert np.allclose(part[0], start.spread_m)


@given(starts() | made_starts())
def test_courses_rise_with_the_score(start):
    courses = tabulate([start], YEARS)
    assert np.all(np.diff(courses.height_m, axis=0) >= -1e-9)
    assert np.all(np.diff(courses.spread_m, axis=0) >= -1e-9)


@given(starts(), st.sampled_from([(0, 1), (1, 2), (0, 2)]))
def test_a_faster_word_is_never_smaller(start, words):
    plain = replace(start.plant, growth_m_per_year=None)
    slower, faster = (
        sizes(replace(start, plant=replace(plain, rate=RATES[word]))) for word in words
    )
    for slow, fast in zip(slower[:2], faster[:2], strict=True):
        assert np.all(fast.low >= slow.low - 1e-9)
        assert np.all(fast.expected >= slow.expected - 1e-9)
        assert np.all(fast.high >= slow.high - 1e-9)


@given(starts(), st.floats(0.02, 1.0), st.floats(1.0, 3.0))
def test_a_larger_yearly_growth_is_never_smaller(start, growth_m, times):
    slower, faster = (
        sizes(replace(start, plant=replace(start.plant, growth_m_per_year=rate)))
        for rate in (growth_m, growth_m * times)
    )
    for slow, fast in zip(slower[:2], faster[:2], strict=True):
        assert np.all(fast.expected >= slow.expected - 1e-9)


@given(starts(), st.floats(0.3, 5.0), st.floats(0.3, 5.0))
def test_a_clipped_plant_is_never_above_its_limits_nor_its_free_self(start, height_m, spread_m):
    free, clipped = (
        sizes(start),
        sizes(replace(start, height_limit_m=height_m, spread_limit_m=spread_m)),
    )
    assert np.all(clipped[0].high <= height_m + 1e-9)
    assert np.all(clipped[1].high <= spread_m + 1e-9)
    for before, after in zip(free[:2], clipped[:2], strict=True):
        assert np.all(after.high <= before.high + 1e-9)


@given(starts(), st.integers(1, 30))
def test_a_later_start_is_the_same_course_shifted(start, delay):
    now, later = sizes(start)[0], sizes(replace(start, delay_years=delay))[0]
    assert np.allclose(later.expected[delay:], now.expected[: 31 - delay])
    assert np.allclose(later.expected[:delay], start.height_m)


@settings(max_examples=20)
@given(st.lists(starts(), min_size=1, max_size=6))
def test_courses_together_are_courses_one_by_one(several):
    together = forecast(several, YEARS).spread_m
    for column, start in enumerate(several):
        assert np.allclose(together.expected[:, column], sizes(start)[1].expected[:, 0])
