"""From intended to drawn sizes and on to printed ones: hole offset, boss offset, scale.

A printer makes of a drawn size d a printed size

    hole: s d + h,    boss: s d + b,    length: s d

with scale s and diametral offsets h and b [mm]. Upright walls move by half an offset; depths only
scale, for the offset is one of lines within a layer.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Literal

from bayonet.parts import Flange, HalfAngle, Polyline, Socket, Track, WeldPreparation

Kind = Literal["hole", "boss", "length"]


@dataclass(frozen=True, kw_only=True)
class PrintedSize:
    """What a printer makes of drawn sizes: offsets on diameter [mm] and scale [-].

    Examples
    --------
    Holes 0.2 mm too small, all sizes 0.5 % too small: a drawn hole of 40 comes out at 39.6.

    >>> printer = PrintedSize(hole_mm=-0.2, boss_mm=0.1, scale=0.995)
    >>> round(printer.printed(40.0, "hole"), 9)
    39.6
    >>> round(printer.drawn(40.0, "hole"), 4)
    40.402
    """

    hole_mm: float = 0.0
    boss_mm: float = 0.0
    scale: float = 1.0

    def offset_mm(self, kind: Kind) -> float:
        """Offset of a kind of size on its whole width [mm]."""
        return {"hole": self.hole_mm, "boss": self.boss_mm, "length": 0.0}[kind]

    def printed(self, drawn_mm: float, kind: Kind) -> float:
        """Printed size of a drawn one [mm]."""
        return self.scale * drawn_mm + self.offset_mm(kind)

    def drawn(self, printed_mm: float, kind: Kind) -> float:
        """Size to draw so that it is printed as intended [mm]."""
        return (printed_mm - self.offset_mm(kind)) / self.scale

    def inverse(self) -> PrintedSize:
        """The mapping from printed back to drawn sizes."""
        return PrintedSize(
            hole_mm=-self.hole_mm / self.scale,
            boss_mm=-self.boss_mm / self.scale,
            scale=1.0 / self.scale,
        )


def as_printed(drawn: Socket, printer: PrintedSize) -> Socket:
    """The socket that comes out of a printer when one is drawn.

    Parameters
    ----------
    drawn : Socket
    printer : PrintedSize

    Returns
    -------
    Socket
        Its named clearances are the drawn one's: they tell the intent.
    """
    scale, half = printer.scale, printer.hole_mm / 2.0

    def depth(value: float | None) -> float | None:
        return None if value is None else scale * value

    def radius(value: float | None) -> float | None:
        return None if value is None else scale * value + half

    return dataclasses.replace(
        drawn,
        bore=tuple((scale * r + half, scale * d) for r, d in drawn.bore),
        track_bore_radius_mm=scale * drawn.track_bore_radius_mm + half,
        passage_radius_mm=scale * drawn.passage_radius_mm + half,
        seal_radius_mm=radius(drawn.seal_radius_mm),
        seal_from_mm=depth(drawn.seal_from_mm),
        seal_to_mm=depth(drawn.seal_to_mm),
        nose_floor_mm=depth(drawn.nose_floor_mm),
        tracks=tuple(_track(track, scale, half) for track in drawn.tracks),
        boss_radius_mm=scale * drawn.boss_radius_mm + printer.boss_mm / 2.0,
        boss_height_mm=scale * drawn.boss_height_mm,
        mouth_chamfer_mm=scale * drawn.mouth_chamfer_mm,
        lead_mm_per_rev=scale * drawn.lead_mm_per_rev,
        detent_height_mm=scale * drawn.detent_height_mm,
        flange=None if drawn.flange is None else _flange(drawn.flange, printer),
        weld=None if drawn.weld is None else _weld(drawn.weld, scale),
    )


def to_draw(intended: Socket, printer: PrintedSize) -> Socket:
    """The socket to draw so that the printer makes the intended one; undoes `as_printed`."""
    return as_printed(intended, printer.inverse())


def _track(track: Track, scale: float, half: float) -> Track:
    outer = scale * track.outer_radius_mm + half
    slot = _side(track.slot, scale, half, track.outer_radius_mm)
    cut = track.cut
    if cut is not None:  # its arc is moved into the material as any other wall
        cut = dataclasses.replace(
            cut,
            centre_mm=scale * cut.centre_mm,
            radius_mm=scale * cut.radius_mm + half,
            start_deg=float(slot.at(outer)),
        )
    return dataclasses.replace(
        track,
        slot=slot,
        cut=cut,
        end=_side(track.end, scale, half, track.outer_radius_mm),
        roof=_deep(track.roof, scale),
        floor=_deep(track.floor, scale),
        top_mm=scale * track.top_mm,
        inner_radius_mm=scale * track.inner_radius_mm + half,
        outer_radius_mm=outer,
        end_radius_mm=scale * track.end_radius_mm + half if track.end_radius_mm else 0.0,
    )


def _side(side: HalfAngle, scale: float, half: float, drawn_radius_mm: float) -> HalfAngle:
    """A slot side or stop face moved into the material by half the hole's offset.

    A radial side is moved by that much at the track wall; a parallel one everywhere.
    """
    if side.offset_mm != 0.0:
        return HalfAngle(deg=side.deg, offset_mm=scale * side.offset_mm + half)
    # the wall lies at R before and s R + h / 2 after; the same length must undo itself, so the
    # angle is taken at the radius between, which both directions share
    return side.grown(half / scale, at_radius_mm=drawn_radius_mm + half / scale / 2.0)


def _deep(line: Polyline, scale: float) -> Polyline:
    return tuple((angle, scale * depth) for angle, depth in line)


def _flange(flange: Flange, printer: PrintedSize) -> Flange:
    return dataclasses.replace(
        flange,
        radius_mm=printer.scale * flange.radius_mm + printer.boss_mm / 2.0,
        thickness_mm=printer.scale * flange.thickness_mm,
        bolt_circle_radius_mm=printer.scale * flange.bolt_circle_radius_mm,
        bolt_hole_radius_mm=printer.scale * flange.bolt_hole_radius_mm + printer.hole_mm / 2.0,
    )


def _weld(weld: WeldPreparation, scale: float) -> WeldPreparation:
    return dataclasses.replace(
        weld, bevel_width_mm=scale * weld.bevel_width_mm, land_mm=scale * weld.land_mm
    )
