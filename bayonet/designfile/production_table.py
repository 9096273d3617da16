"""The design file's table of what the production must reach."""

from __future__ import annotations

from typing import Literal

from pydantic import StrictInt

from bayonet.designfile.fields import AngleOrZero, Table, described, optional


class ProductionTable(Table):
    """Share of plug and socket pairs that must work, and how parts are spread."""

    yield_share: float = described(
        "Share of all pairs of plug and socket that must pass everything",
        "yield_share = 0.9973",
        default=0.9973,
        gt=0.5,
        lt=1,
    )
    plug_shape: Literal["normal", "uniform", "triangular", "trapezoid"] = described(
        "How plugs are spread within their limits",
        'plug_shape = "normal"',
        default="normal",
    )
    socket_shape: Literal["normal", "uniform", "triangular", "trapezoid"] = described(
        "Where within its limits the socket may lie",
        'socket_shape = "uniform"',
        default="uniform",
    )
    clocking_deg: AngleOrZero | None = optional(
        "How far the locked orientation may lie from the nominal one, plus or minus",
        "clocking_deg = 1.0",
    )
    samples: StrictInt = described(
        "Sampled pairs", "samples = 32768", default=32768, ge=8192, le=100_000_000
    )
    seed: StrictInt = described(
        "Start of the sampling: the same seed gives the same figures",
        "seed = 1",
        default=1,
        ge=0,
        le=1_000_000,
    )
