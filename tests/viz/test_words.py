"""Figures in words: whole percents, finer only where a limit would else read alike."""

import pytest

from viz.words import percent_number


@pytest.mark.parametrize(
    ("fraction", "beside", "said"),
    [
        (0.738, None, "74"),
        (0.738, 0.8, "74"),
        (0.796, 0.8, "79.6"),
        (0.7996, 0.8, "79.96"),
        (0.799996, 0.8, "80.00"),
        (0.8, 0.8, "80"),
        (0.125, 0.125, "12.5"),
        (0.124, 0.125, "12"),
        (0.0142, 0.01, "1.4"),
        (0.0042, 0.0, "0.4"),
    ],
)
def test_a_figure_does_not_read_like_a_limit_it_misses(fraction, beside, said):
    assert percent_number(fraction, beside=beside) == said
