"""The track as a disc cutter leaves it, against sampled cutter positions and mesh booleans."""

from __future__ import annotations

import dataclasses
import math
from pathlib import Path

import manifold3d
import numpy as np
import pytest
from cadquery import Solid
from second_engine import CHORD_MM, Pair, manifold_of

import bayonet
from bayonet import solids
from bayonet.checks.motion.proof import prove
from bayonet.developed import contour, cutting, volume
from bayonet.developed.contour import path_depths
from bayonet.developed.motion import poses_along
from bayonet.parts.socket import Track
from bayonet.shapes import Contour, mirrored
from bayonet.solids.fitting.cut_track import cut_track
from bayonet.solids.kernel import gate
from bayonet.tolerance.fitting import zones

EXAMPLES = Path(__file__).parents[2] / "examples"
CUTTER = """[socket.cutter]
diameter = 12.5
thickness = 3.0
neck_diameter = 3.0
reach = 14
end_mill = 8

[socket.seal]"""


def cut_design(*pairs: tuple[str, str]) -> bayonet.Design:
    """The level sensor with a turn short enough for the arc at its stop, and a named cutter."""
    text = (EXAMPLES / "level_sensor.toml").read_text("utf-8")
    for old, new in (ERODED, ("turn_deg = 80", "turn_deg = 50"), ("[socket.seal]", CUTTER), *pairs):
        assert old in text
        text = text.replace(old, new, 1)
    return bayonet.loads(text)


ERODED = ('made_by = "erosion"             # no disc cutter leaves this ramp and stop', "")
CASES = [
    (),
    (('hand = "right"', 'hand = "left"'),),
    (('sides = "radial"', 'sides = "parallel"'),),
    (("dwell_deg = 0", "dwell_deg = 20\nlead = 12.0"), ("diameter = 12.5", "diameter = 14.0")),
    (("dwell_deg = 0", "lead = 0.0"),),
]


def shape_of(design: bayonet.Design, track: Track) -> Contour:
    return mirrored(contour.of_track(track), sign=design.socket.sign, centre_deg=track.centre_deg)


def slab(points: np.ndarray, low: float, high: float) -> manifold3d.Manifold:
    return manifold3d.CrossSection([points]).extrude(high - low).translate((0.0, 0.0, low))


def removed_by_sampling(track: Track, *, steps: int) -> manifold3d.Manifold:
    """Entry slot and a disc at many places of its path, in lock coordinates, outside the bore.

    Each place: the disc from the path's depth down to the floor. Nothing of the envelope is used.
    """
    cut, floor = track.cut, track.floor[-1][1]
    assert cut is not None
    angles, depths = np.array(path_depths(track, cut)).T
    around = np.linspace(0.0, 2.0 * math.pi, 360, endpoint=False)
    disc = cut.radius_mm * np.column_stack([np.cos(around), np.sin(around)])
    parts = []
    for angle in np.linspace(angles[0], angles[-1], steps):
        turn = math.radians(angle)
        centre = cut.centre_mm * np.array([math.cos(turn), math.sin(turn)])
        depth = float(np.interp(angle, angles, depths))
        parts.append(slab(disc + centre, -floor, -depth))
    half = math.radians(float(track.slot.at(track.outer_radius_mm)))
    arc = np.linspace(-half, half, 400)
    wedge = np.vstack(
        [[0.0, 0.0], track.outer_radius_mm * np.column_stack([np.cos(arc), np.sin(arc)])]
    )
    parts.append(slab(wedge, -floor, -track.top_mm))
    bore = manifold3d.Manifold.cylinder(80.0, track.inner_radius_mm, circular_segments=1440)
    return manifold3d.Manifold.batch_boolean(parts, manifold3d.OpType.Add) - bore.translate(
        (0.0, 0.0, -40.0)
    )


@pytest.mark.parametrize("case", [CASES[0], CASES[3]], ids=["ramp", "ramp and dwell"])
def test_the_envelope_is_what_sampled_cutters_leave(case: tuple[tuple[str, str], ...]) -> None:
    """Samples remove a little less, never more; what they leave halves as the steps double.

    Sampled stairs lie inside the envelope but for the chords of the referee's own mesh, which are
    within `CHORD_MM` over the track's wall, bore and stop (a quarter as much at a quarter of the
    chord when it was tried).
    """
    design = cut_design(*case)
    track = design.socket.tracks[0]
    exact = contour.of_track(track)
    tool = manifold_of(cut_track(exact))
    left = []
    for steps in (24, 48):
        sampled = removed_by_sampling(track, steps=steps)
        left.append(exact.volume() - sampled.volume())
        assert (sampled - tool).volume() < CHORD_MM / 4.0 * curved_mm2(cut_track(exact))
    assert left[1] < 0.6 * left[0]
    assert abs(2.0 * left[1] - left[0]) < 2e-4 * exact.volume()  # at endless steps: nothing left


def curved_mm2(solid: Solid) -> float:
    return sum(face.Area() for face in solid.Faces() if face.geomType() != "PLANE")


def test_the_overcut_by_brute_force() -> None:
    """Height of the sampled roof at single points: the highest of 4001 cutter positions."""
    design = cut_design()
    lug, track = design.plug.lugs[0], design.socket.tracks[0]
    cut = track.cut
    assert cut is not None
    angles, depths = np.array(path_depths(track, cut)).T
    places = np.linspace(angles[0], angles[-1], 4001)
    at = np.radians(places)
    middles = cut.centre_mm * np.column_stack([np.cos(at), np.sin(at)])
    step_mm = design.socket.lead_mm_per_rev * (places[1] - places[0]) / 360.0
    for radius in (16.2, 17.5, 19.0, lug.outer_radius_mm):
        for angle in (40.0, 50.0, 60.0):
            point = radius * np.array(
                [math.cos(math.radians(angle)), math.sin(math.radians(angle))]
            )
            covers = np.hypot(*(middles - point).T) <= cut.radius_mm
            highest = float(np.interp(places[covers], angles, depths).min())
            got = float(cutting.roof_depth(track, np.array(angle), np.array(radius)))
            assert highest == pytest.approx(got, abs=1.01 * step_mm)
            true = float(contour.depth_along(track.roof, np.array(angle)))
            over = cutting.overcut_profile(
                track, lug, np.array(radius), lead_mm_per_rev=design.socket.lead_mm_per_rev
            )
            if angle - cut.swing_deg(radius) >= cut.start_deg:
                assert true - got == pytest.approx(float(over), abs=1e-9)


@pytest.mark.parametrize("case", CASES)
def test_the_solid_is_exact(case: tuple[tuple[str, str], ...]) -> None:
    """Tool and socket: one valid solid, volume by quadrature of polygons to 1e-12."""
    design = cut_design(*case)
    shape = shape_of(design, design.socket.tracks[0])
    tool = gate.passed(cut_track(shape), volume_mm3=shape.volume(), what="tool")
    assert tool.Volume() == pytest.approx(shape.volume(), rel=1e-12)
    whole = solids.socket(design.socket)
    assert whole.Volume() == pytest.approx(volume.of_socket(design.socket), rel=1e-11)


def test_a_level_track_by_hand() -> None:
    """No lead: slot wedge and plan area of the swept disc, each times its height.

    The swept disc outside the bore spans a constant angle (stop - start) and one whole disc.
    """
    design = cut_design(("dwell_deg = 0", "lead = 0.0"))
    track = design.socket.tracks[0]
    cut = track.cut
    assert cut is not None
    inner, outer = track.inner_radius_mm, track.outer_radius_mm
    ring = (outer**2 - inner**2) / 2.0
    rho, c = cut.centre_mm, cut.radius_mm
    a = math.acos((inner**2 + rho**2 - c**2) / (2 * inner * rho))
    b = math.acos((c**2 + rho**2 - inner**2) / (2 * c * rho))
    lens = inner**2 * a + c**2 * b - inner * rho * math.sin(a)  # two circles' common area
    half = (math.pi * c**2 - lens) / 2.0  # of the disc outside the bore, ahead of its axis
    slot = math.radians(float(track.slot.at(outer)))
    swept = math.radians(cut.stop_deg - cut.start_deg) * ring + half
    floor, roof = track.floor[-1][1], track.roof[-1][1]
    by_hand = 2 * slot * ring * floor + swept * (floor - roof)
    assert contour.of_track(track).volume() == pytest.approx(by_hand, rel=1e-12)


@pytest.mark.parametrize("case", [CASES[0], CASES[3]], ids=["ramp", "ramp and dwell"])
def test_motion_is_proven_on_the_cut_shape(case: tuple[tuple[str, str], ...]) -> None:
    """Meshes of the real solids: free on the whole way, blocked just past each limit."""
    design = cut_design(*case)
    motion = prove(design.plug, design.socket).nominal
    lock = motion.furthest_deg
    assert lock == pytest.approx(50.0, abs=1e-3)
    pair = Pair(
        manifold_of(solids.socket(design.socket)), manifold_of(solids.plug(design.plug)), 0.0,
        design.socket.sign,
    )  # fmt: skip
    assert max(pair.overlaps(poses_along(motion.path, 60))[:-2]) == pytest.approx(0.0, abs=1e-3)
    assert pair.overlap_mm3((lock + 1.0, motion.play_mm / 2)) > 1e-3
    assert pair.overlap_mm3((lock - 0.05, motion.play_mm + 0.1)) > 1e-3


def test_the_largest_plug_goes_through_the_smallest_cut_socket() -> None:
    design = cut_design()
    motion = prove(design.plug, design.socket).tightest
    plug = dataclasses.replace(design.plug, lugs=zones.lugs(design.plug, "tightest"))
    socket = dataclasses.replace(design.socket, tracks=zones.tracks(design.socket, "tightest"))
    pair = Pair(
        manifold_of(solids.socket(socket)), manifold_of(solids.plug(plug)), 0.0, socket.sign
    )
    assert max(pair.overlaps(poses_along(motion.path, 60))[:-2]) == pytest.approx(0.0, abs=1e-3)
