"""What starting the program costs: no CAD kernel for `check`, and little time."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

EXAMPLE = Path(__file__).parents[2] / "examples" / "level_sensor.toml"
SHARE_OF_KERNEL_IMPORT = 0.6


def _run(code: str) -> str:
    return subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    ).stdout


def _loaded(code: str) -> set[str]:
    out = _run(f"{code}\nimport sys, json; print(json.dumps(sorted(sys.modules)))")
    return {name.split(".")[0] for name in json.loads(out.splitlines()[-1])}


def _seconds(cache: Path, *arguments: str) -> float:
    """Processor time of one run, all its threads, modules compiled before (as where installed).

    One thread for linear algebra: idle ones wait busily, which says nothing of the work.
    """
    environment = {**os.environ, "PYTHONPYCACHEPREFIX": str(cache), "OPENBLAS_NUM_THREADS": "1"}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    before = os.times()
    subprocess.run([sys.executable, *arguments], capture_output=True, check=True, env=environment)
    after = os.times()
    return (after.children_user - before.children_user) + (
        after.children_system - before.children_system
    )


def test_import_loads_no_kernel_and_no_plotting() -> None:
    assert not _loaded("import bayonet") & {"cadquery", "OCP", "matplotlib", "rich", "click"}


def test_check_loads_no_kernel_and_no_plotting() -> None:
    code = (
        "import contextlib, io\nfrom bayonet.cli import main\n"
        "with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):\n"
        f"    main(['check', {str(EXAMPLE)!r}])"
    )
    assert not _loaded(code) & {"cadquery", "OCP", "matplotlib"}


def test_a_scan_without_pictures_loads_no_kernel_and_no_plotting(tmp_path: Path) -> None:
    scan, out = EXAMPLE.with_name("level_sensor_scan.ply"), tmp_path / "plug.toml"
    code = (
        "import contextlib, io\nfrom bayonet.cli import main\n"
        "with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):\n"
        f"    main(['scan', {str(scan)!r}, '--out', {str(out)!r}])"
    )
    assert not _loaded(code) & {"cadquery", "OCP", "matplotlib"}
    assert out.exists()


def test_check_costs_a_share_of_importing_the_kernel(tmp_path: Path) -> None:
    """A ratio of the lesser of two each, taken in turn after a first run, in processor time."""
    check_it, load_it = ("-m", "bayonet", "check", str(EXAMPLE)), ("-c", "import cadquery")
    runs = [(_seconds(tmp_path, *check_it), _seconds(tmp_path, *load_it)) for _ in range(3)]
    check = min(one for one, _ in runs[1:])
    kernel = min(other for _, other in runs[1:])
    print(f"share {check / kernel:.3f}")
    assert check < SHARE_OF_KERNEL_IMPORT * kernel
