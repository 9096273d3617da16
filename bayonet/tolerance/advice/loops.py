"""The loop of dimensions behind a chain, for its picture: what adds to the gap, what takes away."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from bayonet.parts import Design


@dataclass(frozen=True, kw_only=True)
class Link:
    """One dimension of a loop.

    Parameters
    ----------
    meaning : str
    value : float
        [unit of the chain's lengths]
    sign : {1, -1}
        +1 where it adds to the chain's quantity.
    owner : str
        plug, socket or ring.
    """

    meaning: str
    value: float
    sign: int
    owner: str


def loop_of(design: Design, key: str) -> tuple[Link, ...]:
    """The dimensions of a chain, at nominal size and of its first lug.

    Parameters
    ----------
    design : Design
    key : str
        Of the chain.

    Returns
    -------
    tuple of Link
        Empty where the quantity is no simple sum.

    Examples
    --------
    >>> import bayonet
    >>> loop = loop_of(bayonet.loads(bayonet.starting_file()), "lug_radial")
    >>> [(link.owner, link.sign) for link in loop]
    [('socket', 1), ('plug', -1)]
    """
    make = _LOOPS.get(key)
    return () if make is None else make(design)


def _socket(meaning: str, value: float, sign: int = 1) -> Link:
    return Link(meaning=meaning, value=value, sign=sign, owner="socket")


def _plug(meaning: str, value: float, sign: int = -1) -> Link:
    return Link(meaning=meaning, value=value, sign=sign, owner="plug")


def _lug_radial(design: Design) -> tuple[Link, ...]:
    return (
        _socket("track wall radius", design.socket.tracks[0].outer_radius_mm),
        _plug("lug radius", design.plug.lugs[0].outer_radius_mm),
    )


def _body_radial(design: Design) -> tuple[Link, ...]:
    step = design.plug.lug_body
    bore = design.socket.track_bore_radius_mm
    return (_socket("bore radius", bore), _plug("body radius", step.radius_mm))


def _body_in_seal(design: Design) -> tuple[Link, ...]:
    return (
        _socket("sealing bore radius", design.socket.seal_radius_mm or 0.0),
        _plug("body radius", design.plug.groove_body.radius_mm),
    )


def _lugs_pass_seal(design: Design) -> tuple[Link, ...]:
    return (
        _socket("sealing bore radius", design.socket.seal_radius_mm or 0.0),
        _plug("lug radius", design.plug.lugs[0].outer_radius_mm),
    )


def _lug_overlap(design: Design) -> tuple[Link, ...]:
    return (
        _plug("lug radius", design.plug.lugs[0].outer_radius_mm, 1),
        _socket("bore radius", design.socket.track_bore_radius_mm, -1),
    )


def _slot_side(design: Design) -> tuple[Link, ...]:
    track, lug = design.socket.tracks[0], design.plug.lugs[0]
    radius = lug.outer_radius_mm
    return (
        _socket("half the slot [deg]", float(track.slot.at(radius))),
        _plug("half the lug [deg]", float(lug.half.at(radius))),
    )


def _axial_play(design: Design) -> tuple[Link, ...]:
    lug, track = design.plug.lugs[0], design.socket.tracks[0]
    at_stop = float(lug.bearing_at(lug.half.at(lug.outer_radius_mm), radius_mm=lug.outer_radius_mm))
    return (
        _plug("flank depth at the lug's end", at_stop, 1),
        _socket("roof depth at the stop", track.roof[-1][1], -1),
    )


def _floor_gap(design: Design) -> tuple[Link, ...]:
    lug, track = design.plug.lugs[0], design.socket.tracks[0]
    at_end = float(lug.bearing_at(lug.half.at(lug.outer_radius_mm), radius_mm=lug.outer_radius_mm))
    return (
        _socket("floor depth at the stop", track.floor[-1][1]),
        _plug("flank depth at the lug's end", at_end),
        _plug("lug thickness", lug.thickness_mm),
    )


def _nose_gap(design: Design) -> tuple[Link, ...]:
    return (
        _socket("floor depth", design.socket.nose_floor_mm or 0.0),
        _plug("nose depth", design.plug.nose_depth_mm),
    )


def _detent_pass(design: Design) -> tuple[Link, ...]:
    lug, track = design.plug.lugs[0], design.socket.tracks[0]
    return (
        _plug("flank depth", lug.bearing_depth_mm, 1),
        _socket("detent depth", max(depth for _, depth in track.roof[1:-1]), -1),
    )


def _squeeze(design: Design) -> tuple[Link, ...]:
    ring, groove = design.socket.ring, design.plug.groove
    if ring is None:
        return ()
    section = Link(meaning="ring section", value=ring.section_mm, sign=1, owner="ring")
    if design.socket.seal_radius_mm is None:
        return (section, _plug("groove depth", groove.cut_mm))
    return (
        section,
        _plug("groove radius", groove.radius_mm, 1),
        _socket("sealing bore radius", design.socket.seal_radius_mm, -1),
    )


def _gap(design: Design) -> tuple[Link, ...]:
    return (
        _socket("sealing bore", 2.0 * (design.socket.seal_radius_mm or 0.0)),
        _plug("body beside the groove", 2.0 * design.plug.groove_body.radius_mm),
    )


_LOOPS: dict[str, Callable[[Design], tuple[Link, ...]]] = {
    "lug_radial": _lug_radial,
    "body_radial": _body_radial,
    "body_in_seal": _body_in_seal,
    "lugs_pass_seal": _lugs_pass_seal,
    "lug_overlap": _lug_overlap,
    "slot_side": _slot_side,
    "axial_play": _axial_play,
    "floor_gap": _floor_gap,
    "nose_gap": _nose_gap,
    "detent_pass": _detent_pass,
    "squeeze": _squeeze,
    "open_side": _squeeze,
    "gap": _gap,
}
