"""Random plugs of the forms real ones have: leads flank by flank, sloped flanks, pins, threads.

Built on `generator.random_plug`; invented numbers.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from generator import Params, TruePlug, random_plug

FORMS = (
    "block", "claw", "own leads", "sloped", "thread", "long thread", "pin", "drafted lug",
    "drafted body", "corners", "fillet", "crowned", "no groove", "wide groove", "no shoulder",
)  # fmt: skip
TAPERED = 0.03  # of a drafted body, per mm


def random_form(rng: np.random.Generator, *, form: str | None = None) -> tuple[str, TruePlug]:
    """A plug of a form, at random where none is named; and the form's name."""
    form = form or str(rng.choice(FORMS))
    is_long = form == "long thread"
    count = int(rng.integers(2, 4)) if is_long else int(rng.integers(2, 7))
    fixed: dict[str, object] = {"count": count}
    if is_long or form == "pin":
        fixed["equal"] = True
    if form == "no shoulder":  # else its wider step is one
        fixed["layout"] = str(rng.choice(["A", "C"]))
    plug = random_plug(rng, **fixed)
    p = dict(plug.p)
    if form in ("claw", "own leads", "thread", "long thread", "sloped"):
        p = _led(p, plug, form, rng)
    made = replace(plug, p=p)
    if form == "pin":
        made = _pinned(made, rng)
    if form == "drafted lug":
        made = replace(made, lug_draft=float(rng.uniform(0.02, 0.06)), edge=0.0)
    if form == "drafted body":
        made = replace(made, taper=TAPERED)
    if form == "corners":
        made = replace(made, corner_break=_share(made, rng, 0.12, 0.3), edge=0.0)
    if form == "fillet" or (form in ("claw", "own leads") and rng.random() < 0.3):
        made = replace(made, fillet=_share(made, rng, 0.1, 0.3), edge=0.0)
    if form == "crowned":
        made = replace(made, crown=float(rng.uniform(0.08, 0.2)), edge=0.0)
    if form in ("no groove", "no shoulder") or (form == "claw" and rng.random() < 0.3):
        made = _without_groove(made)
    if form == "wide groove":
        made = _wide_groove(made, rng)
    if form == "no shoulder":
        made = replace(made, has_shoulder=False)
    return form, _roomy(made)


def _share(plug: TruePlug, rng: np.random.Generator, low: float, high: float) -> float:
    p, step = plug.p, plug.lug_step
    height = (p["lug.0.outer_diameter"] - p[f"body.{step}.diameter"]) / 2
    return float(rng.uniform(low, high) * min(p["lug.0.thickness"], height))


def _led(p: Params, plug: TruePlug, form: str, rng: np.random.Generator) -> Params:
    """Leads and slopes of flanks; widths of long threads."""
    wide = math.degrees(2 * math.asin(p["lug.0.width"] / p["lug.0.outer_diameter"])) \
        if plug.parallel else p["lug.0.width_deg"]  # fmt: skip
    thick = p["lug.0.thickness"]
    height = (p["lug.0.outer_diameter"] - p[f"body.{plug.lug_step}.diameter"]) / 2
    lead, leading, slopes, width = p["lug.0.lead"], None, (0.0, 0.0), None
    if form == "claw":
        lead, leading = rng.uniform(6.0, 20.0), 0.0
    if form == "own leads":
        lead, leading = rng.uniform(0.0, 16.0), rng.uniform(0.0, 16.0)
    if form in ("sloped", "thread", "long thread"):
        most = math.degrees(math.atan(0.35 * thick / height))
        slopes = tuple(min(rng.uniform(8.0, 45.0), most) for _ in range(2))
        if form == "sloped" and rng.random() < 0.5:
            slopes = (slopes[0], 0.0)
    if form in ("thread", "long thread"):
        slopes = (slopes[0], slopes[0])
        lead = rng.uniform(4.0, 14.0)
    if form == "long thread":
        width = rng.uniform(60.0, min(120.0, 290.0 / plug.count))
        lead = rng.uniform(6.0, 20.0)
    if leading is not None:  # thickness stays above two thirds at both ends
        most = 0.3 * thick * 720.0 / (width or wide)
        leading = lead + float(np.clip(leading - lead, -most, most))
    for i in range(plug.count):
        p[f"lug.{i}.lead"] = float(lead)
        if leading is not None:
            p[f"lug.{i}.leading_lead"] = float(leading)
        for name, slope in zip(("bearing", "leading"), slopes, strict=True):
            if slope:
                p[f"lug.{i}.{name}_flank_deg"] = float(slope)
        if width is not None:
            if plug.parallel:
                p.pop(f"lug.{i}.width")
            p[f"lug.{i}.width_deg"] = float(width)
    return p


def _pinned(plug: TruePlug, rng: np.random.Generator) -> TruePlug:
    p, own = dict(plug.p), plug.p[f"body.{plug.lug_step}.diameter"]
    across = float(rng.uniform(3.0, min(9.0, 0.4 * own)))
    for i in range(plug.count):
        p[f"lug.{i}.thickness"] = across
        p[f"lug.{i}.lead"] = 0.0
    return replace(plug, p=p, form="pin", edge=0.0, parallel=False)


def _without_groove(plug: TruePlug) -> TruePlug:
    p = {key: value for key, value in plug.p.items() if not key.startswith("groove.")}
    return replace(plug, p=p, groove="none", corner=0.0)


def _wide_groove(plug: TruePlug, rng: np.random.Generator) -> TruePlug:
    """A radial groove wider than the lugs are thick; what lies below goes down."""
    if plug.groove != "radial":
        return plug
    p = dict(plug.p)
    more = p["lug.0.thickness"] * rng.uniform(1.2, 1.6) - p["groove.width"]
    if not 0.0 < more < 9.0 - p["groove.width"]:
        return plug
    return replace(plug, p=_sunk({**p, "groove.width": p["groove.width"] + more},
                                 p["groove.at_depth"] + 0.1, more))  # fmt: skip


def _sunk(p: Params, beyond: float, by: float) -> Params:
    """Everything deeper than so much goes down."""
    names = ("to_depth", "at_depth", "bearing_depth")
    return {key: value + by if key.endswith(names) and value > beyond else value
            for key, value in p.items()}  # fmt: skip


def _roomy(plug: TruePlug) -> TruePlug:
    """Lugs clear of what is above and below them on their step."""
    p, step = dict(plug.p), plug.lug_step
    if not plug.parallel and "lug.0.width" in p:
        for i in range(plug.count):
            p[f"lug.{i}.width_deg"] = math.degrees(
                2 * math.asin(p.pop(f"lug.{i}.width") / p[f"lug.{i}.outer_diameter"]))  # fmt: skip
    if plug.parallel and "lug.0.width" not in p:
        plug = replace(plug, parallel=False)
    start = p[f"body.{step - 1}.to_depth"] if step else 0.0
    height = (p["lug.0.outer_diameter"] - p[f"body.{step}.diameter"]) / 2
    tops, lows = [], []
    for i in range(plug.count):
        wide = p.get(f"lug.{i}.width_deg", 30.0)
        reach = [p.get(f"lug.{i}.{name}", p[f"lug.{i}.lead"]) * wide / 720.0
                 for name in ("lead", "leading_lead")]  # fmt: skip
        lean = [height / 2 * math.tan(math.radians(p.get(f"lug.{i}.{name}_flank_deg", 0.0)))
                for name in ("bearing", "leading")]  # fmt: skip
        middle = p[f"lug.{i}.bearing_depth"]
        tops.append(middle - reach[0] - lean[0])
        lows.append(middle + p[f"lug.{i}.thickness"] + reach[1] + lean[1])
    up = max(start + 1.5 - min(tops), 0.0) + (1.0 if plug.fillet else 0.0)
    p = _sunk(p, start + 0.1, up)
    down = max(max(lows) + up + 1.2 + plug.fillet - p[f"body.{step}.to_depth"], 0.0)
    end = p[f"body.{step}.to_depth"]
    for key in list(p):
        if key.endswith(("to_depth", "at_depth")) and p[key] > end - 0.01:
            p[key] += down
    return replace(plug, p=p)
