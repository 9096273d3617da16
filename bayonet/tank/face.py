"""One face of a tank as a list tells it. No kernel."""

from __future__ import annotations

from dataclasses import dataclass

from bayonet.shapes import LineDrawing
from bayonet.tank.placement import Triple


@dataclass(frozen=True, kw_only=True)
class TankFace:
    """A face a socket may stand on.

    Parameters
    ----------
    number : int
        Counted from 1 over all solids, in the file's order.
    solid : str
        Name of its solid.
    kind : str
        plane, cylinder, cone, sphere, torus or free form.
    area_mm2 : float
    middle, normal : (float, float, float)
        A point well within the face [mm], and the direction out of the material there.
    size : (float, float, float)
        Extent along X, Y and Z [mm].
    outside : bool
        Whether it looks out of the tank: not on a closed hollow, and most of what it sees is open.
    """

    number: int
    solid: str
    kind: str
    area_mm2: float
    middle: Triple
    normal: Triple
    size: Triple
    outside: bool


@dataclass(frozen=True, kw_only=True)
class NumberedFace:
    """A face's number and where on the picture it stands [mm]."""

    number: int
    place: tuple[float, float]


@dataclass(frozen=True, kw_only=True)
class NumberedView:
    """A drawing of a tank with the numbers of the faces seen."""

    drawing: LineDrawing
    labels: tuple[NumberedFace, ...]
