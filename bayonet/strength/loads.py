"""The pressure's end load, what the hand adds, and how the lugs share it."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.mechanics import lug as formula
from bayonet.mechanics import sharing
from bayonet.parts import Design, spread_of
from bayonet.strength.contact import Contact
from bayonet.strength.material import Body
from bayonet.tolerance.fitting import Land, lands

Array = NDArray[np.float64]


def sealed_radius_mm(design: Design) -> tuple[float, str]:
    """Greatest radius the pressure acts on [mm], and what it is.

    Radial rings seal on the bore, at its upper limit. A face seal's ring is pushed to the outer
    wall of its groove, at its upper limit. Under a gasket it may reach
    its outer edge; without a seal it stands in the tracks.

    Examples
    --------
    >>> from bayonet.parts.design import loads
    >>> from bayonet.measuring import starting_file
    >>> sealed_radius_mm(loads(starting_file()))[1]
    'sealing bore'
    """
    socket = design.socket
    if socket.seal_radius_mm is not None:
        return socket.seal_radius_mm + socket.limits.sealing_bore_mm / 2.0, "sealing bore"
    if socket.gasket is not None:
        return socket.gasket.outer_radius_mm, "outside of the gasket"
    if design.plug.ring_groove is None:
        wall = socket.track_radius_mm + socket.limits.track_wall_mm / 2.0
        return wall, "walls of the tracks, for nothing seals"
    groove = design.plug.groove
    outer = groove.end_mm + groove.radius_zone_mm + groove.width_zone_mm
    return outer, "outer wall of the face seal's groove"


def end_load_n(pressure_mpa: float, radius_mm: float) -> float:
    r"""End load of a pressure on a sealed disc: :math:`p \pi r^2` [N].

    References
    ----------
    .. [1] Pressure on the sealed circle: closed form.

    Examples
    --------
    1 MPa on 20 mm diameter: 314 N.

    >>> round(end_load_n(1.0, 10.0))
    314
    """
    return pressure_mpa * math.pi * radius_mm**2


@dataclass(frozen=True, kw_only=True)
class Shares:
    """How the lugs share the end load at proof pressure.

    Parameters
    ----------
    most : array, shape (lugs,)
        Greatest share each may have to carry, over all errors of position [-].
    rigid : array, shape (lugs,)
        The same if nothing gave way.
    elastic : bool
        Whether ``most`` counts on the stiffness of lugs and ledges; else it is ``rigid``.
    may_tilt : bool
        Whether the plug can tilt far enough in its bore to bring the lugs to bear.
    ahead_mm : float
        How far the worst lug may stand ahead of its place [mm].
    """

    most: Array
    rigid: Array
    elastic: bool
    may_tilt: bool
    ahead_mm: float


def shares(design: Design, contact: Contact, *, force_n: float, plug: Body, socket: Body) -> Shares:
    """How the lugs share a centred end load.

    Parameters
    ----------
    design : Design
    contact : Contact
        At the least favourable dimensions.
    force_n : float
        End load [N].
    plug, socket : Body
        Their stiffness; rigid bounds are taken where it is not known.

    Returns
    -------
    Shares
    """
    limits = design.socket.limits
    angles = [lug.centre_deg for lug in design.plug.lugs]
    ahead = np.array([lug.zone.bearing_mm + limits.roof_mm for lug in design.plug.lugs])
    radius = float(contact.radius_mm.mean())
    tilts = design.socket.seating == "stop" and (
        sharing.tilt_needed_deg(float(ahead.max()), radius_mm=radius) <= tilt_free_deg(design)
    )
    rigid = sharing.most_rigid_share(angles, may_tilt=tilts)
    stiff = _stiffness(contact, plug, socket)
    if stiff is None or not force_n > 0.0:
        return Shares(
            most=rigid, rigid=rigid, elastic=False, may_tilt=tilts, ahead_mm=float(ahead.max())
        )
    most = sharing.most_elastic_share(
        angles, stiffness_n_per_mm=stiff, ahead_mm=ahead, force_n=force_n, radius_mm=radius,
        may_tilt=tilts,
    )  # fmt: skip
    return Shares(most=most, rigid=rigid, elastic=True, may_tilt=tilts, ahead_mm=float(ahead.max()))


def _stiffness(contact: Contact, plug: Body, socket: Body) -> Array | None:
    """Lug and ledge one after the other [N/mm]; None where a stiffness is not known."""
    if None in (plug.modulus_mpa, plug.poisson, socket.modulus_mpa, socket.poisson):
        return None
    give = formula.compliance_mm_per_n(
        arm_mm=contact.lug_arm_mm, width_mm=contact.lug_spring_width_mm,
        thickness_mm=contact.lug_spring_thickness_mm, modulus_mpa=plug.modulus_mpa or 0.0,
        poisson=plug.poisson or 0.0,
    ) + formula.compliance_mm_per_n(
        arm_mm=contact.ledge_arm_mm, width_mm=contact.ledge_width_mm,
        thickness_mm=contact.ledge_thickness_mm, modulus_mpa=socket.modulus_mpa or 0.0,
        poisson=socket.poisson or 0.0,
    )  # fmt: skip
    return np.asarray(1.0 / give)


def tilt_free_deg(design: Design) -> float:
    r"""Least tilt that every land of the body in its bores leaves the plug, in any direction [deg].

    The axis of the plug is a straight line that passes within :math:`g_i` of the axis of bore i at
    both ends of land i. Ends i and j let it lean by no more than

    .. math:: \tan\theta = \frac{g_i + g_j - e_{ij}}{|z_i - z_j|}

    and the least over all pairs can be reached (Helly's theorem on a line). :math:`g` is the
    least radial gap over the zone, :math:`e_{ij}` how far the axes of two lands and their bores
    may lie apart. The ring's own stiffness is counted as none.

    Examples
    --------
    See `tests/strength/test_guides.py`.
    """
    ends = [
        (depth, one) for one in lands(design.plug, design.socket)
        for depth in (one.from_mm, one.to_mm)
    ]  # fmt: skip
    slopes = [
        max(_least_gap_mm(design, a) + _least_gap_mm(design, b) - _apart_mm(design, a, b), 0.0)
        / abs(deep - high)
        for (high, a), (deep, b) in itertools.combinations(ends, 2)
        if deep != high
    ]
    return math.degrees(math.atan(min(slopes))) if slopes else 90.0


def _least_gap_mm(design: Design, land: Land) -> float:
    """Radial gap of a land, the largest body in the least bore [mm]."""
    step, socket = design.plug.body[land.step], design.socket
    if land.bore == "sealing_bore":
        bore = (socket.seal_radius_mm or 0.0) - socket.limits.sealing_bore_mm / 2.0
    else:
        bore = socket.track_bore_radius_mm - socket.limits.track_bore_mm / 2.0
    return max(bore - step.radius_mm - step.radius_zone_mm, 0.0)


def _apart_mm(design: Design, a: Land, b: Land) -> float:
    """How far the axes of two lands, and of their bores, may lie apart together [mm]."""
    steps = spread_of(design.spec.plug).step_coaxiality_mm / 2.0
    bores = design.socket.limits.seal_coaxiality_mm / 2.0
    datum = design.plug.body.index(design.plug.lug_body)
    moved = 0 if a.step == b.step else sum(land.step != datum for land in (a, b))
    return moved * steps + (a.bore != b.bore) * bores
