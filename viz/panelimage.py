"""A panel as the eye sees it, as a picture: dark where it is hidden, light where it is open."""

import base64
from io import BytesIO

import numpy as np
from PIL import Image

from growth.checks.findings import PanelPicture

OPEN_RGB, HIDDEN_RGB = (246, 248, 250), (28, 74, 52)
"""Told apart by lightness alone."""

LEAST_PX = 640
"""The longer side of the picture, at least."""


def panel_picture(picture: PanelPicture, year: int) -> str:
    """The picture of one year as a data address of a PNG, tiles kept sharp."""
    light = picture.passing[::-1, :, year].astype(float)[..., None] / 255
    colours = np.array(HIDDEN_RGB) + light * (np.array(OPEN_RGB) - np.array(HIDDEN_RGB))
    tiles = Image.fromarray(np.round(colours).astype(np.uint8))
    longest = max(picture.wide_m, picture.high_m)
    width, height = (
        max(1, round(LEAST_PX * size_m / longest)) for size_m in (picture.wide_m, picture.high_m)
    )
    made = BytesIO()
    tiles.resize((width, height), Image.Resampling.NEAREST).save(made, "PNG", optimize=True)
    return "data:image/png;base64," + base64.b64encode(made.getvalue()).decode("ascii")
