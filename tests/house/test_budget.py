"""What starting the program costs: no CAD kernel for `check`, and little time."""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
import time
from pathlib import Path

EXAMPLE = Path(__file__).parents[2] / "examples" / "coolant_level_sensor.toml"
SHARE_OF_KERNEL_IMPORT = 0.6


def _run(code: str) -> str:
    return subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    ).stdout


def _loaded(code: str) -> set[str]:
    out = _run(f"{code}\nimport sys, json; print(json.dumps(sorted(sys.modules)))")
    return {name.split(".")[0] for name in json.loads(out.splitlines()[-1])}


def _seconds(cache: Path, *arguments: str) -> float:
    """Wall time of one run, its modules compiled before (as they are where it is installed)."""
    environment = {**os.environ, "PYTHONPYCACHEPREFIX": str(cache)}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    start = time.perf_counter()
    subprocess.run([sys.executable, *arguments], capture_output=True, check=True, env=environment)
    return time.perf_counter() - start


def test_import_loads_no_kernel_and_no_plotting() -> None:
    assert not _loaded("import bayonet") & {"cadquery", "OCP", "matplotlib", "rich", "click"}


def test_check_loads_no_kernel_and_no_plotting() -> None:
    code = (
        "import contextlib, io\nfrom bayonet.cli import main\n"
        "with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):\n"
        f"    main(['check', {str(EXAMPLE)!r}])"
    )
    assert not _loaded(code) & {"cadquery", "OCP", "matplotlib"}


def test_check_costs_a_share_of_importing_the_kernel(tmp_path: Path) -> None:
    """A ratio of medians taken in turn after a first run, so that a busy machine slows both."""
    check_it, load_it = ("-m", "bayonet", "check", str(EXAMPLE)), ("-c", "import cadquery")
    runs = [(_seconds(tmp_path, *check_it), _seconds(tmp_path, *load_it)) for _ in range(4)]
    pairs = runs[1:]
    check = statistics.median(one for one, _ in pairs)
    kernel = statistics.median(other for _, other in pairs)
    print(f"share {check / kernel:.3f}")
    assert check < SHARE_OF_KERNEL_IMPORT * kernel
