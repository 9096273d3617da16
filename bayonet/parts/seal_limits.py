"""What a static ring in its gland must keep, each limit with its source."""

from __future__ import annotations

from bayonet.errors import TableError
from bayonet.parts.plug import Plug
from bayonet.parts.ring import LEAST_SQUEEZE, MOST_SQUEEZE, Ring
from bayonet.standards import from_memory, glands

MOST_SQUEEZE_SOURCE = "at most 30 % static: Mechanical Engineers' Handbook (Kutz) vol. 3, p. 290"
FILL_SOURCE = (
    "at most 90 % with tolerance, swell and heat: All Seals, 'Dynamic I.D./O.D. Seal with a"
    " Rectangular Gland' (web page)"
)
LEAST_MM_SOURCE = "0.1 mm of squeeze at least: O-ring handbook ORD 5700 (from memory)"
LEAST_SQUEEZE_SOURCE = (
    "at least 10 % static: Apple Rubber, Seal Design Guide, 'O-Ring Installation'"
)
MOST_FILL = 0.90
LEAST_SQUEEZE_MM = 0.1


def allowed_squeeze(plug: Plug, ring: Ring) -> tuple[float, float, str]:
    """Least and most squeeze [-] of the printed charts for a section, and the source.

    The second chart where it has the section; else 10 to 30 %.

    Parameters
    ----------
    plug : Plug
    ring : Ring

    Returns
    -------
    tuple
    """
    kind: glands.Kind = "radial" if plug.groove_kind == "radial" else "face"
    for chart in ("b", "a"):
        try:
            found = glands.gland(ring.section_mm, kind=kind, chart=chart)
        except TableError:
            continue
        if found.squeeze_least_pct is not None:
            least, most = found.squeeze_least_pct / 100, (found.squeeze_most_pct or 30) / 100
            source = f"gland chart {chart}, static {kind}, section {found.section_mm:.2f} mm"
            return least, most, from_memory(f"{source}: {found.source}", found.provenance)
    return LEAST_SQUEEZE, MOST_SQUEEZE, f"{LEAST_SQUEEZE_SOURCE}; {MOST_SQUEEZE_SOURCE}"
