"""The scan or photo that lies under the plan: as the page is sent it, and what is said of it.

It is made anew as JPEG of a size that a browser draws at ease, so that nothing else that the
file holds (where a photo was taken) leaves this machine.
"""

import io
from typing import Any

from scenes.baseplan import Tie, tied
from scenes.document import Yard
from scenes.pictures import picture_size, read_picture
from viz.units import length_text

LONGEST_PX = 3000
QUALITY = 85
TURN_DEG = 0.05
"""A smaller turn reads as none."""


def under_plan(yard: Yard) -> dict[str, Any]:
    """Picture, its size in its own pixels, its matrix to metres, and words; empty without one.

    The matrix is that of SVG, (a b c d e f): x = a u + c v + e, y = b u + d v + f.
    """
    if yard.base_plan is None:
        return {}
    path = yard.path.parent / yard.base_plan.picture
    try:
        size = picture_size(path)
        picture = read_picture(path, most_px=LONGEST_PX)
    except ValueError as error:
        return {"words": f"{yard.base_plan.picture} {error}."}
    written = io.BytesIO()
    picture.save(written, "JPEG", quality=QUALITY)
    tie = tied(yard.base_plan.points)
    turned, shifted = tie.turned, tie.shifted
    return {
        "picture": written.getvalue(),
        "size": list(size),
        "matrix": [turned.real, turned.imag, turned.imag, -turned.real, shifted.real, shifted.imag],
        "words": base_words(yard, tie),
    }


def base_words(yard: Yard, tie: Tie) -> str:
    """Scale, turn and misfit: of two points nobody can tell how well they fit."""
    assert yard.base_plan is not None
    scale = f"{length_text(1000 * tie.metres_a_pixel, lengths=yard.lengths)} to 1,000 pixels"
    turned = f"turned by {tie.turn_deg:.1f}° to the left" if abs(tie.turn_deg) >= TURN_DEG else ""
    count = len(tie.missed_m)
    fit = "tied by 2 points, so that no misfit shows; a third would tell"
    if count > 2:
        mean, worst = (
            length_text(missed_m, lengths=yard.lengths)
            for missed_m in (tie.misfit_m, float(tie.missed_m.max()))
        )
        fit = (
            f"tied by {count} points that it misses by {mean} (root mean square), at most by "
            f"{worst}, at point {int(tie.missed_m.argmax()) + 1}"
        )
    return f"{yard.base_plan.picture}: {', '.join(filter(None, [scale, turned, fit]))}."
