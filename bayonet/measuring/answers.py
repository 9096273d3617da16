"""What a person answers to the question for a letter, as a value of the design file."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from bayonet.errors import UnitError
from bayonet.measuring.letters import Letter
from bayonet.units import LENGTH_UNITS_MM, parse

UNKNOWN = ("unknown", "?", "none", "-", "")
_GIVE_OR_TAKE = re.compile(r"\s*(?:\+/-|\+-|±|give or take)\s*")
_UNIFORM = math.sqrt(3.0)
_FLATTEST = 12.0
"""Turn over which a ramp leads flat lugs in before they lie on a dwell [deg], as in the starting
file."""

_STEEP_DEG, _ROOM_MM = 30, 3.4
"""Steepest usual lead-in, and the room below which it is taken (common practice, no source)."""


@dataclass(frozen=True, kw_only=True)
class Answer:
    """A value as the file takes it, None where it is not known, and the unit it was given in."""

    value: Any
    unit: str


def answer(text: str, letter: Letter, *, unit: str) -> Answer:
    """Read an answer.

    Parameters
    ----------
    text : str
        A number with or without its unit; several readings with blanks or semicolons between;
        ``32 +- 0.5`` for a rough value; ``unknown``.
    letter : Letter
    unit : str
        Of a number without one, for lengths.

    Returns
    -------
    Answer
        ``unit`` is the one to remember for the next question.

    Raises
    ------
    UnitError
        If it cannot be read; the message says what can.

    Examples
    --------
    >>> from bayonet.measuring import letters_of
    >>> body = letters_of()[1]
    >>> answer("32.02 31.98", body, unit="mm").value
    {'readings': [32.02, 31.98]}
    >>> answer("1 1/4 in", body, unit="mm")
    Answer(value='1 1/4 in', unit='in')

    Within half a millimetre, all values alike: a standard uncertainty of 0.5 / sqrt(3)
    (JCGM 100, 4.3.7).

    >>> answer("32 +- 0.5", body, unit="mm").value
    {'value': 32.0, 'u': 0.2887}
    """
    text = text.strip()
    if text.lower() in UNKNOWN:
        return Answer(value=None, unit=unit)
    match letter.kind:
        case "count":
            if not text.isdigit():
                raise UnitError("a whole number, for example 3")
            return Answer(value=int(text), unit=unit)
        case "hand":
            hand = {"r": "right", "l": "left"}.get(text.lower()[:1])
            if hand is None:
                raise UnitError("right or left")
            return Answer(value=hand, unit=unit)
        case "angle":
            return Answer(value=_several(text, "deg"), unit=unit)
        case _:
            used = _unit_of(text) or unit
            return Answer(value=_several(text, used), unit=used)


def _unit_of(text: str) -> str:
    found = re.search(r"[^\d\s./+;±-]+$", text.strip())
    word = found.group() if found else ""
    return word if word in LENGTH_UNITS_MM else ""


def _several(text: str, unit: str) -> Any:
    rough = _GIVE_OR_TAKE.split(text, maxsplit=1)
    if len(rough) == 2:
        value, half = (_bare(part, unit) for part in rough)
        if not half > 0.0:
            raise UnitError("after +- give how far off it may be, more than 0")
        u = float(f"{half / _UNIFORM:.4g}")
        if unit in ("mm", "deg"):
            return {"value": value, "u": u}
        return {"value": f"{value:g} {unit}", "u": f"{u:g} {unit}"}
    parts = [part for part in re.split(r"\s*;\s*", text) if part]
    if len(parts) == 1 and _all_plain(text):
        parts = text.split()
    found = [_one(part, unit) for part in parts]
    return found[0] if len(found) == 1 else {"readings": found}


def _all_plain(text: str) -> bool:
    """Whether blanks part readings, not a whole number from its fraction or unit."""
    return "/" not in text and all(re.fullmatch(r"[+-]?[\d.]+", one) for one in text.split())


def _one(text: str, unit: str) -> Any:
    number = _bare(text, unit)
    if unit in ("mm", "deg"):
        return number
    return text.strip() if _unit_of(text) else f"{text.strip()} {unit}"


def _bare(text: str, unit: str) -> float:
    """The number in its unit; refuses what cannot be read."""
    kind = "angle" if unit == "deg" else "length"
    named = text if re.search(r"[^\d\s./+-]", text) else f"{text} {unit}"
    size = 1.0 if kind == "angle" else LENGTH_UNITS_MM[unit]
    return float(f"{parse(named, kind=kind) / size:.12g}")  # type: ignore[arg-type]


def value_mm(value: Any, *, kind: str = "length") -> float:
    """Middle of an answer in mm or degrees."""
    if isinstance(value, Mapping):
        several = value.get("readings") or [value["value"]]
        return sum(value_mm(one, kind=kind) for one in several) / len(several)
    return parse(value, kind=kind) if isinstance(value, str) else float(value)  # type: ignore[arg-type]


def fields_of(answers: Mapping[str, Any], letters: tuple[Letter, ...]) -> dict[str, Any]:
    """Dotted fields of the design file from answers by letter.

    Parameters
    ----------
    answers : mapping of str
        Values as `answer` gives them; None where a size is not known. ``P1`` and ``P2`` stand
        for ``P``, as ``V1`` and ``V2`` do for ``V``.
    letters : tuple of Letter

    Returns
    -------
    dict
        None takes the field out of the starting file.

    Examples
    --------
    12 mm wide at 36 mm is 38.94 deg; 0.5 mm over it is 4.62 mm a turn.

    >>> from bayonet.measuring import letters_of
    >>> found = fields_of({"P1": 5.5, "P2": 5.0, "G": 12.0, "F": 36.0}, letters_of())
    >>> round(found["plug.lugs.lead"], 2)
    4.62
    """
    found = {
        one.field: answers[one.letter]
        for one in letters
        if one.letter in answers and not one.field.startswith("plug.body")
    }
    found.update(_body(answers))
    bearing, far = _lead(answers, "P"), _lead(answers, "V")
    if bearing is not None:
        found["plug.lugs.lead"] = bearing or None
    if far is not None and far != (bearing or 0.0):
        found["plug.lugs.leading_lead"] = far
    flat = not found.get("plug.lugs.lead")
    if flat:
        found["plug.lugs.lead"] = None
    found.update(_lead_in(answers))
    if answers.get("Q") is not None:
        found.update(_track(value_mm(answers["Q"], kind="angle"), flat=flat))
    return found


def _body(answers: Mapping[str, Any]) -> dict[str, Any]:
    if answers.get("B") is None or answers.get("C") is None:
        return {}
    steps = [{"diameter": answers["B"], "to_depth": answers["C"]}]
    if answers.get("D") is not None and answers.get("E") is not None:
        steps.append({"diameter": answers["D"], "to_depth": answers["E"]})
    return {"plug.body": steps}


def _lead(answers: Mapping[str, Any], letter: str) -> float | None:
    """Advance per turn from the depths of a flank at both ends [mm/rev]; None where not told."""
    ends = [answers.get(f"{letter}{end}") for end in (1, 2)]
    if None in ends or answers.get("G") is None or answers.get("F") is None:
        return None
    fall = value_mm(ends[0]) - value_mm(ends[1])
    ratio = value_mm(answers["G"]) / value_mm(answers["F"])
    if not 0.0 < ratio < 1.0:
        return None
    angle = 2.0 * math.degrees(math.asin(ratio))
    return max(round(fall * 360.0 / angle, 3), 0.0)


def _lead_in(answers: Mapping[str, Any]) -> dict[str, Any]:
    """A steeper lead-in for the ring where the body's step leaves little room before the groove."""
    step, groove, nose = (answers.get(letter) for letter in ("C", "L", "E"))
    if step is None or groove is None or nose is None:
        return {}
    room = value_mm(groove) - value_mm(step)
    return {"socket.seal.lead_in_angle_deg": _STEEP_DEG} if 0.0 < room < _ROOM_MM else {}


def _track(turn_deg: float, *, flat: bool) -> dict[str, Any]:
    """A ramp, then a dwell for flat lugs; lugs with a lead bring their own ramp."""
    if not flat:
        return {"socket.track.lead": None, "socket.track.dwell_deg": None}
    dwell = max(turn_deg - _FLATTEST, turn_deg / 2.0)
    return {"socket.track.dwell_deg": round(dwell, 1)}
