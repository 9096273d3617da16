"""The socket that follows from a plug and the user's intent: every dimension, named.

Frozen numbers only; `derive` computes them, `bayonet.developed` draws them.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from bayonet.mechanics import swing_deg
from bayonet.parts.gasket import Gasket
from bayonet.parts.joint import Joint
from bayonet.parts.limits import SocketLimits
from bayonet.parts.lugs import HalfAngle
from bayonet.parts.plug import Layout
from bayonet.parts.ring import Ring
from bayonet.standards import Clearances, HalfWidths

Polyline = tuple[tuple[float, float], ...]


@dataclass(frozen=True, kw_only=True)
class CutterPath:
    """Path of a disc cutter whose axis is parallel to the fitting's, in lock coordinates.

    Parameters
    ----------
    centre_mm, radius_mm : float
        Distance of the cutter's axis from the fitting's; the cutter's radius [mm].
    start_deg, stop_deg : float
        Angle of its axis where it plunges, and where it turns back [deg].
    ahead_deg : float
        How far its path is ahead of the roof's polyline: the roof is true where the cutter's
        swing is as much, at the lug's outer edge [deg].
    """

    centre_mm: float
    radius_mm: float
    start_deg: float
    stop_deg: float
    ahead_deg: float

    def swing_deg(self, radius_mm: float | np.ndarray) -> np.ndarray:
        """Half the angle the cutter covers at a radius [deg]."""
        return swing_deg(radius_mm, centre_mm=self.centre_mm, cutter_radius_mm=self.radius_mm)


@dataclass(frozen=True, kw_only=True)
class Track:
    """One entry slot and the track it leads to, in lock coordinates.

    Angles are counted from the slot's middle towards lock; depths from the mouth face.
    A polyline of (angle [deg], depth [mm]) runs on straight beyond its ends.

    Parameters
    ----------
    centre_deg : float
        Middle of the entry slot: theta, counter-clockwise from outside [deg].
    slot, end : HalfAngle
        Slot side from the slot's middle; stop face from the slot's middle.
    roof, floor : tuple of (float, float)
        The side towards the mouth, and the side towards the tank at the outer radius.
    top_mm : float
        Depth at which the slot opens [mm].
    inner_radius_mm, outer_radius_mm : float
        Bore and track wall [mm].
    floor_slope : float
        Rise of depth per mm of radius towards the axis [-]; 0 is a sharp floor.
    cut : CutterPath or None
        The cutter that leaves it other than sharp; None where none is named.
    end_radius_mm : float
        Radius of the corners at the stop, about radial axes; 0 is sharp, and so is the one at a
        floor that slopes [mm].
    """

    centre_deg: float
    slot: HalfAngle
    end: HalfAngle
    roof: Polyline
    floor: Polyline
    top_mm: float
    inner_radius_mm: float
    outer_radius_mm: float
    floor_slope: float
    cut: CutterPath | None = None
    end_radius_mm: float = 0.0

    def reach_deg(self, radius_mm: float) -> float:
        """How far the track reaches at a radius, from the slot's middle [deg]."""
        if self.cut is None:
            return float(self.end.at(radius_mm))
        return self.cut.stop_deg + float(self.cut.swing_deg(radius_mm))


@dataclass(frozen=True, kw_only=True)
class Flange:
    """Flange at the boss's end."""

    radius_mm: float
    thickness_mm: float
    bolt_circle_radius_mm: float
    bolts: int
    bolt_hole_radius_mm: float


@dataclass(frozen=True, kw_only=True)
class WeldPreparation:
    """Bevel and root land on the outside of the boss's end."""

    bevel_angle_deg: float
    bevel_width_mm: float
    land_mm: float


@dataclass(frozen=True, kw_only=True)
class NamedDimension:
    """A dimension of the socket a person would look for; ``half_width`` None has no limits."""

    key: str
    meaning: str
    value: float
    half_width: float | None
    unit: Literal["mm", "deg", "mm/rev"]


@dataclass(frozen=True, kw_only=True)
class Socket:
    """The female part. Radii and depths [mm]; depths count from the mouth face inwards.

    ``bore`` is the inner outline as (radius, depth) from the mouth to the boss's end.
    """

    layout: Layout
    seating: Literal["stop", "clamp"]
    process: str
    turn_deg: float
    sign: int
    bore: Polyline
    track_bore_radius_mm: float
    ring: Ring | None
    seal_radius_mm: float | None
    seal_from_mm: float | None
    seal_to_mm: float | None
    tracks: tuple[Track, ...]
    boss_radius_mm: float
    boss_height_mm: float
    mouth_chamfer_mm: float
    passage_radius_mm: float
    nose_floor_mm: float | None
    lead_mm_per_rev: float
    detent_height_mm: float
    stop_overtravel_deg: float
    least_engagement: float
    wall_mm: float
    clearance: Clearances
    tolerance: HalfWidths
    limits: SocketLimits
    flange: Flange | None
    weld: WeldPreparation | None
    gasket: Gasket | None = None
    joint: Joint | None = None
    least_bearing: float | None = None

    @property
    def mouth_radius_mm(self) -> float:
        """Outside of the mouth face: of the ring where there is one [mm]."""
        return self.boss_radius_mm if self.joint is None else self.joint.ring_radius_mm

    @property
    def slot_reach_mm(self) -> float:
        """Greatest radius the entry slots take of the mouth face, run-outs included [mm]."""
        mill = 0.0 if self.joint is None else self.joint.mill_radius_mm
        return math.hypot(self.track_radius_mm, mill) + mill

    @property
    def track_radius_mm(self) -> float:
        """Greatest track radius [mm]."""
        return max(track.outer_radius_mm for track in self.tracks)

    def bore_radius_at(self, depth_mm: float) -> float:
        """Radius of the bore's outline at a depth; at a step the smaller one [mm]."""
        found = [
            r0 + (r1 - r0) * (depth_mm - d0) / (d1 - d0) if d1 > d0 else min(r0, r1)
            for (r0, d0), (r1, d1) in zip(self.bore, self.bore[1:], strict=False)
            if d0 <= depth_mm <= d1
        ]
        return min(found) if found else self.boss_radius_mm

    def dimensions(self) -> tuple[NamedDimension, ...]:
        """The dimensions a machinist would look for, with the limits they are made to."""
        rows = [
            *self._bores(),
            *self._boss(),
            *self._joint(),
            *(row for i, track in enumerate(self.tracks, 1) for row in self._track(i, track)),
        ]
        return tuple(rows)

    def _diameter(
        self, key: str, meaning: str, radius: float, half: float | None = None
    ) -> NamedDimension:
        half = self.tolerance.diameter_mm if half is None else half
        return NamedDimension(
            key=key, meaning=meaning, value=2 * radius, half_width=half, unit="mm"
        )

    def _length(
        self, key: str, meaning: str, value: float, half: float | None = None
    ) -> NamedDimension:
        half = self.tolerance.length_mm if half is None else half
        return NamedDimension(key=key, meaning=meaning, value=value, half_width=half, unit="mm")

    def _angle(self, key: str, meaning: str, value: float, half: float) -> NamedDimension:
        return NamedDimension(key=key, meaning=meaning, value=value, half_width=half, unit="deg")

    def _bores(self) -> list[NamedDimension]:
        rows = [
            self._diameter("track_bore_diameter", "bore between the tracks",
                           self.track_bore_radius_mm, self.limits.track_bore_mm),
            self._diameter("passage_diameter", "opening into the tank", self.passage_radius_mm),
        ]  # fmt: skip
        if self.seal_radius_mm is not None:
            rows.append(
                self._diameter(
                    "sealing_bore_diameter",
                    "sealing bore",
                    self.seal_radius_mm,
                    self.limits.sealing_bore_mm,
                )
            )
        if self.seal_from_mm is not None and self.seal_to_mm is not None:
            rows.append(
                self._length("sealing_bore_from_depth", "sealing bore starts", self.seal_from_mm)
            )
            rows.append(self._length("sealing_bore_to_depth", "sealing bore ends", self.seal_to_mm))
        return rows

    def _boss(self) -> list[NamedDimension]:
        rows = [
            self._diameter("boss_diameter", "outside of the boss", self.boss_radius_mm),
            self._length("boss_height", "mouth face to the boss's end", self.boss_height_mm),
        ]
        if self.nose_floor_mm is not None:
            rows.append(
                self._length(
                    "nose_floor_depth",
                    "floor under the nose",
                    self.nose_floor_mm,
                    self.limits.nose_floor_mm,
                )
            )
        if self.mouth_chamfer_mm > 0.0:
            chamfer = self.mouth_chamfer_mm
            rows.append(self._length("mouth_chamfer", "chamfer of the bore at the mouth", chamfer))
        if self.detent_height_mm > 0.0:
            height = self.detent_height_mm
            rows.append(self._length("detent_height", "detent over the roof", height))
        return rows

    def _joint(self) -> list[NamedDimension]:
        joint = self.joint
        if joint is None:
            return []
        half = joint.centring_mm / 4.0  # ring below, counterbore above one nominal size
        bolts = joint.bolts
        rows = [
            self._length("ring_thickness", "ring: mouth face to seat", joint.seat_mm),
            self._diameter("ring_diameter", "ring: outside, and the body's counterbore",
                           joint.ring_radius_mm, half),
            self._length("register_height", "body: depth of the counterbore", joint.register_mm),
            self._diameter("mill_corner_diameter", "ring: run-out of the mill at corners",
                           joint.mill_radius_mm),
            self._diameter("bolt_circle_diameter", f"{bolts.count} screws {bolts.bolt.name}"
                           f" {bolts.property_class}: bolt circle", bolts.circle_radius_mm),
            self._length("thread_engagement", "body: full thread", bolts.engagement_mm),
        ]  # fmt: skip
        if joint.dowel is not None:
            rows.append(
                self._diameter("dowel_diameter", "dowel pin ISO 2338 m6, holes H7",
                               joint.dowel.radius_mm, 0.0)
            )  # fmt: skip
        if joint.seal is not None:
            seal = joint.seal
            rows.append(
                self._diameter("joint_groove_diameter", "body: outer wall of the joint's groove",
                               seal.outer_radius_mm)
            )  # fmt: skip
            width = seal.outer_radius_mm - seal.inner_radius_mm
            rows.append(self._length("joint_groove_width", "body: width of that groove", width))
            rows.append(self._length("joint_groove_depth", "body: its depth", seal.depth_mm))
        return rows

    def _track(self, number: int, track: Track) -> list[NamedDimension]:
        key, name, wall = f"track_{number}", f"track {number}", track.outer_radius_mm
        slot, end = float(track.slot.at(wall)), float(track.end.at(wall))
        limits = self.limits
        width = math.degrees(limits.slot_width_mm / wall)
        rows = [
            self._angle(f"{key}_centre", f"{name}: middle of the slot", track.centre_deg,
                        limits.slot_position_deg),
            NamedDimension(key=f"{key}_slot_width", meaning=f"{name}: slot width at the wall",
                           value=2 * slot, half_width=width, unit="deg"),
            self._angle(f"{key}_stop", f"{name}: slot's nominal middle to stop, at the wall", end,
                        limits.stop_deg),
            self._diameter(f"{key}_diameter", f"{name}: diameter at the wall", wall,
                           limits.track_wall_mm),
            self._length(f"{key}_roof_depth", f"{name}: roof at the stop", track.roof[-1][1],
                         limits.roof_mm),
            self._length(f"{key}_floor_depth", f"{name}: floor at the stop", track.floor[-1][1],
                         limits.floor_mm),
            NamedDimension(key=f"{key}_lead", meaning=f"{name}: lead of the ramp",
                           value=self.lead_mm_per_rev, half_width=limits.lead_mm_per_rev,
                           unit="mm/rev"),
        ]  # fmt: skip
        if track.end_radius_mm > 0.0:
            rows.append(
                NamedDimension(
                    key=f"{key}_end_radius",
                    meaning=f"{name}: corners at the stop, at most",
                    value=track.end_radius_mm,
                    half_width=None,
                    unit="mm",
                )
            )
        if track.floor_slope > 0.0:
            slope = math.degrees(math.atan(track.floor_slope))
            rows.append(
                NamedDimension(
                    key=f"{key}_floor_slope",
                    meaning=f"{name}: slope of the floor, deepest at the bore",
                    value=slope,
                    half_width=None,
                    unit="deg",
                )
            )
        return rows


def deepest_floor(tracks: tuple[Track, ...]) -> float:
    """Greatest depth any track reaches: a sloped floor is deepest at the bore [mm]."""
    return max(
        max(depth for _, depth in track.floor)
        + track.floor_slope * (track.outer_radius_mm - track.inner_radius_mm)
        for track in tracks
    )


def least_gap_between(tracks: tuple[Track, ...], sign: int) -> tuple[float, Track, Track]:
    """Least angle between the stop of a track and the next slot towards lock, at the bore.

    Parameters
    ----------
    tracks : tuple of Track
        Sorted by centre angle.
    sign : {1, -1}
        +1 where lock lies towards greater theta.

    Returns
    -------
    tuple
        The gap [deg], negative where they run into each other; the track; the one it meets.
    """

    def gap(one: Track, other: Track) -> float:
        apart = (sign * (other.centre_deg - one.centre_deg)) % 360.0
        inner = max(one.inner_radius_mm, other.inner_radius_mm)
        return apart - one.reach_deg(inner) - float(other.slot.at(inner))

    ordered = tracks if sign > 0 else tracks[::-1]
    pairs = itertools.pairwise((*ordered, ordered[0]))
    return min(((gap(a, b), a, b) for a, b in pairs), key=lambda found: found[0])
