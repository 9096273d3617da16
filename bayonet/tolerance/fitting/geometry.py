"""Functional quantities of radii, angles and depths, in one state of service.

Detent and ring are in `bayonet.tolerance.fitting.assembly`.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from functools import cached_property, reduce

import numpy as np
from numpy.typing import NDArray

from bayonet.parts import BodyStepMm, Design, FlankName, Lug
from bayonet.tolerance.fitting import quantities as q
from bayonet.tolerance.fitting.gland import Conditions
from bayonet.tolerance.fitting.guides import lands, lean_at_lock
from bayonet.tolerance.fitting.parts import Parts

_FLANKS: tuple[FlankName, ...] = ("bearing", "leading")
_NOWHERE_MM = 1e-9  # eccentricity without a direction

Array = NDArray[np.float64]
Rows = list[Array]


@dataclass(frozen=True)
class Geometry:
    """A plug in its socket at many points of the zone, in one state of service.

    Parameters
    ----------
    parts : Parts
    conditions : Conditions
    centred : bool
        The plug in the middle of its bores, not moved over in its clearance.
    """

    parts: Parts
    conditions: Conditions
    centred: bool = False

    @property
    def design(self) -> Design:
        """The design all this is about."""
        return self.parts.design

    @property
    def grows(self) -> tuple[float, float]:
        """Factors by which plug and socket have grown with heat."""
        at = self.conditions
        return 1.0 + at.plug_per_k * at.warmer_k, 1.0 + at.socket_per_k * at.warmer_k

    def gap(self, faces: tuple[tuple[Array, Array], ...]) -> Array:
        """Least of flank below roof, both grown with heat [mm]."""
        plug_grows, socket_grows = self.grows
        least: Array | None = None
        for flank, roof in faces:
            room = flank - roof if self.grows == (1.0, 1.0) else (
                plug_grows * flank - socket_grows * roof
            )  # fmt: skip
            least = room if least is None else np.minimum(least, room)
        assert least is not None
        return np.asarray(least)

    # ---- radii ---------------------------------------------------------------------------

    def lug_radial(self) -> Rows:
        """Lug to track wall, each lug [mm]."""
        (plug_grows, socket_grows), parts = self.grows, self.parts
        return [
            q.radial_gap_mm(
                parts.wall(i, track) * socket_grows,
                parts.tip(i) * plug_grows,
                offset_mm=parts.offset(lug.centre_deg),
            )
            for i, lug, track in parts.pairs
        ]

    def body_radial(self) -> Rows:
        """Each step of the body that goes into the bore between the tracks, to that bore [mm]."""
        return self._body_gaps(in_seal=False)

    def body_in_seal(self) -> Rows:
        """Each step of the body that goes into the sealing bore, to that bore [mm]."""
        return self._body_gaps(in_seal=True)

    def _body_gaps(self, *, in_seal: bool) -> Rows:
        (plug_grows, socket_grows), parts = self.grows, self.parts
        bore = parts.sealing_bore if in_seal else parts.track_bore
        rows = []
        for i, step in enumerate(self.design.plug.body, 1):
            if goes_into_seal(self.design, step) is in_seal:
                body = parts.dim(2 * step.radius_mm, f"body_{i}_diameter") / 2.0 * plug_grows
                rows.append(q.radial_gap_mm(bore * socket_grows, body))
        return rows

    def body_in_both(self) -> Rows:
        r"""Room two steps of the body leave each other where both lie in their bores [mm].

        A step alone may be eccentric: the plug moves over. Two steps at once need
        :math:`g_1 + g_2 \ge e`, their radial gaps and the distance between the axes of the steps
        less that of the bores. Of more than two, discs that meet two by two have a point in common
        when grown by :math:`2 / \sqrt 3` (Jung's theorem in the plane), so the distance counts
        that much more.
        """
        more = 2.0 / np.sqrt(3.0) if len(self._guides) > 2 else 1.0
        return [
            a[0] + b[0] - more * q.away_mm(a[1] - b[1], a[2] - b[2])
            for a, b in itertools.combinations(self._guides, 2)
        ]

    @cached_property
    def _guides(self) -> list[tuple[Array, Array, Array]]:
        """Radial gap of each step of the body in its bore, and its axis off the bore's, x, y."""
        (plug_grows, socket_grows), parts, plug = self.grows, self.parts, self.design.plug
        guides = []
        for i, step in enumerate(plug.body, 1):
            in_seal = goes_into_seal(self.design, step)
            bore = parts.sealing_bore if in_seal else parts.track_bore
            body = parts.dim(2 * step.radius_mm, f"body_{i}_diameter") / 2.0
            x, y = (
                np.asarray(parts.off(f"body_{i}_axis_{axis}"))
                - (parts.off(f"seal_axis_{axis}") if in_seal else 0.0)
                for axis in "xy"
            )
            guides.append((bore * socket_grows - body * plug_grows, x, y))
        return guides

    def lugs_pass_seal(self) -> Rows:
        """Layout B: each lug through the sealing bore [mm]."""
        (plug_grows, socket_grows), parts = self.grows, self.parts
        x, y = parts.off("plug_axis_x"), parts.off("plug_axis_y")
        return [
            q.radial_gap_mm(
                parts.sealing_bore * socket_grows,
                parts.tip(i) * plug_grows,
                offset_mm=q.along_mm(x, y, lug.centre_deg),
            )
            for i, lug, _ in parts.pairs
        ]

    def lug_overlap(self) -> Rows:
        """Height of each lug under the roof, the plug pushed aside from it [mm]."""
        parts = self.parts
        return [
            q.radial_gap_mm(
                parts.tip(i), parts.track_bore,
                offset_mm=self.aside - parts.offset(lug.centre_deg),
            )
            for i, lug, _ in parts.pairs
        ]  # fmt: skip

    # ---- sideways ------------------------------------------------------------------------

    @cached_property
    def _land_gaps(self) -> tuple[tuple[float, Array], ...]:
        """Distance of each land of the body from the lugs, and its radial gap [mm]."""
        (plug_grows, socket_grows), parts, found = self.grows, self.parts, []
        for land in lands(self.design.plug, self.design.socket):
            step = self.design.plug.body[land.step]
            bore = parts.sealing_bore if land.bore == "sealing_bore" else parts.track_bore
            body = parts.dim(2 * step.radius_mm, f"body_{land.step + 1}_diameter") / 2.0
            gap = bore * socket_grows - body * plug_grows
            found.append((land.away_mm, np.maximum(gap, 0.0)))
        return tuple(found)

    @cached_property
    def aside(self) -> Array:
        """How far the body lets the lugs be pushed aside at lock, shape (n,) or () [mm]."""
        if self.centred:
            return np.asarray(0.0)
        clearance = self.design.socket.clearance
        lean = lean_at_lock(self.design.plug, clearance.axial_mm)
        gaps = [gap + lean * away for away, gap in self._land_gaps]
        return least(gaps) if gaps else np.asarray(0.0)

    @cached_property
    def found(self) -> tuple[Array, Array]:
        """Offset of lugs against tracks once the plug has found its way: x, y [mm].

        The body goes back by the eccentricity, as far as the tightest step lets it; where steps
        out of line force it aside, that adds to the eccentricity. So it is no less than what a
        plug that finds its way best is left with: errors of position it might even out as well
        are left out.
        """
        x, y = self.parts.axes
        if self.centred:
            return x, y
        free = least([gap - q.away_mm(off_x, off_y) for gap, off_x, off_y in self._guides])
        apart = np.maximum(q.away_mm(x, y), _NOWHERE_MM)
        left = np.maximum(apart - free, 0.0) / apart
        return x * left, y * left

    # ---- angles --------------------------------------------------------------------------

    def slot_side(self) -> Rows:
        """Gap each side when the plug is turned so that the tightest two sides share it [mm].

        One row for each pair of a side towards lock and a side away from it; the plug where it
        has found its way.
        """
        best: Rows | None = None
        for radius in self.parts.radii:
            fore, back = [], []
            for i, lug, track in self.parts.pairs:
                half = self.parts.lug_half(i, lug, radius)
                room = self.parts.slot_half(i, track, radius) - half
                turned = np.asarray(self.parts.off(f"lug_{i}_position")) - self.parts.off(
                    f"track_{i}_slot_position"
                )
                towards, away = self._normals(lug)
                scale = np.radians(1.0) * radius
                fore.append((room - turned) * scale - q.along_mm(*self.found, towards))
                back.append((room + turned) * scale - q.along_mm(*self.found, away))
            both = [(a + b) / 2.0 for a in fore for b in back]
            best = (
                both if best is None else [np.minimum(*two) for two in zip(best, both, strict=True)]
            )
        assert best is not None
        return best

    def _normals(self, lug: Lug) -> tuple[float, float]:
        """Theta the sides of a lug face, towards lock and away from it [deg]."""
        sign = self.design.socket.sign
        square = 90.0 + (lug.half.deg if lug.half.is_radial else 0.0)
        return lug.centre_deg + sign * square, lug.centre_deg - sign * square

    @cached_property
    def tight_turn(self) -> Array:
        """Clamp seating: turn at which the first lug becomes tight, shape (n,) [deg]."""
        (plug_grows, socket_grows), parts = self.grows, self.parts
        lead_error = np.asarray(parts.off("track_lead"))
        lead = self.design.socket.lead_mm_per_rev + lead_error
        rows = []
        for radius in parts.radii:
            for i, lug, track in parts.pairs:
                zero = float(q.line_depth_mm(track.roof, 0.0)) + parts.roof_shift(i, track)
                zero = zero - lead_error * track.roof[-1][0] / 360.0
                rows.append(
                    q.tight_turn_deg(
                        parts.shapes[i - 1],
                        slot_deg=parts.slot_edge(i, track, radius),
                        lug_position_deg=parts.off(f"lug_{i}_position"),
                        radius_mm=min(radius, lug.outer_radius_mm),
                        grows=plug_grows,
                        ramp_mm_at_zero=zero * socket_grows,
                        ramp_lead_mm_per_rev=lead * socket_grows,
                    )
                )
        return least(rows)

    @property
    def lock_turn(self) -> Array:
        """Turn at lock: at the stop, or where it becomes tight, shape (n,) [deg]."""
        stops = self.design.socket.seating == "stop"
        return self.parts.stop_turn if stops else self.tight_turn

    def clocking(self) -> Rows:
        """How far the locked orientation lies from the nominal one [deg]."""
        nominal = self.design.plug.turn_deg
        if self.design.socket.seating == "stop":
            nominal += self.design.socket.stop_overtravel_deg
        return [self.lock_turn - nominal + self.parts.off("ring_clocking")]

    def tight_after_engaged(self) -> Rows:
        """Clamp seating: turn left between least engagement and tight, each lug [deg]."""
        share, parts = self.design.socket.least_engagement, self.parts
        rows = []
        for i, lug, track in parts.pairs:
            half = parts.lug_half(i, lug, lug.outer_radius_mm)
            slot = parts.slot_edge(i, track, lug.outer_radius_mm)
            engaged = slot - parts.off(f"lug_{i}_position") - half + 2.0 * half * share
            rows.append(self.tight_turn - engaged)
        return rows

    def tight_before_stop(self) -> Rows:
        """Clamp seating: turn left between tight and the stop [deg]."""
        return [self.parts.stop_turn - self.tight_turn]

    def engagement(self) -> Rows:
        """Share of each lug's width under its roof at lock, the plug pushed aside from it [-].

        The lug that meets its stop and the one looked at may move apart by as much each.
        """
        rows, parts = [], self.parts
        aside = np.degrees(2.0 * self.aside)
        for i, lug, track in parts.pairs:
            radius = lug.outer_radius_mm
            rows.append(
                q.engaged_share(
                    turn_deg=self.lock_turn + parts.off(f"lug_{i}_position") - aside / radius,
                    lug_half_deg=parts.lug_half(i, lug, radius),
                    slot_deg=parts.slot_edge(i, track, radius),
                    stop_deg=float(track.end.at(radius)) + np.asarray(parts.off(f"track_{i}_stop")),
                )
            )
        return rows

    # ---- depths --------------------------------------------------------------------------

    def axial_play(self) -> Rows:
        """Stop seating: least gap of each lug under its roof at the stop [mm]."""
        return [self.gap(faces) for faces in self.parts.roof_at_stop]

    def floor_gap(self) -> Rows:
        """Each lug to its floor at lock with the shoulder seated [mm]."""
        if self.design.socket.seating == "stop":
            faces = self.parts.floor_at_stop
        else:
            faces = tuple(
                self.parts.floor_faces(i, lug, track, self.lock_turn)
                for i, lug, track in self.parts.pairs
            )
        # a floor lies below the flank: the greatest negative gap
        return [-self._most(faces_of_one) for faces_of_one in faces]

    def _most(self, faces: tuple[tuple[Array, Array], ...]) -> Array:
        """Greatest of flank below floor, both grown with heat [mm]."""
        plug_grows, socket_grows = self.grows
        most: Array | None = None
        for flank, floor in faces:
            reach = plug_grows * flank - socket_grows * floor
            most = reach if most is None else np.maximum(most, reach)
        assert most is not None
        return most

    def way_height(self) -> Rows:
        """Height of the track less that of each lug, least of a few turns on the way [mm].

        The turns are those at which an end of the lug passes a corner of the roof, and lock.
        """
        rows = []
        for i, lug, track in self.parts.pairs:
            radius = lug.outer_radius_mm if lug.round_mm is None else min(self.parts.radii)
            half = float(lug.half.at(radius))
            clear = float(track.slot.at(radius)) + half
            touches = [
                -float(angle)
                for flank in _FLANKS
                for lead in (0.0, self.design.socket.lead_mm_per_rev)
                for angle in lug.shape.touches_deg(flank, lead, radius_mm=radius)
            ]
            sides = (-half, half, *touches)
            corners = [a + side for a, _ in track.roof[1:-1] for side in sides]
            turns = [t for t in (clear, *corners) if clear <= t < self.design.plug.turn_deg]
            least: Array | None = None
            for turn in (*(np.full(1, t) for t in turns), self.lock_turn):
                over = self.gap(self.parts.roof_faces(i, lug, track, radius, turn))
                room = over - self._most(self.parts.floor_faces(i, lug, track, turn))
                least = room if least is None else np.minimum(least, room)
            assert least is not None
            rows.append(least)
        return rows

    def nose_gap(self) -> Rows:
        """Nose to the floor under it, the shoulder seated [mm]."""
        plug_grows, socket_grows = self.grows
        floor = self.parts.dim(self.design.socket.nose_floor_mm or 0.0, "nose_floor")
        nose = self.parts.dim(self.design.plug.nose_depth_mm, "nose_depth")
        return [floor * socket_grows - nose * plug_grows]


def least(rows: Rows) -> Array:
    """Least of some rows at each point, shape (n,)."""
    return np.asarray(reduce(np.minimum, rows))


def goes_into_seal(design: Design, step: BodyStepMm) -> bool:
    """Whether the narrowest bore a step of the body passes is the sealing bore."""
    socket = design.socket
    if socket.seal_radius_mm is None:
        return False
    if socket.layout == "A":
        return step.to_depth_mm > design.plug.groove.start_mm
    return step.to_depth_mm <= (socket.seal_to_mm or 0.0)
