"""What every view of one drawing shares: the design, its record, its projected views, a scale."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from bayonet.checks import Result
from bayonet.dimensions import Dimension, Record
from bayonet.drawing.canvas import Canvas, Hatched, Layer, Point, Round, Stroke, Word
from bayonet.drawing.lettering import USUAL_MM
from bayonet.parts import Socket
from bayonet.shapes import ProjectedView

Array = NDArray[np.float64]

SCALES = (50.0, 20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02)
"""Standard scales, largest first (ISO 5455, clause 4; from memory)."""


@dataclass(frozen=True, kw_only=True)
class Scene:
    """One drawing at one scale.

    Parameters
    ----------
    result, record
        The judged design and what is asked of it.
    plan, through_slot, at_stop, isometric : ProjectedView
        From the exact solid [mm].
    slot_deg, stop_deg : float
        Theta seen to the right in both sections [deg].
    scale : float
        Paper over part.
    inch : bool
        Whether inches stand beside millimetres.
    """

    result: Result
    record: Record
    plan: ProjectedView
    through_slot: ProjectedView
    at_stop: ProjectedView
    isometric: ProjectedView
    slot_deg: float
    stop_deg: float
    scale: float
    inch: bool
    shown: set[int] = field(default_factory=set)

    @property
    def socket(self) -> Socket:
        """The socket drawn."""
        return self.result.design.socket

    @property
    def factor(self) -> float:
        """Part over paper."""
        return 1.0 / self.scale

    def find(self, key: str, *, track: int = 1) -> Dimension | None:
        """A dimension of the record, noted as shown."""
        one = self.record.find(key, track=track)
        if one is not None:
            self.shown.add(one.number)
        return one


def section_angles(socket: Socket) -> tuple[float, float]:
    """Theta to the right of the section through slot 1, and of the one at its stop [deg].

    The stop's face lies behind the cut in both hands: for a right hand the cut runs the other way
    and the track is seen to the left.
    """
    track = socket.tracks[0]
    wall = track.outer_radius_mm
    slot = track.centre_deg
    before = 0.25 * (track.reach_deg(wall) - float(track.slot.at(wall)))
    place = track.centre_deg + socket.sign * (track.reach_deg(wall) - min(before, 4.0))
    return slot % 360.0, (place if socket.sign > 0 else place + 180.0) % 360.0


def put_view(
    canvas: Canvas, view: ProjectedView, *, scale: float, layer: Layer = "OUTLINE"
) -> None:
    """Lines, arcs and cut faces of a view, the axis at x = 0."""
    for loops in view.sections:
        canvas.add(Hatched(loops=tuple(_points(loop, scale) for loop in loops)))
    for line in view.lines:
        canvas.add(Stroke(points=_points(line, scale), layer=layer))
    for arc in view.arcs:
        x, y = arc.centre
        canvas.add(
            Round(centre=(x * scale, y * scale), radius=arc.radius * scale,
                  start_deg=arc.start_deg, end_deg=arc.end_deg, layer=layer)
        )  # fmt: skip


def title(canvas: Canvas, text: str, *, below: bool = True) -> None:
    """A view's name, centred below all it holds."""
    left, low, right, high = canvas.bounds()
    y = low - 6.0 if below else high + 6.0
    canvas.add(Word(text=text, at=((left + right) / 2.0, y), height=USUAL_MM, side="middle"))


def scale_text(scale: float) -> str:
    """A scale as ISO 5455 writes it: 2:1, 1:5."""
    return f"{scale:g}:1" if scale >= 1.0 else f"1:{round(1.0 / scale):g}"


def polar(radius: float, deg: float) -> Point:
    """A point round the origin."""
    angle = math.radians(deg)
    return radius * math.cos(angle), radius * math.sin(angle)


def _points(line: Array, scale: float) -> tuple[Point, ...]:
    return tuple((float(x) * scale, float(y) * scale) for x, y in line)
