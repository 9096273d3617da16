"""The cut-away view: true areas of the cut faces, and lines where the solids are."""

from __future__ import annotations

import numpy as np
import pytest
from shapely.geometry import Polygon

import bayonet
from bayonet import solids
from bayonet.parts import profile
from bayonet.solids.fitting.view import fit_up
from bayonet.solids.kernel.turn import turned

EYE = np.array([0.55, -1.0, 0.62]) / np.linalg.norm([0.55, -1.0, 0.62])


def test_cut_faces_have_the_profiles_area_as_seen(sensor: bayonet.Design) -> None:
    """A turned boss: both cut faces are its half profile, foreshortened by the view's cosines."""
    outline = profile.of_socket(sensor.socket)
    boss = turned(outline, seam_deg=135.0, what="boss")
    plug = solids.plug(sensor.plug)
    drawing = fit_up([boss], plug, lift_mm=60.0)
    true = Polygon([segment.start for segment in outline]).area
    seen = sorted(Polygon(outer, holes).area for outer, *holes in drawing.sections)
    assert seen == pytest.approx(sorted([true * EYE[0], true * -EYE[1]]), rel=1e-9)


def test_lines_stay_within_the_solids_shadow(example: bayonet.Design) -> None:
    socket, plug = solids.socket(example.socket), solids.plug(example.plug)
    drawing = fit_up([socket], plug, lift_mm=50.0)
    points = np.concatenate([*drawing.outlines, *drawing.edges])
    widest = max(
        example.socket.boss_radius_mm,
        example.plug.shoulder_radius_mm,
        example.socket.flange.radius_mm if example.socket.flange else 0.0,
    )
    assert np.isfinite(points).all()
    assert np.abs(points[:, 0]).max() <= widest + 1e-6
    assert len(drawing.sections) >= 2


def test_a_higher_plug_is_drawn_higher(sensor: bayonet.Design) -> None:
    """Lifting by 10 mm moves the top line up by 10 times the cosine of the view's slope."""
    socket, plug = solids.socket(sensor.socket), solids.plug(sensor.plug)
    tops = [
        max(line[:, 1].max() for line in fit_up([socket], plug, lift_mm=lift).edges)
        for lift in (40.0, 50.0)
    ]
    assert tops[1] - tops[0] == pytest.approx(10.0 * np.hypot(EYE[0], EYE[1]), rel=1e-6)
