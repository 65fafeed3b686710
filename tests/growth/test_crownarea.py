"""Crown areas against circles worked out by hand."""

import numpy as np
import pytest

from growth.crownarea import circle_area_m2


def test_area_of_circles():
    # pi r^2: diameters 2 m and 4 m
    assert circle_area_m2(np.array([2.0, 4.0, 0.0])) == pytest.approx([3.14159265, 12.5663706, 0])
