"""Random designs, centred and floated, against mesh booleans.

A command as well: `python tests/proof/float_referee.py 500 1`, number of designs and seed. Each
design is judged by the polygons; its written files, the solids at the ends of its zone, the plug
pushed aside and other ways round are swept. Prints every disagreement and the counts.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import Any

import numpy as np

import bayonet
from bayonet import solids
from bayonet.checks.motion import Swept
from bayonet.checks.motion.proof import prove
from bayonet.exchange import stl
from bayonet.solids.fitting import sweep
from bayonet.solids.kernel import mesh, step


def random_design(source: np.random.Generator) -> dict[str, Any]:
    """A face-sealed or a stepped plug, its lugs equal, or one larger, wider or out of step."""
    count, body = int(source.integers(2, 6)), round(float(source.uniform(24.0, 50.0)), 2)
    spacing = 360.0 / count
    width = round(float(spacing * source.uniform(0.18, 0.3)), 2)
    outer = round(body + float(source.uniform(5.0, 10.0)), 2)
    lugs: dict[str, Any] = {
        "sides": str(source.choice(["radial", "parallel"])), "outer_diameter": outer,
        "thickness": round(float(source.uniform(3.0, 6.0)), 2), "bearing_depth": 5.0,
        "width_deg": width, "lead": round(float(source.uniform(3.0, 8.0)), 2),
        "each": [{"centre_deg": round(i * spacing, 3)} for i in range(count)],
    }  # fmt: skip
    kind = source.choice(["equal", "diameter", "width", "spacing"])
    if kind == "diameter":
        lugs["each"][0]["outer_diameter"] = round(outer + float(source.uniform(0.2, 2.0)), 2)
    if kind == "width":
        lugs["each"][0]["width_deg"] = round(width + float(source.uniform(0.5, 5.0)), 2)
    if kind == "spacing":
        lugs["each"][0]["centre_deg"] = round(float(source.uniform(0.5, 6.0)), 3)
    turn = max(6.0, round(spacing - 1.6 * width - 14.0, 2))
    end = 5.0 + lugs["thickness"] + 6.0
    seating = str(source.choice(["stop", "clamp"]))
    socket: dict[str, Any] = {
        "seating": seating, "process": "machined",
        "clearance": {"body": round(float(source.uniform(0.2, 1.6)), 2)},
        "seal": {"ring_section": 3.53, "ring_inside_diameter": round(outer + 10.3, 2)},
    }  # fmt: skip
    if seating == "clamp":
        socket["stop"] = {"overtravel_deg": 6.0}
    plug = {
        "hand": str(source.choice(["left", "right"])), "turn_deg": turn, "made_by": "machined",
        "shoulder_diameter": round(outer + 28.0, 2),
        "body": [{"diameter": body, "to_depth": end}], "lugs": lugs,
        "groove": {"kind": "shoulder_face", "diameter": round(outer + 10.0, 2), "width": 5.0,
                   "depth": 2.6},
    }  # fmt: skip
    return {"design": {"name": "random"}, "plug": plug, "socket": socket}


def swept(raw: dict[str, Any]) -> tuple[bayonet.Design, tuple[Swept, ...]] | None:
    """A design and its sweep; None where it cannot be drawn, or its motion fails."""
    try:
        design = bayonet.from_mapping(raw)
    except bayonet.DesignError:
        return None
    proof = prove(design.plug, design.socket)
    if not (proof.nominal.path and proof.tightest.path):
        return None
    lock = proof.nominal.furthest_deg
    with tempfile.TemporaryDirectory() as name:
        room, plug = Path(name), solids.plug(design.plug, turned_deg=lock)
        step.write(plug, room / "plug.step", head=step.StepHead(product="plug", description=""))
        triangles = mesh.meshed(solids.socket(design.socket), chord_mm=0.01)
        stl.write(triangles, room / "socket.stl", title="socket")
        return design, sweep.sweep(room, design.plug, design.socket, proof, turned_deg=lock)


def run(count: int, *, seed: int) -> tuple[int, int, list[str]]:
    """Designs swept, poses, and what disagreed."""
    source, done, poses, against = np.random.default_rng(seed), 0, 0, []
    while done < count:
        raw = random_design(source)
        found = swept(raw)
        if found is None:
            continue
        done += 1
        poses += sum(one.poses for one in found[1])
        against += [f"{raw}\n    {one}" for one in found[1] if one.against]
    return done, poses, against


if __name__ == "__main__":
    designs, looked_at, said = run(int(sys.argv[1]), seed=int(sys.argv[2]) if sys.argv[2:] else 1)
    print("\n".join(said))
    print(f"{designs} designs, {looked_at} poses, {len(said)} disagreements")
