"""The solids of a design as files: parts, assembly, plug, meshes, and the view of them apart."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from bayonet.cautions import PRINTED_CAUTION, PRINTED_MARK
from bayonet.checks import Result
from bayonet.exchange import stl, threemf
from bayonet.parts import Design, Socket
from bayonet.printing import ProcessProfile, drawn, drawn_for

_CLEAR_OF_BOSS = 0.9
_APART = 0.45  # of the boss's radius: parts of one socket in the view
_WORDS = {
    "socket": ("socket", "Socket"),
    "ring": ("socket_ring", "Retaining ring"),
    "body": ("socket_body", "Body"),
}
_COLOURS = {
    "ring": (0.80, 0.62, 0.36, 1.0),
    "body": (0.62, 0.66, 0.70, 1.0),
    "socket": (0.62, 0.66, 0.70, 1.0),
    "plug": (0.66, 0.35, 0.13, 1.0),
}
"""Told apart in an assembly: pale steel, brass, copper; nothing is meant by them."""


def names(socket: Socket) -> tuple[str, ...]:
    """Names of the files `write` makes for a socket."""
    if socket.joint is None:
        return ("plug.step", "socket.3mf", "socket.step", "socket.stl")
    parts = [f"socket_{part}.{end}" for part in ("body", "ring") for end in ("3mf", "step", "stl")]
    return ("plug.step", "socket.step", *parts)


def write(result: Result, room: Path, chord_mm: float, profile: ProcessProfile | None) -> float:
    """Write a design's solids.

    Parameters
    ----------
    result : Result
        Its verdict stands in the files' heads.
    room : Path
    chord_mm : float
        Greatest distance allowed between meshes and exact surface [mm].
    profile : ProcessProfile or None
        Draw a printed socket for this printer.

    Returns
    -------
    float
        The distance measured [mm].

    Raises
    ------
    BuildError, ExportError
        If the kernel's result does not pass the gate, or a file cannot be written.
    """
    from bayonet import solids
    from bayonet.report.sheets import fit_up as fitup
    from bayonet.solids.fitting import view
    from bayonet.solids.kernel import step, step_again

    design = result.design
    lock = result.proof.nominal.furthest_deg
    parts = solids.parts(drawn(design.socket, profile))
    plug = solids.plug(design.plug, turned_deg=lock if lock == lock else 0.0)
    head = step.StepHead(
        product=f"plug - {_title(design)}",
        description=f"Plug at lock, shoulder on the mouth face: {_title(design)}",
    )
    step.write(plug, room / "plug.step", head=head, colour=_COLOURS["plug"])
    step_again.check_written([plug], room / "plug.step")
    lift = design.plug.nose_depth_mm + _CLEAR_OF_BOSS * design.socket.boss_radius_mm
    drawing = view.fit_up(
        tuple(parts.values()), solids.plug(design.plug), lift_mm=lift,
        apart_mm=_APART * design.socket.boss_radius_mm,
    )  # fmt: skip
    fitup.write(drawing, result, svg=room / "fitup.svg", png=room / "fitup.png")
    chords = [
        _write_part(result, name, solid, room, chord_mm, profile) for name, solid in parts.items()
    ]
    if len(parts) > 1:
        _write_assembly(result, parts, room)
    return max(chords)


def _write_part(
    result: Result, name: str, solid: Any, room: Path, chord_mm: float,
    profile: ProcessProfile | None,
) -> float:  # fmt: skip
    from bayonet.solids.kernel import mesh, step, step_again

    design = result.design
    fit_only, note = _printed_notes(design, profile)
    stem, words = _WORDS[name]
    mark, told = _mark(result), _part_note(design, name)
    head = step.StepHead(
        product=f"{words.lower()} - {_title(design)}",
        description=f"{fit_only}{words} for: {_title(design)}{told}{note}{mark}",
    )
    step.write(solid, room / f"{stem}.step", head=head, colour=_COLOURS[name])
    step_again.check_written([solid], room / f"{stem}.step")
    triangles = mesh.meshed(solid, chord_mm=chord_mm)
    stl.write(triangles, room / f"{stem}.stl", title=f"{fit_only}{words.lower()}{mark}")
    threemf.write(
        triangles,
        room / f"{stem}.3mf",
        title=f"{fit_only}{words}: {_title(design)}{mark}",
        description=note.strip("; "),
    )
    return triangles.chord_mm


def _write_assembly(result: Result, parts: Mapping[str, Any], room: Path) -> None:
    from bayonet.solids.kernel import step, step_again

    design = result.design
    named = [
        step.StepPart(name=_WORDS[name][1], solid=solid, colour=_COLOURS[name])
        for name, solid in parts.items()
    ]
    what = f"Socket, {' and '.join(one.name.lower() for one in named)}, for: {_title(design)}"
    head = step.StepHead(
        product=f"socket - {_title(design)}",
        description=f"{what}{_joint_note(design)}{_mark(result)}",
    )
    step.write_parts(named, room / "socket.step", head=head)
    step_again.check_written(list(parts.values()), room / "socket.step")


def _title(design: Design) -> str:
    return f"{design.name}, rev {design.revision}"


def _mark(result: Result) -> str:
    return " - FAIL, see findings.json" if result.verdict.value == "fail" else ""


def _joint_note(design: Design) -> str:
    """What holds the parts together, for who opens the assembly."""
    joint = design.socket.joint
    if joint is None:
        return ""
    bolts = joint.bolts
    return f"; {bolts.count} screws {bolts.bolt.name} {bolts.property_class}, not drawn"


def _part_note(design: Design, name: str) -> str:
    """What a machinist must know of a part and its solid cannot show."""
    joint = design.socket.joint
    if joint is None:
        return _seal_note(design)
    bolts = joint.bolts
    if name == "ring":
        return f"; {bolts.count} holes for {bolts.bolt.name}"
    thread = f"{bolts.count} threads {bolts.bolt.name}, full for {bolts.engagement_mm:g} mm"
    return f"; {thread}, drawn as drilled{_seal_note(design)}"


def _printed_notes(design: Design, profile: ProcessProfile | None) -> tuple[str, str]:
    """What the heads of a printed socket's files say: in few words, and in full."""
    if design.socket.process != "printed":
        return "", ""
    return f"{PRINTED_MARK} - ", f"; {drawn_for(profile)}. {PRINTED_CAUTION}"


def _seal_note(design: Design) -> str:
    """What a machinist must know of the sealing surface and the solid cannot show."""
    socket = design.socket
    if socket.ring is None:
        return ""
    where = "mouth face or floor under the ring"
    if socket.seal_radius_mm is not None:
        where = f"sealing bore {2 * socket.seal_radius_mm:.2f} mm"
    return f"; {where}: finish 0.8 um rms or better, ring {socket.ring.name}"
