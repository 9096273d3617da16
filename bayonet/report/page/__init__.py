"""The fitting at work as one page that moves: 3D, developed plane, way in; opens offline.

Figures come from the checks; the page only moves what the free region allows.
"""

from __future__ import annotations

from bayonet.report.page.fitting_page import assets, page
from bayonet.report.page.shown import mesh_data, shown

__all__ = ["assets", "mesh_data", "page", "shown"]
