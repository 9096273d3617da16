"""A half profile turned into a solid, its seam at a chosen angle."""

from __future__ import annotations

import math

from cadquery import Edge, Face, Solid, Vector, Wire

from bayonet.parts import Profile, Segment, turned_volume
from bayonet.solids.kernel.gate import passed


def turned(profile: Profile, *, seam_deg: float, what: str) -> Solid:
    """Turn a profile once round the z axis.

    Parameters
    ----------
    profile : Profile
    seam_deg : float
        Theta of the seam: where no track or lug will cross it [deg].
    what : str
        Named in errors.

    Returns
    -------
    cadquery.Solid
        Gated by the profile's closed-form volume.

    Raises
    ------
    BuildError
        If the kernel's result does not pass the gate.
    """
    edges = [_edge(segment, math.radians(seam_deg)) for segment in profile]
    face = Face.makeFromWires(Wire.assembleEdges(edges))
    solid = Solid.revolve(face, 360.0, Vector(0, 0, 0), Vector(0, 0, 1))
    return passed(solid, volume_mm3=turned_volume(profile), what=what)


def _edge(segment: Segment, seam: float) -> Edge:
    def point(radius: float, z: float) -> Vector:
        return Vector(radius * math.cos(seam), radius * math.sin(seam), z)

    if segment.centre is None:
        return Edge.makeLine(point(*segment.start), point(*segment.end))
    (rc, zc), (r0, z0), (r1, z1) = segment.centre, segment.start, segment.end
    radius = math.hypot(r0 - rc, z0 - zc)
    towards = math.atan2((z0 + z1) / 2.0 - zc, (r0 + r1) / 2.0 - rc)
    middle = (rc + radius * math.cos(towards), zc + radius * math.sin(towards))
    return Edge.makeThreePointArc(point(r0, z0), point(*middle), point(r1, z1))
