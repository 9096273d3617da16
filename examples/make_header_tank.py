"""Make an invented tank to graft a socket onto: a laundry's hot-water header tank.

A lying cylinder, 240 mm outside and 4 mm thick, with dished ends and a filler neck; a bracket of
its own, to hang it from a partition wall, stands beside the place where the level sensor goes.

    python examples/make_header_tank.py header_tank.step
    bayonet faces header_tank.step --out faces
    bayonet graft examples/level_sensor.toml --tank header_tank.step \
        --at 60,-85,85 --down 0,0,-1 --out grafted

Frame: X along the tank, Z up, origin in its middle; millimetres.
"""

from __future__ import annotations

import math
import sys
from pathlib import Path

import cadquery as cq

RADIUS, WALL, HALF_LENGTH, DOME = 120.0, 4.0, 150.0, 45.0
NECK_RADIUS, NECK_BORE, NECK_AT = 26.0, 21.0, -95.0


def body(radius: float, half_length: float, dome: float) -> cq.Workplane:
    """A lying cylinder with dished ends, turned about X."""
    sphere = (radius**2 + dome**2) / (2.0 * dome)  # of the dished end
    half = math.asin(radius / sphere) / 2.0
    along = half_length + dome - sphere * (1.0 - math.cos(half))
    across = sphere * math.sin(half)
    outline = (
        cq.Workplane("XY")
        .moveTo(-half_length - dome, 0.0)
        .threePointArc((-along, across), (-half_length, radius))
        .lineTo(half_length, radius)
        .threePointArc((along, across), (half_length + dome, 0.0))
        .close()
    )
    return outline.revolve(360.0, (0, 0, 0), (1, 0, 0))


def tank() -> cq.Workplane:
    """Shell with a closed filler neck on top."""
    neck = cq.Workplane("XY").center(NECK_AT, 0).circle(NECK_RADIUS).extrude(RADIUS + 30.0)
    bore = cq.Workplane("XY").center(NECK_AT, 0).circle(NECK_BORE).extrude(RADIUS + 26.0)
    hollow = body(RADIUS - WALL, HALF_LENGTH, DOME - WALL).union(bore)
    return body(RADIUS, HALF_LENGTH, DOME).union(neck).cut(hollow)


def bracket() -> cq.Workplane:
    """An angle with two bolt holes, standing off the wall beside the sensor."""
    plate = cq.Workplane("XY").box(40.0, 6.0, 90.0).translate((135.0, -RADIUS - 4.0, 60.0))
    leg = cq.Workplane("XY").box(40.0, 60.0, 6.0).translate((135.0, -RADIUS - 31.0, 105.0))
    holes = cq.Workplane("XY").pushPoints([(135.0, -RADIUS - 22.0), (135.0, -RADIUS - 46.0)])
    return plate.union(leg).cut(holes.circle(4.5).extrude(200.0))


def main(path: Path) -> None:
    """Write the tank and its bracket as STEP."""
    assembly = cq.Assembly(name="header tank")
    assembly.add(tank(), name="tank", color=cq.Color(0.62, 0.7, 0.74))
    assembly.add(bracket(), name="bracket", color=cq.Color(0.35, 0.35, 0.38))
    assembly.export(str(path), exportType="STEP")


if __name__ == "__main__":
    main(Path(sys.argv[1] if len(sys.argv) > 1 else "header_tank.step"))
