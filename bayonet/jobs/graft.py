"""Graft a design's socket onto a tank, judge it, write it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from bayonet.cautions import PRINTED_MARK
from bayonet.cell import Limits, call
from bayonet.checks import cautions_of, check, headline_of, marks_of
from bayonet.checks.tank import graft as judge
from bayonet.checks.tank import surroundings as judge_nearby
from bayonet.errors import TankError
from bayonet.exchange import Run, appearing_in, canonical, stl
from bayonet.findings import Finding, Verdict, worst
from bayonet.jobs import surroundings
from bayonet.jobs.design import mesh_chord
from bayonet.parts import Design, refuse_two_parts
from bayonet.shapes import TriangleMesh
from bayonet.tank import NEARLY_UPRIGHT, AroundWishes, Clearances, Drain, Facts, Frame, Wishes

if TYPE_CHECKING:
    from bayonet.solids.graft import Grafted, Spot, Tank
    from bayonet.surroundings import Scene

Progress = Callable[[str], None]

USUAL_CHORD_MM = 0.05
FILES = ("graft.json", "graft.png", "graft.svg", "tank_with_socket.step", "tank_with_socket.stl")
"""What is written in every case, so that a folder that cannot take it is found before the work."""

_STRENGTH = (
    "Geometry is checked. Strength of the tank with a hole in its wall, of the weld or bond round"
    " the boss, and of the boss itself is not: leave it to a licensed engineer and the local code."
)


@dataclass(frozen=True, kw_only=True)
class GraftResult:
    """What the checks of a graft found; prints as the result of a design does."""

    design: Design
    findings: tuple[Finding, ...]
    facts: Facts
    drain: Drain | None
    assumptions: tuple[str, ...]
    clearances: Clearances | None = None
    own: tuple[Finding, ...]
    """Findings of the socket by itself; what must be read first is drawn from them."""

    @property
    def headline(self) -> tuple[str, ...]:
        """What must be read first; stands over every page, picture and file."""
        return headline_of(self.design, self.own)

    @property
    def marks(self) -> tuple[str, ...]:
        """The same in a few words, for pictures."""
        return marks_of(self.design, self.verdict)

    @property
    def cautions(self) -> tuple[str, ...]:
        """Cautions of the graft and of the part on it."""
        return (_STRENGTH, *cautions_of(self.design)[-1:])

    @property
    def verdict(self) -> Verdict:
        """The worst verdict of all findings."""
        return worst(self.findings)


@dataclass(frozen=True, kw_only=True)
class GraftMade:
    """A tank with its socket, as written.

    Parameters
    ----------
    design : Design
    result : GraftResult
    frame : Frame
        The fitting's, in the tank's coordinates.
    folder : Path
    files : tuple of str
    """

    design: Design
    result: GraftResult
    frame: Frame
    folder: Path
    files: tuple[str, ...]


def graft(
    design: Design,
    tank_file: str | Path,
    folder: str | Path,
    *,
    wishes: Wishes,
    around: AroundWishes | None = None,
    base: str | Path = "",
    chord_mm: float = USUAL_CHORD_MM,
    accept_damaged: bool = False,
    patience: float = 1.0,
    run: Run | None = None,
    progress: Progress = lambda _: None,
) -> GraftMade:
    """Graft, judge and write; whatever touches somebody's geometry runs in a cell.

    Parameters
    ----------
    design : Design
    tank_file : str or Path
        STEP.
    folder : str or Path
        Made if missing. Files appear together at the end, or not at all.
    wishes : Wishes
    around : AroundWishes or None
        What stands round the tank; None asks for nothing.
    base : str or Path
        Folder that file names in ``around`` start from.
    chord_mm : float
        Greatest distance allowed between meshes and exact surface [mm].
    accept_damaged : bool
        Take a tank of which something is missing, as a finding that fails.
    patience : float
        Times the usual limits of time and memory.
    run : Run or None
        For the manifest; names the inputs, which are not replaced unless it forces.
    progress : callable
        Told what is being done, in a few words.

    Returns
    -------
    GraftMade

    Raises
    ------
    TankError, ScanError
        If the tank or what stands round it cannot be read, or the place cannot take a socket.
    BuildError
        If the CAD kernel's result does not pass the gate, or the kernel dies or hangs.
    ExportError
        If the folder cannot be written.
    """
    mesh_chord(chord_mm)
    refuse_two_parts(design, "graft", "weld the body on, or mount it, by its own STEP file")
    asked = around if around is not None and around.asked else None
    base, tank_file = Path(base), Path(tank_file)
    named = () if asked is None else (*asked.files, *([asked.valve] if asked.valve else []))
    limits = Limits.for_files(tank_file, *(base / name for name in named), patience=patience)
    with appearing_in(Path(folder), run=run, expected=FILES) as room:
        result, frame = call(
            in_room, design, tank_file, room, wishes=wishes, around=asked, base=base,
            chord_mm=chord_mm, accept_damaged=accept_damaged, limits=limits,
            doing=f"reading {tank_file}", progress=progress,
        )  # fmt: skip
        names = tuple(sorted(file.name for file in room.iterdir()))
    return GraftMade(design=design, result=result, frame=frame, folder=Path(folder), files=names)


def in_room(
    design: Design, tank_file: Path, room: Path, *, wishes: Wishes, around: AroundWishes | None,
    base: Path, chord_mm: float, accept_damaged: bool, progress: Progress,
) -> tuple[GraftResult, Frame]:  # fmt: skip
    """Graft, judge and write into a folder that is there: what the cell does of `graft`."""
    from bayonet.solids.graft import spot as snap
    from bayonet.solids.graft import tank
    from bayonet.solids.kernel import mesh

    inputs = None if around is None else surroundings.read(design, around, base=base,
                                                           progress=progress)  # fmt: skip
    progress(f"reading {tank_file}")
    read = tank.read(tank_file, accept_damaged=accept_damaged)
    spot = snap.spot(read, at=wishes.at, face=wishes.face, toward=wishes.toward)
    grafted = _built(read, spot, design, wishes, progress)
    progress(f"measuring the socket in {tank_file}")
    result = _judged(grafted, read, spot, design, wishes, progress)
    progress(f"meshing {tank_file} with its socket")
    meshes = tuple(mesh.meshed(one.solid, chord_mm=chord_mm) for one in grafted.tank.solids)
    found, shown = None, None
    if inputs is not None and around is not None:
        found, shown = surroundings.clearances(
            inputs, around, frame=grafted.frame, tank=joined(meshes),
            boss_mm=grafted.socket.boss_radius_mm, proud_mm=result.facts.proud_mm,
            clock_deg=wishes.clock_deg, progress=progress,
        )  # fmt: skip
    result = _with(result, found)
    progress(f"writing and drawing {tank_file} with its socket")
    if found is not None and shown is not None:
        _draw_around(found, shown, _marked(design), grafted.frame, wishes.clock_deg, room)
    _write(grafted, result, meshes, room)
    return result, grafted.frame


def _built(tank: Tank, spot: Spot, design: Design, wishes: Wishes, progress: Progress) -> Grafted:
    from bayonet.solids.graft import join as build

    progress(f"grafting onto {tank.file}")
    shoulder = design.plug.shoulder_radius_mm
    try:
        return build.graft(tank, spot, design.socket, wishes, shoulder_mm=shoulder)
    except TankError as error:
        found = _elsewhere(tank, spot, design, wishes, progress)
        raise TankError(f"{error}; {found}") from error


def _elsewhere(tank: Tank, spot: Spot, design: Design, wishes: Wishes, progress: Progress) -> str:
    """The nearest place that works, in words."""
    from bayonet.solids.graft import search

    gap = design.socket.wall_mm if wishes.least_gap_mm is None else wishes.least_gap_mm
    found = search.nearest(
        tank, spot, design.socket, wishes, shoulder_mm=_shoulder(design), gap_mm=gap,
        progress=progress,
    )  # fmt: skip
    if found is None:
        return "no place near it on the same face works; try another face, see bayonet faces"
    point, away = found
    place = ",".join(f"{value:.1f}" for value in point)
    return f"the nearest place on the same face that works, {away:.1f} mm away: --at {place}"


def _shoulder(design: Design) -> tuple[float, float]:
    return design.plug.shoulder_radius_mm, design.plug.shoulder_thickness_mm


def _judged(
    grafted: Grafted, tank: Tank, spot: Spot, design: Design, wishes: Wishes, progress: Progress
) -> GraftResult:
    from bayonet.solids.graft import drain, measures
    from bayonet.solids.graft import room as graft_room
    from bayonet.solids.graft import spot as snap

    reach = snap.reach_of(tank)
    names = [one.name for i, one in enumerate(tank.solids) if i != grafted.host]
    room = graft_room.room(
        grafted.before, list(zip(names, grafted.others, strict=True)), grafted.socket,
        grafted.stand, shoulder_mm=_shoulder(design), reach_mm=reach,
    )  # fmt: skip
    facts = measures.facts(
        grafted, spot, land=wishes.land, fillet_mm=wishes.fillet_mm, room=room, reach_mm=reach
    )
    flows = None if wishes.down is None else drain.drain(grafted, down=wishes.down)
    found = judge.findings(facts, grafted.socket, wishes, flows)
    if any(f.verdict is Verdict.FAIL and f.code in judge.PLACE for f in found):
        found = judge.pointed(found, _elsewhere(tank, spot, design, wishes, progress))
    own = check(design)
    return GraftResult(
        design=design,
        findings=(
            judge.design_itself(own.verdict),
            *judge.whole(tank.damage, tank.surfaces),
            *found,
        ),
        own=own.findings,
        facts=facts,
        drain=flows,
        assumptions=_assumptions(design, grafted),
    )


def _with(result: GraftResult, found: Clearances | None) -> GraftResult:
    """The result with what was found round the tank."""
    if found is None:
        return replace(result, findings=(*result.findings, *judge_nearby.nothing_given()))
    return replace(
        result,
        findings=(*result.findings, *judge_nearby.findings(found)),
        clearances=found,
        assumptions=(*result.assumptions, *judge_nearby.assumptions(found)),
    )


def _assumptions(design: Design, grafted: Grafted) -> tuple[str, ...]:
    frame = grafted.frame
    rows = [
        f"The spot picked lies {grafted.snapped_mm:.3f} mm from the wall's face"
        f" {grafted.face_number} on solid {grafted.tank.solids[grafted.host].name!r}.",
        f"Mouth middle at {_words(frame.origin)} mm, axis {_words(frame.z)}, theta = 0 along"
        f" {_words(frame.x)} (tank coordinates).",
    ]
    if design.socket.flange is not None or design.socket.weld is not None:
        rows.append("Flange or weld preparation of the design is left out: the wall takes it.")
    return tuple(rows)


def _words(vector: tuple[float, float, float]) -> str:
    return ", ".join(f"{value + 0.0:.7g}" for value in np.round(vector, 4).tolist())


def _write(
    grafted: Grafted, result: GraftResult, meshes: tuple[TriangleMesh, ...], room: Path
) -> None:
    from bayonet.report.data import graft as graft_data
    from bayonet.report.sheets import graft as picture
    from bayonet.solids.graft import tank_step, view
    from bayonet.solids.kernel import step, step_again

    design, failing = result.design, result.verdict is Verdict.FAIL
    mark = " - FAIL, see graft.json" if failing else ""
    fit_only = f"{PRINTED_MARK} - " if design.socket.process == "printed" else ""
    title = f"{design.name}, rev {design.revision}"
    written = room / "tank_with_socket.step"
    head = step.StepHead(
        product=f"tank with socket - {title}",
        description=f"{fit_only}Tank with socket: {title}{mark}",
    )
    tank_step.write(grafted.tank, written, head=head)
    written.write_bytes(canonical(written.read_bytes().decode("latin-1")).encode("latin-1"))
    step_again.check_written([one.solid for one in grafted.tank.solids], written)
    stl.write(
        joined(meshes), room / "tank_with_socket.stl", title=f"{fit_only}tank with socket{mark}"
    )
    whole, _ = view.whole(grafted.tank, toward=grafted.frame.z)
    picture.write(
        whole, view.detail(grafted), name=f"{design.name}: grafted",
        sizes=_sizes(grafted, result), marks=result.marks, svg=room / "graft.svg",
        png=room / "graft.png",
    )  # fmt: skip
    names = sorted([*(file.name for file in room.iterdir()), "graft.json"])
    text = graft_data.as_json(
        name=design.name, verdict=result.verdict.value, findings=result.findings,
        frame=grafted.frame, facts=result.facts, drain=result.drain,
        headline=result.headline, assumptions=result.assumptions, cautions=result.cautions,
        files=names,
        clearances=result.clearances,
    )  # fmt: skip
    (room / "graft.json").write_text(text, "utf-8")


def _marked(design: Design) -> str:
    """The name as it heads a picture; first of all what must not be done with a printed part."""
    printed = design.socket.process == "printed"
    return f"{PRINTED_MARK} - {design.name}" if printed else design.name


def _draw_around(
    found: Clearances, shown: Scene, name: str, frame: Frame, clock_deg: float, room: Path
) -> None:
    from bayonet.report.sheets import clockings
    from bayonet.report.sheets import surroundings as sheet_around

    sheet_around.write(found, shown, name=name, svg=room / "surroundings.svg",
                       png=room / "surroundings.png")  # fmt: skip
    up = "the tank's +X" if abs(frame.z[2]) > NEARLY_UPRIGHT else "the tank's +Z"
    clockings.write(found, name=name, up=up, clock_deg=clock_deg,
                     svg=room / "clear_map.svg", png=room / "clear_map.png")  # fmt: skip


def _sizes(grafted: Grafted, result: GraftResult) -> tuple[str, ...]:
    """What a person would look for, in two lines."""
    socket, facts = grafted.socket, result.facts
    return (
        f"boss Ø{2 * socket.boss_radius_mm:.1f}, mouth {facts.proud_mm:.1f} mm above a wall of"
        f" {facts.thickness_mm:.1f} mm; passage Ø{2 * socket.bore[-1][0]:.1f}",
        f"wall beside the tracks {facts.track_wall_mm:.2f} mm; mouth middle at"
        f" {_words(grafted.frame.origin)}, axis {_words(grafted.frame.z)}",
    )


def joined(meshes: tuple[TriangleMesh, ...]) -> TriangleMesh:
    """Several meshes as one, their bodies apart."""
    starts = np.cumsum([0, *(len(one.vertices) for one in meshes)])[:-1]
    return TriangleMesh(
        vertices=np.concatenate([one.vertices for one in meshes]),
        triangles=np.concatenate(
            [one.triangles + start for one, start in zip(meshes, starts.tolist(), strict=True)]
        ),
        chord_mm=max(one.chord_mm for one in meshes),
    )
