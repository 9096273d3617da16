"""Plug, ring, gland and socket as frozen records in mm and degrees, and how they follow.

No judgement (`bayonet.checks`), no outlines (`bayonet.developed`), no solids (`bayonet.solids`).
"""

from __future__ import annotations

from bayonet.parts.cutter import RUN_OUT_MM, Cutter
from bayonet.parts.design import (
    Design,
    changed,
    design,
    from_mapping,
    load,
    loads,
    refuse_two_parts,
)
from bayonet.parts.gasket import Gasket
from bayonet.parts.joint import Bolts, Dowel, Joint, JointSeal, Relief
from bayonet.parts.joint_plan import MOST_SLENDER
from bayonet.parts.limits import limits_of, tolerances_of
from bayonet.parts.lugs import (
    FORMS,
    Block,
    FlankName,
    HalfAngle,
    Lug,
    LugDimension,
    LugShape,
    LugSizes,
    LugZone,
    Pin,
    RootSection,
    depth_span_mm,
    facing_angles_deg,
)
from bayonet.parts.pending import Undetermined, load_or_pending, with_values
from bayonet.parts.plug import BodyStepMm, Plug
from bayonet.parts.profile import Profile, Segment, turned_outline, turned_volume
from bayonet.parts.resolve import lead_given, leading_lead_given
from bayonet.parts.ring import (
    AVAILABILITY,
    LOOK_AT_STRETCH,
    MOST_SQUEEZE,
    STRETCH_RANGE,
    Candidate,
    RadialGroove,
    Ring,
    faults_of,
    metric_for,
    rank,
    rank_for,
    ring_by_name,
    ring_name,
    section_in_place_mm,
)
from bayonet.parts.run_outs import places_of, reach_mm, reliefs, webs
from bayonet.parts.seal_limits import (
    FILL_SOURCE,
    LEAST_MM_SOURCE,
    LEAST_SQUEEZE_MM,
    MOST_FILL,
    allowed_squeeze,
)
from bayonet.parts.sealing import usual_squeeze
from bayonet.parts.socket import (
    CutterPath,
    Flange,
    NamedDimension,
    Polyline,
    Socket,
    Track,
    WeldPreparation,
    deepest_floor,
    least_gap_between,
)
from bayonet.parts.spread import PlugSpread, spread_of

__all__ = [
    "AVAILABILITY",
    "FILL_SOURCE",
    "FORMS",
    "LEAST_MM_SOURCE",
    "LEAST_SQUEEZE_MM",
    "LOOK_AT_STRETCH",
    "MOST_FILL",
    "MOST_SLENDER",
    "MOST_SQUEEZE",
    "RUN_OUT_MM",
    "STRETCH_RANGE",
    "Block",
    "BodyStepMm",
    "Bolts",
    "Candidate",
    "Cutter",
    "CutterPath",
    "Design",
    "Dowel",
    "Flange",
    "FlankName",
    "Gasket",
    "HalfAngle",
    "Joint",
    "JointSeal",
    "Lug",
    "LugDimension",
    "LugShape",
    "LugSizes",
    "LugZone",
    "NamedDimension",
    "Pin",
    "Plug",
    "PlugSpread",
    "Polyline",
    "Profile",
    "RadialGroove",
    "Relief",
    "Ring",
    "RootSection",
    "Segment",
    "Socket",
    "Track",
    "Undetermined",
    "WeldPreparation",
    "allowed_squeeze",
    "changed",
    "deepest_floor",
    "depth_span_mm",
    "design",
    "facing_angles_deg",
    "faults_of",
    "from_mapping",
    "lead_given",
    "leading_lead_given",
    "least_gap_between",
    "limits_of",
    "load",
    "load_or_pending",
    "loads",
    "metric_for",
    "places_of",
    "rank",
    "rank_for",
    "reach_mm",
    "refuse_two_parts",
    "reliefs",
    "ring_by_name",
    "ring_name",
    "section_in_place_mm",
    "spread_of",
    "tolerances_of",
    "turned_outline",
    "turned_volume",
    "usual_squeeze",
    "webs",
    "with_values",
]
