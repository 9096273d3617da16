"""Each term of the chains on its own: by hand, by the gland's corners, by the free region."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
from test_assembly import cold_bench, one

import bayonet
from bayonet.checks.motion.proof import end_of
from bayonet.developed.fitting import lay_out
from bayonet.developed.motion import analyse
from bayonet.parts.design import changed
from bayonet.tolerance.chains.chain import ChainSet
from bayonet.tolerance.chains.corners import worst_cases
from bayonet.tolerance.fitting import gland
from bayonet.tolerance.fitting.gland import Conditions, GlandState, Span
from bayonet.tolerance.fitting.requirements import chains_of
from bayonet.tolerance.fitting.service import growth, states

NO_PLAY = Span(least=0.0, nominal=0.0, most=0.0)


def at(chains: ChainSet, **values: float) -> np.ndarray:
    """A point with some deviations, the rest nominal."""
    point = chains.nominal()
    keys = [variable.key for variable in chains.variables]
    for key, value in values.items():
        point[keys.index(key)] = value
    return point


def glands(design: bayonet.Design) -> list[GlandState]:
    """The gland over its zone at every temperature, without pressure and then at proof pressure."""
    ring, pressure = design.socket.ring, design.spec.service.pressure
    assert ring is not None
    assert pressure is not None
    proof = growth(design, 1.5 * pressure.value).radial_mm
    warm: list[Conditions] = [s.conditions for s in states(design)[0]]
    pressed = [dataclasses.replace(at, bore_growth_mm=proof) for at in warm]
    conditions = [*warm, *pressed]
    return [
        gland.state(design.plug, design.socket, ring, play_mm=NO_PLAY, at=condition)
        for condition in conditions
    ]


@pytest.mark.parametrize("name", ["sensor", "drain"])
def test_worst_cases_of_the_ring_are_the_glands_own(
    name: str, request: pytest.FixtureRequest
) -> None:
    """Second reckoning: the gland's corners, held by hand elsewhere, state by state."""
    design: bayonet.Design = request.getfixturevalue(name)
    found, worst = glands(design), worst_cases(chains_of(design))
    warm = found[: len(found) // 2]
    assert worst["squeeze"].low == pytest.approx(found[0].squeeze.least, abs=1e-9)
    assert worst["squeeze"].high == pytest.approx(found[0].squeeze.most, abs=1e-9)
    assert worst["open_side"].low == pytest.approx(min(g.worst_side_mm for g in found), abs=1e-9)
    assert worst["fill"].high == pytest.approx(max(g.fill.most for g in warm), abs=1e-9)
    assert worst["gap"].high == pytest.approx(max(g.gap_mm.most for g in found), abs=1e-9)


def test_pressure_opens_the_gap_by_twice_the_growth(drain: bayonet.Design) -> None:
    """At proof pressure, in every state; bore growth by Lame."""
    at_rest = changed(drain, [("service.pressure", None)])
    pressed, free = (
        chains.pieces(chains.nominal(), ["gap", "open_side"])
        for chains in map(chains_of, (drain, at_rest))
    )
    grown = growth(drain, 1.5 * 1.0).radial_mm
    assert grown > 0.0
    assert pressed["gap"] - free["gap"] == pytest.approx(2 * grown, abs=1e-12)
    assert free["open_side"] - pressed["open_side"] == pytest.approx(grown, abs=1e-12)


def test_a_plug_against_one_side_loses_half_the_gap(sensor: bayonet.Design) -> None:
    chains = chains_of(cold_bench(sensor))
    middle, side = chains.nominal(), at(chains, seat=1.0)
    lost = one(chains, middle, "open_side") - one(chains, side, "open_side")
    assert lost == pytest.approx(one(chains, middle, "gap") / 2)


def test_swell_fills_the_gland(sensor: bayonet.Design) -> None:
    """By its share, at the highest temperature only."""
    full = [chains_of(changed(sensor, [("socket.seal.swell", share)])) for share in (0.0, 0.10)]
    rows = [chains.pieces(chains.nominal(), ["fill"])["fill"][:, 0] for chains in full]
    assert rows[1] / rows[0] == pytest.approx([1.0, 1.0, 1.10])


def test_axes_apart_in_a_lugs_direction(sensor: bayonet.Design) -> None:
    """Lugs 0.02 mm towards +x, tracks 0.015: at theta 30 the gap loses 0.005 cos 30."""
    chains = chains_of(cold_bench(sensor))
    point = at(chains, plug_axis_x=0.02, track_axis_x=0.015, plug_axis_y=-0.01, track_axis_y=0.004)
    gaps = chains.pieces(point, ["lug_radial"])["lug_radial"][:, 0]
    by_hand = [
        0.25 - 0.005 * math.cos(math.radians(t)) + 0.014 * math.sin(math.radians(t))
        for t in (lug.centre_deg for lug in sensor.plug.lugs)
    ]
    assert gaps == pytest.approx(by_hand, abs=1e-12)


def test_tilt_lifts_one_side(sensor: bayonet.Design) -> None:
    """A right hand locks 80 deg clockwise: a track's tilt counts where the lug stands then."""
    chains = chains_of(cold_bench(sensor))
    level = chains.pieces(chains.nominal(), ["axial_play"])["axial_play"][:, 0]
    plug = chains.pieces(at(chains, plug_tilt_x=0.04), ["axial_play"])["axial_play"][:, 0]
    track = chains.pieces(at(chains, track_tilt_y=0.02), ["axial_play"])["axial_play"][:, 0]
    angles = np.array([lug.centre_deg for lug in sensor.plug.lugs])
    assert plug - level == pytest.approx(
        math.radians(0.04) * 20.0 * np.cos(np.radians(angles)), abs=1e-9
    )
    assert track - level == pytest.approx(
        -math.radians(0.02) * 20.25 * np.sin(np.radians(angles - 80.0)), abs=1e-9
    )


def test_a_face_ring_under_play(vent: bayonet.Design) -> None:
    """Stop seating leaves the ring the cut and the play: 1 - (2 + play) / 2.6162."""
    loose = cold_bench(
        changed(vent, [("socket.seating", "stop"), ("socket.stop.overtravel_deg", None)])
    )
    chains = chains_of(loose)
    play = one(chains, chains.nominal(), "axial_play")
    assert play > 0.1
    assert one(chains, chains.nominal(), "squeeze") == pytest.approx(1 - (2.0 + play) / 2.6162)


def test_a_wrong_lead_as_the_free_region_has_it(vent: bayonet.Design) -> None:
    """Ramps of 9.05 mm/rev, true at the stop: polygons of those ramps become tight there."""
    design = cold_bench(vent)
    chains = chains_of(design)
    for error in (0.05, -0.05):
        tracks = tuple(
            dataclasses.replace(
                track,
                roof=tuple((a, d + error * (a - track.roof[-1][0]) / 360) for a, d in track.roof),
            )
            for track in design.socket.tracks
        )
        fitting = lay_out(design.plug.lugs, tracks, sign=design.socket.sign)
        furthest = analyse(fitting, end_deg=end_of(design.socket)).furthest_deg
        tight = design.plug.turn_deg + one(chains, at(chains, track_lead=error), "clocking")
        assert tight == pytest.approx(furthest, abs=2e-3)
        assert abs(furthest - design.plug.turn_deg) > 0.05, "the error shows"


def test_a_sloped_floor_is_deeper_at_the_lugs_tip(sensor: bayonet.Design) -> None:
    """45 deg: by as much as the tip lies inside the wall, 0.25 mm, and by its deviations."""
    chains = chains_of(cold_bench(changed(sensor, [("socket.track.floor_slope_deg", 45)])))
    design_gap = changed(sensor, [("socket.track.floor_slope_deg", 45)]).socket.clearance.floor_mm
    assert one(chains, chains.nominal(), "floor_gap") == pytest.approx(design_gap + 0.25)
    wide = {f"track_{i}_wall": 0.04 for i in (1, 2, 3)}
    gained = one(chains, at(chains, **wide), "floor_gap") - design_gap - 0.25
    assert gained == pytest.approx(0.02)
