"""What a sweep of the written files by a second engine says, beside the proof it checks.

The sweep itself needs meshes of the solids: `bayonet.solids.fitting.sweep`.
"""

from __future__ import annotations

from dataclasses import dataclass

from bayonet.findings import Finding, Verdict, left_open

CODE = "motion.files"


@dataclass(frozen=True, kw_only=True)
class Swept:
    """Poses of one kind, and how many the second engine sees otherwise than the proof.

    Parameters
    ----------
    what : str
        In words, for people.
    poses : int
    against : int
        Poses at which it disagrees.
    greatest_mm3 : float
        Greatest overlap where there should be none; 0 for poses that should overlap.
    """

    what: str
    poses: int
    against: int
    greatest_mm3: float


def swept_finding(swept: tuple[Swept, ...]) -> Finding:
    """Judge a sweep.

    Parameters
    ----------
    swept : tuple of Swept

    Returns
    -------
    Finding
    """
    poses = sum(one.poses for one in swept)
    against = [one for one in swept if one.against]
    greatest = max((one.greatest_mm3 for one in swept), default=0.0)
    if against:
        text = "; ".join(f"{one.what}: {one.against} of {one.poses} poses" for one in against)
        message = f"the written solids do not move as the proof says: {text}"
    else:
        text = ", ".join(f"{one.what} ({one.poses})" for one in swept)
        message = f"the written solids move as the proof says at {poses} poses: {text}"
    return Finding(
        code=CODE,
        verdict=Verdict.FAIL if against else Verdict.PASS,
        message=message,
        value=greatest,
        limit=None,
        margin=None,
        unit="mm³",
        source="mesh booleans on socket.stl and plug.step as written",
        change="do not use the files; report the design, its proof and its solids disagree"
        if against
        else "",
    )


def not_swept(why: str) -> Finding:
    """The finding where there is nothing to sweep."""
    return left_open(CODE, f"the written solids were not swept: {why}")
