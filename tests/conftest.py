"""Shared fixtures: the three invented examples, and what `make` gives for the first."""

from __future__ import annotations

from pathlib import Path

import pytest

import bayonet
from bayonet.job import Made

ROOT = Path(__file__).parents[1]
EXAMPLES = ROOT / "examples"
NAMES = ("coolant_level_sensor", "irrigation_drain", "brewery_vent")


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
