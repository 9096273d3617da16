"""What a STEP file says to another program: names in any script, colours, one product a part."""

from __future__ import annotations

import re
from pathlib import Path

import cadquery as cq
import pytest

from bayonet.part21 import decoded, encoded, parsed
from bayonet.solids.graft import tank, tank_step
from bayonet.solids.kernel import StepHead, step

NAME = "Gärkeller 水 😀 \\ it's"
"""Two bytes, a sign beyond 16 bits, a backslash, an apostrophe."""

COLOUR = (0.66, 0.35, 0.13, 1.0)


@pytest.fixture(scope="module")
def block() -> cq.Solid:
    return cq.Solid.makeBox(30.0, 20.0, 10.0)


def test_strings_by_the_standards_own_examples() -> None:
    r"""ISO 10303-21:2016, 6.4.3.4 (from memory): 'see \X2\00A7\X0\ 4.1' is "see § 4.1"."""
    assert encoded("see § 4.1") == r"see \X2\00A7\X0\ 4.1"
    assert encoded("plain (ASCII), 'as it is' ~") == "plain (ASCII), 'as it is' ~"
    assert encoded("a\nb\x1b") == r"a\X2\000A\X0\b\X2\001B\X0" + "\\"


@pytest.mark.parametrize("text", [NAME, "\\X2\\00E4\\X0\\", "ä😀ä😀", "\\\\S\\d", "", "水" * 100])
def test_encoding_is_undone_by_decoding(text: str) -> None:
    coded = encoded(text)
    assert coded.isascii()
    assert coded.isprintable()
    assert decoded(coded) == text


def test_a_part_has_its_name_and_colour_for_any_reader(block: cq.Solid, tmp_path: Path) -> None:
    """In the file's text, for the kernel that wrote it is no witness."""
    file = tmp_path / "part.step"
    head = StepHead(product=NAME, description=NAME)
    step.write(block, file, head=head, colour=COLOUR)
    text = file.read_bytes()
    assert max(text) < 0x7F
    assert parsed(text.decode("latin-1")).damage == ()
    (product,) = re.findall(r"PRODUCT\(\s*'((?:[^']|'')*)'", text.decode("ascii"))
    assert decoded(product.replace("''", "'").replace("\n", "")) == NAME
    (colour,) = re.findall(r"COLOUR_RGB\(''((?:,[\d.]+)+)\)", text.decode("ascii"))
    meant = [_seen(share) for share in COLOUR[:3]]
    assert [float(one) for one in colour.split(",")[1:]] == pytest.approx(meant, abs=1e-3)


def _seen(linear: float) -> float:
    """Linear light as a screen's value (IEC 61966-2-1:1999, 5.2, from memory)."""
    return 1.055 * linear ** (1 / 2.4) - 0.055 if linear > 0.0031308 else 12.92 * linear


def test_a_tanks_names_come_back(block: cq.Solid, tmp_path: Path) -> None:
    file = tmp_path / "tank.step"
    solids = tuple(tank.TankSolid(name=name, solid=block.moved(cq.Location((x, 0, 0))))
                   for name, x in ((NAME, 0), ("Behälter", 50)))  # fmt: skip
    head = StepHead(product="t", description="t")
    tank_step.write(tank.Tank(file="", solids=solids), file, head=head)
    assert max(file.read_bytes()) < 0x7F
    again = tank.read(file).solids
    assert [one.name for one in again] == [NAME, "Behälter"]
    assert [round(one.solid.BoundingBox().xmin, 6) for one in again] == [0.0, 50.0]
