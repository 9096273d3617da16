"""Where a scanned part differs from a design file: value by value, with a decision rule."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from bayonet.mechanics import signed_deg
from bayonet.scan.describe.registration import CENTRE, renumbered
from bayonet.scan.describe.stated import Known, KnownPlug
from bayonet.scan.fit import FeatureValue, Key

Verdict = Literal["agrees", "differs", "cannot tell"]

RULE = (
    "ISO 14253-1:2017 decision rule: agrees where the difference with its expanded uncertainty"
    " (k = 2) lies inside the limits, differs where it lies outside, cannot tell between"
)


_LEANS = {"bearing_flank_deg": "bearing", "leading_flank_deg": "leading"}


@dataclass(frozen=True, kw_only=True)
class Difference:
    """One dimension of the file beside the scan's; NaN where the scan did not show it.

    ``expanded`` is the uncertainty of the difference, k = 2; ``limit`` the file's plus or minus.
    """

    key: str
    meaning: str
    unit: str
    file: float
    scan: float
    difference: float
    expanded: float
    limit: float
    verdict: Verdict
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """Every dimension compared, and differences of kind in plain words."""

    rows: tuple[Difference, ...]
    structure: tuple[str, ...]

    @property
    def verdict(self) -> Verdict:
        """The worst of all."""
        found = {row.verdict for row in self.rows}
        if self.structure or "differs" in found:
            return "differs"
        return "cannot tell" if "cannot tell" in found else "agrees"


def judged(difference: float, expanded: float, limit: float) -> Verdict:
    """Verdict on a difference by the decision rule of ISO 14253-1.

    Examples
    --------
    Limits 0.05: 0.03 +- 0.01 is inside, 0.07 +- 0.01 outside, 0.045 +- 0.01 may be either.

    >>> judged(0.03, 0.01, 0.05), judged(-0.07, 0.01, 0.05), judged(0.045, 0.01, 0.05)
    ('agrees', 'differs', 'cannot tell')
    """
    if abs(difference) + expanded <= limit:
        return "agrees"
    return "differs" if abs(difference) - expanded > limit else "cannot tell"


def compared(
    features: Sequence[FeatureValue], plug: KnownPlug, *, lugs: int, hand: str | None, groove: str
) -> Comparison:
    """A scan beside a design file.

    Parameters
    ----------
    features : sequence of FeatureValue
    plug : KnownPlug
        The file's.
    lugs : int
        Lugs the scan shows.
    hand : str or None
        None where the scan does not tell.
    groove : str
        Kind of groove the scan shows, ``none`` for none.

    Returns
    -------
    Comparison
        Lugs numbered and turned as the file has them. Limits are the file's, or its production's
        spread.
    """
    structure = []
    if lugs != plug.lugs:
        structure.append(f"the file has {plug.lugs} lugs, the scan shows {lugs}")
    if hand is not None and hand != plug.hand:
        structure.append(f"the file says {plug.hand} hand, the scan shows {hand}")
    if groove != plug.groove:
        structure.append(f"the file has a {plug.groove} groove, the scan shows {groove}")
    scanned = tuple(features)
    if lugs == plug.lugs:
        scanned = renumbered(scanned, {one.key: one.value for one in plug.values}, lugs)
    by_key = {one.key: one for one in scanned}
    rows = [
        _row(one, _scanned(one.key, by_key))
        for one in plug.values
        if (lugs == plug.lugs or not Key(one.key).is_lug) and not _says_nothing(one, plug, by_key)
    ]
    leans = {Key(one.key).name: one for one in scanned if Key(one.key).name in _LEANS}
    for name, lean in sorted(leans.items()):
        told = f"by {lean.value:.1f} deg" if math.isfinite(lean.value) else "by an angle not told"
        structure.append(f"the scan shows {_LEANS[name]} flanks that lean {told}: square in the"
                         " file")  # fmt: skip
    sides = {Key(one.key).name for one in scanned} & {"width", "width_deg"}
    wanted = "width_deg" if plug.sides == "radial" else "width"
    lug_sides = {Key(one.key).name for one in scanned if Key(one.key).is_lug}
    if lug_sides & {"width", "width_deg"} and wanted not in lug_sides and sides:
        structure.append(f"the file has {plug.sides} lug sides, the scan shows the other kind")
    return Comparison(rows=tuple(rows), structure=tuple(structure))


def _scanned(key: str, by_key: Mapping[str, FeatureValue]) -> FeatureValue | None:
    """A scan's value; of a leading flank without a lead of its own, the lug's."""
    one = by_key.get(key)
    if one is None and Key(key).name == "leading_lead":
        return by_key.get(Key(key).base.of("lead"))
    return one


def _says_nothing(file: Known, plug: KnownPlug, by_key: Mapping[str, FeatureValue]) -> bool:
    """Whether neither file nor scan has a lead for leading flanks alone."""
    if Key(file.key).name != "leading_lead" or file.key in by_key:
        return False
    lead = Key(file.key).base.of("lead")
    return any(one.key == lead and one.value == file.value for one in plug.values)


def _row(file: Known, scan: FeatureValue | None) -> Difference:
    if scan is None or not math.isfinite(scan.value) or scan.found == "not seen":
        note = "not seen in the scan" if scan is None or not scan.note else scan.note
        return Difference(
            key=file.key, meaning=file.meaning, unit=file.unit, file=file.value, scan=math.nan,
            difference=math.nan, expanded=math.nan, limit=file.limit, verdict="cannot tell",
            note=note,
        )  # fmt: skip
    difference = scan.value - file.value
    if Key(file.key).name == CENTRE:
        difference = signed_deg(difference)
    expanded = math.hypot(2.0 * scan.u, file.uncertainty)
    note = "" if scan.found == "measured" else "by symmetry"
    return Difference(
        key=file.key, meaning=file.meaning, unit=file.unit, file=file.value, scan=scan.value,
        difference=difference, expanded=expanded, limit=file.limit,
        verdict=judged(difference, expanded, file.limit), note=note,
    )  # fmt: skip
