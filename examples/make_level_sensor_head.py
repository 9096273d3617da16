"""Make the invented level sensor as it stands outside its socket: shoulder, head, cable outlet.

    python examples/make_level_sensor_head.py sensor.step

Frame: the fitting's, locked: mouth face z = 0, +z out of the tank, theta = 0 along +x; mm.
"""

from __future__ import annotations

import sys
from pathlib import Path

import cadquery as cq

HEAD_RADIUS, HEAD_TOP = 17.0, 38.0
OUTLET_RADIUS, OUTLET_REACH, OUTLET_Z = 8.0, 46.0, 24.0


def head() -> cq.Workplane:
    """Shoulder and head, a cable outlet to one side."""
    shoulder = cq.Workplane("XY").circle(25.0).extrude(4.0)
    body = cq.Workplane("XY").circle(HEAD_RADIUS).extrude(HEAD_TOP).faces(">Z").chamfer(2.0)
    outlet = cq.Workplane("YZ").center(0, OUTLET_Z).circle(OUTLET_RADIUS).extrude(OUTLET_REACH)
    return shoulder.union(body).union(outlet)


def main(path: Path) -> None:
    """Write the head as STEP."""
    cq.exporters.export(head(), str(path))


if __name__ == "__main__":
    main(Path(sys.argv[1] if len(sys.argv) > 1 else "sensor.step"))
