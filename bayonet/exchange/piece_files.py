"""Print-test pieces as files: the ring as STEP, STL and 3MF, the ladder as one plate.

STEP lies in the fitting's frame, mouth at z = 0; meshes stand as they print, mouth down on z = 0.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from bayonet.cautions import PRINTED_CAUTION, PRINTED_CAUTION_SHORT
from bayonet.exchange import stl, threemf
from bayonet.printing import Sample, drawn_for, letters
from bayonet.shapes import LineDrawing, TriangleMesh, together

_COLOUR = (0.62, 0.66, 0.70, 1.0)


def write(
    made: Sample, room: Path, *, chord_mm: float, progress: Callable[[str], None]
) -> tuple[float, LineDrawing]:
    """Build and write the ring and the ladder.

    Parameters
    ----------
    made : Sample
    room : Path
        Folder to write to.
    chord_mm : float
        Greatest distance allowed between meshes and exact surface [mm].
    progress : callable
        Told what is being done.

    Returns
    -------
    tuple of (float, LineDrawing)
        The distance measured [mm], and the ring as it stands, a quarter cut away.

    Raises
    ------
    BuildError
        If a piece does not pass the gate.
    """
    from bayonet.solids.fitting import test_ring as rings
    from bayonet.solids.fitting import view
    from bayonet.solids.kernel import mesh, step, step_again

    solids, meshes = {}, {}
    for one in (made.ring, *made.ladder):
        if one.step_mm in solids:
            continue
        progress(f"building the ring of step {one.mark}")
        shape = made.drawn(one)
        solids[one.step_mm] = rings.marked(
            shape,
            letters(one, shape, made.printer),
            depth_mm=made.mark_depth_mm,
            volume_mm3=made.volume_mm3(one),
        )
        meshes[one.step_mm] = mesh.meshed(solids[one.step_mm], chord_mm=chord_mm).turned_over()
    progress("writing the pieces")
    title, note = _sample_words(made)
    ring = solids[made.ring.step_mm]
    head = step.StepHead(
        product=f"print-test ring - {title}",
        description=f"Print-test ring, mouth at z = 0: {title}. {note}",
    )
    step.write(ring, room / "ring.step", head=head, colour=_COLOUR)
    step_again.check_written([ring], room / "ring.step")
    _write_plates(made, meshes, mesh.meshed(rings.bar(made.gauge), chord_mm=chord_mm), room)
    chord = max(one.chord_mm for one in meshes.values())
    return chord, view.cut_away(rings.standing(ring))


def _write_plates(
    made: Sample, meshes: Mapping[float, TriangleMesh], bar: TriangleMesh, room: Path
) -> None:
    """The single ring, and the ladder with its bar, as STL and 3MF, standing as they print."""
    mark = _failing(made)
    standing = [threemf.Placed(name=f"ring, step {made.ring.mark}{mark}", mesh=meshes[0.0])]
    plate = [
        threemf.Placed(
            name=f"ring, step {one.mark}{mark}", mesh=meshes[one.step_mm], at_mm=(*place, 0.0)
        )
        for one, place in zip(made.ladder, made.plate.places_mm, strict=True)
    ]
    plate.append(threemf.Placed(name="bar", mesh=bar, at_mm=(*made.plate.bar_mm, 0.0)))
    title, note = _sample_words(made)
    for name, group in (("ring", standing), ("ladder", plate)):
        whole = together([one.mesh.moved(one.at_mm) for one in group])
        stl.write(whole, room / f"{name}.stl", title=f"{name}: {PRINTED_CAUTION_SHORT}{mark}")
        threemf.write_plate(
            group, room / f"{name}.3mf", title=f"Print-test {name}: {title}", description=note
        )


def _failing(made: Sample) -> str:
    return " - FAIL, see sample.json" if made.verdict.value == "fail" else ""


def _sample_words(made: Sample) -> tuple[str, str]:
    """Title of the pieces' files, and what they say of their sizes."""
    title = f"{made.design.name}, rev {made.design.revision}{_failing(made)}"
    return title, f"{drawn_for(made.profile)}. {PRINTED_CAUTION}"
