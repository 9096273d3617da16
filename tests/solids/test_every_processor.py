"""The same bytes whatever processor linear algebra finds: OpenBLAS is told to be another one."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FLAGS = {"Haswell": {"avx2", "fma"}, "SkylakeX": {"avx512f", "avx512vl"}, "Sandybridge": {"avx"}}
"""What each kernel of OpenBLAS asks of a processor."""

CODE = """
import sys
from pathlib import Path
import numpy as np, bayonet
from bayonet.solids import plug, socket
from bayonet.solids.kernel import step
rows = np.random.default_rng(1).normal(size=(60, 60))
print((rows @ rows).tobytes().hex()[:4000])
design = bayonet.load(sys.argv[1])
for name, solid in (("socket", socket(design)), ("plug", plug(design))):
    head = step.StepHead(product=name, description="")
    step.write(solid, Path(sys.argv[2]) / f"{name}.step", head=head)
"""


def _flags() -> set[str]:
    try:
        text = Path("/proc/cpuinfo").read_text("ascii", "replace")
    except OSError:
        return set()
    return {flag for line in text.splitlines() if line.startswith("flags") for flag in line.split()}


def _made(kind: str, design: str, folder: Path) -> tuple[str, dict[str, bytes]]:
    folder.mkdir()
    done = subprocess.run(
        [sys.executable, "-c", CODE, str(ROOT / "examples" / design), str(folder)],
        env={**os.environ, "OPENBLAS_CORETYPE": kind}, capture_output=True, text=True, check=True,
    )  # fmt: skip
    return done.stdout, {file.name: file.read_bytes() for file in folder.iterdir()}


@pytest.mark.parametrize("design", ["level_sensor.toml", "brewery_vent.toml"])
def test_solids_have_the_same_bytes(design: str, tmp_path: Path) -> None:
    """Their STEP files, from which meshes, pictures and prints follow."""
    able = [kind for kind, needed in FLAGS.items() if needed <= _flags()]
    if len(able) < 2:
        pytest.skip(f"this processor can be only {able or 'itself'}, nothing to compare")
    told = {kind: _made(kind, design, tmp_path / kind) for kind in able}
    if len({product for product, _ in told.values()}) == 1:
        pytest.skip("this linear algebra does not heed OPENBLAS_CORETYPE: nothing to compare")
    (first, files), *others = ((kind, made) for kind, (_, made) in told.items())
    assert set(files) == {"socket.step", "plug.step"}
    for kind, made in others:
        assert made == files, f"{first} and {kind} differ"
