"""Laws of cover and screens that hold for any plants: tried on random ones."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from growth.cover import cells, covered_share, one_layer
from growth.crowns import FORMS
from growth.rays import OPAQUE_PER_M, Crowns, blocked_share, fan

PANEL = np.array([[-3.0, 10, 0], [3, 10, 0], [3, 10, 4], [-3, 10, 4]])
LINES = fan(np.array([0.3, -10.0, 1.7]), PANEL, rows=12, columns=16)
OVERLAP_ERROR = 0.01
"""Where crowns overlap the kernel is not exact; see the march in tests/growth/test_rays.py."""

FEW = settings(max_examples=60, deadline=None)
plants = st.lists(
    st.tuples(
        st.floats(-4, 4), st.floats(-9, 9), st.floats(0.3, 7), st.floats(0.3, 5),
        st.floats(0, 0.6), st.sampled_from(sorted(FORMS)), st.floats(0.05, 3), st.floats(0, 1),
    ),
    min_size=1,
    max_size=8,
)  # fmt: skip


def crowns_of(rows):
    x, y, height, spread, base, form, leaf, share = zip(*rows, strict=True)
    sizes = np.array([height, spread, np.array(base) * height], np.float32)[:, None]
    return Crowns(
        np.column_stack([x, y, np.zeros(len(x))]), *sizes, tuple(FORMS.values()),
        np.array([list(FORMS).index(name) for name in form]),
        np.array([leaf, np.array(leaf) * share]),
    )  # fmt: skip


def opaque(crowns):
    return replace(crowns, density_per_m=np.full((1, len(crowns.form)), OPAQUE_PER_M))


@given(plants)
@FEW
def test_a_share_is_a_share_and_bare_never_hides_more(rows):
    leaf, bare = blocked_share(LINES, crowns_of(rows))[:, 0]
    assert 0 <= bare <= leaf + OVERLAP_ERROR
    assert leaf <= 1


@given(plants)
@FEW
def test_one_more_plant_never_opens_a_screen(rows):
    all_but_last = crowns_of(rows[:-1] or rows)
    more, fewer = (blocked_share(LINES, c)[:, 0] for c in (crowns_of(rows), all_but_last))
    assert (more >= fewer - OVERLAP_ERROR).all()
    solid, fewer_solid = (
        blocked_share(LINES, opaque(c))[0, 0] for c in (crowns_of(rows), all_but_last)
    )
    assert solid >= fewer_solid - 1e-6


@given(plants)
@FEW
def test_leaf_never_hides_more_than_solid_bodies(rows):
    crowns = crowns_of(rows)
    assert blocked_share(LINES, crowns)[0, 0] <= blocked_share(LINES, opaque(crowns))[0, 0] + 1e-5


@given(plants, st.randoms(use_true_random=False))
@FEW
def test_the_order_of_the_document_does_not_matter(rows, random):
    shuffled = random.sample(rows, len(rows))
    assert blocked_share(LINES, crowns_of(rows)) == pytest.approx(
        blocked_share(LINES, crowns_of(shuffled)), abs=OVERLAP_ERROR
    )


@given(plants)
@FEW
def test_a_wall_over_the_whole_panel_leaves_nothing_to_see(rows):
    static = np.zeros(LINES.rise_m.shape)
    assert blocked_share(LINES, crowns_of(rows), static=static).min() == 1


discs = st.lists(
    st.tuples(st.floats(-2, 12), st.floats(-2, 8), st.floats(0.05, 4)), min_size=1, max_size=10
)
LOT = cells(shapely.box(0, 0, 10, 6), 0.1)


def cover_of(rows):
    x, y, radius = np.array(rows).T
    return covered_share(LOT, one_layer(np.column_stack([x, y]), radius[:, None]))[0, 0]


@given(discs)
@FEW
def test_cover_grows_with_discs_and_never_beyond_their_sum(rows):
    union, single = cover_of(rows), [cover_of([row]) for row in rows]
    assert max(single) - 1e-9 <= union <= min(sum(single), 1) + 1e-9


@given(discs)
@FEW
def test_one_more_disc_never_uncovers_ground(rows):
    assert cover_of(rows) >= cover_of(rows[:-1] or rows) - 1e-9
