"""What a judgement takes for granted, each with its source."""

from __future__ import annotations

from bayonet.checks.making import machining
from bayonet.designfile import usual
from bayonet.findings import PRACTICE
from bayonet.parts import Design, spread_of, usual_squeeze
from bayonet.standards import Measures
from bayonet.strength import NOTCH, NOTCH_SOURCE

_PRESET = "preset of the process; common practice, no source"


def _squeeze_assumed(design: Design) -> tuple[str, ...]:
    seal = design.spec.socket.seal
    if seal.squeeze is not None or seal.bore_diameter is not None or design.socket.ring is None:
        return ()
    target = 100 * usual_squeeze(design.plug, design.socket.ring)
    return (f"Target squeeze {target:g} %, the middle of what its section is allowed.",)


def _measured_with(design: Design) -> str:
    """What plain numbers of the plug are taken to be uncertain by."""
    told, plug = design.spec.plug.measured_with, design.plug
    across, down = 2.0 * plug.lug_body.radius_mm, plug.lugs[0].bearing_depth_mm
    rows: tuple[tuple[str, Measures, float], ...] = (
        ("diameters, widths and thicknesses", "outside", across),
        ("depths and the groove's width", "depth", down),
    )
    gauges = [(words, usual(told, kind, size)) for words, kind, size in rows]
    known = [f"{words} {g.expanded_u:g} mm ({g.name}: {g.source})" for words, g in gauges if g]
    if not known:
        return "Plain sizes of the plug are taken as exact: measured_with names no instrument."
    return (
        f"Plain sizes of the plug are uncertain (k = 2) by what a {told} measures with:"
        f" {'; '.join(known)}. Give u, readings with their resolution, or measured_with. A plain"
        " lead or angle is taken as exact."
    )


def assumptions_of(design: Design) -> tuple[str, ...]:
    """Sentences on what was taken for granted in judging a design."""
    spread = spread_of(design.spec.plug)
    plug = design.plug
    across, down = 2.0 * plug.lug_body.radius_mm, plug.lugs[0].bearing_depth_mm
    limits, gaps = design.socket.tolerance, design.socket.clearance
    return (
        _measured_with(design),
        f"Other plugs lie within ±{spread.diameter_mm(across):g} mm (diameters),"
        f" ±{spread.length_mm(down):g} mm (depths, widths) and ±{spread.angle_deg(across / 2):g}"
        f" deg of this one where the file gives no limits of its own ({design.spec.plug.made_by}:"
        f" {spread.words}).",
        f"The socket is made within ±{limits.diameter_mm:g} mm (diameters), ±{limits.length_mm:g}"
        f" mm (depths, widths) and ±{limits.angle_deg:g} deg"
        f" ({design.socket.process}: {_PRESET}, or the file).",
        f"Clearances: body {gaps.body_diametral_mm:g} mm on diameter, lug radial"
        f" {gaps.lug_radial_mm:g}, side {gaps.lug_side_mm:g}, axial {gaps.axial_mm:g}, floor"
        f" {gaps.floor_mm:g}, nose {gaps.nose_mm:g} mm.",
        *_squeeze_assumed(design),
        *machining.assumption(design),
        "The turn is what the socket's stop makes it; uncertainty of a measured turn changes"
        " nothing.",
        "Proof of motion: a flank may lie anywhere within its zone, so lead and form errors inside"
        " it are covered; tilt, eccentricity and heat are in the dimension chains.",
        *_of_chains(design),
        *_of_strength(design),
    )


def _of_strength(design: Design) -> tuple[str, ...]:
    """What load and handling take for granted."""
    service = design.spec.service
    grip = "given" if service.grip_diameter is not None else "taken as the shoulder's diameter"
    return (
        f"Load: proof pressure {service.proof_factor:g} times working pressure, pressure centred;"
        " factors of safety by the kind of material where the file gives none; sections at the"
        " least favourable end of every zone, the load on the part of a lug under its roof"
        f" ({PRACTICE}). Stress concentration {NOTCH:g} at sharp corners of cast and plastic"
        f" parts ({NOTCH_SOURCE}).",
        f"Handling: lugs and ring {service.lubrication}; grip {grip}.",
    )


def _of_chains(design: Design) -> tuple[str, ...]:
    """What the dimension chains take for granted."""
    made, limits = design.spec.production, design.socket.limits
    spread = spread_of(design.spec.plug)
    as_cut = (
        "A cutter is named: chains take the track without the arc and the overcut it leaves, which"
        " the proof of motion has.",
    )
    return (
        *(as_cut if design.spec.socket.cutter is not None else ()),
        f"Chains: plugs {made.plug_shape} within their limits (limits at three standard"
        f" deviations), the socket {made.socket_shape} within its own; the plug lies anywhere in"
        f" its clearance. Independent but where the file says otherwise ({PRACTICE}).",
        f"Axis of lugs within a zone of {spread.coaxiality_mm:g} mm, of tracks"
        f" {limits.coaxiality_mm:g} mm, of further body steps {spread.step_coaxiality_mm:g} mm, of"
        f" the groove {spread.groove_coaxiality_mm:g} mm, of the sealing bore"
        f" {limits.seal_coaxiality_mm:g} mm; tilt ±{spread.tilt_deg:g} and"
        f" ±{limits.tilt_deg:g} deg; lead ±{spread.lead_mm_per_rev:g} and"
        f" ±{limits.lead_mm_per_rev:g} mm/rev ({_PRESET}, or the file).",
    )
