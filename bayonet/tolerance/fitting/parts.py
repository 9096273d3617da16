"""A plug and a socket with all their deviations, before any heat: what every quantity shares.

Each figure is worked out once for all quantities and states of service that use it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from bayonet.parts import Design, Lug, LugShape, Track
from bayonet.tolerance.fitting import quantities as q
from bayonet.tolerance.fitting.deviations import Deviations

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Parts:
    """Dimensions at many points of the zone.

    Parameters
    ----------
    design : Design
    known : Deviations
    deviations : array, shape (variables, n)
    """

    design: Design
    known: Deviations
    deviations: Array
    _memo: dict[tuple[str, int, float], Array] = field(default_factory=dict)

    def dim(self, nominal: float, name: str) -> Array:
        """A dimension with its deviation."""
        return np.asarray(nominal + self.off(name))

    def off(self, name: str) -> Array | float:
        """Deviation of a dimension; 0 where nothing moves it."""
        return self.known.of(name, self.deviations)

    @cached_property
    def pairs(self) -> tuple[tuple[int, Lug, Track], ...]:
        """Number, lug and track, in the order of the plug."""
        both = zip(self.design.plug.lugs, self.design.socket.tracks, strict=True)
        return tuple((i, lug, track) for i, (lug, track) in enumerate(both, 1))

    @cached_property
    def radii(self) -> tuple[float, ...]:
        """See `looked_at_radii`."""
        return looked_at_radii(self.design)

    def kept(self, what: str, i: int, at: float, work: Callable[[], Array]) -> Array:
        """What was worked out before under this name, else worked out now and kept."""
        key = (what, i, at)
        if key not in self._memo:
            self._memo[key] = work()
        return self._memo[key]

    @cached_property
    def shapes(self) -> tuple[LugShape, ...]:
        """Each lug's form with its deviations, tilt included."""
        return tuple(self._shape(i, lug) for i, lug, _ in self.pairs)

    def _shape(self, i: int, lug: Lug) -> LugShape:
        moved = {one.key: self.off(one.variable(i)) for one in lug.shape.dimensions}
        tilt = q.along_mm(self.off("plug_tilt_x"), self.off("plug_tilt_y"), lug.centre_deg)
        shift = q.tilt_mm(tilt, lug.outer_radius_mm)
        return lug.shape.moved(moved).moved({"bearing_depth": shift})

    def lug_half(self, i: int, lug: Lug, radius: float) -> Array:
        """Half-width of a lug at a radius [deg]."""

        def work() -> Array:
            return np.asarray(self.shapes[i - 1].half.at(min(radius, lug.outer_radius_mm)))

        return self.kept("lug_half", i, radius, work)

    def slot_half(self, i: int, track: Track, radius: float) -> Array:
        """Half-width of a slot at a radius [deg]."""

        def work() -> Array:
            wider = np.asarray(self.off(f"track_{i}_slot_width")) / 2.0
            return np.asarray(
                track.slot.grown(wider, at_radius_mm=track.outer_radius_mm).at(radius)
            )

        return self.kept("slot_half", i, radius, work)

    def slot_edge(self, i: int, track: Track, radius: float) -> Array:
        """Edge of a slot on the side of lock [deg]."""
        return self.slot_half(i, track, radius) + self.off(f"track_{i}_slot_position")

    def tip(self, i: int) -> Array:
        """Outer radius of a lug [mm]."""
        return np.asarray(self.shapes[i - 1].outer_radius_mm)

    def wall(self, i: int, track: Track) -> Array:
        """Radius of a track's wall [mm]."""
        name, nominal = f"track_{i}_wall", 2 * track.outer_radius_mm
        return self.kept("wall", i, 0.0, lambda: self.dim(nominal, name) / 2.0)

    @cached_property
    def track_bore(self) -> Array:
        """Radius of the bore between the tracks [mm]."""
        return self.dim(2 * self.design.socket.track_bore_radius_mm, "track_bore") / 2.0

    @cached_property
    def sealing_bore(self) -> Array:
        """Radius of the sealing bore [mm]."""
        return self.dim(2 * (self.design.socket.seal_radius_mm or 0.0), "sealing_bore") / 2.0

    def offset(self, theta_deg: float) -> Array:
        """Offset of the lugs' axis against the tracks', towards a theta [mm]."""
        return self.kept("offset", 0, theta_deg, lambda: q.along_mm(*self.axes, theta_deg))

    @cached_property
    def axes(self) -> tuple[Array, Array]:
        """Offset of the lugs' axis against the tracks', body and bore in line: x, y [mm]."""
        x = np.asarray(self.off("plug_axis_x")) - self.off("track_axis_x")
        y = np.asarray(self.off("plug_axis_y")) - self.off("track_axis_y")
        return x, y

    def tilted(self, i: int, track: Track) -> Array:
        """Shift of a track by the tilt of all tracks, where the lug locks in it [mm]."""
        at = track.centre_deg + self.design.socket.sign * self.design.plug.turn_deg

        def work() -> Array:
            tilt = q.along_mm(self.off("track_tilt_x"), self.off("track_tilt_y"), at)
            return q.tilt_mm(tilt, track.outer_radius_mm)

        return self.kept("tilted", i, 0.0, work)

    def roof_shift(self, i: int, track: Track) -> Array:
        """Error of a roof's depth at the stop, tilt included [mm]."""
        return np.asarray(self.off(f"track_{i}_roof")) + self.tilted(i, track)

    @cached_property
    def stop_turn(self) -> Array:
        """Turn at which the first lug meets its stop, shape (n,) [deg]."""
        least: Array | None = None
        for radius in self.radii:
            for i, lug, track in self.pairs:
                stop = float(track.end.at(radius)) + np.asarray(self.off(f"track_{i}_stop"))
                turn = q.stop_turn_deg(
                    stop, self.lug_half(i, lug, radius), self.off(f"lug_{i}_position")
                )
                least = turn if least is None else np.minimum(least, turn)
        assert least is not None
        return least

    def roof_faces(
        self, i: int, lug: Lug, track: Track, radius: float, turned: Array
    ) -> tuple[tuple[Array, Array], ...]:
        """Depths of flank and roof wherever the least gap between them may lie [mm]."""
        turn = turned + self.off(f"lug_{i}_position")
        half = self.lug_half(i, lug, radius)
        return q.facing_depths_mm(
            self.shapes[i - 1],
            "bearing",
            track.roof,
            turn_deg=turn,
            low_deg=np.maximum(turn - half, self.slot_edge(i, track, radius)),
            high_deg=turn + half,
            radius_mm=min(radius, lug.outer_radius_mm),
            line_shift_mm=self.roof_shift(i, track),
            line_lead_mm_per_rev=self.off("track_lead"),
        )

    def floor_faces(
        self, i: int, lug: Lug, track: Track, turned: Array
    ) -> tuple[tuple[Array, Array], ...]:
        """Depths of leading flank and floor wherever the least gap between them may lie [mm]."""
        if lug.round_mm is not None and not track.floor_slope:
            return tuple(
                face
                for radius in self.radii
                for face in self._floor_faces_at(i, lug, track, radius, turned)
            )
        return self._floor_faces_at(i, lug, track, lug.outer_radius_mm, turned)

    def _floor_faces_at(
        self, i: int, lug: Lug, track: Track, radius: float, turned: Array
    ) -> tuple[tuple[Array, Array], ...]:
        turn = turned + self.off(f"lug_{i}_position")
        half = self.lug_half(i, lug, radius)
        shift = np.asarray(self.off(f"track_{i}_floor")) + self.tilted(i, track)
        if track.floor_slope:
            shift = shift + track.floor_slope * (self.wall(i, track) - self.tip(i))
        return q.facing_depths_mm(
            self.shapes[i - 1],
            "leading",
            track.floor,
            turn_deg=turn,
            low_deg=turn - half,
            high_deg=turn + half,
            radius_mm=min(radius, lug.outer_radius_mm),
            line_shift_mm=shift,
            line_lead_mm_per_rev=0.0,
        )

    @cached_property
    def roof_at_stop(self) -> tuple[tuple[tuple[Array, Array], ...], ...]:
        """`roof_faces` of every lug at the stop, all radii together."""
        return tuple(
            tuple(
                face
                for radius in self.radii
                for face in self.roof_faces(i, lug, track, radius, self.stop_turn)
            )
            for i, lug, track in self.pairs
        )

    @cached_property
    def floor_at_stop(self) -> tuple[tuple[tuple[Array, Array], ...], ...]:
        """`floor_faces` of every lug at the stop."""
        return tuple(
            self.floor_faces(i, lug, track, self.stop_turn) for i, lug, track in self.pairs
        )


def looked_at_radii(design: Design) -> tuple[float, ...]:
    """Radii at which angles are looked at [mm]: one where no side depends on it, else two."""
    lugs, tracks = design.plug.lugs, design.socket.tracks
    outer = max(lug.outer_radius_mm for lug in lugs)
    parallel = any(lug.half.offset_mm for lug in lugs) or any(t.slot.offset_mm for t in tracks)
    return (design.socket.track_bore_radius_mm, outer) if parallel else (outer,)
