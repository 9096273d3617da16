"""Lugs and tracks of one fitting laid out in the developed plane, ready for motion.

Everything is in lock coordinates: angle [deg] counted towards lock, depth [mm] from the mouth.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.developed import contour
from bayonet.parts import Lug, Track
from bayonet.shapes import Contour

Array = NDArray[np.float64]

_RADII_WHERE_IT_MATTERS = 16
_MISSED_DEG = 5e-5
"""Of either of lug and track, so of a pose no more than 1e-4 [deg]."""


@dataclass(frozen=True)
class Outline:
    """A polygon at each of a few radii, shape (radii, corners, 2), and how far out it reaches."""

    points: Array
    outer_mm: float = 0.0

    def shifted(self, by_deg: float) -> Outline:
        """The same further round [deg]."""
        return Outline(self.points + np.array([by_deg, 0.0]), self.outer_mm)


@dataclass(frozen=True)
class Fitting:
    """Lug polygons at pose (0, 0) and track polygons, around the whole turn.

    Parameters
    ----------
    lugs : tuple of Outline
    tracks : tuple of Outline
        First and last corner of each are the ends of its opening.
    top_mm : float
        Depth of the face the slots open in [mm]; above it lugs are free.
    seen : tuple of tuple of Outline
        For each lug the tracks at that lug's own radii; empty: ``tracks`` for every lug.
    """

    lugs: tuple[Outline, ...]
    tracks: tuple[Outline, ...]
    top_mm: float
    seen: tuple[tuple[Outline, ...], ...] = ()

    def seen_by(self, lug: int) -> tuple[Outline, ...]:
        """The tracks at the radii a lug reaches, those too shallow for it left out."""
        tracks = self.seen[lug] if self.seen else self.tracks
        return tuple(track for track in tracks if track.outer_mm >= self.lugs[lug].outer_mm)

    @property
    def lowest_mm(self) -> float:
        """Greatest depth any lug reaches at pose (0, 0) [mm]."""
        return max(float(lug.points[..., 1].max()) for lug in self.lugs)


def _count(bore: float, outer: float, shapes: tuple[Contour, ...]) -> int:
    r"""How many radii are looked at.

    With rounds as many as leave nothing beyond `_MISSED_DEG` between two of them: a corner at a
    distance o from a radial plane stands at :math:`\arcsin (o / r)`, which between two radii
    :math:`h` apart is off a straight line by no more than :math:`h^2 / 8` of its second derivative,
    greatest at the bore.

    .. math:: \frac{o\,(2 r^2 - o^2)}{r^2 (r^2 - o^2)^{3/2}}
    """
    if not any(shape.is_round for shape in shapes):
        return _RADII_WHERE_IT_MATTERS
    far = max(abs(c.side.offset_mm) for shape in shapes for c in shape.corners)
    bent = far * (2.0 * bore**2 - far**2) / (bore**2 * (bore**2 - far**2) ** 1.5)
    steps = (outer - bore) * math.sqrt(math.degrees(bent) / (8.0 * _MISSED_DEG))
    return max(_RADII_WHERE_IT_MATTERS, math.ceil(steps) + 1)


def lay_out(lugs: tuple[Lug, ...], tracks: tuple[Track, ...], *, sign: int) -> Fitting:
    """Lay lugs and tracks out in the developed plane.

    Parameters
    ----------
    lugs : tuple of Lug
    tracks : tuple of Track
    sign : {1, -1}
        +1 where lock lies towards greater theta.

    Returns
    -------
    Fitting
        At one radius where no contour depends on it; else each lug, and the tracks as it sees
        them, at a few radii from the bore to its own tip: a track's wall is where its lug ends,
        and a sloped floor beyond it is no floor.
    """
    bore = min(track.inner_radius_mm for track in tracks)
    lug_shapes = [contour.of_lug(lug, inner_mm=bore) for lug in lugs]
    track_shapes = [contour.of_track(track) for track in tracks]
    varies = any(shape.depends_on_radius for shape in (*lug_shapes, *track_shapes))

    def radii(outer: float) -> Array:
        if not varies:
            return np.array([outer])
        return np.linspace(bore, outer, _count(bore, outer, (*lug_shapes, *track_shapes)))

    def outline(shape: Contour, centre_deg: float, outer: float) -> Outline:
        points = shape.polygons(radii(outer))
        return Outline(points + np.array([(sign * centre_deg) % 360.0, 0.0]), shape.outer_mm)

    def seen(outer: float) -> tuple[Outline, ...]:
        return tuple(
            outline(shape, track.centre_deg, outer if shape.outer_mm >= outer else shape.outer_mm)
            for shape, track in zip(track_shapes, tracks, strict=True)
        )

    at = {lug.outer_radius_mm: seen(lug.outer_radius_mm) for lug in lugs}
    return Fitting(
        lugs=tuple(
            outline(shape, lug.centre_deg, lug.outer_radius_mm)
            for shape, lug in zip(lug_shapes, lugs, strict=True)
        ),
        tracks=at[max(at)],
        top_mm=min(track.top_mm for track in tracks),
        seen=tuple(at[lug.outer_radius_mm] for lug in lugs),
    )
