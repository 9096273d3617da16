"""What starting the program costs: no CAD kernel for `check`, and little time."""

from __future__ import annotations

import json
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


def _seconds(*arguments: str) -> float:
    start = time.perf_counter()
    subprocess.run([sys.executable, *arguments], capture_output=True, check=True)
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


def test_check_costs_a_share_of_importing_the_kernel() -> None:
    """A ratio of medians taken in turn, so that a busy machine slows both."""
    pairs = [
        (_seconds("-m", "bayonet", "check", str(EXAMPLE)), _seconds("-c", "import cadquery"))
        for _ in range(3)
    ]
    check = statistics.median(one for one, _ in pairs)
    kernel = statistics.median(other for _, other in pairs)
    assert check < SHARE_OF_KERNEL_IMPORT * kernel
