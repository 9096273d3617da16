"""What stands round a tank: triangles, distances, the valve's way in, hands, the map.

No CAD kernel; verdicts are in `bayonet.checks.tank`.
"""

from __future__ import annotations

from bayonet.surroundings.boxes import tree, within
from bayonet.surroundings.clocking import ERROR_MM, Placing, clear_map, proposals, reach_mm
from bayonet.surroundings.measure import LOOKED, Thing, best_start, places, steps
from bayonet.surroundings.picture_scene import Outline, Scene, sampled, scene
from bayonet.surroundings.reading import Around

__all__ = [
    "ERROR_MM",
    "LOOKED",
    "Around",
    "Outline",
    "Placing",
    "Scene",
    "Thing",
    "best_start",
    "clear_map",
    "places",
    "proposals",
    "reach_mm",
    "sampled",
    "scene",
    "steps",
    "tree",
    "within",
]
