"""Scrambled Sobol points, the same to the last bit as scipy.stats.qmc.Sobol gives.

Loading scipy.stats takes 0.7 s of processor and 46 MB for the sake of these few lines. Direction
numbers are those that come with scipy, in the file its own generator reads.
Source: direction numbers of Joe and Kuo 2008, doi 10.1137/070709359; scrambling by a linear matrix
and a digital shift, Matousek 1998, doi 10.1006/jcom.1998.0489.
"""

from pathlib import Path

import numpy as np
import scipy
from numpy.typing import NDArray

from growth.ranges import Array

Words = NDArray[np.uint32]

BITS = 30
DIRECTIONS = Path(scipy.__file__).parent / "stats" / "_sobol_direction_numbers.npz"


def sobol_points(rng: np.random.Generator, columns: int, power: int) -> Array:
    """The first 2**power points (n, columns) of a scrambled sequence, each from 0 to 1."""
    chance = rng.spawn(1)[0]
    places = 2 ** np.arange(BITS, dtype=np.uint32)
    shift = chance.integers(2, size=(columns, BITS), dtype=np.uint32) @ places
    lower = np.tril(chance.integers(2, size=(columns, BITS, BITS), dtype=np.uint32))
    directions = _scrambled(_directions(columns), lower)
    number = np.arange(2**power, dtype=np.uint32)
    gray = number ^ (number >> 1)
    words = np.broadcast_to(shift.astype(np.uint32), (len(number), columns)).copy()
    for bit in range(power):
        words ^= ((gray >> bit) & 1)[:, None] * directions[:, bit]
    return np.asarray(words * (1.0 / 2**BITS))


def _directions(columns: int) -> Words:
    """Direction numbers (columns, BITS), highest bit first."""
    with np.load(DIRECTIONS) as kept:
        polynomials, starts = kept["poly"][:columns].tolist(), kept["vinit"][:columns].tolist()
    rows = [[1] * BITS]
    for polynomial, row in zip(polynomials[1:], starts[1:], strict=True):
        degree = polynomial.bit_length() - 1
        row = row[:degree]
        for at in range(degree, BITS):
            word = row[at - degree]
            for back in range(1, degree + 1):
                if polynomial >> (degree - back) & 1:
                    word ^= row[at - back] << back
            row.append(word)
        rows.append(row)
    return np.array(rows, np.uint32) << np.arange(BITS - 1, -1, -1, dtype=np.uint32)


def _scrambled(directions: Words, lower: Words) -> Words:
    """Directions with each word's bits, highest first, times a lower triangle of ones, modulo 2."""
    lower = lower | np.eye(BITS, dtype=np.uint32)
    falling = np.arange(BITS - 1, -1, -1, dtype=np.uint32)
    bits = directions[..., None] >> falling & 1
    mixed = np.einsum("ckm,cjm->cjk", lower, bits) & 1
    return np.asarray((mixed << falling).sum(axis=-1, dtype=np.uint32))
