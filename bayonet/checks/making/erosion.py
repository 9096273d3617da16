"""Tracks sunk by die-sinking erosion: an electrode shaped as a lug goes the lug's own way."""

from __future__ import annotations

from bayonet.findings import PRACTICE, Finding, Verdict, left_open
from bayonet.parts import Design
from bayonet.standards import rows

ASSUMED = (
    "Tracks and slots are eroded: an electrode of a lug's shape, smaller by the spark gap, goes in"
    " through the slot and along the track, so roof, detent and stop are as drawn, inner edges"
    f" rounded by about the spark gap ({PRACTICE})."
)


def findings(design: Design) -> tuple[Finding, ...]:
    """Judge whether the tracks can be eroded.

    Parameters
    ----------
    design : Design
        With ``made_by = "erosion"`` in ``[socket.track]``.

    Returns
    -------
    tuple of Finding
        `machining.erosion`: fails for a socket of plastic, which no spark erodes.
    """
    name = design.spec.service.socket_material
    if name is None:
        why = "erosion needs a metal: give service.socket_material"
        return (left_open("machining.erosion", why),)
    kinds = {row["material"].lower(): row["kind"] for row in rows("material_kinds")}
    kind = kinds.get(name.strip().lower())
    if kind is None:
        why = f"whether {name} conducts is not in the table: erosion needs a metal"
        return (left_open("machining.erosion", why),)
    metal = kind.endswith("metal")
    return (
        Finding(
            code="machining.erosion",
            verdict=Verdict.LOOK if metal else Verdict.FAIL,
            message=(
                f"tracks sunk in {name} by an electrode shaped as a lug, on a machine whose head"
                " turns as it sinks: slow, and the skin it leaves is hard and may be cracked"
                if metal
                else f"{name} does not conduct: it cannot be eroded"
            ),
            source=PRACTICE,
            change=(
                "finish with a fine setting, and have the skin blasted or etched off where load"
                " comes and goes"
                if metal
                else "a metal, or another way to make it"
            ),
        ),
    )
