"""Shared fixtures: the three invented examples, and what `make` gives for the first."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest
from long_tests import LONG
from xdist.scheduler import LoadScopeScheduling

# One worker a core: a second thread of linear algebra would only wait busily for the first.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import bayonet  # numpy reads the line above when it is loaded
from bayonet.jobs.design import Made

ROOT = Path(__file__).parents[1]
EXAMPLES = ROOT / "examples"
NAMES = ("level_sensor", "irrigation_drain", "brewery_vent")

# Tests of these files share a costly fixture: one worker runs them all and makes it once.
SHARED = {
    "made": (
        "exchange/test_files.py",
        "proof/test_floating_space.py",
        "proof/test_sweep.py",
        "report/test_tolerance_report.py",
        "solids/test_exact.py",
        "test_examples.py",
    ),
    "rings": ("exchange/test_pieces.py",),
    "page": ("page/test_fitting_page.py",),
    "live": ("page/test_live.py",),
    "drawings": ("drawing/test_drawing.py",),
    "ways": ("test_ways_to_make.py",),
    "compared": ("checks/test_designs_compared.py",),
    "unknown": ("checks/test_pending.py",),
    "recomputed": ("report/test_recompute.py",),
    "marked": ("checks/test_safety.py",),
}


class Together(LoadScopeScheduling):
    """Hands out tests one by one, but for those that share a fixture."""

    def _split_scope(self, nodeid: str) -> str:
        file = nodeid.split("::", 1)[0]
        shared = (name for name, files in SHARED.items() if file.endswith(files))
        return next(shared, nodeid)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leaves the long tests out, unless LONG_TESTS is set or they are asked for by name."""
    asked = [word for word in config.args if "::" in word or word.endswith(".py")]
    if os.environ.get("LONG_TESTS") or asked:
        return
    left = [item for item in items if item.nodeid.startswith(LONG)]
    config.hook.pytest_deselected(items=left)
    items[:] = [item for item in items if not item.nodeid.startswith(LONG)]


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> LoadScopeScheduling | None:
    """What `-n` without `--dist` does."""
    return Together(config, log) if config.getvalue("dist") == "load" else None


@pytest.fixture(params=NAMES)
def example(request: pytest.FixtureRequest) -> bayonet.Design:
    return bayonet.load(EXAMPLES / f"{request.param}.toml")


@pytest.fixture
def sensor() -> bayonet.Design:
    """Three equal helical lugs, right hand, layout A, stop."""
    return bayonet.load(EXAMPLES / "level_sensor.toml")


@pytest.fixture
def drain() -> bayonet.Design:
    """Four polarised flat lugs, left hand, layout B, detent."""
    return bayonet.load(EXAMPLES / "irrigation_drain.toml")


@pytest.fixture
def vent() -> bayonet.Design:
    """Two helical lugs, face seal, clamp."""
    return bayonet.load(EXAMPLES / "brewery_vent.toml")


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Made]:
    """What `make` gives for every example, made once a session."""
    folder = tmp_path_factory.mktemp("made")
    return {
        name: bayonet.make(bayonet.load(EXAMPLES / f"{name}.toml"), folder / name) for name in NAMES
    }
