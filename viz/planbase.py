"""The scan or photo of a base plan under the printed plan: light, to scale, cut at the window.

It is drawn anew as one upright picture of the window, since sheets hold no turned pictures, in
few light colours: the plan's own lines stay the darker ones, and the file stays small.
"""

from dataclasses import replace
from pathlib import Path

import numpy as np
from PIL import Image

from scenes.baseplan import Tie, tied
from scenes.document import Yard
from scenes.pictures import picture_size, read_picture
from viz.planmarks import Area, Mark, Picture
from viz.plansheet import Frame
from viz.underplan import base_words

DOTS_PER_MM = 150 / 25.4
INK = 0.45
"""How dark the picture is printed, over how it is."""

COLOURS = 64
SEEN_THROUGH = 0.35
"""Opacity of the plan's areas over it."""


def base_marks(yard: Yard, frame: Frame) -> tuple[tuple[Picture, ...], str]:
    """The picture under a plan, and what a note says of how well it fits; nothing without one."""
    if yard.base_plan is None:
        return (), ""
    path = yard.path.parent / yard.base_plan.picture
    tie = tied(yard.base_plan.points)
    try:
        seen = _in_window(path, tie, frame)
    except ValueError as error:
        return (), f"Base plan: {yard.base_plan.picture} {error}."
    west, south, east, north = frame.window
    box = (west, south + frame.low, east, north)
    return (Picture("base plan", seen, box),), f"Base plan, no survey: {base_words(yard, tie)}"


def over_base(mark: Mark) -> Mark:
    """A mark of the ground as it is drawn over a base plan."""
    if isinstance(mark, Area) and mark.fill is not None:
        return replace(mark, opacity=SEEN_THROUGH)
    return mark


def _in_window(path: Path, tie: Tie, frame: Frame) -> Image.Image:
    """The picture as it lies in the window; white beyond its edges."""
    west, south, east, north = frame.window
    south += frame.low
    size = round((east - west) * DOTS_PER_MM), round((north - south) * DOTS_PER_MM)
    longest = max(picture_size(path))
    finer = 1 / (frame.size(tie.metres_a_pixel) * DOTS_PER_MM)
    picture = read_picture(path, most_px=max(1, round(longest / max(finer, 1.0))))
    shrunk = max(picture.size) / longest
    dots = np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]])
    on_sheet = np.array([west, north]) + dots * [1, -1] / DOTS_PER_MM
    middle = np.array([(west + east) / 2, (south + north) / 2])
    places_m = np.array(frame.centre_m) + (on_sheet - middle) / frame.size(1.0)
    origin, right, down = shrunk * tie.pixels(places_m)
    across, up = right - origin, down - origin
    lying = (across[0], up[0], origin[0], across[1], up[1], origin[1])
    drawn = picture.transform(
        size, Image.Transform.AFFINE, lying, Image.Resampling.BICUBIC, fillcolor="white"
    )
    light = Image.blend(Image.new("RGB", size, "white"), drawn, INK)
    few = light.quantize(COLOURS, method=Image.Quantize.MAXCOVERAGE, dither=Image.Dither.NONE)
    return few.convert("RGB")
