"""Deliberate faults: the polygon proof and the mesh sweep both say no, at the same place."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable
from functools import cache

import numpy as np
import pytest
from manifold3d import Manifold
from second_engine import Pair, manifold_of
from shapely.geometry import Point

import bayonet
from bayonet import solids
from bayonet.checks.motion.proof import motion_of
from bayonet.checks.run import check
from bayonet.developed.fitting import lay_out
from bayonet.developed.motion import poses_along
from bayonet.developed.region import Window, free_region
from bayonet.parts.plug import Plug
from bayonet.parts.socket import Socket, Track

SENSED_MM3 = 0.001
POSES = 500  # 0.18 deg or mm apart
STEPS_APART = 3  # what a touch may grow by before the meshes show it

Pairing = tuple[Plug, Socket]


def _tracks(socket: Socket, change: Callable[[Track], Track]) -> Socket:
    return dataclasses.replace(socket, tracks=tuple(change(track) for track in socket.tracks))


def track_too_low(plug: Plug, socket: Socket) -> Pairing:
    def lower(track: Track) -> Track:
        roof = tuple((angle, depth + 0.6) for angle, depth in track.roof)
        return dataclasses.replace(track, roof=roof)

    return plug, _tracks(socket, lower)


def lead_wrong_hand(plug: Plug, socket: Socket) -> Pairing:
    def swap(track: Track) -> Track:
        (a, y0), (b, y1) = track.roof
        return dataclasses.replace(track, roof=((a, y1 + 1.0), (b, y0 + 1.0)))

    return plug, _tracks(socket, swap)


def slot_too_narrow(plug: Plug, socket: Socket) -> Pairing:
    return plug, _tracks(
        socket, lambda track: dataclasses.replace(track, slot=track.slot.turned(-0.9))
    )


def stop_too_early(plug: Plug, socket: Socket) -> Pairing:
    return plug, _tracks(
        socket, lambda track: dataclasses.replace(track, end=track.end.turned(-12.0))
    )


def lug_too_thick(plug: Plug, socket: Socket) -> Pairing:
    thick = [lug.reshaped(thickness_mm=lug.thickness_mm + 0.9) for lug in plug.lugs]
    return dataclasses.replace(plug, lugs=tuple(thick)), socket


def lugs_mis_spaced(plug: Plug, socket: Socket) -> Pairing:
    first, *others = plug.lugs
    moved = dataclasses.replace(first, centre_deg=first.centre_deg + 2.0)
    return dataclasses.replace(plug, lugs=(moved, *others)), socket


def detent_too_high(plug: Plug, socket: Socket) -> Pairing:
    def bump(track: Track) -> Track:
        (a, y0), (b, y1) = track.roof
        at = [55.0, 58.0, 60.0, 63.0]
        base = np.interp(at, [a, b], [y0, y1])
        rise = [0.0, 0.9, 0.9, 0.0]
        knots = tuple(zip(at, (base + rise).tolist(), strict=True))
        return dataclasses.replace(track, roof=((a, y0), *knots, (b, y1)))

    return plug, _tracks(socket, bump)


FAULTS = (
    track_too_low, lead_wrong_hand, slot_too_narrow, stop_too_early, lug_too_thick,
    lugs_mis_spaced, detent_too_high,
)  # fmt: skip


@cache
def plug_mesh(plug: Plug) -> Manifold:
    """Most faults are in the socket: the plug they share is meshed once."""
    return manifold_of(solids.plug(plug))


def _first(flags: Iterable[bool]) -> int | None:
    return next((index for index, flag in enumerate(flags) if flag), None)


@pytest.mark.parametrize("fault", FAULTS, ids=lambda f: f.__name__)
def test_both_engines_refuse_at_the_same_place(
    sensor: bayonet.Design, fault: Callable[[Plug, Socket], Pairing]
) -> None:
    good = motion_of(sensor.plug, sensor.socket)
    poses = poses_along(good.path, POSES)
    plug, socket = fault(sensor.plug, sensor.socket)

    fitting = lay_out(plug.lugs, socket.tracks, sign=socket.sign)
    region = free_region(fitting, Window(-5.0, 95.0, good.path[0][1] + 1.0))
    free = [any(p.distance(Point(pose)) <= 1e-9 for p in region.pieces) for pose in poses]
    by_polygon = _first([not flag for flag in free])

    pair = Pair(manifold_of(solids.socket(socket)), plug_mesh(plug), 0.0, -1)
    by_mesh = _first(pair.overlap_mm3(pose) > SENSED_MM3 for pose in poses)

    assert by_polygon is not None, "the polygon proof must say no"
    assert by_mesh is not None, "the mesh sweep must say no"
    assert by_mesh >= by_polygon, "meshes cannot feel what polygons do not"
    assert by_mesh - by_polygon <= STEPS_APART


@pytest.mark.parametrize("fault", FAULTS, ids=lambda f: f.__name__)
def test_the_findings_say_no(
    sensor: bayonet.Design, fault: Callable[[Plug, Socket], Pairing]
) -> None:
    assert check(sensor).verdict is not bayonet.Verdict.FAIL
    plug, socket = fault(sensor.plug, sensor.socket)
    found = check(dataclasses.replace(sensor, plug=plug, socket=socket))
    assert found.verdict is bayonet.Verdict.FAIL
    failing = [f for f in found.findings if f.verdict is bayonet.Verdict.FAIL]
    assert all(f.change for f in failing)
