"""The joint fit of the whole parametric plug to all points of its faces.

What may be claimed of it is in `bayonet.scan.uncertainty`.
"""

from __future__ import annotations

from bayonet.scan.fit.faces import Shape, Values
from bayonet.scan.fit.frame_points import Spots, turned_from
from bayonet.scan.fit.keys import LEAD, LEADING_LEAD, Key, body_key, groove_key, lug_key
from bayonet.scan.fit.parameters import fitted
from bayonet.scan.fit.refined import POSE, Labelled, Misfit, Pose, Refined, inverse, prior
from bayonet.scan.fit.result import FeatureValue, ScanResult

__all__ = [
    "LEAD",
    "LEADING_LEAD",
    "POSE",
    "FeatureValue",
    "Key",
    "Labelled",
    "Misfit",
    "Pose",
    "Refined",
    "ScanResult",
    "Shape",
    "Spots",
    "Values",
    "body_key",
    "fitted",
    "groove_key",
    "inverse",
    "lug_key",
    "prior",
    "turned_from",
]
