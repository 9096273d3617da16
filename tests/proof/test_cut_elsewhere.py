"""A track as a cutter leaves it, in print-test pieces and in a tank's wall."""

from __future__ import annotations

import math

import pytest
import tanks
from test_cutter import cut_design

import bayonet
from bayonet import solids
from bayonet.developed import volume
from bayonet.printing import piece
from bayonet.printing.compensation import PrintedSize, as_printed, to_draw
from bayonet.printing.ladder import sample
from bayonet.solids.graft import join
from bayonet.solids.graft import spot as snap
from bayonet.solids.graft.tank import volume_of
from bayonet.tank.graft import Wishes


@pytest.fixture(scope="module")
def design() -> bayonet.Design:
    return cut_design()


def test_pieces_show_what_the_cutter_leaves(design: bayonet.Design) -> None:
    """Every rung is a gated solid with the cutter's arcs, and step 0 moves as the socket."""
    made = sample(design, steps_mm=(-0.05, 0.2))
    assert {one.code: one.verdict.value for one in made.findings}["print.same_motion"] == "pass"
    for rung in (made.ring, *made.ladder):
        assert all(track.cut for track in rung.socket.tracks)
        solid = solids.socket(rung.socket)
        assert solid.Volume() == pytest.approx(volume.of_socket(rung.socket), rel=1e-9)


@pytest.mark.parametrize("step", [-0.05, 0.2])
def test_a_wider_piece_keeps_roof_and_stop_at_the_lugs_edge(
    design: bayonet.Design, step: float
) -> None:
    """By the law of cosines, anew: where the disc's edge stands at the lug's outer radius."""

    def edge_deg(track: object, radius: float) -> float:
        cut = track.cut  # type: ignore[attr-defined]
        cos = (radius**2 + cut.centre_mm**2 - cut.radius_mm**2) / (2 * radius * cut.centre_mm)
        return cut.stop_deg + math.degrees(math.acos(cos))

    outer = design.plug.lugs[0].outer_radius_mm
    wide = piece.widened(design.socket, step).tracks[0]
    usual = design.socket.tracks[0]
    assert edge_deg(wide, outer) == pytest.approx(edge_deg(usual, outer), abs=1e-9)
    assert wide.cut.centre_mm + wide.cut.radius_mm == pytest.approx(wide.outer_radius_mm)


def test_compensation_undoes_itself_on_a_cut_track(design: bayonet.Design) -> None:
    printer = PrintedSize(hole_mm=-0.18, boss_mm=0.1, scale=0.997)
    drawn = to_draw(design.socket, printer)
    solids.socket(drawn)  # through the gate
    back = as_printed(drawn, printer).tracks[0].cut
    cut = design.socket.tracks[0].cut
    for name in ("centre_mm", "radius_mm", "start_deg", "stop_deg"):
        assert getattr(back, name) == pytest.approx(getattr(cut, name), abs=1e-9), name


def test_a_cut_socket_in_a_flat_wall_gains_what_a_ruler_says(design: bayonet.Design) -> None:
    """A boss standing 22 mm on a wall of 5: full cylinder less bore and cut tracks, less passage.

    22 = 24.5 of boss less half the wall, which it reaches into.
    """
    socket, tank = design.socket, tanks.tank(tanks.box())
    spot = snap.spot(tank, at=(10.0, 5.0, 110.0), face=None, toward=None)
    wishes = Wishes(at=(10.0, 5.0, 110.0))
    made = join.graft(tank, spot, socket, wishes, shoulder_mm=design.plug.shoulder_radius_mm)
    boss, height = socket.boss_radius_mm, socket.boss_height_mm
    bored = math.pi * boss**2 * height - volume.of_socket(socket)
    by_hand = math.pi * boss**2 * (height - 2.5) - bored - math.pi * socket.bore[-1][0] ** 2 * 2.5
    gained = volume_of(made.after) - volume_of(made.before)
    assert gained == pytest.approx(by_hand, rel=1e-9)
