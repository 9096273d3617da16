"""What a person asks of a graft, and what was measured on it. No kernel."""

from __future__ import annotations

from dataclasses import dataclass

from bayonet.tank.placement import Triple


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


@dataclass(frozen=True, kw_only=True)
class Room:
    """Distances round a boss, by the exact solids; inf where there is nothing [mm].

    Parameters
    ----------
    seam_mm : float
        From the boss's foot to the nearest edge where two faces of the wall meet.
    opening_mm : float
        To the nearest rim of an opening in the wall.
    joint_mm : float
        To the nearest smooth joint of two free-form faces.
    other_wall_mm : float
        From boss and seated shoulder to any other face of the same solid.
    other_solid_mm : float
        The same to other solids of the tank.
    other_solid : str
        Name of the nearest of them.
    inside_mm : float
        Free way behind the passage, along the axis.
    within_mm : float
        From what stands into the tank, if anything, to other faces inside.
    blocked : float
        Share of the passage under which a baffle or rib stands on the wall.
    """

    seam_mm: float
    opening_mm: float
    joint_mm: float
    other_wall_mm: float
    other_solid_mm: float
    other_solid: str
    inside_mm: float
    within_mm: float
    blocked: float


@dataclass(frozen=True, kw_only=True)
class Facts:
    """What was measured on a graft.

    Parameters
    ----------
    solids_before, solids_after : int
    valid : bool
        Whether every solid of the file is.
    snapped_mm : float
        From the point picked to the wall.
    tilt_deg : float
        Between axis and the wall's normal.
    proud_mm, thickness_mm : float
        Mouth above the wall, and the wall, both on the axis.
    within_mm : float
        How far the socket stands into the tank; 0 or less where it does not.
    seat_mm : float
        Greatest height of the wall above the mouth face that was cut away.
    volume_change_mm3, expected_change_mm3, uncertainty_mm3 : float
        By the kernel, by columns and closed form, and how well the latter is known.
    track_wall_mm, bore_wall_mm : float
        Least metal between tracks, or bore, and the outside.
    room : Room
    probes_clear : float
        Share of the probes down the passage that meet nothing.
    enclosed : float
        Share of directions that meet the tank from the end of the passage.
    in_hollow : bool
        Whether it ends in a closed hollow of the tank.
    handles : int
        Ways through the skin gained: one passage is one.
    hollow_mm3, expected_hollow_mm3 : float or None
        The hollow with a lid on the mouth, and what it should be; None for an open tank.
    """

    solids_before: int
    solids_after: int
    valid: bool
    snapped_mm: float
    tilt_deg: float
    proud_mm: float
    thickness_mm: float
    within_mm: float
    seat_mm: float
    volume_change_mm3: float
    expected_change_mm3: float
    uncertainty_mm3: float
    track_wall_mm: float
    bore_wall_mm: float
    room: Room
    probes_clear: float
    enclosed: float
    in_hollow: bool
    handles: int
    hollow_mm3: float | None
    expected_hollow_mm3: float | None


@dataclass(frozen=True, kw_only=True)
class Drain:
    """The passage against the hollow behind it, along gravity.

    Parameters
    ----------
    below_mm, above_mm : float
        The hollow's lowest point under the passage's lowest edge; its highest over the highest.
    below_mm3, above_mm3 : float
        Volumes of the hollow beyond those two levels.
    slope_deg : float
        Between the fitting's axis and the horizontal; + where the mouth looks up.
    """

    below_mm: float
    above_mm: float
    below_mm3: float
    above_mm3: float
    slope_deg: float
