"""Colours: the sRGB curve against its standard, light against sums by hand."""

import numpy as np
import pytest

from viz.palette import Light, afternoon, developed, linear, received, screen

# Source: IEC 61966-2-1 (sRGB), both branches of the curve worked by hand.
SRGB = [("#000000", 0.0), ("#0a0a0a", 10 / 255 / 12.92), ("#808080", 0.215861), ("#ffffff", 1.0)]


@pytest.mark.parametrize(("code", "value"), SRGB)
def test_linear_follows_the_standard(code: str, value: float) -> None:
    assert linear(code) == pytest.approx([value] * 3, abs=1e-6)


def test_screen_undoes_linear() -> None:
    codes = [f"#{v:02x}{255 - v:02x}{v // 2:02x}" for v in range(0, 256, 5)]
    back = [screen(linear(code)) for code in codes]
    assert [f"#{r:02x}{g:02x}{b:02x}" for r, g, b in back] == codes


def test_sun_overhead_lights_level_ground_with_all_its_light() -> None:
    light = Light((0.0, 0.0, 1.0), sun=(2.0, 2.0, 2.0), sky=(0.0,) * 3, bounce=(0.0,) * 3)
    assert received(np.array([0.0, 0.0, 1.0]), light) == pytest.approx([2.0] * 3)


def test_a_face_turned_from_sun_sky_and_ground_gets_nothing_of_them() -> None:
    light = Light((0.0, 0.0, 1.0), sky=(0.0,) * 3, bounce=(0.0,) * 3)
    assert received(np.array([0.0, 0.0, -1.0]), light) == pytest.approx([0.0] * 3)


@pytest.mark.parametrize(("latitude_deg", "side"), [(45.0, -1), (-35.0, 1), (None, -1)])
def test_the_sun_stands_on_the_sunny_side(latitude_deg: float | None, side: int) -> None:
    towards = np.array(afternoon(latitude_deg).towards)
    assert np.linalg.norm(towards) == pytest.approx(1.0)
    assert np.sign(towards[1]) == side
    assert towards[2] > 0


def test_more_light_never_looks_darker() -> None:
    light = afternoon(45.0)
    grey = np.linspace(0, 3, 50)[:, None] * np.ones(3)
    shown = developed(grey, light)[:, 0]
    assert np.all(np.diff(shown) > -1e-9)
    assert shown.max() <= 1
