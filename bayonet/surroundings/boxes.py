"""Triangles sorted along a space-filling curve, and boxes round them: two, four, eight together.

How distances are searched in them is in `closest` and `envelope`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Indices = NDArray[np.int64]

_BITS = 10


@dataclass(frozen=True, kw_only=True)
class BoxTree:
    """Triangles and the boxes round them.

    Parameters
    ----------
    corners : array, shape (n, 3, 3)
        Triangles in the order of the tree [mm]; a bare point is three equal corners.
    number : array of int, shape (n,)
        Place of each triangle in the caller's order.
    middle, half : tuple of arrays, shape (n_level, 3)
        Middles and half extents of the boxes, level by level: level 0 is one box a triangle,
        box i of a level holds boxes 2 i and 2 i + 1 of the level below [mm].
    normal, span : tuple of arrays, shape (n_level, 3) and (n_level, 2)
        What a box holds lies between two planes with this normal, so far from its middle: close
        together where a wall is flat or nearly so, however it leans [mm].
    """

    corners: Array
    number: Indices
    middle: tuple[Array, ...]
    half: tuple[Array, ...]
    normal: tuple[Array, ...]
    span: tuple[Array, ...]

    @property
    def top(self) -> int:
        """Number of the highest level, which has one box."""
        return len(self.middle) - 1

    def __len__(self) -> int:
        return len(self.corners)


def tree(corners_mm: Array) -> BoxTree:
    """Sort triangles and box them.

    Parameters
    ----------
    corners_mm : array, shape (n, 3, 3)
        At least one triangle, in any order and of any quality [mm].

    Returns
    -------
    BoxTree

    Raises
    ------
    ValueError
        If there is no triangle.

    Examples
    --------
    >>> two = np.array([[[0.0, 0, 0], [1, 0, 0], [0, 1, 0]], [[5, 5, 5], [6, 5, 5], [5, 6, 5]]])
    >>> found = tree(two)
    >>> found.top, found.middle[1].tolist(), found.half[1].tolist()
    (1, [[3.0, 3.0, 2.5]], [[3.0, 3.0, 2.5]])
    """
    if not len(corners_mm):
        raise ValueError("a tree needs at least one triangle")
    order = _along_curve(corners_mm)
    corners = corners_mm[order]
    low, high = _ends(corners)
    middle, half = [(low + high) / 2.0], [(high - low) / 2.0]
    area = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normal = [_unit(area)]
    off = np.einsum("ij,ij->i", corners[:, 0] - middle[0], normal[0])  # of its one plane
    span = [np.column_stack([off, off])]
    while len(low) > 1:
        low, high = _paired(low, np.minimum), _paired(high, np.maximum)
        middle.append((low + high) / 2.0)
        half.append((high - low) / 2.0)
        area = _paired(area, np.add)
        normal.append(_unit(area))
        span.append(_spanned(middle, half, normal, span[-1]))
    return BoxTree(corners=corners, number=order, middle=tuple(middle), half=tuple(half),
                   normal=tuple(normal), span=tuple(span))  # fmt: skip


def _unit(area: Array) -> Array:
    length = np.sqrt(np.einsum("ij,ij->i", area, area))[:, None]
    return area / np.where(length > 0.0, length, 1.0)


def _spanned(middle: list[Array], half: list[Array], normal: list[Array], span: Array) -> Array:
    """Between which planes the boxes of the last level lie, from those of the level below.

    Leaning a child's planes to the parent's normal moves them by at most the angle's chord times
    the child's radius.
    """
    parent = np.arange(len(span)) // 2
    lean = normal[-1][parent] - normal[-2]
    more = np.sqrt(np.einsum("ij,ij->i", lean, lean) * np.einsum("ij,ij->i", half[-2], half[-2]))
    step = np.einsum("ij,ij->i", middle[-2] - middle[-1][parent], normal[-1][parent])
    low, high = step + span[:, 0] - more, step + span[:, 1] + more
    return np.column_stack([_paired(low, np.minimum), _paired(high, np.maximum)])


def _ends(corners: Array) -> tuple[Array, Array]:
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    return np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)


def _paired(values: Array, of: np.ufunc) -> Array:
    """The least (or greatest) of each two neighbours; an odd one at the end stays alone."""
    even = len(values) // 2 * 2
    both: Array = of(values[0:even:2], values[1:even:2])
    return both if even == len(values) else np.concatenate([both, values[-1:]])


def _along_curve(corners: Array) -> Indices:
    """An order in which neighbours lie close together: interleaved bits of the middles."""
    middle = corners[:, 0] + corners[:, 1] + corners[:, 2]
    low = middle.min(axis=0)
    scale = float(np.max(middle.max(axis=0) - low)) or 1.0
    cells = ((middle - low) * ((2**_BITS - 1) / scale)).astype(np.uint32)
    code = _spread(cells[:, 0]) | _spread(cells[:, 1]) << np.uint32(1)
    code |= _spread(cells[:, 2]) << np.uint32(2)
    return np.argsort(code, kind="stable")


def _spread(value: NDArray[np.uint32]) -> NDArray[np.uint32]:
    """Ten bits, two empty ones between each."""
    for shift, mask in ((16, 0x030000FF), (8, 0x0300F00F), (4, 0x030C30C3), (2, 0x09249249)):
        value = (value | value << np.uint32(shift)) & np.uint32(mask)
    return value


def below(boxes: Indices, level_size: int) -> tuple[Indices, Indices]:
    """Boxes of the level below, and for each the row of its parent in ``boxes``.

    Examples
    --------
    Of five boxes, the third parent holds only the last.

    >>> [part.tolist() for part in below(np.array([0, 2]), 5)]
    [[0, 1, 4], [0, 0, 1]]
    """
    both = (2 * boxes[:, None] + np.array([0, 1])).ravel()
    row = np.repeat(np.arange(len(boxes)), 2)
    real = both < level_size
    return both[real], row[real]


def within(trees: Sequence[BoxTree], middle: Array, reach_mm: float) -> BoxTree | None:
    """The triangles whose boxes come within a reach of a point, as one tree; None for none.

    Examples
    --------
    >>> two = np.array([[[0.0, 0, 0], [1, 0, 0], [0, 1, 0]], [[5, 5, 5], [6, 5, 5], [5, 6, 5]]])
    >>> len(within([tree(two)], np.zeros(3), 8.0))
    1
    """
    found = []
    for one in trees:
        gap = np.maximum(np.abs(one.middle[0] - middle) - one.half[0], 0.0)
        found.append(one.corners[np.einsum("ij,ij->i", gap, gap) < reach_mm**2])
    corners = np.concatenate(found)
    return tree(corners) if len(corners) else None
