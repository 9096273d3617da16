"""Files of a scan to points in mm, one module a format, and what may count as a point.

What the points show is in `bayonet.scan.find`.
"""

from __future__ import annotations

from bayonet.scan.read.files import read
from bayonet.scan.read.outliers import sound
from bayonet.scan.read.points import ScanPoints, thinned
from bayonet.scan.read.raw_points import merged

__all__ = [
    "ScanPoints",
    "merged",
    "read",
    "sound",
    "thinned",
]
