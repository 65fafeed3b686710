"""Pictures a document names: PNG or JPEG, looked at by their first bytes before they are read.

A photo counts as it is seen: turned as its camera noted it.
"""

import struct
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from PIL import Image, ImageOps, UnidentifiedImageError

from scenes.files import PICTURE_BYTES, check_regular

PICTURE_TYPES = (".png", ".jpg", ".jpeg")
MOST_PIXELS = 60_000_000
"""A sheet of 24 by 36 inches at 250 dots an inch is 54 million."""

ORIENTATION = 0x0112
TURNED = (5, 6, 7, 8)
"""A camera's note of how it was held (Exif), and the notes that exchange width and height."""

_BROKEN = (UnidentifiedImageError, OSError, ValueError, SyntaxError, struct.error)


def picture_size(path: Path) -> tuple[int, int]:
    """Width and height in pixels as seen; ValueError "wrong; remedy" where it is no picture."""
    with _opened(path) as image:
        return _seen(image)


def read_picture(path: Path, *, most_px: int) -> Image.Image:
    """The picture as seen, on white, its longer side no longer than asked."""
    with _opened(path) as image:
        try:
            image.draft("RGB", (most_px, most_px))
            upright = ImageOps.exif_transpose(image) if image.format == "JPEG" else image
            upright.thumbnail((most_px, most_px))
            seen = upright.convert("RGBA")
        except _BROKEN:
            raise ValueError("is damaged; save the picture again as PNG or JPEG") from None
    paper = Image.new("RGB", seen.size, "white")
    paper.paste(seen, mask=seen.getchannel("A"))
    return paper


@contextmanager
def _opened(path: Path) -> Iterator[Image.Image]:
    check_regular(path, most_bytes=PICTURE_BYTES)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            image = Image.open(path, formats=("PNG", "JPEG"))
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise ValueError(_too_many()) from None
    except _BROKEN:
        raise ValueError("is no PNG or JPEG picture; save it as one") from None
    with image:
        if image.width * image.height > MOST_PIXELS:
            raise ValueError(_too_many())
        yield image


def _seen(image: Image.Image) -> tuple[int, int]:
    """A PNG's note of how it lies may stand behind its pixels, and is not looked for."""
    turned = image.format == "JPEG" and image.getexif().get(ORIENTATION) in TURNED
    return (image.height, image.width) if turned else (image.width, image.height)


def _too_many() -> str:
    return f"has more than {MOST_PIXELS / 1e6:g} million pixels; scan it coarser or cut it"
