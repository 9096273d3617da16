"""What stands round a grafted tank: read, measured, and other clockings and tilts tried."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bayonet.errors import ScanError, TableError, TankError
from bayonet.parts import Design
from bayonet.shapes import TriangleMesh
from bayonet.surroundings import (
    ERROR_MM,
    LOOKED,
    Around,
    Placing,
    Scene,
    Thing,
    best_start,
    clear_map,
    hands,
    places,
    proposals,
    reach_mm,
    reading,
    sampled,
    scene,
    steps,
    sweep,
    tree,
    way,
    within,
)
from bayonet.tank import CLEAR_MM, AroundWishes, Clearances, Frame, Hand, Place

Array = NDArray[np.float64]
Progress = Callable[[str], None]

STEP_CHORD_MM = 0.05
OWN_TANK = "the tank itself"

_BESIDE_BOSS_MM = 0.1
_HEAD_BYTES = 4096
_VIEW = 1.05


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """What the wishes name, read."""

    around: tuple[Around, ...]
    valve: way.Valve
    corners: Array | None
    valve_error_mm: float
    valve_source: str
    hand: Hand | None


def read(
    design: Design,
    wishes: AroundWishes,
    *,
    base: Path = Path(),
    progress: Progress = lambda _: None,
) -> Inputs:
    """Read everything the wishes name; nothing is measured yet.

    Parameters
    ----------
    design : Design
    wishes : AroundWishes
    base : Path
        Folder that file names start from.
    progress : callable

    Raises
    ------
    ScanError, TankError
        If a file cannot be read.
    TankError
        If there is no preset of that name.
    """
    held = _hand(wishes)
    around = tuple(
        _around(base / file, wishes.unit, progress) for file in dict.fromkeys(wishes.files)
    )
    corners, error, source = None, 0.0, "plain shapes given"
    if wishes.valve is not None:
        corners, error = _valve_mesh(base / wishes.valve, progress)
        error += sweep.CHORD_MM
        source = Path(wishes.valve).name
    elif not (wishes.envelope or wishes.arms):
        source = "the plug alone; the valve outside the mouth is not given"
    return Inputs(
        around=around, valve=_valve(design, wishes, corners), corners=corners,
        valve_error_mm=error, valve_source=source, hand=held,
    )  # fmt: skip


def clearances(
    inputs: Inputs, wishes: AroundWishes, *, frame: Frame, tank: TriangleMesh, boss_mm: float,
    proud_mm: float, clock_deg: float, progress: Progress = lambda _: None,
) -> tuple[Clearances, Scene]:  # fmt: skip
    """Closest places, and clearance along the way in.

    Parameters
    ----------
    inputs : Inputs
    wishes : AroundWishes
    frame : Frame
        The fitting's, in the tank's coordinates.
    tank : TriangleMesh
        Tank with socket, tank coordinates.
    boss_mm : float
        Radius of the boss; the tank within it is the socket [mm].
    proud_mm, clock_deg : float
        Mouth over the wall [mm], and clocking as asked for [deg].
    progress : callable
    """
    looked = LOOKED * max(wishes.clear_mm, CLEAR_MM)
    own = own_tank(tank, frame, boss_mm)
    placing = Placing(
        valve=inputs.valve, sweeps=_sweeps(inputs), hand=inputs.hand, frame=frame,
        clock_deg=clock_deg, proud_mm=proud_mm,
    )  # fmt: skip
    near = within([one.tree for one in (*inputs.around, own)], np.array(frame.origin),
                  reach_mm(placing) + looked)  # fmt: skip
    everything = [] if near is None else [near]
    progress("looking where a hand or tool has most room")
    start = None
    if inputs.hand is not None:
        start = best_start(everything, inputs.valve, inputs.hand, frame, within_mm=looked)
    things = valve_things(inputs, frame)
    if inputs.hand is not None and start is not None:
        bodies = way.hand(inputs.valve, inputs.hand, start_deg=start)
        things += (Thing(body="hand", bodies=bodies),)
    whole = Thing(body="tank", mesh=tree(tank.vertices[tank.triangles]), mesh_part="tank")
    found: list[Place] = []
    for one in inputs.around:
        for thing in (whole, *things):
            progress(f"nearest places of {one.about.file} to the {thing.body}")
            found += places(one, thing, frame, within_mm=looked)
    beside = [
        place for thing in things for place in places(own, thing, frame, within_mm=looked, count=1)
    ]
    progress("clearance along the way in")
    along = steps(everything, inputs.valve, lambda *at: _at(inputs, frame, *at), frame,
                  within_mm=looked)  # fmt: skip
    cells = clear_map(near, placing, cap_mm=looked, clear_mm=wishes.clear_mm,
                      tilt_deg=wishes.tilt_deg, progress=progress)  # fmt: skip
    made = Clearances(
        surroundings=tuple(one.about for one in inputs.around), clear_mm=wishes.clear_mm,
        places=tuple(found), own=tuple(beside), steps=along, valve_source=inputs.valve_source,
        valve_known=inputs.corners is not None or bool(wishes.envelope or wishes.arms),
        hand=inputs.hand, start_deg=start, travel_mm=inputs.valve.travel_mm,
        chord_mm=tank.chord_mm, valve_error_mm=inputs.valve_error_mm, looked_mm=looked, map=cells,
        proposals=proposals(cells, placing, wishes.clear_mm),
    )  # fmt: skip
    shown = scene(near, things, frame, clock_deg=clock_deg, boss_mm=boss_mm,
                  reach_mm=_VIEW * reach_mm(placing))  # fmt: skip
    return made, shown


def own_tank(tank: TriangleMesh, frame: Frame, boss_mm: float) -> Around:
    """The tank itself, its boss and what lies within it left out."""
    corners = tank.vertices[tank.triangles]
    placed = frame.to_fitting(corners)
    beside = np.hypot(placed[..., 0], placed[..., 1]).max(axis=1) > boss_mm + _BESIDE_BOSS_MM
    return reading.boxed(corners[beside], file=OWN_TANK, note="", points=False,
                              error_mm=tank.chord_mm)  # fmt: skip


def valve_things(inputs: Inputs, frame: Frame) -> tuple[Thing, ...]:
    """The valve on its way along the axis, in its turn, and seated."""
    valve, corners = inputs.valve, inputs.corners
    along, about = _motions(valve)
    ways = {
        "insertion": (way.insertion(valve), along),
        "turn": (way.turn(valve), about),
        "seated": (way.seated(valve), None),
    }
    things = []
    for body, (bodies, motion) in ways.items():
        mesh = None
        if corners is not None:
            swept = sweep.over_mouth(corners) if motion is None else sweep.swept(corners, motion)[0]
            mesh = tree(frame.to_tank(swept)) if len(swept) else None
        things.append(Thing(body=body, bodies=bodies, mesh=mesh, mesh_part="valve"))
    return tuple(things)


def _motions(valve: way.Valve) -> tuple[sweep.Motion, sweep.Motion]:
    back = -valve.sign * valve.turn_deg
    return (
        sweep.Motion(lift_mm=(valve.travel_mm, valve.ramp_mm), theta_deg=(back, back)),
        sweep.Motion(lift_mm=(valve.ramp_mm, 0.0), theta_deg=(back, 0.0)),
    )


def _sweeps(inputs: Inputs) -> tuple[Array, ...]:
    if inputs.corners is None:
        return ()
    ways = _motions(inputs.valve)
    found = (sweep.swept(inputs.corners, one, chord_mm=ERROR_MM / 2)[0] for one in ways)
    return tuple(one for one in found if len(one))


def _at(inputs: Inputs, frame: Frame, lift_mm: float, turned_deg: float) -> Thing:
    """The valve at one place of its way in."""
    valve, mesh = inputs.valve, None
    if inputs.corners is not None:
        theta = valve.sign * (turned_deg - valve.turn_deg)
        shown = sweep.over_mouth(sweep.moved(inputs.corners, lift_mm=lift_mm, theta_deg=theta))
        mesh = tree(frame.to_tank(shown)) if len(shown) else None
    return Thing(body="valve", bodies=way.at(valve, lift_mm=lift_mm, turned_deg=turned_deg),
                 mesh=mesh, mesh_part="valve")  # fmt: skip


def _valve(design: Design, wishes: AroundWishes, corners: Array | None) -> way.Valve:
    plug = design.plug
    ramp = way.ramp_of(plug)
    travel = plug.nose_depth_mm + wishes.clear_mm if wishes.travel_mm is None else wishes.travel_mm
    outer, held = ((), ()) if corners is None else way.sizes_of(sampled(corners))
    return way.Valve(
        parts=(*way.plug_parts(plug), *wishes.envelope), arms=wishes.arms,
        turn_deg=plug.turn_deg, sign=plug.sign, ramp_mm=ramp, travel_mm=max(travel, ramp),
        outer=outer, held=held,
    )  # fmt: skip


def _hand(wishes: AroundWishes) -> Hand | None:
    if wishes.hand is None:
        return wishes.own_hand
    if wishes.hand == "own":
        if wishes.own_hand is None:
            raise TankError('hand "own": its parts are missing ([graft.around.own_hand])')
        return wishes.own_hand
    try:
        return hands.hand(wishes.hand)
    except TableError as error:
        raise TankError(f"--hand: {error.args[0]}, or own") from error


def _is_step(path: Path) -> bool:
    try:
        with path.open("rb") as stream:
            return b"ISO-10303-21" in stream.read(_HEAD_BYTES)
    except OSError:
        return False  # the reader says it better


def _around(path: Path, unit: str | None, progress: Progress) -> Around:
    if not _is_step(path):
        return reading.read(path, unit=unit, progress=progress)
    corners, error = _step_mesh(path, progress)
    return reading.boxed(corners, file=path.name, note="STEP; in mm as the file declares",
                              points=False, error_mm=error)  # fmt: skip


def _valve_mesh(path: Path, progress: Progress) -> tuple[Array, float]:
    if _is_step(path):
        corners, error = _step_mesh(path, progress)
    else:
        read_valve = reading.read(path, progress=progress)
        if read_valve.about.points:
            raise ScanError(f"{path}: bare points; a valve is swept as a mesh or STEP")
        corners, error = read_valve.tree.corners, 0.0
    if not float(corners[..., 2].max()) > 0.0:
        raise ScanError(
            f"{path}: nothing of the valve stands over z = 0, the mouth face; +z is out"
        )
    return corners, error


def _step_mesh(path: Path, progress: Progress) -> tuple[Array, float]:
    progress(f"reading and meshing {path.name}")
    from bayonet.solids.graft import tank
    from bayonet.solids.kernel import mesh

    return mesh.loose(tank.shape_of(path), chord_mm=STEP_CHORD_MM)
