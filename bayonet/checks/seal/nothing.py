"""A plug without a ring: nothing seals, and pressure or vacuum cannot be held."""

from __future__ import annotations

from bayonet.designfile import ServiceTable
from bayonet.findings import PRACTICE, Finding, Verdict


def nothing_seals(service: ServiceTable) -> Finding:
    """The one finding of a fitting that seals nowhere.

    Parameters
    ----------
    service : ServiceTable

    Returns
    -------
    Finding
        A fail where pressure or vacuum must be held; else a look, for liquid passes the slots.

    Examples
    --------
    >>> nothing_seals(ServiceTable()).verdict.value
    'look'
    """
    asked = [
        f"{words} of {given.value:g} MPa"
        for words, given in (("pressure", service.pressure), ("vacuum", service.vacuum))
        if given is not None and given.value > 0.0
    ]
    held = " and ".join(asked)
    return Finding(
        code="seal.none",
        verdict=Verdict.FAIL if asked else Verdict.LOOK,
        message=f"nothing seals, and {held} cannot be held"
        if asked
        else "nothing seals: the plug carries no ring, and fluid passes along the entry slots",
        source=PRACTICE,
        change="a ring or a gasket, or no pressure" if asked else "nothing where it need not seal",
    )
