"""Scrambled Sobol points in blocks: each block is one table of ranks, shifted bit by bit.

A digital net is closed under exclusive or: the points of a later block are those of the first
one, each coordinate changed by one constant. So a block costs one exclusive or a number, and its
coordinates are a permutation of equal strata, looked up in a table of quantiles.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np
from numpy.typing import NDArray

from bayonet.standards import rows

Ranks = NDArray[np.int64]
Bits = NDArray[np.uint64]

BLOCK_BITS = 13
BLOCK = 1 << BLOCK_BITS
"""Points in a block."""

PLACE_BITS = 6
PLACES = 1 << PLACE_BITS
"""Places within a stratum, so that tables of quantiles can be kept."""

WORD_BITS = 32
SOURCE = "S. Joe and F. Y. Kuo, SIAM J. Sci. Comput. 30 (2008) 2635, table new-joe-kuo-6"


@cache
def direction_numbers(dimensions: int) -> Bits:
    """Direction numbers, shape (dimensions, 32), the leading bit first.

    Parameters
    ----------
    dimensions : int
        At most 320.

    Returns
    -------
    array of uint64

    Raises
    ------
    ValueError
        For more dimensions than the table has.

    Examples
    --------
    The second dimension starts 1/2, 3/4, 5/8 of a word.

    >>> [int(v) / 2**32 for v in direction_numbers(2)[1, :3]]
    [0.5, 0.75, 0.625]
    """
    table = rows("sobol")
    if dimensions > len(table):
        raise ValueError(f"the table has {len(table)} dimensions, not {dimensions}")
    numbers = np.zeros((dimensions, WORD_BITS), dtype=np.uint64)
    for index, row in enumerate(table[:dimensions]):
        numbers[index] = _row(int(row["polynomial"]), [int(m) for m in row["initial"].split()])
    return numbers


def _row(polynomial: int, initial: list[int]) -> list[int]:
    degree = polynomial.bit_length() - 1
    if degree == 0:
        return [1 << (WORD_BITS - 1 - bit) for bit in range(WORD_BITS)]
    m = list(initial)
    for bit in range(degree, WORD_BITS):
        value = m[bit - degree] ^ (m[bit - degree] << degree)
        for step in range(1, degree):
            if polynomial >> (degree - step) & 1:
                value ^= m[bit - step] << step
        m.append(value)
    return [m[bit] << (WORD_BITS - 1 - bit) for bit in range(WORD_BITS)]


@dataclass(frozen=True)
class Net:
    """One scramble of the sequence, ready to be read block by block.

    Parameters
    ----------
    ranks : array of int, shape (dimensions, BLOCK)
        Strata of the first block's points.
    steps : array of uint64, shape (dimensions, 32 - BLOCK_BITS)
        What each bit of a block's number changes.
    shift : array of uint64, shape (dimensions,)
        Digital shift.
    offset_seed : int
        Of the places within the strata.
    """

    ranks: Ranks
    steps: Bits
    shift: Bits
    offset_seed: int

    def block(self, number: int) -> tuple[Ranks, int]:
        """What changes the ranks of each dimension in a block, and the place within the strata.

        Parameters
        ----------
        number : int
            Of the block, from 0.

        Returns
        -------
        tuple
            ``ranks ^ change[:, None]`` are the strata; a point lies at `place_in` of the place.
        """
        change = self.shift.copy()
        for bit in range(number.bit_length()):
            if number >> bit & 1:
                change ^= self.steps[:, bit]
        place = _radical_inverse(number, self.offset_seed)
        return (change >> np.uint64(WORD_BITS - BLOCK_BITS)).astype(np.int64), place


@lru_cache(maxsize=64)
def net(dimensions: int, *, seed: int) -> Net:
    """A Sobol net with a random linear scramble and digital shift (Matousek 1998).

    Parameters
    ----------
    dimensions : int
    seed : int
        The same seed gives the same points to the last bit.

    Returns
    -------
    Net
    """
    source = np.random.default_rng(np.random.PCG64(seed))
    numbers = _scrambled(direction_numbers(dimensions), source)
    shift = source.integers(0, 1 << WORD_BITS, size=dimensions, dtype=np.uint64)
    ranks = np.zeros((dimensions, BLOCK), dtype=np.uint64)
    for bit in range(BLOCK_BITS):  # each bit doubles the points that are known
        known = 1 << bit
        ranks[:, known : 2 * known] = ranks[:, :known] ^ numbers[:, bit : bit + 1]
    top = (ranks >> np.uint64(WORD_BITS - BLOCK_BITS)).astype(np.int64)
    return Net(top, numbers[:, BLOCK_BITS:], shift, int(source.integers(1 << 30)))


def _scrambled(numbers: Bits, source: np.random.Generator) -> Bits:
    """Each dimension's bits mixed by its own lower triangular matrix."""
    dimensions = len(numbers)
    out = np.zeros_like(numbers)
    for bit in range(WORD_BITS):
        # output bit `bit` (from the top) is the parity of the masked bits above it, and itself
        above = source.integers(0, 1 << bit, size=dimensions, dtype=np.uint64) if bit else 0
        mask = (np.asarray(above, dtype=np.uint64) << np.uint64(WORD_BITS - bit)) if bit else 0
        own = np.uint64(1 << (WORD_BITS - 1 - bit))
        masked = numbers & (np.asarray(mask, dtype=np.uint64) | own).reshape(-1, 1)
        parity = np.bitwise_count(masked) & 1
        out |= parity.astype(np.uint64) << np.uint64(WORD_BITS - 1 - bit)
    return out


def _radical_inverse(number: int, seed: int) -> int:
    """Van der Corput's sequence in base 2, shifted: places that fill the strata evenly."""
    mixed = int(f"{number % PLACES:0{PLACE_BITS}b}"[::-1], 2)
    return mixed ^ (seed % PLACES)


def place_in(place: int) -> float:
    """Where in its stratum a point of a block lies; never at 0 or 1."""
    return (place + 0.5) / PLACES
