"""The Python interface: typed tables, round trips, variants, sweeps, pickles; no CAD kernel."""

from __future__ import annotations

import copy
import pickle
import subprocess
import sys
import tomllib
from pathlib import Path

import numpy as np
import pytest
from designs import designs
from hypothesis import HealthCheck, given, settings

import bayonet
from bayonet import tables

ROOT = Path(__file__).parents[2]


def rig(**lugs: object) -> bayonet.Design:
    """The sampling valve of a lab plant, in Python."""
    usual = {
        "count": 3, "width": 9.0, "outer_diameter": 36.0, "thickness": 3.5, "bearing_depth": 5.0,
        "lead": 6.0,
    }  # fmt: skip
    return bayonet.design(
        head=tables.design_head(name="Sampling valve"),
        plug=tables.plug(
            hand="right",
            shoulder_diameter=46.0,
            turn_deg=80,
            body=[
                tables.body_step(diameter={"readings": [28.01, 27.99, 28.02]}, to_depth=13),
                tables.body_step(diameter=22.3, to_depth=24),
            ],
            lugs=tables.lugs(**{**usual, **lugs}),  # type: ignore[arg-type]
            groove=tables.groove(diameter="18.4 mm", at_depth=16.5, width=3.6),
        ),
        socket=tables.socket(process="machined", seal=tables.seal(ring_section=2.62)),
    )


def test_tables_are_what_a_file_of_the_same_content_gives() -> None:
    text = """
        [design]
        name = "Sampling valve"
        [plug]
        hand = "right"
        shoulder_diameter = 46
        turn_deg = 80
        body = [{ diameter = { readings = [28.01, 27.99, 28.02] }, to_depth = 13 },
                { diameter = 22.3, to_depth = 24 }]
        [plug.lugs]
        count = 3
        width = 9
        outer_diameter = 36
        thickness = 3.5
        bearing_depth = 5
        lead = 6
        [plug.groove]
        diameter = "18.4 mm"
        at_depth = 16.5
        width = 3.6
        [socket]
        process = "machined"
        [socket.seal]
        ring_section = 2.62
        """
    assert rig() == bayonet.loads(text)


def test_a_wrong_table_says_what_the_file_would_say() -> None:
    """Both problems at once, at the place they have in a file, with the rule."""
    with pytest.raises(bayonet.DesignError) as caught:
        rig(count=1, thickness=-3.0)
    found = {one.field: one for one in caught.value.problems}
    assert set(found) == {"plug.lugs.count", "plug.lugs.thickness"}
    assert found["plug.lugs.thickness"].rule == "must be more than 0 mm"
    assert found["plug.lugs.thickness"].value == "-3.0"
    with pytest.raises(bayonet.DesignError, match=r"plug\.body"):
        tables.body_step(diameter=0.0, to_depth=3.0)


@pytest.mark.parametrize("name", ["level_sensor", "irrigation_drain", "brewery_vent"])
def test_toml_gives_the_design_again(name: str) -> None:
    design = bayonet.load(ROOT / "examples" / f"{name}.toml")
    text = design.to_toml()
    assert tomllib.loads(text)["design"]["name"] == design.name
    again = bayonet.loads(text)
    assert again == design
    assert again.to_toml() == text


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(designs())
def test_random_designs_come_back_from_toml_and_pickle(raw: dict[str, object]) -> None:
    try:
        design = bayonet.from_mapping(raw)
    except bayonet.DesignError:
        return
    assert bayonet.loads(design.to_toml()) == design
    assert pickle.loads(pickle.dumps(design)) == design


def test_the_callers_mapping_is_not_kept() -> None:
    raw = tomllib.loads(bayonet.starting_file())
    before = copy.deepcopy(raw)
    design = bayonet.from_mapping(raw)
    assert raw == before
    raw["plug"]["lugs"]["count"] = 7
    raw["plug"]["body"][0]["diameter"] = 1.0
    assert design.to_toml() == bayonet.from_mapping(before).to_toml()
    assert design.with_({"socket.wall": 5.0}).spec.plug.lugs.count == 3


def test_fields_of_lists_and_whole_tables_are_set_anew() -> None:
    design = rig()
    assert design.with_({"plug.body.1.diameter": 22.4}).plug.body[1].radius_mm == 11.2
    assert design.with_(socket=tables.socket(process="printed")).socket.process == "printed"
    assert design.with_({"service.highest_c": 60.0}).spec.service.highest_c == 60.0
    assert design.with_({"plug.lugs.lead": None}).spec.plug.lugs.lead is None
    for path in ("plug.body.2.diameter", "plug.body.x.diameter", "plug.hand.x", "plug.lug.count"):
        with pytest.raises(bayonet.DesignError):
            design.with_({path: 1.0})
    assert design == rig()


def test_results_are_asked_by_code_and_can_be_pickled() -> None:
    result = bayonet.check(rig())
    squeeze = result["seal.squeeze"]
    assert squeeze.code == "seal.squeeze"
    with pytest.raises(KeyError, match=r"seal\.squeeze"):
        result["seal.sqeeze"]
    again = pickle.loads(pickle.dumps(result))
    assert again.findings == result.findings
    chains = result.study.chains
    assert np.array_equal(again.study.chains.nominal(), chains.nominal())
    deviations = np.full((len(chains.variables), 3), 0.01)
    for key, rows in chains.pieces(deviations, chains.keys).items():
        assert np.array_equal(again.study.chains.pieces(deviations, chains.keys)[key], rows)


def test_a_sweep_is_every_combination_each_as_a_check_of_its_own() -> None:
    found = bayonet.sweep(rig(), {"plug.lugs.count": [3, 9], "socket.wall": [4.0, 6.0]})
    assert [row.verdict == "refused" for row in found] == [False, False, True, True]
    alone = bayonet.check(rig().with_({"socket.wall": 6.0}))
    assert found.rows[1].findings == {one.code: alone[one.code] for one in alone.findings}
    table = found.table("seal.squeeze", "seal.squeeze.margin", "motion.enters.verdict")
    assert table["yield_share"][1] == alone.study.joint_yield
    assert table["plug.lugs.count"].tolist() == [3, 3, 9, 9]
    assert table["seal.squeeze"][1] == alone["seal.squeeze"].value
    assert np.isnan(table["seal.squeeze.margin"][2])
    assert table["motion.enters.verdict"][3] == ""
    assert "plug.lugs.count" in found.rows[2].problem
    with pytest.raises(ValueError, match="0 combinations"):
        bayonet.sweep(rig(), {"socket.wall": []})


def test_types_take_plain_numbers_and_find_misspellings(tmp_path: Path) -> None:
    """By mypy, as a user's own file: without the plug-in this repository uses."""
    script = tmp_path / "user.py"
    script.write_text(
        "from bayonet import tables\n"
        "tables.body_step(diameter=32.0, to_depth='13 mm')\n"
        "tables.body_step(diameter={'value': 32.0, 'u': 0.01}, to_depth=13)\n"
        "tables.body_step(diametre=32.0, to_depth=13)\n"
        "tables.plug(hand='up')\n",
        "utf-8",
    )
    (tmp_path / "mypy.ini").write_text("[mypy]\n", "utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "mypy", "--config-file", "mypy.ini", "user.py"],
        cwd=tmp_path, capture_output=True, text=True, env={"MYPYPATH": str(ROOT), "PATH": ""},
        check=False,
    )  # fmt: skip
    wrong = {line.split(":")[1] for line in done.stdout.splitlines() if "user.py:" in line}
    assert wrong == {"4", "5"}, done.stdout


def test_everything_promised_is_there_and_loads_no_kernel() -> None:
    code = (
        "import sys, bayonet\n"
        "assert all(hasattr(bayonet, name) for name in bayonet.__all__)\n"
        "assert sorted(bayonet.__all__) == bayonet.__all__\n"
        "assert all(hasattr(bayonet.tables, name) for name in bayonet.tables.__all__)\n"
        "bayonet.sweep(bayonet.loads(bayonet.starting_file()), {'socket.wall': [4.0]})\n"
        "assert not {'cadquery', 'OCP', 'matplotlib'} & set(sys.modules)\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True, cwd=ROOT)


def test_a_design_gives_solids_an_assembly_takes() -> None:
    import cadquery as cq

    from bayonet import solids

    design = rig()
    whole = cq.Assembly().add(solids.socket(design), name="socket").add(solids.plug(design))
    assert whole.toCompound().isValid()
    assert solids.socket(design).Volume() == solids.socket(design.socket).Volume()
