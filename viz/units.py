"""Lengths, areas and volumes as a reader of the document's kind of unit writes them.

A document in feet, inches or yards is answered in feet, inches, square feet and cubic yards;
any other in metric units.
"""

from scenes.lengths import METRES

IMPERIAL = ("ft", "in", "yd", "us-ft")
FAR_M = 10.0
CUBIC_YARD_M3 = METRES["yd"] ** 3


def imperial(lengths: str) -> bool:
    """Whether a document's unit of lengths is the foot or what goes with it."""
    return lengths in IMPERIAL


def depth_text(metres: float, *, lengths: str) -> str:
    """A depth in inches or centimetres."""
    if imperial(lengths):
        return f"{metres / METRES['in']:.1f} in"
    return f"{metres / METRES['cm']:.1f} cm"


def length_text(metres: float, *, lengths: str) -> str:
    """A length in feet or metres."""
    return f"{metres / METRES['ft']:.1f} ft" if imperial(lengths) else f"{metres:.2f} m"


def height_text(metres: float, *, lengths: str) -> str:
    """The height of a place in feet or metres, whole ones from 10 m on."""
    if abs(metres) < FAR_M:
        return length_text(metres, lengths=lengths)
    return f"{metres / METRES['ft']:.0f} ft" if imperial(lengths) else f"{metres:.0f} m"


def area_text(area_m2: float, *, lengths: str) -> str:
    """An area in square feet or square metres."""
    if imperial(lengths):
        return f"{area_m2 / METRES['ft'] ** 2:,.0f} sf"
    return f"{area_m2:,.1f} m²"


def volume_text(cubic_metres: float, *, lengths: str) -> str:
    """A volume to three figures, in cubic yards or cubic metres."""
    yards = imperial(lengths)
    amount = cubic_metres / CUBIC_YARD_M3 if yards else cubic_metres
    digits = 0 if abs(amount) >= 100 else 1 if abs(amount) >= 10 else 2
    return f"{amount:,.{digits}f} {'CY' if yards else 'm³'}"
