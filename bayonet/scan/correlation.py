"""Whether residuals are white, and how much larger uncertainties are where they are not."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.refine import Labelled, Refined, inverse, prior

Array = NDArray[np.float64]

_SIZES_MM = (1.5, 3.0, 6.0)


def inflation(end: Refined, rest: Array) -> tuple[float, float]:
    """How much larger uncertainties are than white noise says, and over what length [mm].

    White residuals summed in cells of n have variance n sigma^2; what is more is correlation.
    """
    seen = end.labelled
    near = np.abs(seen.residual) < 3.6 * end.noise
    owns = [seen.of(name) for name in dict.fromkeys(seen.names)]
    owns = [own[near[own]] for own in owns]
    shares = [_share(seen, rest, [own for own in owns if len(own) > 2], size, end.noise)
              for size in _SIZES_MM]  # fmt: skip
    most = max(shares)
    length = _SIZES_MM[int(np.argmax(np.array(shares) > 0.5 * most))] if most > 1.5 else 0.0
    return math.sqrt(most) if most > 1.2 else 1.0, length


def scattered(end: Refined) -> dict[str, float]:
    """Standard uncertainties by how residuals' sums over cells scatter, of turned faces and lead.

    A lug's own faces are too few cells to tell.
    """
    variance = end.noise**2
    spread = inverse(end.information / variance + np.diag(prior(end.keys))) / variance
    u = np.sqrt(np.maximum(np.diag(spread @ end.scatter @ spread), 0.0))
    found = zip(end.keys, u.tolist(), strict=True)
    return {key: one for key, one in found if not key.startswith("lug.")}


def _share(seen: Labelled, rest: Array, owns: list[NDArray[np.int64]], size: float, noise: float
           ) -> float:  # fmt: skip
    """Square sums of residuals over cells of a size, by what white noise would give."""
    total, count = 0.0, 0
    for own in owns:
        along = np.radians(seen.theta[own]) * seen.r[own]
        places = sorted((along, seen.r[own], seen.depth[own]), key=lambda one: float(one.std()))
        first, second = (np.floor((one - one.min()) / size).astype(np.int64) for one in places[1:])
        sums = np.bincount(first * (second.max() + 1) + second, weights=rest[own])
        total += float((sums**2).sum())
        count += len(own)
    return total / max(count * noise**2, 1e-12)
