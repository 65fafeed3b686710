PAD = {"do": "pad", "outline": [[10, 10], [20, 10], [20, 20], [10, 20]], "level": 10.5, "batter": 0}


def test_operations_apart_do_not_fight(graded_plane):
    other = PAD | {"outline": [[25, 10], [35, 10], [35, 20], [25, 20]], "level": 11.0}
    assert graded_plane(PAD, other).clashes == ()


def test_a_later_one_that_undoes_a_fifth_is_told_with_its_place(graded_plane):
    """A walk 2 m wide cut across a pad of 10 x 10 m, half a metre down."""
    walk = {"do": "ribbon", "centreline": [[5, 15], [25, 15]], "width": 2, "levels": [10, 10]}
    (line,) = graded_plane(PAD, walk | {"batter": 0}).clashes
    start = 'grading "op 2" changes 2'
    assert line.startswith(start)
    assert 'of what grading "op 1" set, by up to 0.5 m near (' in line


def test_less_than_a_tenth_is_left_unsaid(graded_plane):
    walk = {"do": "ribbon", "centreline": [[5, 15], [25, 15]], "width": 0.5, "levels": [10, 10]}
    assert graded_plane(PAD, walk | {"batter": 0}).clashes == ()


def test_two_pads_that_overlap_at_different_levels_are_told_however_little(graded_plane):
    corner = PAD | {"outline": [[19, 19], [30, 19], [30, 30], [19, 30]], "level": 10.2}
    (line,) = graded_plane(PAD, corner).clashes
    assert line.startswith('grading "op 2" changes 1 % of what grading')
    assert "by up to 0.3 m" in line


def test_two_pads_at_one_level_or_side_by_side_do_not_fight(graded_plane):
    same = PAD | {"outline": [[19, 19], [30, 19], [30, 30], [19, 30]]}
    beside = PAD | {"outline": [[20, 10], [30, 10], [30, 20], [20, 20]], "level": 10.2}
    assert graded_plane(PAD, same).clashes == ()
    assert graded_plane(PAD, beside).clashes == ()


def test_a_surface_with_levels_is_named_by_its_own_table(graded_plane):
    patio = {"name": "patio", "kind": "patio", "outline": PAD["outline"], "levels": [10.1]}
    (line,) = graded_plane(PAD, surface=[patio]).clashes
    assert line.startswith('surface "patio" changes 100 % of what grading "op 1" set')
