"""Print-test rings as exact solids, each with its mark sunk into the end face."""

from __future__ import annotations

from collections.abc import Sequence

from cadquery import Solid, Vector, Wire
from shapely.geometry import LinearRing, Polygon

from bayonet.parts import Socket
from bayonet.printing import Gauge
from bayonet.solids.fitting.build import socket
from bayonet.solids.kernel import gate, guarded


@guarded("marking a print-test ring")
def marked(of: Socket, letters: Sequence[Polygon], *, depth_mm: float, volume_mm3: float) -> Solid:
    """A ring with characters sunk into its end face, mouth face at z = 0, +z out of the tank.

    Parameters
    ----------
    of : Socket
        The ring as drawn.
    letters : sequence of shapely Polygon
        As seen looking at the end face, x to the right, y up [mm]; apart from each other.
    depth_mm : float
        Depth of the characters [mm].
    volume_mm3 : float
        In closed form: the ring less area times depth [mm3].

    Returns
    -------
    cadquery.Solid

    Raises
    ------
    BuildError
        If the kernel's result does not pass the gate.
    """
    sunk = [_sunk(letter, of.boss_height_mm, depth_mm) for letter in letters]
    return gate.cut(socket(of), sunk, volume_mm3=volume_mm3, what="marked ring")


@guarded("building the gauge bar")
def bar(of: Gauge) -> Solid:
    """The bar with its holes, its middle on the z axis, standing on z = 0; gated as `marked`."""
    length, width, height = of.length_mm, of.width_mm, of.height_mm
    body = Solid.makeBox(length, width, height, Vector(-length / 2.0, -width / 2.0, 0.0))
    holes = [
        Solid.makeCylinder(of.hole_mm / 2.0, height, Vector(at, 0.0, 0.0))
        for at in of.holes_at_mm()
    ]
    return gate.cut(body, holes, volume_mm3=of.volume_mm3(), what="bar")


@guarded("standing a print-test ring up")
def standing(solid: Solid) -> Solid:
    """A ring turned over as it is printed: mouth down, end face up."""
    return solid.rotate(Vector(0, 0, 0), Vector(1, 0, 0), 180.0)


def _sunk(letter: Polygon, height_mm: float, depth_mm: float) -> Solid:
    outer = _wire(letter.exterior, height_mm)
    inner = [_wire(ring, height_mm) for ring in letter.interiors]
    tool = Solid.extrudeLinear(outer, inner, Vector(0.0, 0.0, depth_mm))
    return gate.passed(tool, volume_mm3=letter.area * depth_mm, what="character")


def _wire(ring: LinearRing, height_mm: float) -> Wire:
    """A ring on the end face: looking at it, y up, is looking along +z with y down."""
    return Wire.makePolygon([Vector(x, -y, -height_mm) for x, y in list(ring.coords)[:-1]],
                            close=True)  # fmt: skip
