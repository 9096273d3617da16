"""A plug's chains against the free region of the developed plane, part by part, and by hand."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
from designs import as_drawn
from scipy.optimize import linprog
from shapely.geometry import LineString

import bayonet
from bayonet.checks.motion.proof import end_of, motion_of
from bayonet.developed.fitting import lay_out
from bayonet.developed.motion import Motion, analyse
from bayonet.parts.design import changed
from bayonet.parts.socket import Socket
from bayonet.tolerance.chains.chain import ChainSet
from bayonet.tolerance.fitting.deviations import deviations_of
from bayonet.tolerance.fitting.requirements import chains_of

PAIRS = 6
NOT_IN_THE_PLANE = ("tilt", "axis", "lead", "seat", "ring", "groove", "body", "nose", "detent")


def one(chains: ChainSet, point: np.ndarray, key: str) -> float:
    return float(chains.values(point)[key][0])


def cold_bench(design: bayonet.Design) -> bayonet.Design:
    """Without temperatures and pressure: chains as measured."""
    return changed(
        design,
        [("service.lowest_c", None), ("service.highest_c", None), ("service.pressure", None)],
    )


def part_of(design: bayonet.Design, point: np.ndarray) -> tuple[bayonet.Design, Socket]:
    """The plug and socket with the deviations of one point put into their shapes."""
    known = deviations_of(design)

    def off(name: str) -> float:
        found = known.of(name, point)
        return float(found[0]) if isinstance(found, np.ndarray) else float(found)

    lugs = []
    for i, lug in enumerate(design.plug.lugs, 1):
        bearing = lug.bearing_depth_mm + off(f"lug_{i}_bearing_depth")
        half = lug.half.grown(off(f"lug_{i}_width") / 2, at_radius_mm=lug.outer_radius_mm)
        lugs.append(
            dataclasses.replace(
                lug.reshaped(
                    half=half,
                    bearing_depth_mm=bearing,
                    thickness_mm=lug.thickness_mm + off(f"lug_{i}_thickness"),
                ),
                centre_deg=lug.centre_deg + design.socket.sign * off(f"lug_{i}_position"),
            )
        )
    tracks = []
    for i, track in enumerate(design.socket.tracks, 1):
        turned = off(f"track_{i}_slot_position")
        wide = track.slot.grown(
            off(f"track_{i}_slot_width") / 2, at_radius_mm=track.outer_radius_mm
        )
        # the slot's middle moves, roof, floor and stop stay: they are measured from its nominal
        tracks.append(
            dataclasses.replace(
                track,
                slot=wide.turned(turned),
                end=track.end.turned(off(f"track_{i}_stop")),
                roof=tuple((a, d + off(f"track_{i}_roof")) for a, d in track.roof),
                floor=tuple((a, d + off(f"track_{i}_floor")) for a, d in track.floor),
            )
        )
    plug = dataclasses.replace(design.plug, lugs=tuple(lugs))
    socket = dataclasses.replace(design.socket, tracks=tuple(tracks))
    return dataclasses.replace(design, plug=plug), socket


def plane(design: bayonet.Design, point: np.ndarray) -> Motion:
    made, socket = part_of(design, point)
    fitting = lay_out(made.plug.lugs, socket.tracks, sign=socket.sign)
    return analyse(fitting, end_deg=end_of(socket))


def points(chains: ChainSet, *still: str) -> list[np.ndarray]:
    """Random parts within the limits; only what the developed plane knows may deviate."""
    source = np.random.default_rng(11)
    found = []
    for _ in range(PAIRS):
        point = np.array(
            [
                [0.0 if any(word in v.key for word in (*NOT_IN_THE_PLANE, *still)) else
                 v.half_width * source.uniform(-1, 1)]
                for v in chains.variables
            ]
        )  # fmt: skip
        found.append(point)
    return found


def test_play_and_stop_of_random_parts_as_the_free_region_has_them(
    sensor: bayonet.Design, drain: bayonet.Design
) -> None:
    """The second engine: polygons of the same parts. Helical lugs, and parallel with detent."""
    for design in map(cold_bench, (as_drawn(sensor), as_drawn(drain))):
        chains = chains_of(design)
        for point in points(chains):
            motion = plane(design, point)
            assert one(chains, point, "axial_play") == pytest.approx(motion.play_mm, abs=2e-4)
            stop = end_of(design.socket) + one(chains, point, "clocking")
            assert stop == pytest.approx(motion.furthest_deg, abs=2e-4)
        if design is not sensor and design.socket.detent_height_mm:
            assert one(chains, point, "angular_play") == pytest.approx(motion.back_deg, abs=2e-3)
            assert one(chains, point, "detent_hold") == pytest.approx(motion.hold_mm, abs=2e-3)


def test_tight_angle_of_random_parts_as_the_free_region_has_it(vent: bayonet.Design) -> None:
    design = cold_bench(vent)
    chains = chains_of(design)
    for point in points(chains):
        tight = design.plug.turn_deg + one(chains, point, "clocking")
        assert tight == pytest.approx(plane(design, point).furthest_deg, abs=2e-3)


def test_side_gap_is_half_the_free_turn_in_the_slots(sensor: bayonet.Design) -> None:
    """The entry channel of the free region is as wide as the least two gaps together.

    The bodies fill their bores here, so that the plug stands in the middle as the plane has it.
    """
    design = cold_bench(sensor)
    chains = chains_of(design)
    body = [i for i, v in enumerate(chains.variables) if v.key.startswith("body_")]
    thick = [i for i in body if chains.variables[i].key.endswith("_diameter")]
    for point in points(chains, "slot_position")[:3]:
        point[body] = 0.0
        point[thick] = 1.0
        region = plane(design, point).region
        piece = region.piece_at(0.0, 4.95, within=1e-6)
        assert piece is not None
        # lifted so that every lug is in its slot, above the roofs
        across = piece.intersection(LineString([(-50.0, 4.95), (50.0, 4.95)])).bounds
        wide = math.radians((across[2] - across[0]) / 2) * 20.0
        assert one(chains, point, "slot_side") == pytest.approx(wide, abs=1e-6)


def best_side_gap(design: bayonet.Design, point: np.ndarray) -> float:
    """Greatest least side gap over every turn and shift of the plug, by linear programming.

    Unknowns: the gap, the turn [mm of arc at 20 mm], the shift of the body within a 24-gon about
    the free circle of each step. Each side of a lug is a plane 20 mm out
    whose normal stands square to it.
    """
    known, chains = deviations_of(design), chains_of(design)

    def off(name: str) -> float:
        return float(np.ravel(known.of(name, point))[0])

    rows, rooms, sign = [], [], design.socket.sign
    ex = off("plug_axis_x") - off("track_axis_x")
    ey = off("plug_axis_y") - off("track_axis_y")
    for i, (lug, track) in enumerate(zip(design.plug.lugs, design.socket.tracks, strict=True), 1):
        wide = (off(f"track_{i}_slot_width") / 20.25 - off(f"lug_{i}_width") / 20.0) / 2
        room = math.radians(track.slot.deg - lug.half.deg) * 20.0 + wide * 20.0
        ahead = math.radians(off(f"lug_{i}_position") - off(f"track_{i}_slot_position")) * 20.0
        for side in (1.0, -1.0):
            normal = math.radians(lug.centre_deg + side * sign * (90.0 + lug.half.deg))
            nx, ny = math.cos(normal), math.sin(normal)
            rows.append([1.0, side, nx, ny])
            rooms.append(room - side * ahead - nx * ex - ny * ey)
    gaps = chains.pieces(point, ["body_radial", "body_in_seal"])
    bx, by = (off(f"body_2_axis_{axis}") - off(f"seal_axis_{axis}") for axis in "xy")
    for key, x, y in (("body_radial", 0.0, 0.0), ("body_in_seal", bx, by)):
        free = max(0.0, float(np.min(gaps[key])))
        for turn in np.radians(np.arange(0, 360, 15)):
            rows.append([0.0, 0.0, math.cos(turn), math.sin(turn)])
            rooms.append(
                free / math.cos(math.radians(7.5)) - x * math.cos(turn) - y * math.sin(turn)
            )
    found = linprog([-1.0, 0.0, 0.0, 0.0], A_ub=rows, b_ub=rooms, bounds=[(None, None)] * 4)
    return -float(found.fun)


def test_the_plug_finds_its_way_no_better_than_it_can(sensor: bayonet.Design) -> None:
    """Against the best of all turns and shifts: never more.

    Less by no more than errors of position, 0.15 + 0.1 deg, and steps out of line, 0.04 + 0.01, may
    be evened out or lie in another direction.
    """
    design = cold_bench(changed(sensor, [("plug.spread.coaxiality", 0.3)]))
    chains = chains_of(design)
    source = np.random.default_rng(8)
    for _ in range(40):
        share = source.uniform(-1, 1, size=len(chains.variables))
        point = np.array([[v.half_width * s] for v, s in zip(chains.variables, share, strict=True)])
        point[[v.key == "seat" for v in chains.variables]] = 0.0
        best = best_side_gap(design, point)
        got = one(chains, point, "slot_side")
        assert best - 0.087 - 0.05 <= got <= best + 1e-3


def test_nominal_chains_by_hand(sensor: bayonet.Design) -> None:
    """Clearances as the process gives them; ring -118 at 20 % squeeze.

    Side: limits 0.025 and 0.03, 0.15 + 0.1 deg at 20 mm, axes 0.04 + 0.02 apart, step and sealing
    bore out of line by 0.04 and 0.01, 0.02 spare: 0.273, rounded up.
    The body may be pushed 0.1 mm aside, which takes as much of the overlap.
    """
    chains = chains_of(cold_bench(as_drawn(sensor)))
    values = {key: float(v[0]) for key, v in chains.values(chains.nominal()).items()}
    assert values["lug_radial"] == pytest.approx(0.25)
    assert values["body_radial"] == pytest.approx(0.1)
    assert values["axial_play"] == pytest.approx(0.2)
    assert values["floor_gap"] == pytest.approx(0.3)
    assert values["slot_side"] == pytest.approx(0.28)
    assert values["squeeze"] == pytest.approx(0.2)
    assert values["lug_overlap"] == pytest.approx(20.0 - 16.1 - 0.1)


def test_heat_by_hand(sensor: bayonet.Design) -> None:
    """Plug of A356 (21.4e-6), socket of 6061 (23.6e-6): at 110 deg C, 90 K warmer.

    Lug to wall: 20.25 (1 + 23.6e-6 90) - 20 (1 + a 90) with the table's a of the plug.
    """
    from bayonet.standards.materials import material

    plug, socket = material("A356-T6").expansion_per_k, material("6061-T6").expansion_per_k
    assert plug is not None
    assert socket is not None
    hot = changed(sensor, [("service.lowest_c", None)])
    gap = 20.25 * (1 + socket * 90) - 20.0 * (1 + plug * 90)
    chains = chains_of(hot)
    assert one(chains, chains.nominal(), "lug_radial") == pytest.approx(min(gap, 0.25))


def test_what_must_move_which_way(sensor: bayonet.Design) -> None:
    """More of a clearance is more of its chain, one for one."""
    rows = (
        ("lug_radial", "lug_radial", 1.0),
        ("body", "body_radial", 0.5),
        ("axial", "axial_play", 1.0),
        ("floor", "floor_gap", 1.0),
        ("lug_side", "slot_side", 1.0),
    )
    for field, key, slope in rows:
        before, after = (
            cold_bench(changed(sensor, [(f"socket.clearance.{field}", value)]))
            for value in (0.19, 0.22)
        )
        values = [chains_of(d).values(chains_of(d).nominal())[key][0] for d in (before, after)]
        assert values[1] - values[0] == pytest.approx(0.03 * slope, abs=1e-3), key


def test_uncertainty_is_shared_and_production_is_not(sensor: bayonet.Design) -> None:
    """Three flanks, one measured depth: three production variables, one uncertainty."""
    known = deviations_of(sensor)
    rows = [set(known.terms[f"lug_{i}_bearing_depth"]) for i in (1, 2, 3)]
    shared = rows[0] & rows[1] & rows[2]
    assert [known.variables[r].key for r in shared] == ["uncertainty:lugs.bearing_depth"]
    assert all(len(r) == 2 for r in rows)
    assert known.variables[shared.pop()].u == pytest.approx(0.015)


def test_correlation_of_two_uncertainties_from_one_fit(sensor: bayonet.Design) -> None:
    """R = -1 nearly: what deepens the bearing flank thins the lug, the leading flank stays."""
    pair = {"between": ["lugs.bearing_depth", "lugs.thickness"], "r": -0.999}
    both = changed(
        cold_bench(sensor),
        [("plug.lugs.thickness", {"value": 3.5, "u": 0.015}), ("plug.correlation", [pair])],
    )
    alone = changed(both, [("plug.correlation", None)])
    from bayonet.tolerance.chains.first_order import first_order

    tight, wide = (first_order(chains_of(d))["floor_gap"].sd for d in (both, alone))
    assert tight**2 == pytest.approx(wide**2 - 2 * 0.015**2, abs=2e-6)


def test_worst_corners_hold_the_worst_polygons(example: bayonet.Design) -> None:
    """Corners know tilt and heat besides: never inside the proof's own worst pair."""
    if example.socket.seating != "stop":
        return
    chains = chains_of(example)
    from bayonet.tolerance.chains.corners import worst_cases

    worst = worst_cases(chains)["axial_play"]
    assert worst.low <= motion_of(example.plug, example.socket, "tightest").play_mm + 0.01
