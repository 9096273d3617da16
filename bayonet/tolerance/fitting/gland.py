"""The gland over its whole zone: every corner of groove, bore and ring, at a temperature.

True corners, not a linear estimate: each quantity is computed at all combinations of least,
nominal and greatest dimensions by the functions of `bayonet.mechanics`.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.mechanics import ring as formula
from bayonet.parts import Plug, Ring, Socket

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Span:
    """A quantity at its least, at nominal dimensions, and at its most."""

    least: float
    nominal: float
    most: float


@dataclass(frozen=True, kw_only=True)
class Conditions:
    """What differs from the measuring bench.

    Parameters
    ----------
    warmer_k : float
        Temperature above that of measuring [K].
    ring_per_k, plug_per_k, socket_per_k : float
        Linear expansions [1/K].
    swell : float
        Increase of the ring's volume [-].
    bore_growth_mm : float
        Radial growth of the sealing bore under pressure [mm].
    compression_set : float
        Share of its squeeze the ring has lost for good, of the squeeze it aged in at the
        temperature of measuring, as ISO 815-1 measures it [-].
    """

    warmer_k: float = 0.0
    ring_per_k: float = 0.0
    plug_per_k: float = 0.0
    socket_per_k: float = 0.0
    swell: float = 0.0
    bore_growth_mm: float = 0.0
    compression_set: float = 0.0

    @property
    def grows(self) -> tuple[float, float]:
        """Factors by which plug and socket have grown with heat."""
        return 1 + self.plug_per_k * self.warmer_k, 1 + self.socket_per_k * self.warmer_k


BENCH = Conditions()


@dataclass(frozen=True, kw_only=True)
class GlandState:
    """A gland at given conditions, over its zone.

    Parameters
    ----------
    stretch : Span
        Of the inside diameter [-].
    section_mm : Span
        In place, by constant volume [mm].
    squeeze, squeeze_mm : Span
        With plug and bore concentric [-], [mm].
    worst_side_mm : float
        Least squeeze on the open side, the plug touching the bore on the other and the groove
        eccentric to its body, less what an aged ring has lost [mm].
    fill : Span
        Ring over gland [-].
    gap_mm : Span
        Diametral gap the ring must bridge [mm].
    """

    stretch: Span
    section_mm: Span
    squeeze: Span
    squeeze_mm: Span
    worst_side_mm: float
    fill: Span
    gap_mm: Span


def state(
    plug: Plug, socket: Socket, ring: Ring, *, play_mm: Span, at: Conditions = BENCH
) -> GlandState:
    """The gland over its zone.

    Parameters
    ----------
    plug : Plug
    socket : Socket
    ring : Ring
    play_mm : Span
        Axial play at lock; a face seal's gap [mm].
    at : Conditions

    Returns
    -------
    GlandState

    Examples
    --------
    Worked by hand in `tests/tolerance/test_gland.py`.
    """
    corners = _radial(plug, socket) if socket.seal_radius_mm else _face(plug, socket, play_mm)
    grid = _grid(
        [
            corners.start_mm,
            corners.end_mm,
            _around(ring.section_mm, ring.section_tol_mm),
            _around(ring.inside_diameter_mm, ring.inside_diameter_tol_mm),
            corners.width_mm,
            corners.inner_mm,
        ]
    )
    now = _in_place(corners, grid, at)
    away = corners.away_mm(plug, at)
    left = float(np.min(now.section - now.depth)) - away
    if at.compression_set > 0.0:
        aged = np.maximum(corners.aged_squeeze(_in_place(corners, grid, BENCH), plug), 0.0)
        kept = now.section - now.depth - at.compression_set * aged
        left = min(left, float(np.min(kept)) - away)
    gap = 2 * corners.gap_mm(at)
    return GlandState(
        stretch=_span(now.stretch),
        section_mm=_span(now.section),
        squeeze=_span(formula.squeeze(now.section, now.depth)),
        squeeze_mm=_span(now.section - now.depth),
        worst_side_mm=left,
        fill=_span(
            formula.fill(
                now.section,
                gland_depth_mm=now.depth,
                gland_width_mm=now.width,
                corner_radius_mm=plug.groove.corner_radius_mm,
                swell=at.swell,
            )
        ),
        gap_mm=Span(least=gap[0], nominal=gap[1], most=gap[2]),
    )


@dataclass(frozen=True, kw_only=True)
class _InPlace:
    """The ring in its groove at every corner of the zone: arrays of one shape [mm], [-]."""

    stretch: Array
    section: Array
    depth: Array
    width: Array


def _in_place(corners: _Corners, grid: list[Array], at: Conditions) -> _InPlace:
    start, end, section, inside, width, inner = grid
    plug_grows, socket_grows = at.grows
    ring_grows = 1 + at.ring_per_k * at.warmer_k
    section, inside, width = section * ring_grows, inside * ring_grows, width * plug_grows
    if corners.is_radial:
        start, end = start * plug_grows, end * socket_grows + at.bore_growth_mm
        stretch = formula.stretch(2 * start, inside)
        section = formula.section_by_volume(section, inside, 2 * start)
    else:
        inner = inner * plug_grows
        start = start * plug_grows
        end = end + corners.floor_mm * (socket_grows - 1) - corners.nose_mm * (plug_grows - 1)
        stretch = formula.stretch(inner, inside)
        held = formula.section_by_volume(section, inside, inner)
        section = np.where(stretch > 0.0, held, section)
    depth = end - start if corners.is_radial else start + end
    return _InPlace(stretch=stretch, section=section, depth=depth, width=width)


@dataclass(frozen=True, kw_only=True)
class _Corners:
    """Bottom of the groove, the surface it seals on, and the groove's width, with zones.

    Radial: ``start`` is the groove's radius, ``end`` the bore's. Face: ``start`` is the depth of
    the cut, ``end`` the gap left by the play, ``inner`` the diameter of the wall within the ring.
    """

    is_radial: bool
    start_mm: Span
    end_mm: Span
    width_mm: Span
    body_mm: Span
    bore_mm: Span
    inner_mm: Span
    floor_mm: float = 0.0
    nose_mm: float = 0.0

    def gap_mm(self, at: Conditions) -> Array:
        """Radial (or face) gap: least, nominal, most [mm]."""
        if not self.is_radial:
            return np.array([self.end_mm.least, self.end_mm.nominal, self.end_mm.most]) / 2
        plug_grows, socket_grows = at.grows
        bore = np.array([self.bore_mm.least, self.bore_mm.nominal, self.bore_mm.most])
        body = np.array([self.body_mm.most, self.body_mm.nominal, self.body_mm.least])
        return np.asarray(bore * socket_grows + at.bore_growth_mm - body * plug_grows)

    def away_mm(self, plug: Plug, at: Conditions) -> float:
        """How far the groove can lie off the sealing bore's axis; 0 for a face [mm]."""
        if not self.is_radial:
            return 0.0
        return float(self.gap_mm(at)[2]) + plug.groove.axis_zone_mm * at.grows[0]

    def aged_squeeze(self, bench: _InPlace, plug: Plug) -> Array:
        """Squeeze the ring ages in where it is pressed most: the side that opens later [mm].

        The plug may lean to the other side for years, or be turned over when it is locked anew.
        A face's play is taken as closed.
        """
        if self.is_radial:
            return bench.section - bench.depth + self.away_mm(plug, BENCH)
        return bench.section - self.start_mm.least - self.end_mm.least


def _around(value: float, half: float) -> Span:
    return Span(least=value - half, nominal=value, most=value + half)


def _radial(plug: Plug, socket: Socket) -> _Corners:
    groove = plug.groove
    assert socket.seal_radius_mm is not None
    bore = _around(socket.seal_radius_mm, socket.limits.sealing_bore_mm / 2.0)
    body = plug.groove_body
    return _Corners(
        is_radial=True,
        start_mm=_around(groove.radius_mm, groove.radius_zone_mm),
        end_mm=bore,
        width_mm=_around(groove.end_mm - groove.start_mm, groove.width_zone_mm),
        body_mm=_around(body.radius_mm, body.radius_zone_mm),
        bore_mm=bore,
        inner_mm=_around(2.0 * groove.radius_mm, 0.0),
    )


def _face(plug: Plug, socket: Socket, play_mm: Span) -> _Corners:
    groove = plug.groove
    gap = Span(least=0.0, nominal=play_mm.nominal, most=play_mm.most)  # pressed in: no gap
    floor = nose = 0.0
    if groove.kind == "nose_face" and socket.nose_floor_mm is not None:
        floor, nose = socket.nose_floor_mm, plug.nose_depth_mm
        free = floor - nose
        zone = plug.body[-1].depth_zone_mm + socket.limits.nose_floor_mm
        gap = Span(
            least=free - zone, nominal=free + play_mm.nominal, most=free + play_mm.most + zone
        )
    return _Corners(
        is_radial=False,
        start_mm=_around(groove.cut_mm, groove.depth_zone_mm),
        end_mm=gap,
        width_mm=_around(groove.end_mm - groove.start_mm, groove.width_zone_mm),
        body_mm=_around(0.0, 0.0),
        bore_mm=_around(0.0, 0.0),
        inner_mm=_around(2.0 * groove.start_mm, 2.0 * groove.radius_zone_mm),
        floor_mm=floor,
        nose_mm=nose,
    )


def _grid(dimensions: list[Span]) -> list[Array]:
    """Every combination of least, nominal and most; the middle one is all nominal."""
    levels = [tuple(dict.fromkeys((one.least, one.nominal, one.most))) for one in dimensions]
    combinations = np.array(list(itertools.product(*levels)))
    return [combinations[:, column] for column in range(len(dimensions))]


def _span(values: Array) -> Span:
    middle = float(values[len(values) // 2])
    low, high = float(np.min(values)), float(np.max(values))
    return Span(least=low, nominal=middle, most=high) if math.isfinite(low) else _NOTHING


_NOTHING = Span(least=math.nan, nominal=math.nan, most=math.nan)
