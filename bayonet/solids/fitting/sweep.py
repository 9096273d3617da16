"""The written files put through their motion by a second engine: booleans of meshes.

It shares nothing with the polygons but the poses: what they call free must not overlap, what they
call blocked must. Meshes lie within a chord of the solids, inside the plug and inside the bores'
voids, so poses nearer to contact than that are left out.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

import manifold3d
import numpy as np
import shapely
from cadquery import Solid
from numpy.typing import NDArray
from shapely.geometry import Polygon

from bayonet.checks.motion import Proof, Swept, lugs_of
from bayonet.developed import in_lift, poses_along, region_of, shifted
from bayonet.errors import BuildError
from bayonet.parts import Lug, Plug, Socket, Track, deepest_floor
from bayonet.solids.fitting import build
from bayonet.solids.kernel import guarded, mesh, step
from bayonet.tolerance.fitting import least_body_gap, zones

Array = NDArray[np.float64]
Pose = tuple[float, float, float, float]
"""Turn [deg], lift, shift x, y [mm]."""

_CHORD_MM = 0.02
_CLEAR_MM = 0.03  # nearer to contact than this meshes may say either [mm, deg]
_TOUCH_MM3 = 0.02
"""Overlap of facets in contact: 10 um of sagitta on a few mm2."""
_DIRECTIONS = 6
_ON_THE_WAY = 40
_ASIDE = 8
_MERGE = 5  # decimals [mm] to which a mesh's corners are one; STL holds 24 bits


@dataclass(frozen=True)
class _Pair:
    """Meshes of the socket's parts and of the plug, inserted, its shoulder on the mouth."""

    socket: tuple[manifold3d.Manifold, ...]
    plug: manifold3d.Manifold
    sign: int

    def overlap_mm3(self, pose: Pose) -> float:
        turn, lift, x, y = pose
        moved = self.plug.rotate((0.0, 0.0, self.sign * turn)).translate((x, y, lift))
        return math.fsum((moved ^ one).volume() for one in self.socket)


@guarded("sweeping the files as written")
def sweep(
    folder: Path, plug: Plug, socket: Socket, proof: Proof, *, turned_deg: float
) -> tuple[Swept, ...]:
    """Sweep the files of a folder, and solids at the ends of the zone.

    Parameters
    ----------
    folder : Path
        With the meshes of the socket's parts, see `mesh_names`, and ``plug.step`` as written.
    plug, socket : Plug, Socket
    proof : Proof
        Whose poses are put to the test; it must reach lock.
    turned_deg : float
        Turn at which the written plug stands.

    Returns
    -------
    tuple of Swept

    Raises
    ------
    BuildError
        If a written file is no closed solid.
    """
    meshes = tuple(_of_stl(folder / f"{name}.stl") for name in mesh_names(socket))
    written = _Pair(meshes, _of(step.read(folder / "plug.step")), socket.sign)
    written = dataclasses.replace(
        written, plug=written.plug.rotate((0.0, 0.0, -socket.sign * turned_deg))
    )
    tight = _built(plug, socket, lugs_of(plug, socket, "tightest"),
                   _opened(zones.tracks(socket, "tightest"), proof.short_mm))  # fmt: skip
    wide = _widest(socket)
    loose = _built(plug, socket, zones.lugs(plug, "loosest"), wide)
    return (
        _free("the way in and to lock", written, _way(proof.nominal.path)),
        _free("the tightest pair", tight, _way(proof.tightest.path)),
        *_pushed_aside(written, plug, socket, proof),
        _blocked("held at lock, the loosest pair pushed aside", loose, _lifted(proof)),
        *_wrong_ways(loose, plug, wide, socket.sign, proof),
    )


def mesh_names(socket: Socket) -> tuple[str, ...]:
    """Names of the files of the socket's parts, without their endings."""
    return ("socket",) if socket.joint is None else ("socket_ring", "socket_body")


# ---- meshes --------------------------------------------------------------------------------


def _of(solid: Solid) -> manifold3d.Manifold:
    return _closed(mesh.loose(solid, chord_mm=_CHORD_MM)[0].reshape(-1, 3), "plug.step")


def _of_stl(file: Path) -> manifold3d.Manifold:
    record = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("rest", "<u2")])
    triangles = np.frombuffer(file.read_bytes(), dtype=record, offset=84)["corners"]
    return _closed(triangles.astype(float).reshape(-1, 3), file.name)


def _closed(corners: Array, name: str) -> manifold3d.Manifold:
    _, first, numbers = np.unique(
        np.round(corners, _MERGE), axis=0, return_index=True, return_inverse=True
    )
    whole = manifold3d.Mesh64(corners[first], numbers.reshape(-1, 3).astype(np.uint64))
    whole.merge()
    made = manifold3d.Manifold(whole)
    if made.status() != manifold3d.Error.NoError or not made.volume() > 0.0:
        raise BuildError(f"{name}: its triangles do not close")
    return made


def _built(
    plug: Plug, socket: Socket, lugs: tuple[Lug, ...], tracks: tuple[Track, ...]
) -> _Pair | None:
    """Solids with these lugs and tracks; None where they cannot be drawn as such."""
    try:
        one = build.plug(dataclasses.replace(plug, lugs=lugs))
        other = build.parts(_with_tracks(socket, tracks))
        return _Pair(tuple(map(_of, other.values())), _of(one), socket.sign)
    except BuildError:
        return None


def _with_tracks(socket: Socket, tracks: tuple[Track, ...]) -> Socket:
    """The socket with other tracks; the seat of a ring lies where their floor does."""
    joint, seat = socket.joint, deepest_floor(tracks)
    if joint is None:
        return dataclasses.replace(socket, tracks=tracks)
    bore = tuple((r, seat if depth == joint.seat_mm else depth) for r, depth in socket.bore)
    moved = dataclasses.replace(joint, seat_mm=seat)
    return dataclasses.replace(socket, tracks=tracks, joint=moved, bore=bore)


def _opened(tracks: tuple[Track, ...], short_mm: float) -> tuple[Track, ...]:
    return tuple(zones.opened(one, short_mm) for one in tracks) if short_mm > 0.0 else tracks


def _widest(socket: Socket) -> tuple[Track, ...]:
    """The largest tracks, their walls too, within what the boss leaves."""
    return tuple(
        track
        if track.cut
        else dataclasses.replace(
            track, outer_radius_mm=track.outer_radius_mm + socket.limits.track_wall_mm / 2.0
        )
        for track in zones.tracks(socket, "loosest")
    )


# ---- poses ---------------------------------------------------------------------------------


def _free(what: str, pair: _Pair | None, poses: Iterable[Pose]) -> Swept:
    return _seen(what, pair, poses, blocked=False)


def _blocked(what: str, pair: _Pair | None, poses: Iterable[Pose]) -> Swept:
    return _seen(what, pair, poses, blocked=True)


def _seen(what: str, pair: _Pair | None, poses: Iterable[Pose], *, blocked: bool) -> Swept:
    overlaps = [] if pair is None else [pair.overlap_mm3(pose) for pose in poses]
    against = sum((one <= 0.0) if blocked else (one > _TOUCH_MM3) for one in overlaps)
    greatest = 0.0 if blocked else max(overlaps, default=0.0)
    return Swept(what=what, poses=len(overlaps), against=against, greatest_mm3=greatest)


def _way(path: tuple[tuple[float, float], ...]) -> list[Pose]:
    """Along the witness path, but for its end, which touches."""
    if not path:
        return []
    return [(turn, lift, 0.0, 0.0) for turn, lift in poses_along(path, _ON_THE_WAY)[:-1]]


def _around(radius_mm: float) -> list[tuple[float, float]]:
    turns = np.arange(_DIRECTIONS) * (2.0 * math.pi / _DIRECTIONS)
    return [(radius_mm * math.cos(t), radius_mm * math.sin(t)) for t in turns.tolist()]


def _pushed_aside(written: _Pair, plug: Plug, socket: Socket, proof: Proof) -> Iterator[Swept]:
    """The written pair pushed aside: what the shifted polygons call free."""
    gap = least_body_gap(plug, socket)[0] - _CLEAR_MM
    if gap <= 0.0:
        return
    free: list[Pose] = []
    way = poses_along(proof.nominal.path, _ON_THE_WAY)
    for turn, lift in way[:: max(1, len(way) // _ASIDE)]:
        for x, y in _around(gap):
            at = math.radians(-socket.sign * turn)  # the shift seen by the turned plug
            own = np.array(
                [x * math.cos(at) - y * math.sin(at), x * math.sin(at) + y * math.cos(at)]
            )
            side = _side_shifted(plug, socket, own, turn, lift)
            beyond = (
                1.0 - math.copysign(_CLEAR_MM, -side) / gap
            )  # tips may just pass a wall, or not
            if side and _side_shifted(plug, socket, beyond * own, turn, lift) != side:
                continue
            if side > 0:
                free.append((turn, lift, x, y))
    yield _free("pushed aside, free", written, free)


def _side_shifted(plug: Plug, socket: Socket, own: Array, turn: float, lift: float) -> int:
    fitting = shifted(plug.lugs, socket.tracks, own, sign=socket.sign)
    return _side(region_of(fitting, turn_deg=turn, lift_mm=in_lift(fitting)), turn, lift)


def _side(pieces: tuple[Polygon, ...], turn: float, lift: float) -> int:
    """1 well inside the free poses, -1 well outside, 0 too near to their edge to tell."""
    point = shapely.Point(turn, lift)
    for piece in pieces:
        if piece.covers(point):
            return 1 if piece.boundary.distance(point) > _CLEAR_MM else 0
    far = min((piece.distance(point) for piece in pieces), default=math.inf)
    return -1 if far > 5.0 * _CLEAR_MM else 0


def _lifted(proof: Proof) -> list[Pose]:
    """The loosest plug at lock, lifted beyond its play and pushed aside all round."""
    loose = proof.loosest
    if loose.entered is None:
        return []
    reach = max(0.0, proof.sideways.aside_mm - _CLEAR_MM)
    lift = loose.play_mm + 0.3
    turn = loose.furthest_deg - 0.5
    return [(turn, lift, x, y) for x, y in ((0.0, 0.0), *_around(reach))]


def _wrong_ways(
    loose: _Pair | None, plug: Plug, tracks: tuple[Track, ...], sign: int, proof: Proof
) -> Iterator[Swept]:
    """Ways round the proof excludes: the lugs below the face, wherever the plug may stand."""
    if proof.ways_round is None or loose is None:
        return
    first, listed = plug.lugs[0], {round(one.at_deg) for one in proof.ways_round}
    apart = [(sign * (t.centre_deg - first.centre_deg)) % 360.0 for t in tracks]
    angles = [a for a in apart if 1.0 < a < 359.0 and round(a) not in listed]
    lift = min(lug.bearing_depth_mm for lug in plug.lugs) - tracks[0].top_mm
    reach = max(0.0, proof.sideways.entering_mm - 2.0 * _CLEAR_MM)
    poses = [
        (angle + beside, lift, x, y)
        for angle in angles
        for beside in (-0.3, 0.0, 0.3)
        for x, y in ((0.0, 0.0), *_around(reach))
    ]
    if poses:
        yield _blocked("other ways round, pushed aside", loose, poses)
