"""What a person asks of a graft, and what was measured on it. No kernel."""

from __future__ import annotations

from dataclasses import dataclass

from bayonet.model.placement import Triple


@dataclass(frozen=True, kw_only=True)
class Land:
    """A flat ring round the boss's foot.

    Parameters
    ----------
    width_mm : float
        Radial width [mm].
    height_mm : float
        Its top above the wall, on the axis [mm].
    """

    width_mm: float
    height_mm: float


@dataclass(frozen=True, kw_only=True)
class Wishes:
    """How a socket shall stand on a tank.

    Parameters
    ----------
    at : (float, float, float) or None
        Point picked on the wall, tank coordinates [mm].
    face : int or None
        Number of a face.
    toward : (float, float, float) or None
        Out along the fitting's axis; None takes the wall's normal.
    clock_deg : float
        Turn of the socket, counter-clockwise from outside [deg].
    proud_mm : float or None
        Mouth face above the wall, on the axis [mm]; None lets the boss end in mid-wall.
    land : Land or None
    fillet_mm : float
        Radius at the boss's foot [mm]; 0 for none.
    least_gap_mm : float or None
        From the boss to seams, openings and other walls [mm]; None takes the socket's wall.
    down : (float, float, float) or None
        Direction of gravity, tank coordinates.
    valve_bore_mm : float or None
        Diameter of the valve's own passage [mm].
    """

    at: Triple | None = None
    face: int | None = None
    toward: Triple | None = None
    clock_deg: float = 0.0
    proud_mm: float | None = None
    land: Land | None = None
    fillet_mm: float = 0.0
    least_gap_mm: float | None = None
    down: Triple | None = None
    valve_bore_mm: float | None = None
