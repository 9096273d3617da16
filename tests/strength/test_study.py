"""Strength and torque of whole designs: by hand, at the ends of tables, and what moves how."""

from __future__ import annotations

import math
from typing import Any

import pytest

import bayonet
from bayonet.checks.motion.proof import prove
from bayonet.checks.run import bench_of, of_strength
from bayonet.errors import TableError
from bayonet.findings import Finding, Verdict
from bayonet.parts.design import changed
from bayonet.standards import friction, strength
from bayonet.standards.tables import rows
from bayonet.strength.study import StrengthStudy, strength_of


def study(design: bayonet.Design) -> StrengthStudy:
    return strength_of(design, None, bench_of(design, prove(design.plug, design.socket)))


def found(design: bayonet.Design, **service: Any) -> dict[str, Finding]:
    design = changed(design, [(f"service.{key}", value) for key, value in service.items()])
    return {f.code: f for f in of_strength(design, None, study(design))}


def by_key(got: StrengthStudy, key: str) -> Any:
    return next(mode for mode in got.modes if mode.key == key)


# ---- loads and stresses by hand ----------------------------------------------------------


def test_end_load_by_hand(sensor: bayonet.Design) -> None:
    """0.14 MPa on the sealing bore at its upper limit, half of 0.02 larger: p pi d^2 / 4."""
    got = study(sensor)
    across = 2 * (sensor.socket.seal_radius_mm or 0.0) + 0.02
    assert got.sealed_radius_mm == pytest.approx(across / 2)
    assert got.working_n == pytest.approx(0.14 * math.pi * across**2 / 4)
    assert got.proof_n == pytest.approx(1.5 * got.working_n)


def test_a_face_seal_is_pressed_to_its_outer_wall(vent: bayonet.Design) -> None:
    groove = vent.plug.groove
    got = study(vent)
    assert got.sealed_radius_mm == pytest.approx(
        groove.end_mm + groove.radius_zone_mm + groove.width_zone_mm
    )


def test_lug_stresses_by_hand(sensor: bayonet.Design) -> None:
    """One lug carries all: 1 MPa on 26.6 mm; three quarters of 10 mm under the roof.

    Thinnest lug 3.5 - 0.06 - 2 x 0.06 - 0.03 (both flanks move in), body radius 16 - 0.06. The plug
    pushed aside by half of 0.2 mm and the limits of bore and body, the axes 0.04 + 0.02 apart.
    """
    got = study(sensor)
    lug, step = sensor.plug.lugs[0], sensor.plug.lug_body
    force = math.pi * got.sealed_radius_mm**2
    thick = lug.thickness_mm - lug.zone.bearing_mm - lug.zone.leading_mm - 2 * lug.zone.ends_mm
    thick -= 2 * 6.0 * lug.zone.position_deg / 360  # of a lead of 6, its place off by that
    root = step.radius_mm - step.radius_zone_mm
    tip = lug.outer_radius_mm - lug.zone.outer_radius_mm
    bore = sensor.socket.track_bore_radius_mm
    slack = sensor.socket.limits.track_bore_mm / 2 + lug.zone.outer_radius_mm
    slack += 0.1 + sensor.socket.limits.track_bore_mm / 2 + step.radius_zone_mm + 0.06
    height = lug.outer_radius_mm - bore - slack
    arm = tip - height / 2 - root
    half = math.radians(float(lug.half.deg)) - lug.zone.side_mm / lug.outer_radius_mm
    half -= math.radians(lug.zone.position_deg)
    width = 2 * half * 0.75 * root
    share = float(got.shares.most.max()) if got.shares else 0.0
    bending = 6 * share * force * arm / (width * thick**2)
    shear = math.sqrt(3) * 1.5 * share * force / (width * thick)
    assert by_key(got, "lug_bending").per_mpa == pytest.approx(2.0 * bending, rel=1e-9)
    assert by_key(got, "lug_shear").per_mpa == pytest.approx(shear, rel=1e-9)


def test_hoop_by_hand(sensor: bayonet.Design) -> None:
    """Lame and von Mises of hoop, half the pull it makes, and -p, at the seal."""
    got = study(sensor)
    inner = got.sealed_radius_mm
    outer = sensor.socket.boss_radius_mm - 0.025
    hoop = (outer**2 + inner**2) / (outer**2 - inner**2)
    pull = inner**2 / (outer**2 - inner**2)
    von_mises = math.sqrt(((hoop - pull) ** 2 + (pull + 1) ** 2 + (hoop + 1) ** 2) / 2)
    assert by_key(got, "boss_hoop").per_mpa == pytest.approx(von_mises)


def test_where_the_fluid_fills_the_tracks(drain: bayonet.Design) -> None:
    mode = by_key(study(drain), "boss_hoop")
    assert "at the tracks" in mode.note


def test_allowed_and_given_by_hand(drain: bayonet.Design) -> None:
    """304 stainless: 205 MPa by ASTM A213 / 1.5, 93 % left at 45 deg C (EN 10028-7)."""
    body = study(drain).plug
    assert not isinstance(body, str)
    left = 1.0 + (0.748 - 1.0) * 25 / 80
    assert body.basis_mpa == pytest.approx(205 * left)
    assert body.working_mpa == pytest.approx(205 / 1.5 * left)
    assert body.proof_mpa == pytest.approx(205 / 1.05)
    assert body.notch == 1.0
    mode = by_key(study(drain), "lug_shear")
    assert mode.gives_way_mpa * mode.per_mpa == pytest.approx(body.basis_mpa)
    assert mode.allowed_mpa == pytest.approx(
        min(body.working_mpa, body.proof_mpa / 1.5) / mode.per_mpa
    )


# ---- what must move which way ------------------------------------------------------------


def test_more_pressure_fails_and_says_what_to_change(sensor: bayonet.Design) -> None:
    got = found(sensor, pressure="60 bar")["load.weakest"]
    assert got.verdict is Verdict.FAIL
    assert "lugs bend" in got.message
    assert "working pressure of at most" in got.change
    assert found(sensor)["load.weakest"].verdict is Verdict.PASS


def test_allowed_pressure_is_the_edge(drain: bayonet.Design) -> None:
    """Just below the pressure named as allowed everything passes, just above something fails."""
    weakest = study(drain).weakest
    assert weakest is not None
    edge = found(drain)["load.weakest"].value or 0.0
    assert edge == weakest.allowed_mpa
    below, above = (found(drain, pressure=f"{factor * edge:.6f} MPa") for factor in (0.97, 1.03))
    assert below["load.weakest"].verdict is Verdict.PASS
    assert above["load.weakest"].verdict is Verdict.FAIL
    assert any(f.verdict is Verdict.FAIL for c, f in above.items() if c != "load.weakest")


def test_a_thin_boss_is_mended_by_its_own_proposal(sensor: bayonet.Design) -> None:
    thin = changed(
        sensor,
        [("socket.wall", 1.0), ("service.pressure", "25 bar"), ("service.plug_strength", "900 MPa"),
         ("service.socket_strength", "80 MPa")],
    )  # fmt: skip
    got = {f.code: f for f in of_strength(thin, None, study(thin))}["load.boss_wall"]
    assert got.verdict is Verdict.FAIL
    assert got.mends[0][0] == "socket.wall"
    mended = changed(thin, got.mends)
    again = {f.code: f for f in of_strength(mended, None, study(mended))}["load.boss_wall"]
    assert again.verdict is Verdict.PASS
    less = changed(thin, [("socket.wall", float(got.mends[0][1] or 0.0) - 0.5)])
    short = {f.code: f for f in of_strength(less, None, study(less))}["load.boss_wall"]
    assert short.verdict is Verdict.FAIL


@pytest.mark.parametrize(
    ("field", "value", "key"),
    [
        ("socket.wall", 8.0, "boss_wall"),
        ("socket.wall", 8.0, "boss_hoop"),
        ("plug.lugs.thickness", 5.0, "lug_bending"),
        ("plug.lugs.thickness", 5.0, "lug_shear"),
        ("plug.lugs.bearing_depth", 6.5, "roof_bending"),
        ("plug.lugs.bearing_depth", 6.5, "roof_shear"),
        ("plug.lugs.width", "12 mm", "flank"),
    ],
)
def test_more_metal_holds_more(sensor: bayonet.Design, field: str, value: object, key: str) -> None:
    before, after = study(sensor), study(changed(sensor, [(field, value)]))
    assert by_key(after, key).gives_way_mpa > 1.05 * by_key(before, key).gives_way_mpa


def test_tilt_free_or_not(sensor: bayonet.Design) -> None:
    """Three lugs are determinate where the plug may tilt; tight in its bore one may carry all."""
    tight, loose = study(sensor), study(changed(sensor, [("socket.clearance.body", 0.6)]))
    assert tight.shares is not None
    assert loose.shares is not None
    assert not tight.shares.may_tilt
    assert tight.shares.most.max() > 0.9
    assert loose.shares.may_tilt
    assert loose.shares.most.max() == pytest.approx(1 / 3, abs=0.02)


# ---- where tables end --------------------------------------------------------------------


def test_heat_beyond_the_table_is_not_evaluated(sensor: bayonet.Design) -> None:
    got = found(sensor, highest_c=230)["load.weakest"]
    assert got.verdict is Verdict.OPEN
    assert "tabled to" in got.message


def test_plastic_in_heat_is_not_evaluated_and_creep_is_open(sensor: bayonet.Design) -> None:
    warm = found(sensor, plug_material="POM-C")["load.weakest"]
    assert warm.verdict is Verdict.OPEN
    cool = found(sensor, plug_material="POM-C", highest_c=25, pressure="0.5 bar")
    assert cool["load.weakest"].verdict is Verdict.PASS
    assert cool["load.creep"].verdict is Verdict.OPEN


def test_no_pressure_still_tells_what_is_allowed(sensor: bayonet.Design) -> None:
    got = found(sensor, pressure=None)["load.weakest"]
    assert got.verdict is Verdict.OPEN
    assert "give service.pressure" in got.message
    assert "MPa" in got.message


def test_printed_is_knocked_down_between_layers(sensor: bayonet.Design) -> None:
    """PLA: half across layers (from memory; additive.tools: 0.69); tensile 23.2 MPa the least."""
    printed = changed(
        sensor,
        [("socket.process", "printed"), ("service.socket_material", "PLA"),
         ("service.highest_c", 25), ("service.pressure", "0.3 bar")],
    )  # fmt: skip
    body = study(printed).socket
    assert not isinstance(body, str)
    assert (body.layers, body.basis_mpa) == (0.5, pytest.approx(11.6))
    got = {f.code: f for f in of_strength(printed, None, study(printed))}["print.strength"]
    assert "Do not pressurise" in got.message
    assert got.verdict is Verdict.FAIL, "whatever the formulas allow"
    assert "50 % of its strength" in got.message


def test_cast_and_plastic_count_a_notch(sensor: bayonet.Design) -> None:
    got = study(sensor)
    assert (got.plug.notch, got.socket.notch) == (2.0, 1.0)  # type: ignore[union-attr]


def test_a_weld_is_for_the_welder(drain: bayonet.Design) -> None:
    got = found(drain)["load.weld"]
    assert got.verdict is Verdict.OPEN
    assert "qualified welder" in got.message


# ---- handling ----------------------------------------------------------------------------


def test_torque_of_the_ring_by_hand(sensor: bayonet.Design) -> None:
    """Stop seating, radial ring: the lugs are free, the ring rubs at the sealing bore."""
    got = study(sensor)
    assert not isinstance(got.ring, str)
    assert not isinstance(got.turning, str)
    radius = sensor.socket.seal_radius_mm or 0.0
    least, most = got.ring.normal_n
    assert got.turning.lock[0] == pytest.approx(0.1 / 1.5 * least * radius / 1000)
    assert got.turning.lock[1] == pytest.approx(0.3 * most * radius / 1000)
    assert got.turning.unlock == got.turning.lock


def test_self_locking_needs_friction(vent: bayonet.Design) -> None:
    holds, slips = (
        found(vent, lug_friction=[mu, 0.3])["handling.self_locking"] for mu in (0.12, 0.05)
    )
    assert holds.verdict is Verdict.PASS
    assert slips.verdict is Verdict.FAIL
    assert slips.value == pytest.approx(
        math.degrees(math.atan(0.05)) - 4.01, abs=0.02
    )  # lead 9 on the middle of bore 36.8 and lug 45: atan(9 / (pi x 40.9)) = 4.01 deg
    mended = changed(vent, [("service.lug_friction", [0.05, 0.3]), *slips.mends])
    again = {f.code: f for f in of_strength(mended, None, study(mended))}["handling.self_locking"]
    assert again.verdict is Verdict.PASS


def test_more_hand_clamps_more_and_loads_the_lugs(vent: bayonet.Design) -> None:
    weak, strong = (
        study(changed(vent, [("service.hand_torque_nm", torque)])) for torque in (8.0, 16.0)
    )
    assert strong.clamp_n > weak.clamp_n > 0.0
    assert by_key(strong, "lug_shear").at_rest_mpa > by_key(weak, "lug_shear").at_rest_mpa


def test_a_hard_turn_asks_for_a_larger_grip(drain: bayonet.Design) -> None:
    small = changed(drain, [("service.hand_torque_nm", None), ("service.grip_diameter", 20.0)])
    got = {f.code: f for f in of_strength(small, None, study(small))}["handling.lock"]
    assert got.verdict is not Verdict.PASS
    assert "spanner" in got.change or "grip_diameter" in got.change


def test_detent_is_harder_than_plain_turning(drain: bayonet.Design) -> None:
    turning = study(drain).turning
    assert not isinstance(turning, str)
    assert turning.detent is not None
    assert turning.detent[1] > turning.lock[1]
    steep = study(changed(drain, [("socket.track.detent.flank_angle_deg", 40)])).turning
    assert not isinstance(steep, str)
    assert steep.detent is not None
    assert steep.detent[1] > turning.detent[1]


def test_opening_under_pressure_is_pointed_out(sensor: bayonet.Design) -> None:
    bare = changed(sensor, [("service.safeguard", None)])
    easy = found(bare)["handling.under_pressure"]
    assert easy.verdict is Verdict.FAIL
    assert "flies out" in easy.message
    assert "interlock" in easy.change


def test_unknown_friction_is_not_made_up(sensor: bayonet.Design) -> None:
    got = found(sensor, plug_material="PP", highest_c=25, lubrication="dry")["handling.torque"]
    assert got.verdict is Verdict.OPEN
    assert "give service.lug_friction" in got.message


# ---- tables ------------------------------------------------------------------------------


def test_tables_of_strength_agree_with_each_other() -> None:
    kinds = {row["material"] for row in rows("material_kinds")}
    assert kinds == {row["material"] for row in rows("materials")}
    known = {name for row in rows("friction") for name in (row["a"], row["b"])}
    for row in rows("material_kinds"):
        assert set(row["in_friction_table"].split("|")) <= known, row["material"]
        strength.safety(row["kind"])
    for row in rows("safety"):
        assert float(row["on_yield"]) <= float(row["on_ultimate"])
        assert 1.0 < float(row["on_yield_at_proof"]) < float(row["on_yield"])


def test_heat_only_takes_away() -> None:
    for name in dict.fromkeys(row["material"] for row in rows("derating")):
        shares = [float(r["share_of_yield"]) for r in rows("derating") if r["material"] == name]
        assert shares[0] == 1.0
        assert shares == sorted(shares, reverse=True)
    assert strength.left_by_heat("6061-T6", -40.0).value == 1.0
    with pytest.raises(TableError, match="tabled to 204"):
        strength.left_by_heat("6061-T6", 250.0)


@pytest.mark.parametrize(
    ("one", "other", "lubrication", "span", "source"),
    [
        (("steel",), ("steel",), "dry", (0.12, 0.80), "Lust Table 7.21; Roloff/Matek TB 4-1 a)"),
        (("steel",), ("steel",), "greased", (0.10, 0.35), "the same two"),
        (("brass nut",), ("steel thread",), "dry", (0.12, 1.35), "Shigley Table 8-5 and others"),
        (("aluminium",), ("aluminium",), "greased", (0.10, 0.35), "one source: all metals"),
        (("PA6.6", "PA"), ("PA6.6", "PA"), "dry", (0.04, 1.2), "Shackelford, Triboplast, Roloff"),
        (("POM",), ("steel",), "dry", (0.1, 0.62), "sliding only, one source: all on metal"),
    ],
)
def test_friction_rows(
    one: tuple[str, ...], other: tuple[str, ...], lubrication: str, span: tuple[float, float],
    source: str,
) -> None:  # fmt: skip
    got = friction.between(one, other, lubrication=lubrication)
    assert (got.least, got.most) == span, source
    assert friction.between(other, one, lubrication=lubrication) == got
    assert got.holds == pytest.approx(span[0] / 1.5)
    assert got.turns == span[1]


def test_one_printed_number_is_no_range(vent: bayonet.Design) -> None:
    """Greased aluminium is printed once, 0.3: its lead of 4.01 deg must not be called safe.

    Least of greased metals 0.10 (Roloff/Matek), 1.5 times less: atan 0.0667 = 3.81 deg.
    """
    metal = [("service.lug_friction", None), ("service.lubrication", "greased")]
    metal += [(f"service.{part}_material", "6061-T6") for part in ("plug", "socket")]
    one = changed(vent, metal)
    got = {f.code: f for f in of_strength(one, None, study(one))}
    held = got["handling.self_locking"]
    assert held.value == pytest.approx(math.degrees(math.atan(0.1 / 1.5)) - 4.01, abs=0.01)
    assert held.verdict is Verdict.FAIL
    assert "0.3" in held.source
    assert "Roloff" in held.source
    assert "0.0667 to 0.35" in got["handling.unlock"].message
