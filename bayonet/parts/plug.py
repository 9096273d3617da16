"""The plug as the rest of the package sees it: resolved, frozen, in mm and degrees.

Depths count from the shoulder into the tank. What the file said is in `bayonet.designfile`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bayonet.parts.lugs import Lug, depth_span_mm

Hand = Literal["right", "left"]
Layout = Literal["A", "B", "C", "D"]
GrooveKind = Literal["radial", "shoulder_face", "nose_face"]


@dataclass(frozen=True, kw_only=True)
class BodyStepMm:
    """A stretch of the plug's body of one radius."""

    radius_mm: float
    from_depth_mm: float
    to_depth_mm: float
    radius_zone_mm: float
    depth_zone_mm: float


@dataclass(frozen=True, kw_only=True)
class GrooveMm:
    """The O-ring groove.

    Radial: ``radius_mm`` is the bottom's, ``start_mm`` and ``end_mm`` are depths.
    Face: ``start_mm`` and ``end_mm`` are the inner and outer wall's radii, ``cut_mm`` its depth.
    ``axis_zone_mm`` is how far its axis may lie off that of the body it is cut into.
    """

    kind: GrooveKind
    radius_mm: float
    start_mm: float
    end_mm: float
    cut_mm: float
    corner_radius_mm: float
    radius_zone_mm: float
    depth_zone_mm: float
    width_zone_mm: float
    axis_zone_mm: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Plug:
    """The measured male part.

    ``lug_axis_zone_mm`` is how far the axis of the lugs may stand off the body's, in any direction;
    ``step_axis_zone_mm`` that of a further step of the body. ``ring_groove`` is None where the plug
    carries no ring. ``stands_off_mm`` is how far a gasket keeps the shoulder off the mouth face,
    from which all depths count.
    """

    hand: Hand
    turn_deg: float
    shoulder_radius_mm: float
    shoulder_thickness_mm: float
    nose_chamfer_mm: float
    body: tuple[BodyStepMm, ...]
    lugs: tuple[Lug, ...]
    ring_groove: GrooveMm | None
    lug_axis_zone_mm: float
    step_axis_zone_mm: float
    stands_off_mm: float = 0.0

    @property
    def sign(self) -> int:
        """+1 where turning to lock increases theta (left hand), else -1."""
        return 1 if self.hand == "left" else -1

    @property
    def nose_depth_mm(self) -> float:
        """Depth of the plug's end [mm]."""
        return self.body[-1].to_depth_mm

    @property
    def lug_span_mm(self) -> tuple[float, float]:
        """Least and greatest depth any lug reaches [mm]."""
        inner = min(step.radius_mm for step in self.body)
        extents = [
            depth_span_mm(lug.shape, radius_mm=max(inner, lug.half.offset_mm)) for lug in self.lugs
        ]
        return min(float(low) for low, _ in extents), max(float(high) for _, high in extents)

    @property
    def lug_body(self) -> BodyStepMm:
        """The stretch of body the lugs stand on."""
        middle = sum(self.lug_span_mm) / 2.0
        for step in self.body:
            if middle <= step.to_depth_mm:
                return step
        return self.body[-1]

    @property
    def groove(self) -> GrooveMm:
        """The ring's groove; to be asked for only where the plug carries a ring."""
        assert self.ring_groove is not None, "asked for the groove of a plug without one"
        return self.ring_groove

    @property
    def groove_kind(self) -> GrooveKind | None:
        """Kind of the ring's groove; None where the plug carries no ring."""
        return None if self.ring_groove is None else self.ring_groove.kind

    @property
    def groove_body(self) -> BodyStepMm:
        """The stretch of body a radial groove is cut into; the widest where it meets several."""
        groove = self.groove
        beside = [
            step
            for step in self.body
            if step.to_depth_mm > groove.start_mm and step.from_depth_mm < groove.end_mm
        ]
        return max(beside, key=lambda step: step.radius_mm)
