"""Solids against closed forms: volume, validity, exact helicoids, one gate for nonsense."""

from __future__ import annotations

import dataclasses
import math
from pathlib import Path

import numpy as np
import pytest
from cadquery import Solid, Vector
from hypothesis import given, settings
from hypothesis import strategies as st
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.GeomAbs import GeomAbs_SurfaceType

import bayonet
from bayonet import solids
from bayonet.developed import contour, volume
from bayonet.errors import BuildError
from bayonet.jobs.design import Made
from bayonet.parts import HalfAngle
from bayonet.parts.socket import Track
from bayonet.shapes import Contour, Flank, mirrored
from bayonet.solids.kernel import gate, step
from bayonet.solids.kernel.wrap import wrapped

FLANK_MM = 1e-9
VOLUME = 1e-9


def helicoid_error(solid: Solid, flanks: list[Flank]) -> tuple[float, int]:
    """Greatest z distance of free-form faces from the nearest exact helicoid, and how many."""
    worst, count = 0.0, 0
    for face in solid.Faces():
        surface = BRepAdaptor_Surface(face.wrapped)
        if surface.GetType() != GeomAbs_SurfaceType.GeomAbs_BSplineSurface:
            continue
        count += 1
        spans = np.linspace(surface.FirstUParameter(), surface.LastUParameter(), 60)
        radii = np.linspace(surface.FirstVParameter(), surface.LastVParameter(), 5)
        points = np.array(
            [
                (p.X(), p.Y(), p.Z())
                for u in spans
                for v in radii
                for p in [surface.Value(float(u), float(v))]
            ]
        )
        theta = np.degrees(np.arctan2(points[:, 1], points[:, 0]))
        radius = np.hypot(points[:, 0], points[:, 1])
        errors = [
            np.abs(points[:, 2] + flank.depth_at(theta + turn, radius)).max()
            for flank in flanks
            for turn in (-360.0, 0.0, 360.0)
        ]
        unwrapped = [
            np.minimum.reduce(
                [np.abs(points[:, 2] + flank.depth_at(theta + t, radius)) for t in (-360, 0, 360)]
            ).max()
            for flank in flanks
        ]
        worst = max(worst, min(*errors, *unwrapped))
    return worst, count


def flanks_of(contours: list[Contour]) -> list[Flank]:
    return [e for c in contours for e in c.edges if isinstance(e, Flank) and e.lead_mm_per_rev]


def track_contours(design: bayonet.Design) -> list[Contour]:
    socket = design.socket
    return [
        mirrored(contour.of_track(t), sign=socket.sign, centre_deg=t.centre_deg)
        for t in socket.tracks
    ]


def test_flanks_on_disk_are_the_exact_helicoids(made: dict[str, Made]) -> None:
    """Read back from STEP: roofs (and sloped floors) of sensor and vent, within 1e-9 mm."""
    for name, faces in (("level_sensor", 3), ("brewery_vent", 4)):
        socket = step.read(made[name].folder / "socket.step")
        error, count = helicoid_error(socket, flanks_of(track_contours(made[name].result.design)))
        assert count >= faces
        assert error <= FLANK_MM


def test_the_helicoid_measure_can_fail(made: dict[str, Made]) -> None:
    socket = step.read(made["level_sensor"].folder / "socket.step")
    flanks = flanks_of(track_contours(made["level_sensor"].result.design))
    off = [dataclasses.replace(f, lead_mm_per_rev=f.lead_mm_per_rev + 1e-6) for f in flanks]
    assert helicoid_error(socket, off)[0] > FLANK_MM


def test_volumes_and_validity_before_and_after_step(
    made: dict[str, Made], example: bayonet.Design
) -> None:
    one = next(m for m in made.values() if m.result.design.name == example.name)
    for name, exact in (
        ("socket", volume.of_socket(example.socket)),
        ("plug", volume.of_plug(example.plug)),
    ):
        solid = step.read(one.folder / f"{name}.step")
        assert solid.isValid()
        assert solid.Volume() == pytest.approx(exact, rel=VOLUME)


def test_socket_volume_worked_by_hand() -> None:
    """A socket simple enough for paper: straight bore, flat lugs, no chamfer, layout C."""
    design = bayonet.from_mapping(
        {
            "plug": {
                "hand": "right",
                "turn_deg": 60,
                "shoulder_diameter": 60,
                "body": [{"diameter": 29.8, "to_depth": 14}],
                "lugs": {
                    "count": 2, "width_deg": 30, "outer_diameter": 39.5, "thickness": 4,
                    "bearing_depth": 6,
                },
                "groove": {"kind": "shoulder_face", "diameter": 44, "width": 4, "depth": 2},
            },
            "socket": {
                "process": "machined", "boss_diameter": 60, "boss_height": 20,
                "clearance": {"body": 0.2, "lug_radial": 0.25, "lug_side": 0.2, "axial": 0.2,
                              "floor": 0.3},
            },
        }
    )  # fmt: skip
    boss = math.pi * (30**2 - 15**2) * 20
    side = math.degrees(0.2 / 19.75)
    slot = math.radians(30 + 2 * side) * 10.3  # mouth to floor: 6 + 4 + 0.3
    turn = math.radians(60 + 15 - 15 - side) * (10.3 - 5.8)  # slot side to stop, under the roof
    tracks = 2 * (slot + turn) * (20**2 - 15**2) / 2
    assert volume.of_socket(design.socket) == pytest.approx(boss - tracks, rel=1e-12)
    assert solids.socket(design.socket).Volume() == pytest.approx(boss - tracks, rel=VOLUME)


def test_plug_volume_worked_by_hand(sensor: bayonet.Design) -> None:
    """Shoulder, two steps, chamfer by Pappus, groove with two corner fillets, three lugs."""
    plug = sensor.plug
    shoulder = math.pi * 25**2 * 4
    steps = math.pi * (16**2 * 13 + 13.2**2 * 11)
    chamfer = math.pi * (13.2 - 1 / 3) * 1.0  # 2 pi x centroid x area of a 1 x 1 / 2 triangle
    groove = math.pi * (13.2**2 - 11.2**2) * 3.6
    r = 0.3  # spandrel of a fillet: area r^2 (1 - pi/4), centroid r (10 - 3 pi) / (12 - 3 pi)
    area, centroid = r * r * (1 - math.pi / 4), r * (10 - 3 * math.pi) / (12 - 3 * math.pi)
    fillets = 2 * 2 * math.pi * (11.2 + centroid) * area
    half = math.asin(5.0 / 20.0)
    lugs = 3 * 2 * half * 3.5 * (20**2 - 16**2) / 2
    by_hand = shoulder + steps - chamfer - groove + fillets + lugs
    assert volume.of_plug(plug) == pytest.approx(by_hand, rel=1e-12)
    assert solids.plug(plug).Volume() == pytest.approx(by_hand, rel=VOLUME)


angles = st.floats(2.0, 40.0)


@st.composite
def tracks(draw: st.DrawFn) -> Track:
    """Tracks of every kind the builder knows, over a quarter to beyond half a turn."""
    inner = draw(st.floats(8.0, 40.0))
    half = draw(st.floats(4.0, 25.0))
    parallel = draw(st.booleans())
    end = draw(st.floats(40.0, 200.0)) + 2 * half
    slot = HalfAngle(deg=half, offset_mm=0.0)
    stop = HalfAngle(deg=end, offset_mm=0.0)
    if parallel:
        slot = HalfAngle(deg=0.0, offset_mm=inner * math.sin(math.radians(half)))
        stop = HalfAngle(deg=end - half, offset_mm=slot.offset_mm * 0.97)
    lead = draw(st.sampled_from([0.0, 0.0, 5.0, 18.0]))
    rise = lead * (end + half) / 360
    middle = half + (end - 2 * half) * 0.6
    roof = [(half, 3.0), (middle, 3.0 + lead * (middle - half) / 360)]
    roof.append((end, roof[-1][1] if draw(st.booleans()) else 3.0 + lead * (end - half) / 360))
    floor_ = ((-half, 9.0), (end, 9.0 + (rise if draw(st.booleans()) else 0.0)))
    if floor_[-1][1] == 9.0:
        floor_ = ((-half, 9.0 + rise), (end, 9.0 + rise))
    return Track(
        centre_deg=draw(st.floats(-180, 180)),
        slot=slot,
        end=stop,
        roof=tuple(roof),
        floor=floor_,
        top_mm=draw(st.sampled_from([0.0, 1.5])),
        inner_radius_mm=inner,
        outer_radius_mm=inner + draw(st.floats(1.0, 8.0)),
        floor_slope=draw(st.sampled_from([0.0, 0.0, 0.577, 1.0])),
    )


@settings(max_examples=80, deadline=None)
@given(tracks(), st.sampled_from([1, -1]))
def test_every_tool_is_one_valid_solid_of_the_exact_volume(track: Track, sign: int) -> None:
    shape = mirrored(contour.of_track(track), sign=sign, centre_deg=track.centre_deg)
    solid = gate.passed(wrapped(shape), volume_mm3=shape.volume(), what="tool")
    assert helicoid_error(solid, flanks_of([shape]))[0] <= FLANK_MM


def test_the_gate_refuses_what_the_kernel_accepts() -> None:
    box = Solid.makeBox(10, 10, 10)
    apart = Solid.makeBox(1, 1, 1, Vector(50, 0, 0))
    with pytest.raises(BuildError, match="volume"):
        gate.cut(box, [apart], volume_mm3=999.0, what="x")
    with pytest.raises(BuildError, match="2 solids"):
        gate.cut(box, [Solid.makeBox(1, 20, 20, Vector(5, -1, -1))], volume_mm3=900.0, what="x")
    with pytest.raises(BuildError, match="2 solids"):
        gate.fuse(box, [apart], volume_mm3=1001.0, what="x")
    with pytest.raises(BuildError, match="0 solids"):
        gate.cut(box, [Solid.makeBox(30, 30, 30, Vector(-5, -5, -5))], volume_mm3=1.0, what="x")


def test_the_gate_tells_one_part_in_a_thousand_million() -> None:
    box = Solid.makeBox(10, 10, 10)
    assert gate.passed(box, volume_mm3=1000.0, what="x").isValid()
    with pytest.raises(BuildError, match="closed form"):
        gate.passed(box, volume_mm3=1000.0 * (1 + 3e-9), what="x")


def test_a_broken_step_file_is_an_error(tmp_path: Path) -> None:
    file = tmp_path / "broken.step"
    file.write_text("ISO-10303-21;\nHEADER;\n")
    with pytest.raises(BuildError):
        step.read(file)
