"""The motion of a design at nominal size and at both ends of its tolerance zone, computed once."""

from __future__ import annotations

from dataclasses import dataclass

from bayonet.developed import Motion, Orientation, analyse, lay_out, orientations
from bayonet.parts import Plug, Socket
from bayonet.tolerance.fitting import Extreme, zones


@dataclass(frozen=True, kw_only=True)
class Proof:
    """Motion of the nominal pair, the tightest and the loosest pair of the zone.

    Parameters
    ----------
    nominal, tightest, loosest : Motion
    orientations : tuple of Orientation
        Ways round in which the smallest plug goes into the widest slots.
    end_deg : float
        Turn at which the stop is meant to be [deg].
    """

    nominal: Motion
    tightest: Motion
    loosest: Motion
    orientations: tuple[Orientation, ...]
    end_deg: float


def motion_of(plug: Plug, socket: Socket, extreme: Extreme = "nominal") -> Motion:
    """Motion of a plug in a socket at nominal size or at an end of the zone."""
    fitting = lay_out(zones.lugs(plug, extreme), zones.tracks(socket, extreme), sign=socket.sign)
    return analyse(fitting, end_deg=end_of(socket))


def end_of(socket: Socket) -> float:
    """Turn at which the stop is meant to be [deg]."""
    return socket.turn_deg + socket.stop_overtravel_deg


def prove(plug: Plug, socket: Socket) -> Proof:
    """Compute the motion of a plug in a socket over the whole tolerance zone.

    Parameters
    ----------
    plug : Plug
    socket : Socket

    Returns
    -------
    Proof
    """
    loose = lay_out(zones.lugs(plug, "loosest"), zones.tracks(socket, "loosest"), sign=socket.sign)
    return Proof(
        nominal=motion_of(plug, socket),
        tightest=motion_of(plug, socket, "tightest"),
        loosest=motion_of(plug, socket, "loosest"),
        orientations=orientations(loose),
        end_deg=end_of(socket),
    )
