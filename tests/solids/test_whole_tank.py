"""A tank is whole or refused: what a file declares, counted in its text, against the kernel's."""

from __future__ import annotations

import re
from pathlib import Path

import cadquery as cq
import pytest
import tanks

from bayonet.checks.tank import graft as judge
from bayonet.errors import TankError
from bayonet.part21 import parsed
from bayonet.solids.graft import tank


@pytest.fixture(scope="module")
def plant(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A hollow box (outer skin and a hollow) and a bracket that stands there twice."""
    file = tmp_path_factory.mktemp("plant") / "plant.step"
    whole = cq.Assembly(name="plant")
    whole.add(tanks.box(), name="vessel")
    stand = cq.Assembly(name="stand", loc=cq.Location(cq.Vector(400, 0, 0)))
    bracket = cq.Workplane().box(20, 30, 40)
    stand.add(bracket, name="left", loc=cq.Location(cq.Vector(0, 100, 0)))
    stand.add(bracket, name="right", loc=cq.Location(cq.Vector(0, -100, 0)))
    whole.add(stand)
    whole.export(str(file), exportType="STEP")
    return file.read_text("latin-1")


def spoilt(text: str, kind: str, tmp_path: Path) -> Path:
    """The file with the first entity of a kind turned to garbage."""
    file = tmp_path / "spoilt.step"
    file.write_text(re.sub(rf"= {kind}\(", "@@ garbage @@ (", text, count=1), "latin-1")
    assert file.read_text("latin-1") != text
    return file


def test_a_whole_file_is_counted_right(plant: str, tmp_path: Path) -> None:
    """By hand: box 1 solid of 2 shells (10 faces each), two brackets of 6 faces."""
    file = tmp_path / "plant.step"
    file.write_text(plant, "latin-1")
    found = parsed(plant)
    assert found.damage == ()
    assert not list(found.loose_ends())
    counted = found.counted()
    assert (counted.solids, counted.shells, counted.faces) == (3, 4, 20 + 2 * 6)
    read = tank.read(file)
    assert read.damage == read.surfaces == ()
    assert [len(one.solid.Faces()) for one in read.solids] == [20, 6, 6]


@pytest.mark.parametrize(
    "kind",
    ["ADVANCED_FACE", "CLOSED_SHELL", "ORIENTED_CLOSED_SHELL", "BREP_WITH_VOIDS",
     "MANIFOLD_SOLID_BREP", "NEXT_ASSEMBLY_USAGE_OCCURRENCE", "SHAPE_DEFINITION_REPRESENTATION",
     "CONTEXT_DEPENDENT_SHAPE_REPRESENTATION", "ITEM_DEFINED_TRANSFORMATION", "PRODUCT",
     "VERTEX_POINT", "LINE"],
)  # fmt: skip
def test_no_entity_goes_missing_in_silence(plant: str, kind: str, tmp_path: Path) -> None:
    with pytest.raises(TankError, match=r"not a statement: #\d+ @@ garbage @@"):
        tank.read(spoilt(plant, kind, tmp_path))


@pytest.mark.parametrize("kind", ["MANIFOLD_SOLID_BREP", "ORIENTED_CLOSED_SHELL"])
def test_a_statement_left_out_is_named_by_what_needed_it(
    plant: str, kind: str, tmp_path: Path
) -> None:
    file = tmp_path / "short.step"
    file.write_text(re.sub(rf"#\d+ = {kind}\([^;]*;\n", "", plant, count=1), "latin-1")
    with pytest.raises(TankError, match=r"names #\d+, which is not there"):
        tank.read(file)


def test_a_bracket_cut_out_with_all_that_names_it_is_missed(plant: str, tmp_path: Path) -> None:
    """References mended by the vandal too: the solid is there and belongs to no part."""
    number = re.search(r"#(\d+) = MANIFOLD_SOLID_BREP", plant)
    assert number is not None
    text = re.sub(rf"(SHAPE_REPRESENTATION\([^;]*),#{number[1]}\b", r"\1", plant)
    text = re.sub(rf"(SHAPE_REPRESENTATION\('',\()#{number[1]},", r"\1", text)
    assert text != plant
    file = tmp_path / "orphan.step"
    file.write_text(text, "latin-1")
    with pytest.raises(TankError, match="belongs to no part"):
        tank.read(file)


def test_a_face_the_kernel_cannot_make_is_missed(plant: str, tmp_path: Path) -> None:
    """A keyword no schema has: the text is in order, the kernel drops the face."""
    file = tmp_path / "unknown.step"
    file.write_text(plant.replace("= ADVANCED_FACE(", "= ADVANCED_FOCE(", 1), "latin-1")
    with pytest.raises(TankError, match="ADVANCED_FOCE: "):
        tank.read(file)
    accepted = tank.read(file, accept_damaged=True)
    assert any("32 faces, the kernel made" in one for one in accepted.damage)


@pytest.mark.parametrize(("by_mm", "is_seen"), [(0.12, True), (0.01, False)])
def test_a_corner_beside_its_edges_is_seen(
    plant: str, by_mm: float, is_seen: bool, tmp_path: Path
) -> None:
    """One number wrong: the corner is half of it beside where three faces meet, or more."""
    corner = re.search(r"VERTEX_POINT\('',#(\d+)\)", plant)
    assert corner is not None
    place = re.search(rf"#{corner[1]} = CARTESIAN_POINT\('',\(([^,]+),", plant)
    assert place is not None
    wrong = f"{float(place[1]) + by_mm:.6f}"
    file = tmp_path / "corner.step"
    file.write_text(plant[: place.start(1)] + wrong + plant[place.end(1) :], "latin-1")
    if is_seen:
        with pytest.raises(TankError, match="leave a gap"):
            tank.read(file)
    else:
        assert tank.read(file).damage == ()


def test_an_end_cut_off_is_seen(plant: str, tmp_path: Path) -> None:
    file = tmp_path / "cut.step"
    file.write_text(plant[: int(0.98 * len(plant))], "latin-1")
    with pytest.raises(TankError, match="the end is missing"):
        tank.read(file)


def test_a_unit_that_is_gone_is_not_taken_for_mm(plant: str, tmp_path: Path) -> None:
    file = tmp_path / "unit.step"
    file.write_text(plant.replace("( LENGTH_UNIT()", "( LONGTH_UNIT()", 1), "latin-1")
    assert "LONGTH_UNIT" in file.read_text("latin-1")
    with pytest.raises(TankError, match=r"unit of length is not told|LONGTH_UNIT"):
        tank.read(file)


def test_names_hold_no_control_characters(plant: str, tmp_path: Path) -> None:
    file = tmp_path / "names.step"
    coded = plant.replace("'vessel'", r"'Beh\X2\00E4\X0\lter \X\1B[2J'")
    file.write_text(coded, "latin-1")
    assert tank.read(file).solids[0].name == "Behälter [2J"


def test_files_of_other_writers_are_whole(tmp_path: Path) -> None:
    """AP214 from cadquery, and one in inches: nothing of them counts as damage."""
    one, inch = tmp_path / "one.step", tmp_path / "inch.step"
    cq.exporters.export(cq.Workplane(obj=tanks.free_form()), str(one))
    tanks.in_inches(tanks.vessel(), inch)
    for file in (one, inch):
        assert tank.read(file).damage == ()


def test_what_is_missing_or_left_out_is_a_finding() -> None:
    """Damage that was accepted still fails; a surface body is only pointed at; else nothing."""
    assert judge.whole((), ()) == ()
    damage, surfaces = judge.whole(("face #7", "face #9"), ("label",))
    assert (damage.code, damage.verdict, damage.value) == ("graft.whole", "fail", 2)
    assert "face #7" in damage.message
    assert (surfaces.code, surfaces.verdict, surfaces.value) == ("graft.surfaces", "look", 1)
    assert "label" in surfaces.message
    assert damage.change
    assert surfaces.change
