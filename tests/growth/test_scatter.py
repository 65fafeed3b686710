import numpy as np
import pytest

from growth.scatter import ASSUMED_SCATTER, Scatter, class_scatter, scatter_factor, scattered


def test_factors_by_hand():
    """Root 1 + 0.4 / 2 = 1.2 and 1 - 0.4 / 2 = 0.8."""
    assert scatter_factor(0.4, [-1.0, 0.0, 1.0]) == pytest.approx([0.64, 1.0, 1.44])


def test_the_mean_of_factors_in_closed_form():
    """The mean of (1 + d z / 2)^2 over a standard normal z is 1 + d^2 / 4."""
    nodes, weights = np.polynomial.hermite_e.hermegauss(12)
    mean = weights / weights.sum() @ scatter_factor(0.2, nodes)
    assert mean == pytest.approx(1.01)


def test_scatter_moves_all_three_figures():
    moved = scattered(10.0, 0.05, 1.2, scatter=Scatter(0.1, 0.2, 0.4), score=1.0)
    assert moved["asymptote_m"] == pytest.approx(10.0 * 1.05**2)
    assert moved["rate"] == pytest.approx(0.05 * 1.1**2)
    assert moved["shape"] == pytest.approx(1.2 / 1.2**2)


@pytest.mark.parametrize(
    "scatter", [ASSUMED_SCATTER, class_scatter("height"), class_scatter("spread")]
)
def test_factors_rise_with_every_score_in_use(scatter):
    scores = np.linspace(-3.2, 3.2, 65)
    for deviation in (scatter.asymptote, scatter.rate, scatter.shape):
        factor = scatter_factor(deviation, scores)
        assert deviation == 0 or np.all(np.diff(factor) > 0)
        assert np.all(factor > 0)
