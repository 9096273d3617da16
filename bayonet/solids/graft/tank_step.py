"""A tank as STEP AP242 with names and colours; the same bytes for the same tank."""

from __future__ import annotations

from pathlib import Path

from bayonet.solids.graft.tank import Tank, TankSolid
from bayonet.solids.kernel import StepHead, StepPart, baked, guarded, write_parts


@guarded("writing the tank")
def write(tank: Tank, path: Path, *, head: StepHead) -> None:
    """Write all solids of a tank, each as a part of its own in the tank's coordinates.

    Parameters
    ----------
    tank : Tank
    path : Path
    head : StepHead

    Raises
    ------
    BuildError, ExportError
        If the kernel refuses a shape, or the file.
    """
    write_parts([_part(one) for one in tank.solids], path, head=head)


def _part(one: TankSolid) -> StepPart:
    solid, own = baked(one.solid), dict(one.face_colours)
    faces = tuple(
        (face, own[before])
        for before, face in zip(one.solid.Faces(), solid.Faces(), strict=True)
        if before in own
    )
    return StepPart(name=one.name, solid=solid, colour=one.colour, face_colours=faces)
