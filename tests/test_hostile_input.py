"""Input made to hurt: refused in words, in little time and memory."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

import bayonet
from bayonet.designfile import edited, lines_of
from bayonet.errors import BayonetError, DesignError, ScanError
from bayonet.parts.design import DEEPEST
from bayonet.scan.read import read

SENSOR = (Path(__file__).parents[1] / "examples" / "level_sensor.toml").read_text("utf-8")
MOST_SECONDS = 20.0


def refused(what: Callable[[], object], words: str) -> None:
    before = time.process_time()
    with pytest.raises(BayonetError, match=words) as caught:
        what()
    assert time.process_time() - before < MOST_SECONDS
    assert len(str(caught.value)) < 100_000


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("a = " + "[" * 5000 + "]" * 5000, "nested more than"),
        ("a = " + "{b = " * 400 + "1" + "}" * 400, "nested more than"),
        (".".join("a" * 200_000) + " = 1", "nested more than"),
        (".".join(['"a b"'] * 100_000) + " = 1", "nested more than"),
        (f"[{'.'.join('a' * 200_000)}]", "nested more than"),
        ("a = " + "9" * 50_000, "number too long"),
        (SENSOR + "".join(f"\n[x{n}]\ny = 1" for n in range(60_000)), "unknown key"),
        (SENSOR + "\n[printer]\nprofile = 'x\\u0000y'\n" * 1, ""),
        (SENSOR.replace('hand = "right"', 'hand = "' + "r" * 900_000 + '"'), "hand"),
        (SENSOR.replace("body = [", "body = [" + 12 * "{ diameter = 33, to_depth = 1 },"),
         "at most 12"),
        (SENSOR.replace("turn_deg = ", f"turn_deg = '1{' ' * 900_000}x' #"), "characters"),
    ],
    ids=["lists", "inline", "dots", "quoted dots", "header", "integer", "tables", "zero", "long",
         "steps", "spaces"],
)  # fmt: skip
def test_designs(text: str, words: str) -> None:
    if not words:
        assert bayonet.loads(text)
        return
    refused(lambda: bayonet.loads(text), words)


def test_lines_are_found_in_time_that_grows_with_the_text() -> None:
    text = "".join(f"[t{n}]\na = 1\n" for n in range(60_000))
    before = time.process_time()
    lines = lines_of(text)
    assert time.process_time() - before < MOST_SECONDS / 2
    assert lines["t59999", "a"] == 120_000


def test_five_deep_is_not_deep() -> None:
    assert DEEPEST > 5
    assert bayonet.loads(SENSOR)


HEAD = "ply\nformat ascii 1.0\nelement vertex {count}\n"
XYZ = "property float x\nproperty float y\nproperty float z\n"


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ((HEAD.format(count=1) + XYZ + "property float x\nend_header\n1 2 3 4\n").encode(),
         "twice"),
        ((HEAD.format(count="9" * 5000) + XYZ + "end_header\n1 2 3\n").encode(), "means nothing"),
        ((HEAD.format(count="inf") + XYZ + "end_header\n1 2 3\n").encode(), "means nothing"),
        ((HEAD.format(count="\u00b2") + XYZ + "end_header\n1 2 3\n").encode(), "means nothing"),
        ((HEAD.format(count=1) + XYZ + "element face 1\nproperty list float int v\nend_header\n"
          "1 2 3\n3 0 0 0\n").encode(), "not whole"),
        ((HEAD.format(count=1) + XYZ + "element face 1\nproperty list int int v\nend_header\n"
          "1 2 3\ninf 0 0 0\n").encode(), "makes no sense"),
        ((HEAD.format(count=3) + XYZ + "end_header\n1 2 3\n\n4 5 6\n7 8 9\n").encode(), "2 lines"),
        (b"v 1 2 3\n" * 600 + b"f\n", "fewer than three"),
        (b"v 1 2 3\n" * 600 + b"f \nf 1 2 3\n", "fewer than three"),
        (b"v 1 2 3\n" * 10 + b"f " + b"1 " * 400_000 + b"\n" + b"f 1 2 3\n" * 100_000, "points"),
        ("\u00b2\nx y z\n1 2 3\n".encode(), "points"),
        (b"1" * 60_000 + b"x\n1 2 3\n", "points"),
        (b"a" + b"_" * 60_000 + b"!\n1 2 3\n", "points"),
    ],
)  # fmt: skip
def test_scans(data: bytes, words: str, tmp_path: Path) -> None:
    file = tmp_path / "scan"
    file.write_bytes(data)
    refused(lambda: read(file), words)


def test_a_face_of_many_corners_is_a_fan(tmp_path: Path) -> None:
    """Vertices on a circle: n corners give n - 2 triangles about the first, by hand."""
    from bayonet.scan.read.files import raw_of

    turns = np.linspace(0, 6, 5)
    file = tmp_path / "fan.obj"
    rows = "".join(f"v {np.cos(t)} {np.sin(t)} 0\n" for t in turns)
    file.write_text(rows + "f 1 2 3 4 5\nf 2/1 3/2 4/3\n")
    triangles = raw_of(file).triangles
    assert triangles is not None
    assert triangles.tolist() == [[0, 1, 2], [0, 2, 3], [0, 3, 4], [1, 2, 3]]


def test_a_fault_is_no_scan_that_does_not_hang_together(monkeypatch: pytest.MonkeyPatch) -> None:
    from bayonet.scan import measure
    from bayonet.scan.read import ScanPoints

    def faulty(_: object) -> None:
        raise IndexError("a fault of ours")

    monkeypatch.setattr(measure, "sound", faulty)
    points = ScanPoints(xyz_mm=np.random.default_rng(0).random((600, 3)), name="scan")
    with pytest.raises(IndexError):
        measure.fit(points)


def test_a_scan_error_stays_one() -> None:
    from bayonet.scan import fit
    from bayonet.scan.read import ScanPoints

    with pytest.raises(ScanError):
        fit(ScanPoints(xyz_mm=np.random.default_rng(0).random((600, 3)) * 30, name="scan"))


def test_what_cannot_be_edited_is_said() -> None:
    with pytest.raises(DesignError, match="set it by hand"):
        edited("a = 1\n", {"a.b": 2})
