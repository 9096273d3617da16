"""The machinist's drawing: views, dimensions and notes on sheets, as DXF, SVG and PDF.

Sizes and numbers come from `bayonet.dimensions`, views from `bayonet.solids`; nothing is judged.
"""

from __future__ import annotations

from bayonet.drawing.scene import Scene, section_angles
from bayonet.drawing.sheets import PAPERS, Angle, Drawing, Head, Paper, composed

__all__ = ["PAPERS", "Angle", "Drawing", "Head", "Paper", "Scene", "composed", "section_angles"]
