"""A sheet of stills: pictures of several years two by two, each with its caption, and a heading.

A sheet is made to be printed or mailed on its own, so it says itself which view, season and
range it shows. Sizes of type go with the sheet's width. Pixels.
"""

from collections.abc import Sequence
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont
from PIL.PngImagePlugin import PngInfo

from viz.outfile import written
from viz.stillwords import COLUMNS

INK, PALE, PAPER = "#14201B", "#4A5A52", "#EDF0EE"
HEADING, CAPTION = 24, 17
"""Type on a sheet of 1600 pixels."""


def sheet(
    pictures: Sequence[Image.Image],
    captions: Sequence[str],
    *,
    title: str,
    heading: str,
    width: int,
    gap: int,
) -> Image.Image:
    """Pictures of one size in rows of two, their captions below, title and heading on top."""
    wide, high = pictures[0].size
    scale = width / 1600
    head, line = round(78 * scale), round(38 * scale)
    rows = -(-len(pictures) // COLUMNS)
    paper = Image.new("RGB", (width, head + rows * (high + line) + gap), PAPER)
    pen = ImageDraw.Draw(paper)
    _type(pen, (gap, round(10 * scale)), title, HEADING * scale, INK, width - 2 * gap)
    _type(pen, (gap, round(44 * scale)), heading, CAPTION * scale, PALE, width - 2 * gap)
    for number, (picture, caption) in enumerate(zip(pictures, captions, strict=True)):
        x = gap + number % COLUMNS * (wide + gap)
        y = head + number // COLUMNS * (high + line)
        paper.paste(picture, (x, y))
        _type(pen, (x, y + high + round(8 * scale)), caption, CAPTION * scale, INK, wide)
    return paper


def _type(
    pen: ImageDraw.ImageDraw, at: tuple[int, int], text: str, size: float, ink: str, room: int
) -> None:
    """Text in a size that fits its room."""
    size = max(6.0, size)
    needed = ImageFont.load_default(size).getlength(text)
    fits = size * min(1.0, room / max(needed, 1))
    pen.text(at, text, fill=ink, font=ImageFont.load_default(fits))


def write_png(picture: Image.Image, out: Path, told: str) -> None:
    """Write the picture with its caption as a PNG's description.

    Raises ShowError where nothing can be written.
    """
    words = PngInfo()
    words.add_itxt("Description", told)
    written(out, lambda beside: picture.save(beside, "PNG", pnginfo=words, compress_level=2))
