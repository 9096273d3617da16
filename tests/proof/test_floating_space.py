"""Random designs, polarised and unequal ones among them, centred and floated: a few of many."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import float_referee

import bayonet
from bayonet.checks.motion import not_swept, swept_finding
from bayonet.checks.motion.proof import prove
from bayonet.jobs.design import Made
from bayonet.solids.fitting import sweep


def test_polygons_and_meshes_agree_on_random_designs() -> None:
    """The long run is a command: see `float_referee`."""
    designs, poses, against = float_referee.run(3, seed=5)
    assert designs == 3
    assert poses > 400
    assert not against


def test_what_make_writes_is_swept(made: dict[str, Made]) -> None:
    for one in made.values():
        found = next(f for f in one.result.findings if f.code == "motion.files")
        assert found.verdict == "pass"
        assert "pushed aside" in found.message


def test_files_that_are_not_the_design_are_found(made: dict[str, Made], tmp_path: Path) -> None:
    """The socket as written, the plug of a design with lugs 0.4 mm thicker than there is room."""
    one = made["level_sensor"]
    design, proof = one.result.design, one.result.proof
    for name in ("socket.stl", "plug.step"):
        (tmp_path / name).write_bytes((one.folder / name).read_bytes())
    lock = proof.nominal.furthest_deg
    wrong = sweep.sweep(tmp_path, design.plug, design.socket, proof, turned_deg=lock + 4.0)
    assert swept_finding(wrong).verdict == "fail"
    assert swept_finding(wrong).change


def test_a_wrong_proof_is_found(sensor: bayonet.Design, made: dict[str, Made]) -> None:
    """Told that the plug turns round another way, or holds less, the meshes say no."""
    proof = prove(sensor.plug, sensor.socket)
    assert proof.ways_round, "equal lugs lock every way round"
    claimed = dataclasses.replace(proof, ways_round=())
    found = sweep.sweep(
        made["level_sensor"].folder, sensor.plug, sensor.socket, claimed,
        turned_deg=proof.nominal.furthest_deg,
    )  # fmt: skip
    assert any(one.against and "other ways round" in one.what for one in found)
    assert not_swept("why").verdict == "open"
