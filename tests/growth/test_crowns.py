"""Crown forms: what every entry of the register owes the rays, the checks and the picture."""

import numpy as np
import pytest

from growth.crowns import FORMS, WITH_TRUNK, base_share, relative_radius

EVERY = pytest.mark.parametrize("form", FORMS.values(), ids=FORMS.keys())


@EVERY
def test_pieces_are_stacked_from_base_to_top_without_a_gap(form):
    assert form.pieces[0].lo == 0
    assert form.pieces[-1].hi == 1
    assert len(form.pieces) <= 3
    for below, above in zip(form.pieces[:-1], form.pieces[1:], strict=True):
        assert below.hi == above.lo
        h = below.hi
        ends = [p.a + p.b * h + p.c * h * h for p in (below, above)]
        assert ends[0] == pytest.approx(ends[1], abs=1e-12)


@EVERY
def test_radius_reaches_one_at_the_widest_place(form):
    radius = relative_radius(form, np.linspace(0, 1, 20001))
    assert radius.max() == pytest.approx(1, abs=1e-6)
    assert radius.min() >= 0


@EVERY
def test_every_form_is_convex_so_that_a_line_meets_it_once(form):
    radius = relative_radius(form, np.linspace(0, 1, 2001))
    assert (np.diff(radius, 2) <= 1e-9).all()


def test_radius_is_zero_outside_the_crown():
    assert relative_radius(FORMS["sheet"], np.array([-0.1, 1.1])) == pytest.approx([0, 0])


def test_dome_is_a_half_ellipsoid():
    assert relative_radius(FORMS["mounding"], np.array([0.6])) == pytest.approx([0.8])


def test_only_kinds_with_a_trunk_stand_on_a_bare_stem():
    grown = np.array([0.0, 0.5, 1.0])
    for kind in ("tree", "palm", "shrub", "grass"):
        share = base_share(FORMS["oval"], kind=kind, grown=grown)
        assert (share > 0).all() == (kind in WITH_TRUNK)


def test_base_share_runs_from_young_to_mature():
    form = FORMS["palm"]
    share = base_share(form, kind="palm", grown=np.array([0.0, 1.0, 3.0]))
    assert share == pytest.approx([form.base_young, form.base_mature, form.base_mature])
