"""The socket's tolerances one by one: what each is now, and its steps by ISO 286 grades."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bayonet.errors import TableError
from bayonet.parts import Design
from bayonet.standards import iso286

GRADES = ("5", "6", "7", "8", "9", "10", "11", "12", "13", "14")
STEP = 1.6
"""Ratio of neighbouring grades: the grades of ISO 286-1 follow the series R5."""


@dataclass(frozen=True, kw_only=True)
class Tolerance:
    """One tolerance of the socket.

    Parameters
    ----------
    group : str
        Its key in ``[socket.tolerance]``.
    meaning : str
    half_width : float
        As the design has it [unit].
    unit : str
    size_mm : float
        Nominal size by which its grade is taken [mm].
    mm_per_unit : float
        Millimetres at that size per unit: 1, or the arc of a degree; 0 where grades do not apply.
    """

    group: str
    meaning: str
    half_width: float
    unit: str
    size_mm: float
    mm_per_unit: float = 1.0

    @property
    def grade(self) -> str | None:
        """The coarsest grade that is no wider than this tolerance; None where none is."""
        width_um = 2000.0 * self.half_width * self.mm_per_unit
        fits = [g for g in GRADES if self.mm_per_unit and self._um(g) <= width_um * (1 + 1e-9)]
        return f"IT{fits[-1]}" if fits else None

    def half_width_of(self, grade: str) -> float:
        """Half-width of a grade, ``"7"`` for IT7 [unit]."""
        return self._um(grade) / 2000.0 / self.mm_per_unit

    def steps(self) -> tuple[tuple[str, float], ...]:
        """Grade and half-width of every step, finest first [unit].

        Where grades do not apply, steps of 1.6 about the present width.
        """
        if self.mm_per_unit:
            return tuple((f"IT{g}", self.half_width_of(g)) for g in GRADES)
        return tuple((f"x{STEP**n:.2g}", self.half_width * STEP**n) for n in range(-5, 4))

    def _um(self, grade: str) -> float:
        try:
            return iso286.grade_um(self.size_mm, grade)
        except TableError:
            return math.inf


def tolerances_of(design: Design) -> tuple[Tolerance, ...]:
    """Every tolerance of a design's socket that a chain may hang on.

    Parameters
    ----------
    design : Design

    Returns
    -------
    tuple of Tolerance

    Examples
    --------
    A sealing bore of 26.55 mm within 0.05 mm: IT11 is 0.130 wide, IT10 0.084.

    >>> import bayonet
    >>> rows = {t.group: t for t in tolerances_of(bayonet.loads(bayonet.starting_file()))}
    >>> rows["sealing_bore"].grade
    'IT10'
    """
    socket, limits = design.socket, design.socket.limits
    track = max(socket.tracks, key=lambda t: t.outer_radius_mm)
    wall = track.outer_radius_mm
    slot = 2.0 * wall * math.sin(math.radians(min(float(track.slot.at(wall)), 90.0)))
    arc = math.radians(1.0) * wall
    rows = [
        Tolerance(group="track_bore", meaning="bore between the tracks", unit="mm",
                  half_width=limits.track_bore_mm, size_mm=2 * socket.track_bore_radius_mm),
        Tolerance(group="track_wall", meaning="diameter at the track wall", unit="mm",
                  half_width=limits.track_wall_mm, size_mm=2 * wall),
        Tolerance(group="slot_width", meaning="width of the entry slots", unit="mm",
                  half_width=limits.slot_width_mm, size_mm=slot),
        Tolerance(group="slot_position_deg", meaning="position of the entry slots", unit="deg",
                  half_width=limits.slot_position_deg, size_mm=2 * wall, mm_per_unit=arc),
        Tolerance(group="stop_deg", meaning="position of the stops", unit="deg",
                  half_width=limits.stop_deg, size_mm=2 * wall, mm_per_unit=arc),
        Tolerance(group="roof", meaning="depth of the roofs", unit="mm",
                  half_width=limits.roof_mm, size_mm=track.roof[-1][1]),
        Tolerance(group="floor", meaning="depth of the floors", unit="mm",
                  half_width=limits.floor_mm, size_mm=track.floor[-1][1]),
        Tolerance(group="coaxiality", meaning="axis of the tracks against the bore", unit="mm",
                  half_width=limits.coaxiality_mm, size_mm=2 * wall, mm_per_unit=0.0),
        Tolerance(group="tilt_deg", meaning="tilt of the tracks against the mouth", unit="deg",
                  half_width=limits.tilt_deg, size_mm=2 * wall, mm_per_unit=0.0),
    ]  # fmt: skip
    if socket.lead_mm_per_rev > 0.0:
        rows.append(
            Tolerance(group="lead", meaning="lead of the ramps", unit="mm/rev",
                      half_width=limits.lead_mm_per_rev, size_mm=2 * wall, mm_per_unit=0.0)
        )  # fmt: skip
    if socket.seal_radius_mm is not None:
        rows.insert(1, Tolerance(group="sealing_bore", meaning="sealing bore", unit="mm",
                                 half_width=limits.sealing_bore_mm,
                                 size_mm=2 * socket.seal_radius_mm))  # fmt: skip
        rows.append(
            Tolerance(group="seal_coaxiality", unit="mm",
                      meaning="axis of the sealing bore against the bore between the tracks",
                      half_width=limits.seal_coaxiality_mm, size_mm=2 * socket.seal_radius_mm,
                      mm_per_unit=0.0)
        )  # fmt: skip
    if socket.nose_floor_mm is not None:
        rows.append(
            Tolerance(group="nose_floor", meaning="depth of the floor under the nose", unit="mm",
                      half_width=limits.nose_floor_mm, size_mm=socket.nose_floor_mm)
        )  # fmt: skip
    return tuple(rows)
