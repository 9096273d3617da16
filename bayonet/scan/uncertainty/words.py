"""What a fit is said to be, in words: names of dimensions, warnings."""

from __future__ import annotations

from bayonet.scan.fit import FeatureValue, Key
from bayonet.scan.uncertainty.hidden_lugs import Completed
from bayonet.scan.uncertainty.uncertainty import Uncertainty

WORDS = {
    "shoulder_diameter": "shoulder diameter",
    "groove.diameter": "groove: diameter",
    "groove.width": "groove: width",
    "groove.at_depth": "groove: depth of its nearer wall",
    "groove.depth": "groove: depth",
    "centre_deg": "middle",
    "width": "width",
    "width_deg": "width",
    "outer_diameter": "diameter over it",
    "thickness": "thickness",
    "bearing_depth": "depth of bearing flank",
    "lead": "lead",
    "leading_lead": "lead of its leading flank",
    "bearing_flank_deg": "slope of its bearing flank",
    "leading_flank_deg": "slope of its leading flank",
    "diameter": "diameter",
    "to_depth": "depth of its end",
}


def warnings_of(
    features: tuple[FeatureValue, ...], set_: Completed, inflate: float,
    is_flat: bool, is_equal: bool,
) -> tuple[str, ...]:  # fmt: skip
    """What to know of a whole result before its values are used."""
    found = []
    if set_.hidden_deg >= 9.0:
        found.append(f"nothing was seen on {set_.hidden_deg:.0f} deg of the way round")
        if not is_equal:
            found.append("lugs are uneven: one more may stand where nothing was seen")
    missing = [one.meaning for one in features if one.found == "not seen"]
    if missing:
        found.append("not seen, no value given: " + "; ".join(missing))
    guessed: dict[str, list[str]] = {}
    for one in features:
        if one.found == "by symmetry":
            lug, what = one.meaning.split(": ", 1)
            guessed.setdefault(lug, []).append(what)
    if guessed:
        told = "; ".join(f"{lug} ({', '.join(what)})" for lug, what in guessed.items())
        found.append(f"by symmetry, if lugs are alike and evenly spaced, not measured: {told}")
    if inflate > 1.3:
        found.append(
            f"errors of neighbouring points go together: uncertainties are {inflate:.1f} times what"
            " errors point by point would give"
        )
    if is_flat:
        found.append("the lugs are flat: their scan does not tell which way locks")
    return tuple(found)


def differences(uncertainty: Uncertainty, place: tuple[int, ...], mm: float) -> list[str]:
    """Lugs that are taken for alike but are not quite, value by value."""
    found = []
    for name, own in uncertainty.unlike.items():
        digits = "+.3f" if name == "centre_deg" else ".3f"
        times = mm if Key(name).unit == "mm" else 1.0
        values = ", ".join(
            f"lug {place[i] + 1} {times * own[i]:{digits}}"
            for i in sorted(own, key=lambda i: place[i])
        )
        unit = "deg off an even pitch" if name == "centre_deg" else Key(name).unit
        found.append(
            f"lugs differ in {WORDS[name]} by more than their uncertainty ({values} {unit}): one"
            " value is given, whose U covers them all"
        )
    return found
