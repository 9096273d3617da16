"""Files that are no scan of a plug, by the command: exit 2, one clear error, nothing written."""

from __future__ import annotations

import tracemalloc
from collections.abc import Callable
from pathlib import Path

import evaluate
import generator_files as write
import generator_scan as s
import numpy as np
import pytest
from click.testing import CliRunner, Result
from scipy.spatial.transform import Rotation
from test_fit import _sensor

from bayonet.cli import main

HUGE = 4_000_000_000


def _points(count: int = 4_000) -> np.ndarray:
    return np.random.default_rng(0).uniform(-20.0, 20.0, (count, 3))


def _part(count: int = 8_000) -> np.ndarray:
    scan = s.scan(_sensor(), s.Nuisance(noise=0.02), points=count, seed=1)
    return evaluate.as_points(scan).xyz_mm


def _cut(path: Path, share: float) -> Path:
    path.write_bytes(path.read_bytes()[: int(share * path.stat().st_size)])
    return path


def _triangles(count: int) -> np.ndarray:
    return np.arange(3 * (count // 3)).reshape(-1, 3)


def _truncated_stl(f: Path) -> Path:
    return _cut(write.stl(f / "a.stl", _points(), _triangles(4_000)), 0.6)


def _truncated_text_stl(f: Path) -> Path:
    return _cut(write.stl_text(f / "a.stl", _points(), _triangles(4_000)), 0.6)


def _truncated_ply(f: Path) -> Path:
    return _cut(write.ply(f / "a.ply", _part()), 0.6)


def _with(value: float) -> Callable[[Path], Path]:
    def made(f: Path) -> Path:
        xyz = _part()
        xyz[17, 1] = value
        return write.ply(f / "a.ply", xyz)

    return made


def _empty(f: Path) -> Path:
    (f / "a.stl").write_bytes(b"")
    return f / "a.stl"


def _missing(f: Path) -> Path:
    return f / "a.stl"


def _coplanar(f: Path) -> Path:
    xyz = _points() * [1, 1, 0]
    return write.ply(f / "a.ply", xyz @ Rotation.from_euler("xy", [0.4, 0.9]).as_matrix())


def _box(f: Path) -> Path:
    xyz = _points()
    worst = np.argmax(np.abs(xyz), axis=1)
    xyz[np.arange(len(xyz)), worst] = 20.0 * np.sign(xyz[np.arange(len(xyz)), worst])
    return write.ply(f / "a.ply", xyz)


def _two(f: Path) -> Path:
    xyz = _part()
    return write.ply(f / "a.ply", np.vstack([xyz, xyz + np.array([0.0, 0.0, 90.0])]))


def _picture(f: Path) -> Path:
    (f / "a.stl").write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 40)
    return f / "a.stl"


def _words(f: Path) -> Path:
    (f / "a.xyz").write_text("the part lies on the bench\n" * 900, encoding="utf-8")
    return f / "a.xyz"


def _binary(f: Path) -> Path:
    (f / "a.docx").write_bytes(np.random.default_rng(1).bytes(60_000))
    return f / "a.docx"


def _huge_stl(f: Path) -> Path:
    (f / "a.stl").write_bytes(bytes(80) + np.uint32(HUGE).tobytes() + bytes(5_000))
    return f / "a.stl"


def _huge_ply(f: Path) -> Path:
    head = f"ply\nformat binary_little_endian 1.0\nelement vertex {HUGE}\n"
    head += "".join(f"property float {axis}\n" for axis in "xyz") + "end_header\n"
    (f / "a.ply").write_bytes(head.encode() + bytes(6_000))
    return f / "a.ply"


CASES = [
    (_missing, "cannot be read"),
    (_empty, "is empty"),
    (_truncated_stl, "truncated"),
    (_truncated_text_stl, "truncated"),
    (_truncated_ply, "truncated"),
    (_with(np.nan), "finite"),
    (_with(np.inf), "finite"),
    (_coplanar, "plane"),
    (_box, "no turned body"),
    (_two, "two turned parts"),
    (_picture, "picture"),
    (_words, "not a table of points"),
    (_binary, "is none of"),
    (_huge_stl, "declares 4000000000"),
    (_huge_ply, "declares 4000000000"),
]


FITTED = (_box, _two)  # refused by the fit, the others by the reader


def _within(memory: float, arguments: list[str]) -> Result:
    """The run, at most so many bytes used, whatever a file declares."""
    tracemalloc.start()
    try:
        run = CliRunner().invoke(main, arguments)
        assert tracemalloc.get_traced_memory()[1] < memory
    finally:
        tracemalloc.stop()
    return run


@pytest.mark.parametrize(("make", "reason"), CASES, ids=lambda one: getattr(one, "__name__", None))
def test_is_refused_by_name_with_a_reason(
    make: Callable[[Path], Path], reason: str, tmp_path: Path
) -> None:
    given = tmp_path / "given"
    given.mkdir()
    file = make(given)
    out, report = tmp_path / "plug.toml", tmp_path / "report"
    arguments = ["scan", str(file), "--out", str(out), "--report", str(report)]
    run = CliRunner().invoke(main, arguments) if make in FITTED else _within(50e6, arguments)
    assert run.exit_code == 2, run.output
    told = [line for line in run.output.splitlines() if line.startswith("error:")]
    assert len(told) == 1, run.output
    assert str(file) in told[0]
    assert reason in told[0]
    assert "Traceback" not in run.output
    assert sorted(one.name for one in tmp_path.iterdir()) == ["given"]
