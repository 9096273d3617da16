"""Formulas of the trade, one function a quantity, vectorised, with their sources."""

from __future__ import annotations

from bayonet.mechanics.angles import signed_deg
from bayonet.mechanics.annular_plate import Annulus
from bayonet.mechanics.bayes import Belief, LinearFit
from bayonet.mechanics.cylinder import bore_growth_mm
from bayonet.mechanics.disc_cutter import (
    corner_extra_mm,
    largest_corner_mm,
    largest_mill_mm,
    largest_radius_mm,
    overcut_mm,
    steepest_swing_deg,
    swing_deg,
)
from bayonet.mechanics.helix import advance_mm, lead_mm_per_rev, side_angle_deg
from bayonet.mechanics.least_squares import cylinder_through, plane_through
from bayonet.mechanics.opening import (
    SOURCE,
    circle_area_mm2,
    free_height_mm,
    loss_range,
    pressure_drop_mpa,
)
from bayonet.mechanics.uncertainty import (
    Estimate,
    Shape,
    combined,
    coverage_factor,
    effective_dof,
    tolerance_factor,
    type_a,
    type_b,
)

__all__ = [
    "SOURCE",
    "Annulus",
    "Belief",
    "Estimate",
    "LinearFit",
    "Shape",
    "advance_mm",
    "bore_growth_mm",
    "circle_area_mm2",
    "combined",
    "corner_extra_mm",
    "coverage_factor",
    "cylinder_through",
    "effective_dof",
    "free_height_mm",
    "largest_corner_mm",
    "largest_mill_mm",
    "largest_radius_mm",
    "lead_mm_per_rev",
    "loss_range",
    "overcut_mm",
    "plane_through",
    "pressure_drop_mpa",
    "side_angle_deg",
    "signed_deg",
    "steepest_swing_deg",
    "swing_deg",
    "tolerance_factor",
    "type_a",
    "type_b",
]
