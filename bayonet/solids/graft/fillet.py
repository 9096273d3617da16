"""A fillet at a boss's foot on a wall of any shape, and its volume by another way.

The kernel can die of a fillet it cannot make, so it is tried in a process of its own first.
"""

from __future__ import annotations

import math
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
from cadquery import Edge, Face, Shape
from numpy.typing import NDArray
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepFilletAPI import BRepFilletAPI_MakeFillet

from bayonet.cell import Limits, call
from bayonet.errors import KernelError, TankError

Array = NDArray[np.float64]
Heights = Callable[[Array], Array]

_LIMITS = Limits(processor_s=60.0, clock_s=300.0, memory_bytes=2e9)
"""A fillet takes seconds; the clock's limit is for a machine busy with other things."""
_STEP_MM = 0.05  # for slopes of the wall
_SETTLED_MM = 1e-6
_ROUNDS = 40
_ON_EDGE_MM = 1e-3


def foot_edges(shape: Shape, boss: Sequence[Face], *, outside: Heights) -> list[Edge]:
    """Edges where a boss's side meets the outside of the wall.

    Parameters
    ----------
    shape : cadquery.Shape
        Boss and tank fused.
    boss : sequence of cadquery.Face
        The boss's side, as it is on that shape.
    outside : callable
        Height of the wall's outside at points (n, 2) [mm].

    Returns
    -------
    list of cadquery.Edge
    """
    own = {edge for face in boss for edge in face.Edges()}
    found = []
    for edge in shape.Edges():
        if edge not in own:
            continue
        points = np.array([edge.positionAt(share).toTuple() for share in (0.2, 0.5, 0.8)])
        off = outside(points[:, :2]) - points[:, 2]
        if not np.isnan(off).any() and float(np.abs(off).max()) < _ON_EDGE_MM:
            found.append(edge)
    return found


def filleted(shape: Shape, edges: Sequence[Edge], radius_mm: float) -> BRepFilletAPI_MakeFillet:
    """The kernel's fillet, once it has come through alone.

    Raises
    ------
    TankError
        If there is no edge, the kernel fails, dies or does not end, or its solid is not valid.
    """
    refused = TankError(
        f"the kernel cannot make a fillet of {radius_mm:g} mm at this foot; ask for a smaller one"
        " or a land, or round the foot in your CAD"
    )
    if not edges:
        raise refused
    every = shape.Edges()
    numbers = [index for index, edge in enumerate(every) if edge in set(edges)]
    if not _comes_through(shape, numbers, radius_mm):
        raise refused
    work = _fillet(shape, edges, radius_mm)
    if work is None:
        raise refused
    return work


def _comes_through(shape: Shape, numbers: Sequence[int], radius_mm: float) -> bool:
    """Whether a cell of its own makes the fillet and stays alive."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "body.brep"
        shape.exportBrep(str(file))
        try:
            return call(try_alone, file, radius_mm, tuple(numbers), limits=_LIMITS,
                        doing="making a fillet")  # fmt: skip
        except KernelError:
            return False


def _fillet(
    shape: Shape, edges: Sequence[Edge], radius_mm: float
) -> BRepFilletAPI_MakeFillet | None:
    work = BRepFilletAPI_MakeFillet(shape.wrapped)
    for edge in edges:
        work.Add(radius_mm, edge.wrapped)
    work.Build()
    if not work.IsDone():
        return None
    made = Shape.cast(work.Shape())
    good = len(made.Solids()) == 1 and BRepCheck_Analyzer(made.wrapped, True).IsValid()
    return work if good else None


def rolling_ball_volume_mm3(
    outside: Heights,
    *,
    boss_radius_mm: float,
    radius_mm: float,
    angles: int,
    across: int,
) -> tuple[float, float]:
    r"""Volume of the fillet a ball leaves that rolls round a cylinder on a wall.

    The ball's middle stands :math:`r` off the wall and :math:`R + r` off the axis. It touches the
    wall along one curve and the cylinder along another; between them lies a channel of arcs. The
    fillet's columns between wall and channel are summed: equal steps round, Gauss-Legendre across.

    Parameters
    ----------
    outside : callable
        Height of the wall at points (n, 2) round the axis [mm]; smooth.
    boss_radius_mm, radius_mm : float
        :math:`R`, :math:`r` [mm].
    angles, across : int
        Number of steps.

    Returns
    -------
    tuple of float
        Volume [mm3], and the greatest height at which the ball touches the cylinder [mm].

    Raises
    ------
    TankError
        If the ball does not find its place: the wall curves too tightly.

    Examples
    --------
    A level wall: by Pappus, `bayonet.solids.graft.measures.fillet_volume_mm3`.

    >>> flat = lambda xy: np.zeros(len(xy))
    >>> got, top = rolling_ball_volume_mm3(
    ...     flat, boss_radius_mm=10.0, radius_mm=1.0, angles=8, across=12
    ... )
    >>> square, quarter = math.pi * 21, math.pi**2 / 2 * (11 - 4 / (3 * math.pi))
    >>> abs(got - (square - quarter)) < 1e-9, round(top, 9)
    (True, 1.0)
    """
    theta = 2.0 * math.pi * np.arange(angles) / angles
    outward = np.stack([np.cos(theta), np.sin(theta)], axis=1)
    middle = (boss_radius_mm + radius_mm) * outward
    _, normal, height = _touching(outside, middle, radius_mm)
    centre = np.column_stack([middle, height + radius_mm * normal[:, 2]])
    start, end = np.column_stack([-outward, np.zeros(angles)]), -normal
    opening = np.arccos(np.clip(np.einsum("ij,ij->i", start, end), -1.0, 1.0))
    nodes, weights = np.polynomial.legendre.leggauss(across)
    share = (nodes + 1.0) / 2.0
    spread = np.sin(opening)[:, None, None]
    first = np.sin((1.0 - share) * opening[:, None])[..., None] / spread
    second = np.sin(share * opening[:, None])[..., None] / spread
    arc = first * start[:, None] + second * end[:, None]
    surface = centre[:, None] + radius_mm * arc
    turned = (
        -np.cos((1.0 - share) * opening[:, None])[..., None] * start[:, None]
        + np.cos(share * opening[:, None])[..., None] * end[:, None]
    ) / spread
    along_arc = radius_mm * opening[:, None, None] * turned
    along = _round_slope(surface)
    plan = along[..., 0] * along_arc[..., 1] - along[..., 1] * along_arc[..., 0]
    columns = surface[..., 2] - outside(surface[..., :2].reshape(-1, 2)).reshape(plan.shape)
    total = float(np.sum(np.abs(plan) * columns * weights / 2.0) * 2.0 * math.pi / angles)
    return total, float(centre[:, 2].max())


def _touching(outside: Heights, middle: Array, radius_mm: float) -> tuple[Array, Array, Array]:
    """Where balls over given plan points touch the wall: plan points, normals and heights."""
    foot = middle.copy()
    for _ in range(_ROUNDS):
        normal = _normals(outside, foot)
        moved = middle - radius_mm * normal[:, :2]
        step = float(np.abs(moved - foot).max())
        foot = moved
        if step < _SETTLED_MM or math.isnan(step):
            break
    else:
        raise TankError(f"a ball of {radius_mm:g} mm does not roll round this foot")
    height = outside(foot)
    if np.isnan(height).any():
        raise TankError("the fillet would reach over an edge or opening of the tank")
    return foot, _normals(outside, foot), height


def _normals(outside: Heights, at: Array) -> Array:
    """Unit normals of the wall, out of the tank, by differences of fourth order."""
    slopes = []
    for axis in np.eye(2):
        near = outside(at + _STEP_MM * axis) - outside(at - _STEP_MM * axis)
        far = outside(at + 2 * _STEP_MM * axis) - outside(at - 2 * _STEP_MM * axis)
        slopes.append((8.0 * near - far) / (12.0 * _STEP_MM))
    rows = np.column_stack([-slopes[0], -slopes[1], np.ones(len(at))])
    return np.asarray(rows / np.linalg.norm(rows, axis=1)[:, None])


def _round_slope(surface: Array) -> Array:
    """Derivative round the axis of points at equal steps, by Fourier series."""
    count = len(surface)
    waves = np.fft.fftfreq(count, d=1.0 / count)
    if count % 2 == 0:
        waves[count // 2] = 0.0
    spectrum = np.fft.fft(surface, axis=0)
    return np.asarray(np.fft.ifft(1j * waves[:, None, None] * spectrum, axis=0).real)


def try_alone(file: Path, radius_mm: float, numbers: Sequence[int]) -> bool:
    """Whether a fillet at some edges of a body in a file comes out: what the cell does."""
    shape = Shape.importBrep(str(file))
    edges = shape.Edges()
    return _fillet(shape, [edges[number] for number in numbers], radius_mm) is not None
