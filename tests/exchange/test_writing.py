"""Nothing is lost: inputs, a person's files, and what stood there when writing fails midway."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from bayonet.errors import ExportError
from bayonet.exchange import Run, appearing_in, refuse_file, refuse_folder, swap, write_whole
from bayonet.exchange.manifest import Listed


def write(target: Path, run: Run | None = None, **files: str) -> None:
    with appearing_in(target, run=run, expected=[f"{name}.txt" for name in files]) as room:
        for name, text in files.items():
            (room / f"{name}.txt").write_text(text)


def held(target: Path) -> dict[str, str]:
    return {f.name: f.read_text() for f in target.iterdir() if f.name != "manifest.json"}


def test_the_manifest_lists_what_sha256_says(tmp_path: Path) -> None:
    source = tmp_path / "in.toml"
    source.write_text("x = 1\n")
    write(tmp_path / "out", Run(command="make", inputs=(source,), options={"chord": 0.1}), a="A")
    (run,) = json.loads((tmp_path / "out" / "manifest.json").read_text())["runs"]
    assert run["command"] == "make"
    assert run["options"] == {"chord": 0.1}
    assert run["inputs"][0]["sha256"] == hashlib.sha256(b"x = 1\n").hexdigest()
    assert run["files"] == [
        # SHA-256 of the one letter A, as sha256sum of GNU coreutils prints it
        {"name": "a.txt", "bytes": 1,
         "sha256": "559aead08264d5795d3909718cdd05abd49572e84fe55590eef31a88a08fdffd"},
    ]  # fmt: skip


def test_a_second_run_replaces_its_own_and_takes_stale_ones_away(tmp_path: Path) -> None:
    said: list[str] = []
    write(tmp_path, a="A", b="B", c="C")
    (tmp_path / "mine.txt").write_text("mine")
    (tmp_path / "c.txt").write_text("changed by hand")
    write(tmp_path, Run(say=said.append), a="A2")
    assert held(tmp_path) == {"a.txt": "A2", "c.txt": "changed by hand", "mine.txt": "mine"}
    assert len(said) == 1
    assert "c.txt: left from an earlier run" in said[0]


def test_two_commands_share_a_folder(tmp_path: Path) -> None:
    write(tmp_path, Run(command="make"), a="A")
    write(tmp_path, Run(command="sample"), b="B")
    write(tmp_path, Run(command="make"), c="C")
    assert held(tmp_path) == {"b.txt": "B", "c.txt": "C"}


@pytest.mark.parametrize("how", ["foreign", "changed", "input"])
def test_what_is_a_persons_own_is_not_replaced(tmp_path: Path, how: str) -> None:
    run = Run()
    if how != "foreign":
        write(tmp_path, a="A")
    if how != "input":
        (tmp_path / "a.txt").write_text("measured by hand")
    else:
        run = Run(inputs=(tmp_path / "a.txt",))
    before = held(tmp_path)
    with pytest.raises(ExportError, match="--force"):
        write(tmp_path, run, a="new")
    with pytest.raises(ExportError, match="--force"):
        refuse_folder(tmp_path, run=run, expected=["a.txt"])
    assert held(tmp_path) == before
    write(tmp_path, Run(inputs=run.inputs, force=True), a="new")
    assert held(tmp_path) == {"a.txt": "new"}


@pytest.mark.parametrize("immovable", ["a.txt", "b.txt", "manifest.json"])
@pytest.mark.parametrize("when", ["out", "in"])
def test_a_file_that_cannot_be_moved_leaves_all_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, immovable: str, when: str
) -> None:
    """As a file open in another program on a system that locks it."""
    write(tmp_path, a="A1", b="B1")
    before = {f.name: f.read_bytes() for f in tmp_path.iterdir()}
    real, refused = os.replace, []

    def replace(source: Path, target: Path) -> None:
        moving_out = Path(source).parent == tmp_path
        if Path(source).name == immovable and moving_out == (when == "out") and not refused:
            refused.append(source)
            raise PermissionError(13, "Permission denied", str(source))
        real(source, target)

    monkeypatch.setattr(os, "replace", replace)
    with pytest.raises(ExportError, match=r"everything is as it was"):
        write(tmp_path, a="A2", b="B2")
    assert refused
    assert {f.name: f.read_bytes() for f in tmp_path.iterdir()} == before


def test_a_killed_run_is_undone_by_the_next(tmp_path: Path) -> None:
    """The process dies while moving: no block is left, no handler runs."""
    write(tmp_path, a="A1", b="B1")
    code = """
import os, sys
from pathlib import Path
from bayonet.exchange import appearing_in
real, count = os.replace, 0
def replace(source, target):
    global count
    count += 1
    if count == int(sys.argv[2]):
        os._exit(9)
    real(source, target)
os.replace = replace
with appearing_in(Path(sys.argv[1])) as room:
    for name in "abc":
        (room / f"{name}.txt").write_text(name.upper() + "2")
"""
    for moves in range(1, 9):
        done = subprocess.run(
            [sys.executable, "-c", code, str(tmp_path), str(moves)], check=False,
            cwd=Path(__file__).parents[2],
        )  # fmt: skip
        assert done.returncode == 9, moves
        assert (tmp_path / swap.WORKING).exists()
        refuse_folder(tmp_path, run=Run())
        assert held(tmp_path) == {"a.txt": "A1", "b.txt": "B1"}, moves
    write(tmp_path, a="A3")
    assert held(tmp_path) == {"a.txt": "A3"}


def test_two_runs_do_not_write_into_one_folder(tmp_path: Path) -> None:
    with appearing_in(tmp_path) as room:
        (room / "a.txt").write_text("first")
        with pytest.raises(ExportError, match="another run is writing"):
            write(tmp_path, a="second")
    assert held(tmp_path) == {"a.txt": "first"}


def test_the_target_may_be_a_link_or_stand_in_a_folder_closed_to_writing(tmp_path: Path) -> None:
    real = tmp_path / "real"
    real.mkdir()
    (tmp_path / "link").symlink_to(real)
    write(tmp_path / "link", a="A")
    assert held(real) == {"a.txt": "A"}
    closed = tmp_path / "closed"
    (closed / "own").mkdir(parents=True)
    closed.chmod(0o555)
    try:
        write(closed / "own", a="A")
    finally:
        closed.chmod(0o755)
    assert held(closed / "own") == {"a.txt": "A"}


def test_made_folders_go_where_the_work_fails(tmp_path: Path) -> None:
    refuse_folder(tmp_path / "a" / "b", run=Run())
    assert list(tmp_path.iterdir()) == []


def test_a_full_disk_is_found_before_the_work(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import shutil

    few = type(shutil.disk_usage(tmp_path))(10**9, 10**9 - 1000, 1000)
    monkeypatch.setattr(shutil, "disk_usage", lambda _: few)
    with pytest.raises(ExportError, match="free on its disk"):
        refuse_folder(tmp_path / "out", run=Run())


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("a.stl", b"\0" * 80 + (1).to_bytes(4, "little") + b"\0" * 50),
        ("a.stl", b"\0" * 80 + (9).to_bytes(4, "little")),
        ("a.3mf", b"PK nothing"),
        ("a.toml", b"a = \n"),
        ("a.json", b"{"),
        ("a.step", b"ISO-10303-21;\nHEADER;"),
        ("a.png", b"\x89PNG"),
    ],
)
def test_what_does_not_hold_when_read_again_never_appears(
    tmp_path: Path, name: str, data: bytes
) -> None:
    with (
        pytest.raises(ExportError, match="when read again"),
        appearing_in(tmp_path / "out") as room,
    ):
        (room / name).write_bytes(data)
    assert list(tmp_path.iterdir()) == []


def test_one_file_is_written_whole_and_never_over_another(tmp_path: Path) -> None:
    file = tmp_path / "deep" / "a.toml"
    write_whole(file, "x = 1\r\n")
    assert file.read_bytes() == b"x = 1\r\n"
    for run, words in ((Run(), "exists already"), (Run(inputs=(file,)), "is also read")):
        with pytest.raises(ExportError, match=words):
            refuse_file(file, run)
    write_whole(file, "x = 2\n", run=Run(force=True))
    with pytest.raises(ExportError, match="read again"):
        write_whole(file, "x = \n", run=Run(force=True))
    assert file.read_text() == "x = 2\n"
    assert [one.name for one in file.parent.iterdir()] == ["a.toml"]


def test_a_name_that_is_not_utf8_is_refused(tmp_path: Path) -> None:
    name = os.fsdecode(os.fsencode(tmp_path) + b"/\xff")
    with pytest.raises(ExportError, match="not UTF-8"):
        refuse_folder(Path(name), run=Run())
    with pytest.raises(ExportError, match="not UTF-8"):
        refuse_file(Path(name), Run())


def test_a_manifest_cannot_name_files_elsewhere(tmp_path: Path) -> None:
    victim = tmp_path / "victim.txt"
    victim.write_text("v")
    out = tmp_path / "out"
    write(out, a="A")
    data = json.loads((out / "manifest.json").read_text())
    data["runs"][0]["files"].append({**vars(Listed.of(victim)), "name": "../victim.txt"})
    (out / "manifest.json").write_text(json.dumps(data))
    write(out, a="A2")
    assert victim.read_text() == "v"
