"""What walls, fences and hills leave of the sun, where geometry says it."""

import numpy as np
import pytest
from shapely.geometry import box

from growth.skyline import sun_past_ground_and_built
from scenes.solids import Solid, prism

WALL = prism("stone", box(-50, -4.2, 50, -4), low_m=0, high_m=3)


def sun(altitude_deg, azimuth_deg):
    altitude, azimuth = np.radians([altitude_deg, azimuth_deg])
    level = np.cos(altitude)
    return [level * np.sin(azimuth), level * np.cos(azimuth), np.sin(altitude)]


def level(xy):
    return np.zeros(len(xy))


def left(towards, *solids, point=(0, 0, 0), height_m=level):
    found = sun_past_ground_and_built(np.array([point], float), np.array(towards), solids, height_m)
    return found[0].tolist()


def test_a_wall_hides_the_sun_below_its_top():
    # 3 m of wall 4 m to the south, its far top at 4.2 m: hidden up to atan(3 / 4) = 36.87
    wall = Solid("wall", "wall", 0.0, (WALL,))
    suns = [sun(36.5, 180), sun(37.2, 180), sun(20, 0), sun(20, 90)]
    assert left(suns, wall) == [0, 1, 1, 1]
    # 60 degrees from south the wall is twice as far: atan(3 / 8) = 20.56
    assert left([sun(20, 240), sun(21.2, 240)], wall) == [0, 1]
    # from a metre up it stands 2 m high: atan(2 / 4) = 26.57
    assert left([sun(26, 180), sun(27, 180)], wall, point=(0, 0, 1)) == [0, 1]


def test_a_fence_lets_its_share_through_once():
    fence = Solid("fence", "fence", 0.3, (WALL,))
    assert left([sun(20, 180)], fence) == pytest.approx([0.3])
    assert left([sun(20, 180)], fence, fence) == pytest.approx([0.09])


def test_a_hill_hides_the_sun_below_its_slope():
    # ground that rises 1 in 2 to the south: 26.57 degrees
    def slope(xy):
        return np.maximum(-xy[:, 1], 0) / 2

    suns = [sun(25.5, 180), sun(27, 180), sun(5, 0)]
    assert left(suns, height_m=slope) == [0, 1, 1]
