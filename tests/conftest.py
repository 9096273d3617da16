"""Shared fixtures: the three invented examples, and what `make` gives for the first."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

# One worker a core: a second thread of linear algebra would only wait busily for the first.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import bayonet  # numpy reads the line above when it is loaded
from bayonet.job import Made

ROOT = Path(__file__).parents[1]
EXAMPLES = ROOT / "examples"
NAMES = ("coolant_level_sensor", "irrigation_drain", "brewery_vent")


SHARED = ("made", "rings")  # fixtures worth making in one worker only


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Send the tests that share a costly fixture to the same worker."""
    for item in items:
        for name in SHARED:
            if name in getattr(item, "fixturenames", ()):
                item.add_marker(pytest.mark.xdist_group(name))


@pytest.fixture(params=NAMES)
def example(request: pytest.FixtureRequest) -> bayonet.Design:
    return bayonet.load(EXAMPLES / f"{request.param}.toml")


@pytest.fixture
def sensor() -> bayonet.Design:
    """Three equal helical lugs, right hand, layout A, stop."""
    return bayonet.load(EXAMPLES / "coolant_level_sensor.toml")


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
