"""Round lugs, told by their outline, and refused: a fit of blocks would misread them."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bayonet.errors import ScanError
from bayonet.scan.fit import Refined, Shape, body_key, lug_key, turned_from
from bayonet.scan.uncertainty.coverage import width_deg

Array = NDArray[np.float64]

_FOOT, _TOP = 0.3, 0.2  # of a lug's height left out at its foot and its outside
_BESIDE_MM = 1.0  # round where a block was thought
_LEAST = 40  # points of one lug
_ROUNDS = 12  # of a circle fitted robustly
_SECTORS, _SEEN = 36, 0.4  # of a circle, from which an outline is told
_BETTER = 0.7  # of the squares that a block leaves
_FAR = 5.0  # standard deviations: farther points count as far as that


def refuse_round(cloud: Array, end: Refined, shape: Shape, *, name: str, mm: float) -> None:
    """Refuse lugs whose outline is a circle; a block must explain what is seen as well.

    Parameters
    ----------
    cloud : array (n, 3)
        All points in the fitted frame: radius [mm], angle [deg], depth [mm].
    end : Refined
    shape : Shape
    name : str
        Of the scan.
    mm : float
        Length of the working unit [mm].

    Raises
    ------
    ScanError
        If more lugs are round than not.
    """
    found = [_circle(i, cloud, end, shape) for i in range(shape.lugs)]
    pins = [one for one in found if one is not None]
    if 2 * len(pins) <= shape.lugs:
        return
    across, depth = (mm * float(np.median(one)) for one in zip(*pins, strict=True))
    outer = mm * float(np.median([end.values[lug_key(i, "outer_diameter")]
                                  for i in range(shape.lugs)]))  # fmt: skip
    raise ScanError(
        f"{name}: these lugs are round: {shape.lugs} pins of {across:.2f} mm diameter, their axes"
        f" {depth:.2f} mm below the shoulder, {outer:.2f} mm over their ends (all rough): a scan"
        " is read for lugs that are blocks only; measure pins by hand"
    )


def _circle(i: int, cloud: Array, end: Refined, shape: Shape) -> tuple[float, float] | None:
    """Diameter and depth of a round lug's axis; None where a block is as good."""
    v = end.values
    base, root = lug_key(i), v[body_key(shape.root, "diameter")] / 2.0
    outer = v[base.of("outer_diameter")] / 2.0
    half = math.radians(width_deg(v, base)) / 2.0
    top, thick = v[base.of("bearing_depth")], v[base.of("thickness")]
    r, depth = cloud[:, 0], cloud[:, 2]
    angle = turned_from(np.radians(cloud[:, 1]), math.radians(v[base.of("centre_deg")]))
    tall = outer - root
    own = (r > root + _FOOT * tall) & (r < outer - _TOP * tall)
    own &= np.abs(angle) < half + _BESIDE_MM / outer
    own &= (depth > top - _BESIDE_MM) & (depth < top + thick + _BESIDE_MM)
    if own.sum() < _LEAST:
        return None
    across, along = r[own] * np.sin(angle[own]), depth[own]
    fitted = _fitted(across, along, max(end.noise, 1e-3))
    if fitted is None:
        return None
    x, y, radius = fitted
    around = np.arctan2(along - y, across - x)
    sector = np.unique(np.floor((around / (2.0 * math.pi) + 0.5) * _SECTORS).astype(int))
    if len(sector) < _SEEN * _SECTORS or not 0.35 * thick < radius < 1.2 * thick:
        return None
    limit = _FAR * max(end.noise, 1e-3)
    of_circle = np.minimum(np.abs(np.hypot(across - x, along - y) - radius), limit)
    of_block = np.minimum(_from_block(i, r[own], angle[own], along, end, shape, half), limit)
    if not float((of_circle**2).sum()) < _BETTER * float((of_block**2).sum()):
        return None
    return 2.0 * radius, y


def _from_block(i: int, r: Array, angle: Array, depth: Array, end: Refined, shape: Shape,
                half: float) -> Array:  # fmt: skip
    """Distance from the nearest face of the block that was fitted, its lean left out."""
    v, base = end.values, lug_key(i)
    turn = v["lead"] * shape.sign / (2.0 * math.pi)
    other = v.get("leading_lead", v["lead"]) * shape.sign / (2.0 * math.pi)
    top = v[base.of("bearing_depth")] + turn * angle
    low = v[base.of("bearing_depth")] + v[base.of("thickness")] + other * angle
    side = np.abs(np.abs(angle) - half) * r
    return np.asarray(np.minimum(side, np.minimum(np.abs(depth - top), np.abs(depth - low))))


def _fitted(x: Array, y: Array, noise: float) -> tuple[float, float, float] | None:
    """A circle by least squares on its points, far ones given less and less weight."""
    rows = np.column_stack([2.0 * x, 2.0 * y, np.ones(len(x))])
    weight, side = np.ones(len(x)), x**2 + y**2
    found = (0.0, 0.0, 0.0)
    for turn in range(_ROUNDS):
        scaled = rows * weight[:, None]
        square = scaled.T @ rows
        if not np.linalg.cond(square) < 1e14:
            return None
        a, b, c = np.linalg.solve(square, scaled.T @ side)
        if not c + a * a + b * b > 0.0:
            return None
        found = (float(a), float(b), float(math.sqrt(c + a * a + b * b)))
        off = np.abs(np.hypot(x - a, y - b) - found[2])
        scale = max(_FAR * noise, 4.0 * float(np.median(off)) * 0.7**turn)
        weight = np.maximum(1.0 - (off / scale) ** 2, 0.0) ** 2
        if not weight.sum() > _LEAST / 2:
            return None
    return found
