"""Invented tanks to graft onto, small and quick."""

from __future__ import annotations

from pathlib import Path

import cadquery as cq
from OCP.Interface import Interface_Static
from OCP.STEPControl import STEPControl_StepModelType, STEPControl_Writer

from bayonet.solids.graft.tank import Tank, TankSolid


def one(work: cq.Workplane) -> cq.Solid:
    (solid,) = work.solids().vals()
    return solid


def box() -> cq.Solid:
    """300 x 250 x 220, upright edges rounded 30, wall 5."""
    outer = cq.Workplane().box(300, 250, 220).edges("|Z").fillet(30)
    return one(outer.cut(cq.Workplane().box(290, 240, 210).edges("|Z").fillet(25)))


def vessel(radius: float = 150.0, wall: float = 4.0) -> cq.Solid:
    """Upright cylinder with a domed top, axis Z, from z = 0 to 200 + radius."""

    def half(r: float, low: float) -> cq.Workplane:
        top = 200.0 + r
        side = cq.Workplane("XZ").moveTo(0, low).lineTo(r, low).lineTo(r, 200.0)
        dome = side.threePointArc((r / 2**0.5, 200.0 + r / 2**0.5), (0, top)).close()
        return dome.revolve(360.0, (0, 0, 0), (0, 1, 0))

    return one(half(radius, 0.0).cut(half(radius - wall, wall)))


def sheet() -> cq.Solid:
    """A box of 1.5 mm sheet, open at the top."""
    return one(cq.Workplane().box(300, 250, 200).faces(">Z").shell(-1.5))


def baffled(at_x: float = 10.0) -> cq.Solid:
    """The box with a baffle 4 mm thick hanging from its lid."""
    return one(
        cq.Workplane(obj=box()).union(cq.Workplane().box(4, 240, 60).translate((at_x, 0, 80)))
    )


def free_form() -> cq.Solid:
    """A closed cylinder over a spline, wall about 4 mm."""
    points = [(150, 0), (110, 110), (0, 140), (-120, 100), (-150, 0), (-100, -110), (0, -135),
              (105, -100)]  # fmt: skip

    def body(scale: float, low: float, height: float) -> cq.Workplane:
        flat = [(scale * x, scale * y) for x, y in points]
        wire = cq.Workplane().spline(flat, periodic=True).wire()
        return wire.extrude(height).translate((0, 0, low))

    return one(body(1.0, 0, 300).cut(body(0.97, 4, 292)))


def tank(solid: cq.Solid) -> Tank:
    return Tank(file="tank", solids=(TankSolid(name="tank", solid=solid),))


def in_inches(shape: cq.Shape, path: Path) -> None:
    """Write a STEP file that declares inches."""
    Interface_Static.SetCVal_s("write.step.unit", "INCH")
    try:
        writer = STEPControl_Writer()
        writer.Transfer(shape.wrapped, STEPControl_StepModelType.STEPControl_AsIs)
        writer.Write(str(path))
    finally:
        Interface_Static.SetCVal_s("write.step.unit", "MM")


def assembly(path: Path) -> None:
    """Vessel and bracket, coloured, the vessel set 1 m off and turned, one face red."""
    whole = cq.Assembly(name="plant")
    turned = cq.Location(cq.Vector(1000, 0, 0), cq.Vector(0, 0, 1), 90)
    whole.add(vessel(), name="vessel", color=cq.Color(0.1, 0.2, 0.7), loc=turned)
    block = cq.Workplane().box(30, 30, 30).translate((1000, 175, 150))
    whole.add(block, name="bracket", color=cq.Color(0.9, 0.8, 0.1))
    whole.export(str(path), exportType="STEP")
