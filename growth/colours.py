"""Words for colours, so that a plant can be looked for by the colour it shows.

A colour "#rrggbb" is called by its hue, lightness and saturation, with limits set by eye for
the muted tones of the catalogue; neighbours such as pink and purple meet at a line drawn
between them, not at a natural boundary.
"""

from colorsys import rgb_to_hls

_HUES = (
    (15, "red"), (42, "orange"), (70, "yellow"), (170, "green"), (245, "blue"),
    (300, "purple"), (345, "pink"), (360, "red"),
)  # fmt: skip

COLOUR_WORDS = (
    "white", "cream", "grey", "silver", "brown", "red", "pink", "orange", "yellow", "green",
    "blue", "purple",
)  # fmt: skip


def colour_word(colour: str) -> str:
    """The word for a colour "#rrggbb"; "" for no colour."""
    if not colour:
        return ""
    red, green, blue = (int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5))
    hue, lightness, saturation = rgb_to_hls(red, green, blue)
    return _word(360 * hue, lightness, saturation)


def _word(hue_deg: float, lightness: float, saturation: float) -> str:
    """The word for hue in degrees, lightness and saturation 0-1."""
    if lightness > 0.87:
        return "white"
    if lightness > 0.8 and 20 <= hue_deg <= 75:
        return "cream"
    if saturation < 0.105:
        return "silver" if lightness > 0.5 else "grey"
    if _is_brown(hue_deg, lightness, saturation):
        return "brown"
    word = next(name for limit, name in _HUES if hue_deg <= limit)
    if word == "red" and lightness > 0.6:
        return "pink"
    return "purple" if word == "pink" and lightness < 0.4 else word


def _is_brown(hue_deg: float, lightness: float, saturation: float) -> bool:
    """Whether an orange or yellow hue is too dark or too dull to be called so."""
    dark_orange = 15 <= hue_deg < 48 and (lightness < 0.42 or saturation < 0.45)
    return dark_orange or (48 <= hue_deg <= 75 and lightness < 0.32)
