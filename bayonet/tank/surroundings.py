"""What stands round a tank and what must pass it: what a person states, and what was found.

No kernel and no geometry; distances are found in `bayonet.surroundings`.
"""

from __future__ import annotations

from dataclasses import dataclass

from bayonet.tank.placement import Triple

CLEAR_MM = 5.0
"""Usual least distance asked for [mm]; common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class RoundPart:
    """A stretch of a round body about the fitting's axis; a cone where its radii differ.

    Parameters
    ----------
    from_mm, to_mm : float
        Heights over the mouth face, + out of the tank [mm].
    from_radius_mm, to_radius_mm : float
        Radii there [mm].
    """

    from_mm: float
    to_mm: float
    from_radius_mm: float
    to_radius_mm: float


@dataclass(frozen=True, kw_only=True)
class Arm:
    """A bar that stands out from the axis: a connector, a lever, a spanner.

    Parameters
    ----------
    from_mm, to_mm : float
        Heights over the mouth face [mm].
    reach_mm : float
        Its end from the axis, rounded over half its width [mm].
    width_mm : float
    at_deg : float
        Theta at lock [deg].
    """

    from_mm: float
    to_mm: float
    reach_mm: float
    width_mm: float
    at_deg: float = 0.0


@dataclass(frozen=True, kw_only=True)
class HandPart:
    """A part of a hand or tool: round, or a bar that swings.

    Parameters
    ----------
    name : str
    base : {"top", "shoulder"}
        Where heights count from: the valve's outermost point, or the mouth face.
    from_mm, to_mm : float
        Heights over it [mm].
    radius_mm : float or None
        Of a round part [mm].
    beyond_mm : float or None
        Instead: how far it stands out over the valve at these heights [mm].
    reach_mm, width_mm : float or None
        Of a bar [mm].
    """

    name: str
    base: str
    from_mm: float
    to_mm: float
    radius_mm: float | None = None
    beyond_mm: float | None = None
    reach_mm: float | None = None
    width_mm: float | None = None


@dataclass(frozen=True, kw_only=True)
class Hand:
    """A hand or tool that turns the valve.

    Parameters
    ----------
    name : str
    parts : tuple of HandPart
    swing_deg : float or None
        The least its bars must swing before they are set anew [deg]; None: the whole turn.
    free : bool
        Whether its bars may start at any angle; else they follow the valve.
    source : str
    """

    name: str
    parts: tuple[HandPart, ...]
    swing_deg: float | None = None
    free: bool = True
    source: str = "as given"


@dataclass(frozen=True, kw_only=True)
class AroundWishes:
    """What stands round the tank, and how far off it must stay.

    Parameters
    ----------
    files : tuple of str
        Scans and models in the tank's coordinates.
    unit : str or None
        Of files that state none; None is mm.
    clear_mm : float
        Least distance asked for [mm].
    valve : str or None
        STL or STEP of the valve, in the fitting's coordinates, as locked.
    envelope : tuple of RoundPart
        The valve in plain shapes, over the mouth face.
    arms : tuple of Arm
        What stands out to the side of it.
    travel_mm : float or None
        How far along the axis the valve is brought in [mm]; None: until its nose is clear.
    hand : str or None
        Name of a preset, or ``own``.
    own_hand : Hand or None
    tilt_deg : float
        Greatest tilt the map tries [deg].
    """

    files: tuple[str, ...] = ()
    unit: str | None = None
    clear_mm: float = CLEAR_MM
    valve: str | None = None
    envelope: tuple[RoundPart, ...] = ()
    arms: tuple[Arm, ...] = ()
    travel_mm: float | None = None
    hand: str | None = None
    own_hand: Hand | None = None
    tilt_deg: float = 20.0

    @property
    def asked(self) -> bool:
        """Whether anything at all is asked for."""
        return bool(self.files or self.valve or self.envelope or self.arms or self.hand)


@dataclass(frozen=True, kw_only=True)
class Place:
    """A pair of near points.

    Parameters
    ----------
    body : str
        ``tank``, ``insertion``, ``turn``, ``seated`` or ``hand``.
    part : str
        Which part of it.
    file : str
        What it is near to.
    distance_mm, error_mm : float
        As measured, and by how much the true distance may be less [mm]; inf where nothing is
        within reach.
    theirs, ours : (float, float, float)
        In the tank's coordinates [mm].
    theirs_fitting, ours_fitting : (float, float, float)
        The same in the fitting's [mm].
    """

    body: str
    part: str
    file: str
    distance_mm: float
    error_mm: float
    theirs: Triple
    ours: Triple
    theirs_fitting: Triple
    ours_fitting: Triple


@dataclass(frozen=True, kw_only=True)
class Surrounding:
    """A file of surroundings, as read."""

    file: str
    note: str
    triangles: int
    points: bool
    error_mm: float
    low: Triple
    high: Triple


@dataclass(frozen=True, kw_only=True)
class Step:
    """Clearance at one place of the way in.

    Parameters
    ----------
    lift_mm : float
        Shoulder over the mouth face [mm].
    turn_deg : float
        Turned towards lock [deg].
    distance_mm : float
        Least distance of the valve there [mm]; inf beyond the reach looked at.
    """

    lift_mm: float
    turn_deg: float
    distance_mm: float


@dataclass(frozen=True, kw_only=True)
class Proposal:
    """A clocking and tilt that clear.

    Parameters
    ----------
    clock_deg : float
        For ``--clock`` [deg].
    toward : (float, float, float)
        For ``--toward``.
    tilt_deg, tilt_to_deg : float
        Tilt from the axis asked for, and the direction it leans to, theta of the asked frame with
        clock 0 [deg].
    distance_mm : float
        Least distance of insertion, turn, seated valve and hand [mm].
    """

    clock_deg: float
    toward: Triple
    tilt_deg: float
    tilt_to_deg: float
    distance_mm: float


@dataclass(frozen=True, kw_only=True)
class ClearMap:
    """Least distance over clockings and tilts.

    Parameters
    ----------
    clocks_deg : tuple of float
        ``--clock`` values [deg].
    tilts : tuple of (float, float)
        Tilt and the direction it leans to [deg]; the first is no tilt.
    distance_mm : tuple of tuple of float
        One row a tilt, one column a clock [mm]; capped at ``cap_mm``.
    cap_mm, error_mm : float
        Greater distances are not told apart; how well the map is known [mm].
    depends_on_clock : bool
        False where everything is round.
    """

    clocks_deg: tuple[float, ...]
    tilts: tuple[tuple[float, float], ...]
    distance_mm: tuple[tuple[float, ...], ...]
    cap_mm: float
    error_mm: float
    depends_on_clock: bool


def nearest(places: tuple[Place, ...], body: str) -> Place | None:
    """The closest of some places that are a body's; None where it has none."""
    own = (place for place in places if place.body == body)
    return min(own, key=lambda place: place.distance_mm, default=None)


@dataclass(frozen=True, kw_only=True)
class Clearances:
    """All that was found round a tank."""

    surroundings: tuple[Surrounding, ...]
    clear_mm: float
    places: tuple[Place, ...]
    own: tuple[Place, ...]
    """Valve and hand against the tank itself, its boss left out."""
    steps: tuple[Step, ...]
    valve_source: str
    valve_known: bool
    hand: Hand | None
    start_deg: float | None
    """Where a free bar of the tool starts best, theta [deg]."""
    travel_mm: float
    chord_mm: float
    valve_error_mm: float
    looked_mm: float
    map: ClearMap | None = None
    proposals: tuple[Proposal, ...] = ()

    def least(self, body: str) -> Place | None:
        """The closest place of a body to the surroundings."""
        return nearest(self.places, body)

    @property
    def has_files(self) -> bool:
        """Whether surroundings were given."""
        return bool(self.surroundings)
