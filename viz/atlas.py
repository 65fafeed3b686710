"""The leaf atlas: sixteen cut-out sprigs drawn by this program, four by four in one picture.

Red, green and blue are a grey that multiplies the plant's own colour (one half of each leaf is
darker, as a fold along the midrib); the fourth channel cuts the sprig out. Every cell grows
from the middle of its lower edge upwards, so a card's stem end is its lower edge. Nothing is
copied from photographs or other programs. Coordinates inside a cell run from 0 to 1, y up.
After a change run `python -m viz.atlas`, which draws atlas.webp anew.
"""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter

Array = NDArray[np.float64]

CELL_PIXELS, FINER, ACROSS = 256, 2, 4
KEPT = Path(__file__).with_name("atlas.webp")
CUT = 0.42
"""Cut-out level of the fourth channel, the same in the browser."""

Outline = Callable[[Array], Array]
OUTLINES: dict[str, Outline] = {
    "ovate": lambda t: np.sin(np.pi * t**0.8) * (1 - 0.25 * t),
    "lance": lambda t: np.sin(np.pi * t**0.65) * (1 - 0.3 * t),
    "lobed": lambda t: np.sin(np.pi * t**1.2) * (0.72 + 0.34 * np.cos(t * 22)),
    "heart": lambda t: np.sin(np.pi * t**0.55) ** 0.8 * (1 - 0.3 * t),
}
"""Half width of a leaf along its length."""


@dataclass(frozen=True)
class Pen:
    """Draws leaves and stems of one cell in unit coordinates."""

    draw: ImageDraw.ImageDraw
    rng: np.random.Generator
    size: int

    def pixels(self, points: Array) -> list[tuple[float, float]]:
        """Picture coordinates of unit points (n, 2)."""
        return [(x * self.size, (1 - y) * self.size) for x, y in np.reshape(points, (-1, 2))]

    def grey(self, level: float, *, warm: float = 0.0) -> tuple[int, int, int, int]:
        """An opaque grey, slightly warmer or cooler."""
        r, g, b = (int(255 * min(1.0, level * f)) for f in (1 + warm, 1.0, 1 - warm))
        return r, g, b, 255

    def line(
        self, start: Array, end: Array, *, width: float, level: float = 0.55, warm: float = 0.08
    ) -> None:
        """A stem, or a needle where not warm, of unit width."""
        thick = max(1, int(width * self.size))
        colour = self.grey(level, warm=warm)
        self.draw.line(self.pixels(np.stack([start, end])), fill=colour, width=thick)

    def leaf(
        self,
        foot: Array,
        angle: float,
        *,
        length: float,
        width: float,
        outline: str,
        low: float = 0.7,
    ) -> None:
        """One leaf from its foot, lighter on one side of the midrib."""
        t = np.linspace(0, 1, 9)
        along = np.array([np.cos(angle), np.sin(angle)])
        across = np.array([-along[1], along[0]])
        middle = foot + np.outer(t * length, along)
        half = np.outer(OUTLINES[outline](t) * width / 2, across)
        level, warm = self.rng.uniform(low, 1.0), self.rng.uniform(-0.05, 0.05)
        edge = np.concatenate([middle + half, (middle - half)[::-1]])
        self.draw.polygon(self.pixels(edge), fill=self.grey(level, warm=warm))
        fold = np.concatenate([middle, (middle - half)[::-1]])
        self.draw.polygon(self.pixels(fold), fill=self.grey(0.86 * level, warm=warm))


def _solid(pen: Pen) -> None:
    pen.draw.rectangle([0, 0, pen.size, pen.size], fill=(255, 255, 255, 255))


def _sprig(count: int, length: float, width: float, outline: str) -> Callable[[Pen], None]:
    """Broad leaves round three short stems."""

    def drawn(pen: Pen) -> None:
        rng, foot = pen.rng, np.array([0.5, 0.02])
        for side in (-1, 0, 1):
            pen.line(foot, np.array([0.5 + 0.22 * side, 0.58 if side else 0.75]), width=1 / 70)
        for i in range(count):
            f = (i + 0.3) / count
            x = 0.5 + rng.uniform(-0.16, 0.16) * (0.3 + f) + (i % 3 - 1) * 0.24 * min(1.0, 1.6 * f)
            angle = np.pi / 2 + (-1) ** i * (1.25 - 0.95 * f) + rng.normal(0, 0.25)
            pen.leaf(
                np.array([x, 0.07 + 0.62 * f]), angle, outline=outline,
                length=length * rng.uniform(0.8, 1.1), width=width * rng.uniform(0.85, 1.15),
            )  # fmt: skip

    return drawn


def _small(pen: Pen) -> None:
    rng, foot = pen.rng, np.array([0.5, 0.02])
    for j in range(5):
        angle = np.pi / 2 + (j - 2) * 0.36 + rng.normal(0, 0.05)
        reach = rng.uniform(0.72, 0.9) * (1 - 0.05 * abs(j - 2))
        along = np.array([np.cos(angle), np.sin(angle)]) * reach
        pen.line(foot, foot + 0.95 * along, width=1 / 110)
        for i in range(11):
            for side in (-1, 1):
                pen.leaf(
                    foot + along * (0.2 + 0.8 * i / 11), angle + side * rng.uniform(0.6, 1.1),
                    length=0.105 * rng.uniform(0.8, 1.15), width=0.068, outline="ovate", low=0.66,
                )  # fmt: skip


def _needle(pen: Pen) -> None:
    rng, foot = pen.rng, np.array([0.5, 0.01])
    shoots = [(foot, np.pi / 2, 0.93)]
    for f in (0.12, 0.27, 0.42, 0.56, 0.70):
        shoots += [
            (foot + np.array([0, f]), np.pi / 2 + side * 0.75, 0.50 - 0.36 * f) for side in (-1, 1)
        ]
    for start, angle, reach in shoots:
        along = np.array([np.cos(angle), np.sin(angle)]) * reach
        pen.line(start, start + 0.9 * along, width=1 / 75, level=0.5)
        count = int(reach * 34)
        for i in range(count):
            p = start + along * (i + 0.5) / count
            for side in (-1, 1):
                turn = angle + side * rng.uniform(0.5, 0.85)
                q = p + np.array([np.cos(turn), np.sin(turn)]) * rng.uniform(0.065, 0.085)
                pen.line(p, q, width=1 / 60, level=rng.uniform(0.62, 1.0), warm=0.0)


def _scale(pen: Pen) -> None:
    rng = pen.rng

    def shoot(start: Array, angle: float, reach: float, depth: int) -> None:
        along = np.array([np.cos(angle), np.sin(angle)]) * reach
        pen.line(
            start, start + along, width=1 / (38 + 9 * depth), level=rng.uniform(0.65, 1.0), warm=0.0
        )
        if depth < 3:
            for f in (0.25, 0.45, 0.62, 0.78, 0.92):
                for side in (-1, 1):
                    turn = angle + side * rng.uniform(0.45, 0.75)
                    shoot(start + along * f, turn, reach * (0.44 - 0.17 * f), depth + 1)

    for side in (-1, 0, 1):
        shoot(np.array([0.5, 0.01]), np.pi / 2 + 0.33 * side, 0.74 if side else 0.9, 1)


def _frond(pen: Pen) -> None:
    pen.line(np.array([0.5, 0.0]), np.array([0.5, 1.0]), width=1 / 28, level=0.8)
    for i in range(30):
        for side in (-1, 1):
            angle = np.pi / 2 + side * (1.02 + pen.rng.normal(0, 0.05))
            foot = np.array([0.5, (i + 0.2) / 30])
            pen.leaf(foot, angle, length=0.54, width=0.042, outline="lance", low=0.72)


def _willow(pen: Pen) -> None:
    rng = pen.rng
    for j in range(4):
        start = np.array([0.2 + 0.2 * j + rng.normal(0, 0.02), 0.01])
        end = start + np.array([rng.normal(0, 0.04), rng.uniform(0.78, 0.97)])
        pen.line(start, end, width=1 / 120, level=0.75)
        for i in range(17):
            angle = np.pi / 2 + (-1) ** i * rng.uniform(0.35, 0.75)
            pen.leaf(
                start + (end - start) * i / 17, angle,
                length=0.17 * rng.uniform(0.8, 1.1), width=0.034, outline="lance", low=0.72,
            )  # fmt: skip


def _petals(
    pen: Pen, centre: Array, radius: float, level: float, *, eye: tuple[int, int, int]
) -> None:
    turn = pen.rng.uniform(0, 2 * np.pi)
    for k in range(5):
        angle = turn + k * 2 * np.pi / 5
        p = centre + radius * 0.62 * np.array([np.cos(angle), np.sin(angle)])
        _dot(pen, p, radius * 0.52, pen.grey(level))
    _dot(pen, centre, radius * 0.24, (*eye, 255))


def _dot(pen: Pen, centre: Array, radius: float, fill: tuple[int, int, int, int]) -> None:
    corners = pen.pixels(centre + radius * np.array([[-1, 1], [1, -1]]))
    pen.draw.ellipse([*corners[0], *corners[1]], fill=fill)


def _flowers(count: int, *, head: bool) -> Callable[[Pen], None]:
    """Five-petalled flowers, loose or packed into one head."""

    def drawn(pen: Pen) -> None:
        rng = pen.rng
        for i in range(count):
            r = 0.41 * np.sqrt((i + 0.5) / count) if head else 0.42 * np.sqrt(rng.uniform())
            centre = 0.5 + r * np.array([np.cos(i * 2.39996), np.sin(i * 2.39996)])
            level = rng.uniform(0.8, 1.0) * (1 - 0.22 * (r / 0.45) ** 2)
            eye = (int(225 * level),) * 2 + (int(215 * level),) if head else (255, 235, 120)
            _petals(pen, centre, 0.066 if head else 0.062, level, eye=eye)

    return drawn


def _twig(pen: Pen) -> None:
    rng = pen.rng

    def branch(start: Array, angle: float, reach: float, width: float, depth: int) -> None:
        p = start
        for i in range(4):
            q = p + np.array([np.cos(angle), np.sin(angle)]) * reach / 4
            thick = max(width * (1 - 0.5 * i / 4), 1.6 / pen.size)
            pen.line(p, q, width=thick, level=rng.uniform(0.75, 1.0))
            if depth < 3 and i > 0:
                for side in (-1, 1) if rng.uniform() < 0.6 else (rng.choice([-1, 1]),):
                    turn = angle + side * rng.uniform(0.4, 0.8)
                    branch(q, turn, reach * rng.uniform(0.4, 0.6), width * 0.55, depth + 1)
            p, angle = q, angle + rng.normal(0, 0.13)

    for side in (-1, 0, 1):
        branch(np.array([0.5, 0.01]), np.pi / 2 + 0.42 * side, 0.8, 1 / 60, 0)


def _plume(pen: Pen) -> None:
    rng = pen.rng
    pen.line(np.array([0.5, 0.01]), np.array([0.5, 0.55]), width=1 / 60, level=0.8)
    for f in rng.uniform(size=260):
        x = 0.5 + rng.normal(0, 0.45) * 0.16 * np.sin(np.pi * min(1.0, 0.92 * f + 0.06)) ** 0.8
        p = np.array([x, 0.38 + 0.58 * f])
        q = p + np.array([rng.normal(0, 0.02) + 0.7 * (x - 0.5), 0.05])
        pen.line(p, q, width=1 / 110, level=rng.uniform(0.75, 1.0))


def _spike(pen: Pen) -> None:
    rng = pen.rng
    pen.line(np.array([0.5, 0.0]), np.array([0.5, 0.9]), width=1 / 50, level=0.6)
    for f in rng.uniform(size=120):
        x = 0.5 + rng.uniform(-0.10, 0.10) * (1 - 0.6 * f)
        _dot(pen, np.array([x, 0.28 + 0.68 * f]), 0.022, pen.grey(rng.uniform(0.7, 1.0)))


def _blade(pen: Pen) -> None:
    """A sheaf of grass blades, pointed at the tips."""
    rng, w = pen.rng, 0.032
    for i in range(13):
        x = 0.5 + (i - 6) * 0.06 + rng.normal(0, 0.02)
        reach, lean = rng.uniform(0.70, 0.99), (i - 6) * 0.012 + rng.normal(0, 0.035)
        bend = x + 0.4 * lean
        outline = [
            [x - w, 0], [x + w, 0], [bend + 0.8 * w, 0.6 * reach], [x + lean, reach],
            [bend - 0.8 * w, 0.6 * reach],
        ]  # fmt: skip
        pen.draw.polygon(pen.pixels(np.array(outline)), fill=pen.grey(rng.uniform(0.6, 1.0)))


CELLS: dict[str, Callable[[Pen], None]] = {
    "solid": _solid,
    "ovate": _sprig(24, 0.25, 0.13, "ovate"),
    "small": _small,
    "needle": _needle,
    "lobed": _sprig(13, 0.36, 0.22, "lobed"),
    "frond": _frond,
    "willow": _willow,
    "floral": _flowers(26, head=False),
    "bloom": _flowers(70, head=True),
    "scale": _scale,
    "twig": _twig,
    "big": _sprig(9, 0.40, 0.30, "heart"),
    "plume": _plume,
    "spike": _spike,
    "ivy": _sprig(20, 0.22, 0.21, "heart"),
    "blade": _blade,
}
"""The register of sprigs; the order is the place in the picture, row by row."""

OPACITY: dict[str, float] = {
    "ovate": 0.32, "small": 0.37, "needle": 0.32, "lobed": 0.40, "frond": 0.57, "willow": 0.25,
    "scale": 0.36, "big": 0.45, "ivy": 0.37, "blade": 0.48, "twig": 0.12,
}  # fmt: skip
"""Share of a cell covered by leaf; a test measures the drawn picture."""


def cell_uv(name: str) -> Array:
    """Texture corners (4, 2) of a cell: lower left, lower right, upper right, upper left."""
    place = list(CELLS).index(name)
    column, row, inset = place % ACROSS, place // ACROSS, 0.5 / (CELL_PIXELS * ACROSS)
    u0, u1 = column / ACROSS + inset, (column + 1) / ACROSS - inset
    v0, v1 = 1 - (row + 1) / ACROSS + inset, 1 - row / ACROSS - inset
    return np.array([[u0, v0], [u1, v0], [u1, v1], [u0, v1]])


def picture(*, seed: int = 3) -> Image.Image:
    """The atlas, 1024 pixels square, red green blue and cut-out."""
    rng = np.random.default_rng(seed)
    sheet = Image.new("RGBA", (CELL_PIXELS * ACROSS,) * 2, (0, 0, 0, 0))
    for place, (name, draw) in enumerate(CELLS.items()):
        size = CELL_PIXELS * FINER
        cell = Image.new("RGBA", (size, size), (200, 200, 200, 0))
        draw(Pen(ImageDraw.Draw(cell), rng, size))
        cell = cell.resize((CELL_PIXELS, CELL_PIXELS), Image.Resampling.BOX)
        spot = (place % ACROSS * CELL_PIXELS, place // ACROSS * CELL_PIXELS)
        sheet.paste(cell if name == "solid" else _bled(cell), spot)
    return sheet


def _bled(cell: Image.Image) -> Image.Image:
    """The cell with leaf colour spread into its clear parts, so that edges do not turn pale."""
    values = np.asarray(cell).astype(np.float32)
    alpha: NDArray[np.float32] = values[..., 3].copy()
    alpha[:2], alpha[:, :2], alpha[:, -2:] = 0, 0, 0
    share = alpha[..., None] / 255
    spread = [_blurred(values[..., k] * alpha / np.float32(255)) for k in range(3)]
    weight = _blurred(alpha)[..., None] / 255
    near = np.where(weight > 0.02, np.stack(spread, -1) / np.maximum(weight, 0.02), 200)
    colour = np.where(share > 0.95, values[..., :3], near)
    return Image.fromarray(np.dstack([np.clip(colour, 0, 255), alpha]).astype(np.uint8), "RGBA")


def _blurred(channel: NDArray[np.float32]) -> NDArray[np.float32]:
    image = Image.fromarray(channel.astype(np.uint8)).filter(ImageFilter.GaussianBlur(5))
    return np.asarray(image).astype(np.float32)


def kept() -> bytes:
    """The atlas as WebP bytes, nothing lost, kept beside this file: drawing takes 0.3 s."""
    return KEPT.read_bytes()


if __name__ == "__main__":
    picture().save(KEPT, "WEBP", lossless=True, exact=True, quality=100, method=6)
