"""Random design files over the whole legal space, and well past its edges. Invented numbers."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

import bayonet
from bayonet.parts.design import changed


def as_drawn(design: bayonet.Design) -> bayonet.Design:
    """Its plain sizes as of a drawing, without an instrument's uncertainty, for sums by hand."""
    return changed(design, [("plug.measured_with", "drawing")])


def _number(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False).map(lambda x: round(x, 3))


@st.composite
def designs(draw: st.DrawFn) -> dict[str, Any]:
    """A design mapping; most can be drawn, some break a rule between tables."""
    layout = draw(st.sampled_from("ABC"))
    seating = draw(st.sampled_from(["stop", "stop", "clamp"]))
    count = draw(st.integers(2, 8))
    body_d = draw(_number(18.0, 60.0))
    lug_d = round(body_d + draw(_number(3.0, 12.0)), 3)
    bearing = draw(_number(4.0, 9.0))
    thickness = draw(_number(1.5, 6.0))
    lugs = draw(_lugs(count, lug_d, bearing, thickness))
    lead = draw(st.one_of(st.just(0.0), _number(0.5, 14.0)))
    if seating == "clamp":
        lead = round(8.0 + lead / 2, 3)
    if draw(st.booleans()) or seating == "clamp":
        lugs["lead"] = lead
    spacing = 360.0 / count
    width = spacing * draw(_number(0.18, 0.38))
    lugs["width_deg"] = round(width, 3)
    turn = round(spacing - width - draw(_number(4.0, 10.0)) - width * 0.4, 3)
    plug: dict[str, Any] = {
        "hand": draw(st.sampled_from(["left", "right"])),
        "turn_deg": max(turn, 3.0),
        "nose_chamfer": draw(st.sampled_from([0.0, 0.4, 1.0])),
        "made_by": draw(st.sampled_from(["moulded", "machined", "cast", "printed"])),
        "lugs": lugs,
    }
    socket: dict[str, Any] = {
        "seating": seating,
        "process": (
            "machined"
            if seating == "clamp"
            else draw(st.sampled_from(["printed", "machined", "cast"]))
        ),
        "wall": draw(_number(2.0, 6.0)),
        "track": draw(_track(lead, seating)),
        "seal": {"ring_section": 2.62, "squeeze": draw(_number(0.1, 0.25))},
    }
    if seating == "clamp":
        plug["made_by"] = "machined"
        socket["stop"] = {"overtravel_deg": draw(_number(6.0, 14.0))}
        plug["turn_deg"] = max(plug["turn_deg"] - socket["stop"]["overtravel_deg"], 3.0)
    mount = draw(st.sampled_from(["boss", "flange", "weld"]))
    _add_layout(draw, layout, plug, socket, body_d, lug_d, bearing, thickness)
    if mount == "flange":
        outside = 2 * plug["shoulder_diameter"]
        socket["mount"] = {
            "flange": {
                "diameter": outside + 40, "thickness": 5.0, "bolt_circle": outside + 22,
                "bolts": draw(st.integers(2, 12)), "bolt_hole": 6.6,
            }
        }  # fmt: skip
    if mount == "weld":
        socket["mount"] = {"weld": {"bevel_width": 1.5, "land": draw(_number(0.0, 2.0))}}
    return {"design": {"name": "random"}, "plug": plug, "socket": socket}


@st.composite
def _lugs(
    draw: st.DrawFn, count: int, lug_d: float, bearing: float, thickness: float
) -> dict[str, Any]:
    common: dict[str, Any] = {
        "sides": draw(st.sampled_from(["radial", "parallel"])),
        "outer_diameter": lug_d,
        "thickness": thickness,
        "bearing_depth": bearing,
    }
    if draw(st.booleans()):
        return {**common, "count": count, "first_at_deg": draw(_number(0.0, 90.0))}
    spacing = 360.0 / count
    each: list[dict[str, Any]] = []
    for index in range(count):
        one: dict[str, Any] = {"centre_deg": round(index * spacing + draw(_number(-2.0, 2.0)), 3)}
        if draw(st.booleans()):
            one["width_deg"] = round(spacing * draw(_number(0.15, 0.3)), 3)
        if draw(st.booleans()):
            one["thickness"] = round(thickness + draw(_number(0.0, 0.6)), 3)
        each.append(one)
    return {**common, "each": each}


@st.composite
def _track(draw: st.DrawFn, lead: float, seating: str) -> dict[str, Any]:
    track: dict[str, Any] = {
        "lead": lead,
        "floor": draw(st.sampled_from(["level", "parallel"])),
        "floor_slope_deg": draw(st.sampled_from([0.0, 0.0, 30.0, 45.0])),
    }
    if seating == "stop":
        if draw(st.booleans()):
            track["dwell_deg"] = draw(_number(0.5, 12.0))
        if draw(st.booleans()):
            track["detent"] = {"height": draw(_number(0.05, 0.4)), "crest_deg": draw(_number(0, 2))}
    return track


def _add_layout(
    draw: st.DrawFn, layout: str, plug: dict[str, Any], socket: dict[str, Any],
    body_d: float, lug_d: float, bearing: float, thickness: float,
) -> None:  # fmt: skip
    """Put body steps, groove and shoulder where the layout has them."""
    lug_end = bearing + thickness
    if layout == "A":
        nose_d = round(body_d - draw(_number(4.0, 8.0)), 3)
        start = lug_end + 4.0
        plug["body"] = [
            {"diameter": body_d, "to_depth": start},
            {"diameter": nose_d, "to_depth": start + 18.0},
        ]
        plug["groove"] = {
            "diameter": round(nose_d - 4.05, 3), "at_depth": start + draw(_number(6.5, 8.0)),
            "width": 3.6, "corner_radius": draw(st.sampled_from([0.0, 0.3])),
        }  # fmt: skip
        plug["shoulder_diameter"] = round(lug_d + 8.0, 3)
    elif layout == "B":
        head_d = round(lug_d + draw(_number(3.0, 6.0)), 3)
        shift = 12.0
        for key in ("bearing_depth",):
            plug["lugs"][key] = round(bearing + shift, 3)
        plug["body"] = [
            {"diameter": head_d, "to_depth": shift - 2.0},
            {"diameter": body_d, "to_depth": lug_end + shift + 5.0},
        ]
        plug["groove"] = {"diameter": round(head_d - 4.05, 3), "at_depth": 5.0, "width": 3.6}
        plug["shoulder_diameter"] = round(head_d + 10.0, 3)
    else:
        plug["body"] = [{"diameter": body_d, "to_depth": lug_end + 6.0}]
        if draw(st.booleans()):
            inner = lug_d + 4.0
            plug["groove"] = {
                "kind": "shoulder_face", "diameter": inner, "width": 3.5, "depth": 2.0,
                "corner_radius": draw(st.sampled_from([0.0, 0.4])),
            }  # fmt: skip
            plug["shoulder_diameter"] = round(inner + 12.0, 3)
        else:
            plug["groove"] = {
                "kind": "nose_face", "diameter": body_d - 11.0, "width": 3.0, "depth": 2.0,
            }  # fmt: skip
            plug["shoulder_diameter"] = round(lug_d + 8.0, 3)
            socket["passage_diameter"] = round(body_d - 13.0, 3)
    if layout != "C" and draw(st.booleans()):
        socket["passage_diameter"] = round(body_d * 0.4, 3)
