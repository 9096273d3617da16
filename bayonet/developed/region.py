"""The free region: all poses (phi, delta) of the plug at which no lug touches the socket.

Exact polygon arithmetic on the developed plane. A pose moves a lug polygon by (phi, -delta). A
lug collides with a wall edge exactly at the poses in the edge swept by the mirrored lug, a convex
hull; what no hull covers, and lies inside the track, is free (configuration space; Lozano-Perez,
IEEE Trans. Computers C-32, 1983). Where contours depend on the radius, each hull is taken over
all radii, so that the region errs on the safe side.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from bayonet.developed.fitting import Fitting, Outline

Array = NDArray[np.float64]

_TURNS = (-720.0, -360.0, 0.0, 360.0, 720.0)
_ROUND_DEG = 3.0
_MANY = 64
_LEVEL_MM = 1e-12
_SAME = 9  # decimals [deg, mm] to which two lugs see the same surroundings


@dataclass(frozen=True)
class Window:
    """Poses looked at: turn [deg] and lift [mm]."""

    from_deg: float
    to_deg: float
    lift_mm: float

    def box(self) -> Polygon:
        """As a polygon over (phi, delta)."""
        return shapely.box(self.from_deg, 0.0, self.to_deg, self.lift_mm)


@dataclass(frozen=True)
class FreeRegion:
    """Free poses within a window, as polygons over (phi [deg], delta [mm]).

    Parameters
    ----------
    pieces : tuple of Polygon
        Connected pieces; poses in different pieces cannot be reached from each other.
    window : Window
    """

    pieces: tuple[Polygon, ...]
    window: Window

    def piece_at(self, phi_deg: float, delta_mm: float, *, within: float = 1e-9) -> Polygon | None:
        """The connected piece that holds a pose, or None."""
        point = shapely.Point(phi_deg, delta_mm)
        near = [piece for piece in self.pieces if piece.distance(point) <= within]
        return max(near, key=lambda piece: piece.area, default=None)

    def outside(self) -> tuple[Polygon, ...]:
        """Pieces that reach the top of the window, where the plug is out of the socket."""
        top = self.window.lift_mm
        return tuple(piece for piece in self.pieces if piece.bounds[3] >= top - 1e-9)


def free_region(fitting: Fitting, window: Window) -> FreeRegion:
    """All free poses in a window.

    Parameters
    ----------
    fitting : Fitting
    window : Window
        Lift counts from shoulder on mouth face; less than 0 is never free.

    Returns
    -------
    FreeRegion

    Examples
    --------
    A 10 deg lug 2 mm thick in a slot 12 deg wide, with nothing else, has 1 deg each side.

    >>> from bayonet.shapes import rectangle
    >>> from bayonet.developed.fitting import Outline
    >>> def shape(*sides):
    ...     polygon = rectangle(*sides, inner_mm=1.0, outer_mm=2.0).polygon(2.0)
    ...     return Outline(polygon[None])
    >>> slot = Fitting((shape(-5, 5, 1, 3),), (shape(-6, 6, 0, 9),), 0.0)
    >>> region = free_region(slot, Window(-20.0, 20.0, 2.0))
    >>> [round(bound, 9) for bound in region.pieces[0].bounds]
    [-1.0, 0.0, 1.0, 2.0]
    """
    done: set[bytes] = set()
    free: BaseGeometry = window.box()
    for index, lug in enumerate(fitting.lugs):
        tracks = fitting.seen_by(index)
        near = _near(_walls(tracks, fitting.top_mm), lug, window)
        seen = _surroundings(near, lug)
        if seen not in done:
            done.add(seen)
            pieces = _free_of_one(near, lug, Fitting((lug,), tracks, fitting.top_mm), window)
            free = shapely.intersection(free, MultiPolygon(pieces))
    return FreeRegion(tuple(_polygons(free)), window)


def region_of(fitting: Fitting, *, turn_deg: float, lift_mm: float) -> tuple[Polygon, ...]:
    """Pieces of the free region round one turn, up to a lift [deg, mm]."""
    window = Window(turn_deg - _ROUND_DEG, turn_deg + _ROUND_DEG, lift_mm)
    return free_region(fitting, window).pieces


def _surroundings(walls: Array, lug: Outline) -> bytes:
    """What a lug sees, from its own middle: equal for lugs that need not be done twice."""
    middle = np.array([(lug.points[..., 0].min() + lug.points[..., 0].max()) / 2.0, 0.0])
    seen = np.round(walls - middle, _SAME).reshape(len(walls), -1) + 0.0
    own = np.round(lug.points - middle, _SAME) + 0.0
    return bytes(seen[np.lexsort(seen.T)].tobytes() + own.tobytes())


def _walls(tracks: tuple[Outline, ...], top_mm: float) -> Array:
    """Every wall edge a lug can meet, over several turns, shape (edges, radii, 2, 2).

    The walls are the track edges but for the openings, and the face between the openings. Tracks
    that are not deep enough for a lug are no opening to it.
    """
    shifts = np.array([[turn, 0.0] for turn in _TURNS])
    if not tracks:
        whole = np.array([[[[0.0, top_mm], [360.0, top_mm]]]])
        return np.concatenate([whole + shift for shift in shifts])
    order = np.argsort([track.points[0, :, 0].min() for track in tracks])
    ordered = [tracks[index] for index in order]
    edges = [edge for track in ordered for edge in _track_walls(track)]
    following = [*ordered[1:], ordered[0].shifted(360.0)]
    edges += [_face(*pair) for pair in zip(ordered, following, strict=True)]
    once = np.stack(edges)
    return np.concatenate([once + shift for shift in shifts])


def _track_walls(track: Outline) -> list[Array]:
    points = track.points
    return [points[:, i : i + 2] for i in range(points.shape[1] - 1)]


def _face(one: Outline, other: Outline) -> Array:
    """The face between the openings of two neighbouring tracks, shape (radii, 2, 2)."""
    last, first = one.points[:, [0, -1]], other.points[:, [0, -1]]
    start = np.take_along_axis(last, last[:, :, :1].argmax(axis=1)[:, None], axis=1)
    end = np.take_along_axis(first, first[:, :, :1].argmin(axis=1)[:, None], axis=1)
    return np.concatenate([start, end], axis=1)


def _near(walls: Array, lug: Outline, window: Window) -> Array:
    """Walls the lug can meet within the window."""
    angles = walls[..., 0]
    low = lug.points[..., 0].min() + window.from_deg
    high = lug.points[..., 0].max() + window.to_deg
    meets = (angles.max(axis=(1, 2)) >= low) & (angles.min(axis=(1, 2)) <= high)
    return np.asarray(walls[meets])


def _free_of_one(walls: Array, lug: Outline, fitting: Fitting, window: Window) -> list[Polygon]:
    hulls = _obstacles(walls, lug)
    pieces = _polygons(shapely.difference(window.box(), shapely.union_all(hulls)))
    inside = _are_inside(pieces, lug, fitting)
    return [piece for piece, held in zip(pieces, inside, strict=True) if held]


def _obstacles(walls: Array, lug: Outline) -> NDArray[np.object_]:
    """Poses at which the lug touches each wall edge: convex hulls over (phi, delta)."""
    if lug.points.shape[1] > _MANY:
        return np.array([_obstacle(wall, lug) for wall in walls])
    difference = walls[:, :, :, None, :] - lug.points[None, :, None, :, :]
    poses = difference * np.array([1.0, -1.0])
    clouds = poses.reshape(len(walls), -1, 2)
    return np.asarray(shapely.convex_hull(shapely.linestrings(clouds)))


def _obstacle(wall: Array, lug: Outline) -> BaseGeometry:
    """The same of one wall edge and a lug of many corners.

    Where no depth depends on the radius, a corner of the one against a corner of the other moves
    along phi alone from radius to radius: its least and its greatest span all the rest.
    """
    depths = [np.ptp(points[..., 1], axis=0).max() for points in (wall, lug.points)]
    phi = wall[:, :, None, 0] - lug.points[:, None, :, 0]
    lift = lug.points[:, None, :, 1] - wall[:, :, None, 1]
    if max(depths) < _LEVEL_MM:
        phi, lift = np.stack([phi.min(axis=0), phi.max(axis=0)]), lift[[0, 0]]
    cloud = np.stack([phi.ravel(), lift.ravel()], axis=-1)
    return shapely.convex_hull(shapely.linestrings(cloud))


def _are_inside(pieces: list[Polygon], lug: Outline, fitting: Fitting) -> NDArray[np.bool_]:
    """Which pieces no wall touches are inside the tracks or above them, not in the material."""
    poses = shapely.get_coordinates(shapely.point_on_surface(pieces))
    where = lug.points[-1].mean(axis=0) + poses * np.array([1.0, -1.0])
    inside = where[:, 1] <= fitting.top_mm
    if inside.all() or not fitting.tracks:
        return np.asarray(inside)
    shifts = np.array([[turn, 0.0] for turn in (-360.0, 0.0, 360.0)])
    tracks = np.array([Polygon(track.points[-1] + s) for track in fitting.tracks for s in shifts])
    points = shapely.points(where[:, 0] % 360.0, where[:, 1])
    shapely.prepare(tracks)
    return np.asarray(inside | shapely.covers(tracks[:, None], points).any(axis=0))


def _polygons(shape: BaseGeometry) -> list[Polygon]:
    if isinstance(shape, Polygon):
        return [] if shape.is_empty else [shape]
    if isinstance(shape, MultiPolygon) or hasattr(shape, "geoms"):
        return [part for part in shape.geoms if isinstance(part, Polygon) and not part.is_empty]
    return []
