"""E57 (ASTM E2807), by way of the optional library pye57. Its unit is the metre by standard."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from bayonet.scan.read.raw_points import Raw, refuse

_LARGEST_COUNT = 50_000_000  # points: 1.2 GB of coordinates


def read(path: Path) -> Raw:
    """Read every scan of an E57 file, each moved to its place.

    Raises
    ------
    ScanError
        If pye57 is not installed, or cannot read the file.
    """
    try:
        import pye57
    except ImportError as error:
        rule = "E57 needs an optional library: pip install 'bayonet[e57]', or write it as PLY"
        raise refuse(path, rule) from error
    try:
        file = pye57.E57(str(path))
        count = sum(file.get_header(i).point_count for i in range(file.scan_count))
        if count > _LARGEST_COUNT:
            raise refuse(path, f"E57 that declares {count} points; at most {_LARGEST_COUNT}")
        parts = [
            file.read_scan(i, ignore_missing_fields=True, intensity=False)
            for i in range(file.scan_count)
        ]
    except (pye57.libe57.E57Exception, RuntimeError, ValueError, KeyError, OSError) as error:
        reason = str(error).strip().splitlines()[0] if str(error).strip() else "no reason given"
        raise refuse(path, f"E57 that cannot be read: {reason}") from error
    names = ("cartesianX", "cartesianY", "cartesianZ")
    points = [np.column_stack([part[name] for name in names]) for part in parts]
    if not points or not sum(map(len, points)):
        raise refuse(path, "E57 without points: empty")
    reason = "an E57 file is in metres by its standard"
    return Raw(xyz=np.vstack(points), unit="m", unit_reason=reason, kind="E57")
