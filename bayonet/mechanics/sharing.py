r"""How several lugs share one load: rigid bounds, and springs that lift off."""

from __future__ import annotations

import itertools
import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

MOST_LUGS = 8
_ZERO = 1e-9
_LOOSE = 1e-7  # of the lugs' own stiffness in tilt: picks one pose where the plug could rock


def most_rigid_share(angles_deg: ArrayLike, *, may_tilt: bool) -> Array:
    """Greatest share of a centred load each lug may have to carry, all parts rigid.

    A rigid plug that may tilt rests on three lugs round the centre, or on two opposite ones;
    which, the errors of the parts decide. One that may not tilt rests on a single lug.

    Parameters
    ----------
    angles_deg : array, shape (n,)
        Where the lugs stand.
    may_tilt : bool
        Whether the plug can tilt far enough.

    Returns
    -------
    array, shape (n,)
        Share of the load [-]; 0 for a lug that helps nowhere, 1 for all where no set of lugs
        surrounds the centre.

    References
    ----------
    .. [1] Equilibrium of a rigid body on point supports: three are determinate, more are not.

    Examples
    --------
    Three equal lugs are determinate; of four, two opposite ones may carry it all.

    >>> most_rigid_share([0, 120, 240], may_tilt=True).round(3).tolist()
    [0.333, 0.333, 0.333]
    >>> most_rigid_share([0, 90, 180, 270], may_tilt=True).round(3).tolist()
    [0.5, 0.5, 0.5, 0.5]
    """
    angles = np.radians(np.asarray(angles_deg, dtype=float))
    count = len(angles)
    most = np.zeros(count)
    if not may_tilt:
        return np.ones(count)
    rows = np.array([np.ones(count), np.cos(angles), np.sin(angles)])
    for size in (2, 3):
        for chosen in itertools.combinations(range(count), size):
            part = rows[:, chosen]
            share, _, rank, _ = np.linalg.lstsq(part, np.array([1.0, 0.0, 0.0]), rcond=None)
            exact = np.allclose(part @ share, [1.0, 0.0, 0.0], atol=_ZERO)
            if rank == size and exact and np.all(share >= -_ZERO):
                most[list(chosen)] = np.maximum(most[list(chosen)], share)
    return most if most.any() else np.ones(count)


def most_elastic_share(
    angles_deg: ArrayLike,
    *,
    stiffness_n_per_mm: ArrayLike,
    ahead_mm: ArrayLike,
    force_n: float,
    radius_mm: float,
    may_tilt: bool,
) -> Array:
    r"""Greatest share of a centred load each lug carries as an elastic spring that lifts off.

    Every lug may stand ahead of, or behind, its place by its limit; all :math:`2^n` corners are
    solved. Lug i is pressed by :math:`\delta_i = u + a x_i + b y_i - g_i` where that is positive
    and carries :math:`k_i \delta_i`.

    Parameters
    ----------
    angles_deg : array, shape (n,)
        Where the lugs stand; at most `MOST_LUGS`.
    stiffness_n_per_mm : array, shape (n,)
        :math:`k_i`, lug and ledge in series [N/mm].
    ahead_mm : array, shape (n,)
        How far each may be ahead or behind, plus or minus [mm].
    force_n : float
        On all together, positive [N].
    radius_mm : float
        Where the lugs bear [mm].
    may_tilt : bool
        Whether the plug is free to tilt.

    Returns
    -------
    array, shape (n,)
        Share [-].

    Raises
    ------
    ValueError
        If there are more lugs than `MOST_LUGS`, or the force is not positive.

    References
    ----------
    .. [1] Signorini's conditions of contact without adhesion: gap >= 0, load >= 0, and one of
       them 0; on linear springs they have one solution, searched for among all sets that touch.

    Examples
    --------
    Two lugs, no tilt, 1000 N/mm each, one 0.1 mm ahead of the other: it bends 0.1 mm under 100 N,
    the next 100 N are shared: 150 N of 200.

    >>> shares = most_elastic_share(
    ...     [0, 180], stiffness_n_per_mm=[1e3, 1e3], ahead_mm=[0.05, 0.05], force_n=200.0,
    ...     radius_mm=20.0, may_tilt=False,
    ... )  # fmt: skip
    >>> shares.round(3).tolist()
    [0.75, 0.75]
    """
    angles = np.radians(np.asarray(angles_deg, dtype=float))
    count = len(angles)
    if count > MOST_LUGS:
        raise ValueError(f"at most {MOST_LUGS} lugs, not {count}")
    if not force_n > 0.0:
        raise ValueError("the force must be positive")
    stiff = np.broadcast_to(np.asarray(stiffness_n_per_mm, dtype=float), (count,))
    base = np.array([np.ones(count), radius_mm * np.cos(angles), radius_mm * np.sin(angles)])
    if not may_tilt:
        base = base[:1]
    sets = np.array(list(itertools.product((0.0, 1.0), repeat=count)))
    gaps = (1.0 - 2.0 * sets) * np.asarray(ahead_mm, dtype=float)
    carried = np.array([_carried(base, stiff, gap, sets[1:], force_n, radius_mm) for gap in gaps])
    return np.asarray(carried.max(axis=0) / force_n)


def _carried(
    base: Array, stiff: Array, gap: Array, sets: Array, force_n: float, radius_mm: float
) -> Array:
    """Loads of the lugs for one set of gaps: the set of touching lugs that agrees with itself."""
    held = sets * stiff
    matrix = np.einsum("sn,in,jn->sij", held, base, base)
    for row in range(1, len(base)):
        matrix[:, row, row] += _LOOSE * stiff.sum() * radius_mm**2
    load = np.einsum("sn,in,n->si", held, base, gap)
    load[:, 0] += force_n
    moved = np.linalg.solve(matrix, load[:, :, None])[:, :, 0] @ base - gap
    wrong = np.where(sets > 0.0, -moved, moved).max(axis=1)
    best = int(np.argmin(wrong))
    return np.asarray(sets[best] * stiff * moved[best])


def tilt_needed_deg(ahead_mm: float, *, radius_mm: float) -> float:
    r"""Tilt that brings lugs at a radius to bear, each off by plus or minus ``ahead_mm`` [deg].

    .. math:: \tan\varphi = a / r

    Examples
    --------
    0.1 mm over a circle of 40 mm, twice: 0.29 deg.

    >>> round(tilt_needed_deg(0.1, radius_mm=20.0), 2)
    0.29
    """
    return math.degrees(math.atan(ahead_mm / radius_mm))
