"""Line drawings of a grafted tank and of a tank's numbered faces."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from cadquery import Solid, Vector
from numpy.typing import NDArray

from bayonet.shapes import LineDrawing
from bayonet.solids.fitting import drawn, picture_plane
from bayonet.solids.graft.join import Grafted
from bayonet.solids.graft.spot import reach_of
from bayonet.solids.graft.tank import Tank
from bayonet.solids.kernel import cylinder, guarded, through
from bayonet.tank import NumberedFace, NumberedView, TankFace, Triple

Array = NDArray[np.float64]

_DETAIL_EYE = np.array([0.55, -1.0, 0.62])
_ROUND_THE_BOSS = 1.9
_SEEN = 0.12
_OFF_MM = 1e-3
_SIDES = tuple(
    side / np.linalg.norm(side)
    for side in (np.array([0.55, -1.0, 0.62]), np.array([-0.55, 1.0, -0.62]))
)


@guarded("drawing the graft")
def detail(grafted: Grafted) -> LineDrawing:
    """The socket in its wall, a quarter cut away, seen along the fitting's frame."""
    socket, where = grafted.socket, grafted.stand
    radius = _ROUND_THE_BOSS * socket.boss_radius_mm
    low = min(float(np.min(where.wall.inside)), -socket.boss_height_mm)
    reach = float(np.ptp(where.wall.inside)) * _ROUND_THE_BOSS**2 + where.thickness_mm
    low -= reach
    piece = grafted.after.intersect(cylinder(radius, low, max(1.0, _ROUND_THE_BOSS)))
    quarter = Solid.makeBox(radius + 1.0, radius + 1.0, 1.0 - low + 3.0,
                            Vector(0.0, -radius - 1.0, low - 1.0))  # fmt: skip
    opened = piece.cut(quarter)
    return drawn([opened], eye=_DETAIL_EYE, sectioned=opened)


@guarded("drawing the tank")
def whole(tank: Tank, *, toward: Triple) -> tuple[LineDrawing, Array]:
    """The whole tank, turned so that a direction looks towards the reader, +Z upwards.

    Returns
    -------
    (LineDrawing, array of shape (3,))
        And the direction towards the eye.
    """
    eye = eye_for(toward)
    return drawn([one.solid for one in tank.solids], eye=eye), eye


def eye_for(toward: Triple) -> Array:
    """From a quarter to the side of a direction, and from a little above."""
    level = np.array([toward[0], toward[1], 0.0])
    if np.linalg.norm(level) < 0.05:
        level = np.array([0.0, -1.0, 0.0])
    level /= np.linalg.norm(level)
    side = np.array([level[1], -level[0], 0.0])
    eye: Array = level + 0.62 * side + np.array([0.0, 0.0, 0.55 + 0.6 * max(0.0, toward[2])])
    if toward[2] < -0.7:
        eye[2] = -0.6
    return eye / float(np.linalg.norm(eye))


@guarded("drawing the numbered faces")
def numbered(tank: Tank, faces: Sequence[TankFace]) -> tuple[NumberedView, ...]:
    """Views from two opposite sides, with the numbers of the faces seen in each.

    A number stands where the face's middle is seen; a face hidden in both views has none.
    """
    rays = [through(one.solid) for one in tank.solids]
    reach = reach_of(tank)
    views = []
    for eye in _SIDES:
        right, up = picture_plane(eye)
        labels = tuple(
            NumberedFace(
                number=face.number,
                place=(float(np.dot(face.middle, right)), float(np.dot(face.middle, up))),
            )
            for face in faces
            if np.dot(face.normal, eye) > _SEEN
            and not any(
                one.hits(np.add(face.middle, _OFF_MM * eye), eye, reach_mm=reach) for one in rays
            )
        )
        drawing = drawn([one.solid for one in tank.solids], eye=eye)
        views.append(NumberedView(drawing=drawing, labels=labels))
    return tuple(views)
