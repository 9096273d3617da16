"""The only room that loads the CAD kernel: exact solids, gated, and their meshes.

What a design is, and whether it is a good one, is known without it: `bayonet.checks`.
"""

from __future__ import annotations

from cadquery import Solid

from bayonet.parts import Design, Plug, Socket
from bayonet.solids.fitting import build
from bayonet.solids.kernel import guarded

__all__ = ["parts", "plug", "socket"]


@guarded("building the socket")
def socket(of: Design | Socket) -> Solid:
    """The socket as an exact solid, for an assembly or for modelling on.

    Parameters
    ----------
    of : Design or Socket

    Returns
    -------
    cadquery.Solid
        mm; mouth face at z = 0, +z out of the tank. Valid, and of its closed form's volume.

    Raises
    ------
    BuildError
        If the CAD kernel cannot make it, or it is made of two parts: see `parts`.

    Examples
    --------
    ::

        import bayonet, bayonet.solids
        import cadquery as cq

        design = bayonet.load("my_valve.toml")
        whole = cq.Assembly().add(bayonet.solids.socket(design), name="socket")
    """
    return build.socket(of.socket if isinstance(of, Design) else of)


@guarded("building the socket's parts")
def parts(of: Design | Socket) -> dict[str, Solid]:
    """The socket's parts by name, as they are joined: ``socket``, or ``ring`` and ``body``."""
    return build.parts(of.socket if isinstance(of, Design) else of)


@guarded("building the plug")
def plug(of: Design | Plug, *, turned_deg: float = 0.0) -> Solid:
    """The plug as an exact solid, as `socket`; turned counter-clockwise by an angle [deg]."""
    return build.plug(of.plug if isinstance(of, Design) else of, turned_deg=turned_deg)
