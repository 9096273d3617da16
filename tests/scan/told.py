"""A fit's result told from the truth, to test what reads results apart from any fit."""

from __future__ import annotations

import numpy as np
from generator_bound import bound
from generator_scan import Scan, _cylindrical

from bayonet.scan.fit.result import FeatureValue, ScanResult

_WORDS = {
    "centre_deg": "middle", "width": "width", "width_deg": "width", "lead": "lead",
    "outer_diameter": "diameter over it", "bearing_depth": "depth of bearing flank",
    "thickness": "thickness",
}  # fmt: skip


def features(scan: Scan, rng: np.random.Generator | None = None) -> tuple[FeatureValue, ...]:
    """Every true dimension with its bound as uncertainty, erring by it where `rng` is given."""
    u = bound(scan).u
    rows = []
    for key, value in scan.truth.items():
        error = 0.0 if rng is None else rng.normal(0.0, u[key])
        rows.append(
            FeatureValue(
                key=key, meaning=_meaning(key), value=value + error, u=u[key], unit=_unit(key),
                coverage=1.0, found="measured",
            )
        )  # fmt: skip
    return tuple(rows)


def _meaning(key: str) -> str:
    parts = key.split(".")
    if parts[0] == "lug":
        return f"lug {int(parts[1]) + 1}: {_WORDS[parts[2]]}"
    return key.replace("_", " ")


def _unit(key: str) -> str:
    if key.endswith("_deg"):
        return "deg"
    return "mm/rev" if key.endswith("lead") else "mm"


def result(scan: Scan) -> ScanResult:
    """The whole result, as a perfect fit would give it."""
    here = scan.face >= 0
    local = (scan.xyz * (25.4 if scan.nuisance.inch else 1.0) - scan.origin) @ scan.rotation
    r, theta, depth = _cylindrical(local[here])
    residual = np.einsum(
        "ij,ij->i", local[here] - scan.local[here], (scan.normals @ scan.rotation)[here]
    )
    return ScanResult(
        rotation=scan.rotation, origin_mm=scan.origin, features=features(scan),
        lugs=scan.plug.count, hand=None if scan.plug.is_flat else scan.plug.hand,
        is_equal=scan.plug.equal, sides="parallel" if scan.plug.parallel else "radial",
        groove=scan.plug.groove, flags=((0, "bearing flank worn by 0.2 mm"),), form=(),
        residual_mm=residual, theta_deg=np.degrees(theta), depth_mm=depth, radius_mm=r,
        noise_mm=scan.nuisance.noise, correlation_mm=0.0,
        warnings=("the shoulder was seen on 200 deg only",),
    )  # fmt: skip
