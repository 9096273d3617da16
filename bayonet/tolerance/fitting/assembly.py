"""A plug in its socket with all their deviations: detent and ring, on top of the geometry."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from bayonet.mechanics import gasket as gasket_formula
from bayonet.mechanics import ring as formula
from bayonet.parts import Track, depth_span_mm
from bayonet.tolerance.fitting import quantities as q
from bayonet.tolerance.fitting.geometry import Geometry, Rows, least
from bayonet.tolerance.fitting.gland import BENCH

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Assembly(Geometry):
    """Every functional quantity; parameters as of `Geometry`."""

    # ---- detent --------------------------------------------------------------------------

    def detent_pass(self) -> Rows:
        """Room of each lug under the detent with the shoulder on the mouth face [mm]."""
        (plug_grows, socket_grows), parts = self.grows, self.parts
        rows = []
        for i, lug, track in parts.pairs:
            crest = _crest(track) + parts.roof_shift(i, track) + parts.off(f"track_{i}_detent")
            flank, _ = depth_span_mm(parts.shapes[i - 1], radius_mm=lug.outer_radius_mm)
            rows.append(flank * plug_grows - crest * socket_grows)
        return rows

    def detent_hold(self) -> Rows:
        """How far a plug pushed out at lock must dip to be turned back [mm]."""
        play = least(self.axial_play())
        return [play - least(self.detent_pass())]

    def angular_play(self) -> Rows:
        """Turn from the stop back to the detent, the least of all lugs [deg]."""
        parts, rows = self.parts, []
        for radius in parts.radii:
            for i, lug, track in parts.pairs:
                turn = parts.stop_turn + parts.off(f"lug_{i}_position")
                rows.append(turn - parts.lug_half(i, lug, radius) - track.roof[-2][0])
        return [least(rows)]

    # ---- ring ----------------------------------------------------------------------------

    @cached_property
    def _section(self) -> Array:
        """Section of the ring in place [mm]."""
        return self.parts.kept(
            "section", 0, self.conditions.warmer_k * self.conditions.ring_per_k, self._held
        )

    def _held(self) -> Array:
        ring, at = self.design.socket.ring, self.conditions
        assert ring is not None
        grows = 1.0 + at.ring_per_k * at.warmer_k
        section = self.parts.dim(ring.section_mm, "ring_section") * grows
        inside = self.parts.dim(ring.inside_diameter_mm, "ring_inside") * grows
        held_on = self._groove_diameter
        held = formula.section_by_volume(section, inside, held_on)
        if self.design.plug.groove_kind == "radial":
            return held
        return np.where(held_on > inside, held, section)

    @cached_property
    def _groove_diameter(self) -> Array:
        groove = self.design.plug.groove
        nominal = 2 * (groove.radius_mm if groove.kind == "radial" else groove.start_mm)
        return self.parts.dim(nominal, "groove_diameter") * self.grows[0]

    @cached_property
    def _gland_depth(self) -> Array:
        """Depth of the gland, plug and bore concentric, or the plug pushed out [mm]."""
        if self.design.plug.groove_kind == "radial":
            return np.asarray(self._sealing_radius - self._groove_diameter / 2.0)
        cut = self.parts.dim(self.design.plug.groove.cut_mm, "groove_cut") * self.grows[0]
        if self.design.socket.seating == "stop":
            cut = cut + least(self.axial_play())
        if self.design.plug.groove_kind == "nose_face":
            cut = cut + self.nose_gap()[0]
        return np.asarray(cut)

    @cached_property
    def _sealing_radius(self) -> Array:
        return np.asarray(self.parts.sealing_bore * self.grows[1] + self.conditions.bore_growth_mm)

    def squeeze(self) -> Rows:
        """Squeeze with plug and bore concentric, or the plug pushed out [-]."""
        return [formula.squeeze(self._section, self._gland_depth)]

    def open_side(self) -> Rows:
        """Squeeze left on the open side, the plug where it lies in its clearance [mm]."""
        left = self._section - self._gland_depth - self._away
        lost = self.conditions.compression_set
        return [left - lost * self._aged_squeeze if lost > 0.0 else left]

    @cached_property
    def _aged_squeeze(self) -> Array:
        """Squeeze the ring aged in on the side that is open now, at the bench [mm]."""
        then = Assembly(self.parts, BENCH)
        return np.maximum(then._section - then._gland_depth + then._away, 0.0)

    @cached_property
    def _away(self) -> Array:
        """How far the groove's axis lies off the sealing bore's, the plug where it lies [mm].

        The body beside the groove stops at the bore; the groove may be eccentric to that body,
        taken as towards the same side.
        """
        groove = q.away_mm(self.parts.off("groove_axis_x"), self.parts.off("groove_axis_y"))
        leaning = np.asarray(self.parts.off("seat")) * np.maximum(self._gap / 2.0, 0.0)
        return np.asarray(leaning + groove * self.grows[0])

    def gasket_squeeze(self) -> Rows:
        """Squeeze of a flat gasket that pushes the plug onto the first lug's roof [-]."""
        gasket = self.design.socket.gasket
        assert gasket is not None, "asked for the gasket of a socket without one"
        height = gasket.least_height_mm + least(self.axial_play())
        return [gasket_formula.squeeze(self.parts.dim(gasket.thickness_mm, "gasket"), height)]

    def seal_gap(self) -> Rows:
        """Diametral gap the ring must bridge [mm]."""
        return [self._gap]

    @cached_property
    def _gap(self) -> Array:
        step = self.design.plug.groove_body
        index = self.design.plug.body.index(step) + 1
        body = self.parts.dim(2 * step.radius_mm, f"body_{index}_diameter") * self.grows[0]
        return np.asarray(2.0 * self._sealing_radius - body)

    def fill(self) -> Rows:
        """Ring over gland by sections [-]."""
        groove = self.design.plug.groove
        width = self.parts.dim(groove.end_mm - groove.start_mm, "groove_width") * self.grows[0]
        filled = formula.fill(
            self._section,
            gland_depth_mm=self._gland_depth,
            gland_width_mm=width,
            corner_radius_mm=groove.corner_radius_mm,
            swell=self.conditions.swell,
        )
        return [filled]


def _crest(track: Track) -> float:
    """Depth of the detent's top [mm]: the deepest corner before the stop."""
    return max(depth for _, depth in track.roof[1:-1])
